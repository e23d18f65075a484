"""Files that people write, read whole: only ordinary files, of a size that such a file can have.

Whatever is wrong is one BenchError that names the file: a folder, a device, a link that leads to itself, a
file of a gigabyte (refused unread), text that is not UTF-8, TOML that is none or that nobody meant.
"""

import re
import stat
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError

MOST = 32_000_000
"""Bytes of a file read whole; a book of 5,000 titles has some 5 million."""
DEEPEST = 24
"""Tables and lists in one another; our own files need six."""
WIDEST = 2**63
"""TOML promises whole numbers of 64 bits; a longer one is a slip, and costs time in every sum."""

_AT_LINE = re.compile(r"\(at line (\d+), column \d+\)|\(at end of document\)")
# Python's reader takes minutes for a key of very many dots.
_PART = r"(?:[\w-]++|\"[^\"\n]*+\"|'[^'\n]*+')"
_DOTTED = re.compile(rf"(?m)(?:^|[\[{{,])[ \t]*+(?:{_PART}[ \t]*+\.[ \t]*+){{60}}")
_LONG = re.compile(r"[0-9A-Fa-f_]{16,}")


def check_ordinary(path: Path, most: int = MOST, right: str = "name a file") -> int:
    """The file's size. BenchError where it is no ordinary file that can be looked at, or has more bytes."""
    try:
        seen = path.stat()
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        said = error.strerror if isinstance(error, OSError) else None
        raise BenchError(f"cannot be read: {said or error}", path, right) from None
    if not stat.S_ISREG(seen.st_mode):
        kind = "a folder" if stat.S_ISDIR(seen.st_mode) else "not an ordinary file"
        raise BenchError(f"is {kind}", path, right)
    if seen.st_size > most:
        raise BenchError(f"has {seen.st_size:,} bytes", path, f"use a file of at most {most:,}")
    return seen.st_size


def read_data(path: Path, most: int = MOST, right: str = "name a file") -> bytes:
    """The bytes of an ordinary file of at most so many. BenchError else."""
    check_ordinary(path, most, right)
    try:
        with path.open("rb") as file:
            return file.read(most)
    except OSError as error:
        raise BenchError(f"cannot be read: {error.strerror or error}", path, right) from None


def text_of(data: bytes, path: Path) -> str:
    """The bytes as UTF-8 text, without the mark some editors put in front. BenchError with the line else."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise BenchError("is not UTF-8 text", path, "save it as UTF-8", line) from None


def read_text(path: Path, most: int = MOST, right: str = "name a file") -> str:
    """The text of an ordinary file of at most so many bytes. BenchError else."""
    return text_of(read_data(path, most, right), path)


def toml_of(text: str, path: Path) -> dict[str, Any]:
    """The table a TOML text holds. BenchError with the line where it is no TOML, or none that is meant."""
    if dotted := _DOTTED.search(text):
        raise _too_deep(path, text.count("\n", 0, dotted.start()) + 1)
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = _AT_LINE.search(str(error))
        line = int(found[1]) if found and found[1] else text.count("\n") + 1
        said = _AT_LINE.sub("", str(error)).strip()
        raise BenchError(f"is not TOML: {said}", path, "correct that line", line) from None
    except RecursionError:
        raise _too_deep(path, _line_of(text, _is_deep)) from None
    except ValueError:  # Python reads no decimal number of more than 4,300 digits
        raise _too_wide(text, path) from None
    for value, depth in _values(table):
        if depth > DEEPEST:
            raise _too_deep(path, _line_of(text, _is_deep))
        if isinstance(value, int) and not -WIDEST <= value < WIDEST:
            raise _too_wide(text, path)
    return table


def _values(table: dict[str, Any]) -> Iterator[tuple[Any, int]]:
    """Everything in the table with its depth, without calling itself."""
    waiting: list[tuple[Any, int]] = [(table, 0)]
    while waiting:
        value, depth = waiting.pop()
        yield value, depth
        if depth <= DEEPEST:
            inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
            waiting += [(one, depth + 1) for one in inside]


def _too_deep(path: Path, line: int | None) -> BenchError:
    what = f"tables or lists are nested more than {DEEPEST} deep"
    return BenchError(what, path, "nest them less deeply", line)


def _is_deep(row: str) -> bool:
    return sum(map(row.count, "[{.")) > DEEPEST


def _too_wide(text: str, path: Path) -> BenchError:
    line = _line_of(text, lambda row: bool(_LONG.search(row)))
    return BenchError("a whole number is too large", path, "use at most 64 bits", line)


def _line_of(text: str, fits: Callable[[str], bool]) -> int | None:
    """The first line that looks like the fault."""
    return next((number for number, row in enumerate(text.splitlines(), 1) if fits(row)), None)
