"""Lists every string that a person may read, with file and line: from the syntax tree, and from the TOML files.

    python tests/bench/list_strings.py [PATH ...] [--words] [--count]

One string a line, ``file:line: text``; the holes of an f-string are shown as ``{...}``. Left out: docstrings,
keys, ids and whatever else is one word in small letters, unless --words asks for that too. --count: only how many.
"""

import argparse
import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WHERE = ("benchtui", "keymaps")
_ID = re.compile(r"[a-z0-9_.:/*?{}\[\]()<>|\\^$+=%#&;,'\"!~@-]*")
_VALUE = re.compile(r"""(?:(\w[\w-]*)\s*=\s*)?("(?:[^"\\]|\\.)*")""")


def of_python(path: Path, words: bool) -> Iterator[tuple[int, str]]:
    """Line and text of each string of a module that may be shown."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    left_out = {id(node) for node in ast.walk(tree) for node in _not_shown(node)}
    found: list[tuple[int, str]] = []
    inside: set[int] = set()
    for node in ast.walk(tree):
        if id(node) in left_out or id(node) in inside:
            continue
        if isinstance(node, ast.JoinedStr):
            inside |= {id(part) for part in node.values if isinstance(part, ast.Constant)}
            found.append((node.lineno, _joined(node)))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.append((node.lineno, node.value))
    yield from ((line, text) for line, text in sorted(found) if _is_shown(text, words))


def _joined(node: ast.JoinedStr) -> str:
    return "".join(
        str(part.value) if isinstance(part, ast.Constant) else f"{{{ast.unparse(part.value)}}}"  # type: ignore[attr-defined]
        for part in node.values
    )


def _not_shown(node: ast.AST) -> list[ast.AST]:
    """Docstrings, annotations, keys, and what names a field, a file's mode or an encoding."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return [node.value]
    if isinstance(node, ast.Subscript):
        return list(ast.walk(node.slice)) if isinstance(node.slice, ast.Constant) else []
    if isinstance(node, ast.AnnAssign):
        return list(ast.walk(node.annotation))
    if isinstance(node, ast.arg) and node.annotation:
        return list(ast.walk(node.annotation))
    if isinstance(node, ast.Dict):
        return [key for key in node.keys if isinstance(key, ast.Constant)]
    if isinstance(node, ast.FunctionDef) and node.returns:
        return list(ast.walk(node.returns))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "compile":
        return list(node.args)
    return []


def _is_shown(text: str, words: bool) -> bool:
    return any(sign.isalpha() for sign in text) and (words or not _ID.fullmatch(text.strip()))


def of_toml(path: Path, words: bool) -> Iterator[tuple[int, str]]:
    """Line and text of each string value that is more than an id. Comments are for those who change the file."""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if line.lstrip().startswith("#"):
            continue
        for match in _VALUE.finditer(line):
            text = match[2][1:-1]
            if match[1] not in (
                "id",
                "key",
                "source",
                "ground",
                "american",
                "british",
                "small",
                "shade",
            ) and _is_shown(text, words):
                yield number, text


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("paths", nargs="*", type=Path, default=[ROOT / one for one in WHERE])
    parser.add_argument("--words", action="store_true", help="single words too")
    parser.add_argument("--count", action="store_true", help="only how many, by file")
    args = parser.parse_args()
    total = 0
    for top in args.paths:
        files = (
            [top]
            if top.is_file()
            else sorted(one for kind in ("py", "toml") for one in top.rglob(f"*.{kind}"))
        )
        for path in files:
            read = of_python if path.suffix == ".py" else of_toml
            strings = list(read(path, args.words))
            total += len(strings)
            name = path.resolve().relative_to(ROOT) if path.resolve().is_relative_to(ROOT) else path
            if args.count:
                print(f"{len(strings):5} {name}")
            else:
                for line, text in strings:
                    print(f"{name}:{line}: {' '.join(text.split())}")
    print(f"{total} strings")


if __name__ == "__main__":
    main()
