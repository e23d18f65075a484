"""Mutations by hand: one small fault at a time is written into a copy of the code, and the tests must notice.

    python tests/bench/mutations.py 100 --seed 7 [--room evidence --room money]

Each of the so many mutations changes one place: a comparison turned or its edge moved, ``and`` for ``or``, a
number one off, a condition forced, ``+`` for ``-``, a statement left out. The tests of the room are run until
the first failure. What survives is listed with file and line: some change nothing that matters, the others want
a test.
"""

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = {
    "evidence": ["tests/evidence", "tests/outside/test_evidence_bayes.py"],
    "money": ["tests/money"],
    "store": ["tests/store"],
    "desk": ["tests/bench_app"],
}
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


def mutations_of(path: Path) -> Iterator[Mutation]:
    """Every mutation of a file, each made on a tree of its own."""
    source = path.read_text(encoding="utf-8")
    for number, node in enumerate(ast.walk(ast.parse(source))):
        tree = ast.parse(source)
        same = next(one for at, one in enumerate(ast.walk(tree)) if at == number)
        words = _change(same, tree)
        if words:
            yield Mutation(path, getattr(node, "lineno", 0), words, ast.unparse(tree))


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


def is_noticed(copy: Path, mutation: Mutation, room: str, seconds: float) -> bool:
    """Whether the room's tests fail (or hang) with the mutation in the copy of the code."""
    path = copy / mutation.path.relative_to(ROOT)
    before = path.read_text(encoding="utf-8")
    path.write_text(mutation.text, encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *TESTS[room]]
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
    asked.add_argument("--seconds", type=float, default=1500.0, help="longest run of the tests of a room")
    args = asked.parse_args()
    rooms = args.room or sorted(TESTS)
    random.seed(args.seed)
    noticed = 0
    with tempfile.TemporaryDirectory(prefix="mutations-") as folder:
        copy = Path(folder) / "tree"
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv", "*cache*"))
        for n in range(args.count):
            room = rooms[n % len(rooms)]
            path = random.choice(sorted((ROOT / "benchtui" / room).rglob("*.py")))
            found = list(mutations_of(path))
            if not found:
                continue
            mutation = random.choice(found)
            killed = is_noticed(copy, mutation, room, args.seconds)
            noticed += killed
            where = f"{mutation.path.relative_to(ROOT)}:{mutation.line}"
            print(
                f"{n + 1:4} {'noticed ' if killed else 'SURVIVED'} {where}  {mutation.words}"[:200],
                flush=True,
            )
    print(f"{noticed} of {args.count} noticed")


if __name__ == "__main__":
    main()
