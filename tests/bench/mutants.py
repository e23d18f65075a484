"""Mutations by hand: one small fault at a time is written into a copy of the code, and the tests must notice.

    python tests/bench/mutants.py 100 --seed 7 [--room evidence --room money] [--files 6]

Each of the so many mutations changes one place: a comparison turned or its edge moved, ``and`` for ``or``, a
number one off, a condition forced, ``+`` for ``-``, a statement left out. The test files that speak most of what
the changed file defines are run, nearest first, until the first failure. What survives is listed with file and
line: some change nothing that matters, the others want a test.
"""

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = {
    "evidence": ["tests/evidence", "tests/outside", "tests/demo", "tests/bench_app"],
    "money": ["tests/money", "tests/outside", "tests/bench_app"],
    "store": ["tests/store", "tests/bench_app"],
    "desk": ["tests/bench_app"],
}
ALWAYS = {
    "evidence": ["tests/evidence"],
    "money": ["tests/money"],
    "store": [
        f"tests/store/test_{name}.py"
        for name in ("storage", "shop", "parcel", "bad_files", "pending", "gone")
    ],
    "desk": [f"tests/bench_app/test_{name}.py" for name in ("asking", "parcel_form", "undo", "keymaps")],
}
"""What is run after the nearest, for what is only reached through other files."""
PLAIN_WORD = 4
"""Letters up to which a name of the code is too plain a word to tell what a test is about."""
TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
SWAPPED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
}  # fmt: skip


@dataclass(frozen=True)
class Mutation:
    """One change: the file's text before and after, and what it is in words."""

    path: Path
    line: int
    words: str
    text: str


def any_mutation_of(path: Path) -> Mutation | None:
    """One of the file's mutations, by chance; None where nothing in it can be changed."""
    source = path.read_text(encoding="utf-8")
    numbers = list(range(sum(1 for _ in ast.walk(ast.parse(source)))))
    random.shuffle(numbers)
    for number in numbers:
        tree = ast.parse(source)
        node = next(one for at, one in enumerate(ast.walk(tree)) if at == number)
        words = _change(node, tree)
        if words:
            return Mutation(path, getattr(node, "lineno", 0), words, ast.unparse(tree))
    return None


def _change(node: ast.AST, tree: ast.AST) -> str:
    """Changes the node in place; in words, or "" where there is nothing to change."""
    match node:
        case ast.Compare(ops=[op]) if type(op) in TURNED:
            before = ast.unparse(node)
            node.ops = [TURNED[type(op)]()]
            return f"{before} -> {ast.unparse(node)}"
        case ast.BoolOp():
            before = ast.unparse(node)
            node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            return f"{before} -> {ast.unparse(node)}"
        case ast.BinOp(op=operator) if type(operator) in SWAPPED:
            before = ast.unparse(node)
            node.op = SWAPPED[type(operator)]()
            return f"{before} -> {ast.unparse(node)}"
        case ast.Constant(value=bool() as value):
            node.value = not value
            return f"{value} -> {not value}"
        case ast.Constant(value=int() | float() as value):
            node.value = value + 1 if isinstance(value, int) else value * 1.5
            return f"{value} -> {node.value}"
        case ast.If(test=test):
            node.test = ast.Constant(False)
            return f"if {ast.unparse(test)} -> if False"
        case ast.UnaryOp(op=ast.Not()):
            before = ast.unparse(node)
            node.op, node.operand = ast.Not(), ast.UnaryOp(ast.Not(), node.operand)
            return f"{before} -> its contrary"
        case ast.Assign() | ast.AugAssign() | ast.Expr(value=ast.Call()):
            return _left_out(node, tree)
    return ""


def _left_out(node: ast.AST, tree: ast.AST) -> str:
    """A statement inside a function left out; the names of a module and of a class stay."""
    for owner in ast.walk(tree):
        body = getattr(owner, "body", None)
        if isinstance(body, list) and node in body and not isinstance(owner, ast.Module | ast.ClassDef):
            words = ast.unparse(node)
            body[body.index(node)] = ast.copy_location(ast.Pass(), node)
            return f"left out: {words}"
    return ""


def names_in(path: Path) -> set[str]:
    """What a file defines for others, and the ids that it declares (of commands, pages, lines)."""
    found = {path.stem, ".".join(path.relative_to(ROOT).with_suffix("").parts)}
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.add(node.name)
            calls = [one for one in node.decorator_list if isinstance(one, ast.Call)]
            found |= {
                str(call.args[0].value)
                for call in calls
                if call.args and isinstance(call.args[0], ast.Constant)
            }
        elif isinstance(node, ast.Assign):
            found |= {one.id for one in node.targets if isinstance(one, ast.Name)}
    return {name for name in found if len(name) > PLAIN_WORD and not name.startswith("_")}


@cache
def _words(test: Path) -> Counter[str]:
    return Counter(re.findall(r"[\w.-]+", test.read_text(encoding="utf-8")))


def importers_of(path: Path) -> list[Path]:
    """The files that import from this one."""
    wanted = f"from {'.'.join(path.relative_to(ROOT).with_suffix('').parts)} import"
    return [
        one for one in sorted((ROOT / "benchtui").rglob("*.py")) if wanted in one.read_text(encoding="utf-8")
    ]


def nearest_tests(path: Path, room: str, most: int) -> list[str]:
    """The test files that speak most of what is defined there, or where it is used; a rare name counts for more."""
    tests = [one for folder in TESTS[room] for one in sorted((ROOT / folder).glob("test_*.py"))]
    scores: Counter[Path] = Counter()
    for file, weight in [(path, 1000), *((one, 400) for one in importers_of(path))]:
        scores.update({test: weight // 2 for test in tests if test.stem.removeprefix("test_") == file.stem})
        for name in names_in(file):
            having = [test for test in tests if name in _words(test)]
            scores.update({test: weight // len(having) + (test.parent.name == room) for test in having})
    nearest = [str(test.relative_to(ROOT)) for test, _ in scores.most_common(most)]
    return [*nearest, *(one for one in ALWAYS[room] if one not in nearest)]


def is_noticed(copy: Path, mutation: Mutation, tests: list[str], seconds: float) -> bool:
    """Whether these tests fail (or hang) with the mutation in the copy of the code."""
    path = copy / mutation.path.relative_to(ROOT)
    before = path.read_text(encoding="utf-8")
    path.write_text(mutation.text, encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
    try:
        run = subprocess.run(
            command, cwd=copy, env={**os.environ, "PYTHONPATH": str(copy)}, capture_output=True, timeout=seconds
        )  # fmt: skip
        return run.returncode != 0
    except subprocess.TimeoutExpired:
        return True
    finally:
        path.write_text(before, encoding="utf-8")


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("count", type=int)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--room", action="append", choices=sorted(TESTS))
    asked.add_argument("--files", type=int, default=6, help="test files that are run for a mutation")
    asked.add_argument("--seconds", type=float, default=1500.0, help="longest run of the tests of a mutation")
    args = asked.parse_args()
    rooms = args.room or sorted(TESTS)
    random.seed(args.seed)
    noticed = tried = 0
    with tempfile.TemporaryDirectory(prefix="mutations-") as folder:
        copy = Path(folder) / "tree"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv", "*cache*"))
        for n in range(args.count):
            room = rooms[n % len(rooms)]
            path = random.choice(sorted((ROOT / "benchtui" / room).rglob("*.py")))
            mutation = any_mutation_of(path)
            if mutation is None:
                continue
            tests = nearest_tests(path, room, args.files)
            killed = is_noticed(copy, mutation, tests, args.seconds)
            tried += 1
            noticed += killed
            where = f"{mutation.path.relative_to(ROOT)}:{mutation.line}"
            print(
                f"{n + 1:4} {'noticed ' if killed else 'SURVIVED'} {where}  {mutation.words}"[:200],
                flush=True,
            )
    print(f"{noticed} of {tried} noticed")


if __name__ == "__main__":
    main()
