"""Reads a TOML file and, when something is wrong with it, finds the line.

``tomllib`` forgets where a value stood. The lines are looked for only once a fault is to be told, so
that a good file costs nothing extra.
"""

import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from benchtui.base.reading import read_data, text_of, toml_of

Path_ = tuple[str | int, ...]

_NAME = r"(?:[A-Za-z0-9_-]+|\"[^\"]*\"|'[^']*')"
_DOTTED = rf"{_NAME}(?:\s*\.\s*{_NAME})*"
_TABLE = re.compile(rf"\s*(\[\[?)\s*({_DOTTED})\s*\]")
_KEY = re.compile(rf"\s*({_DOTTED})\s*=")
_STRINGS = re.compile(r"\"(?:\\.|[^\"\\])*\"|'[^']*'|#.*")


def read_bytes(path: Path) -> bytes:
    """The file's bytes. BenchError where it cannot be read."""
    return read_data(path, right="a readable TOML file")


def parse_toml(data: bytes, path: Path) -> dict[str, Any]:
    """The table a TOML text holds. BenchError with the line where it is no TOML."""
    return toml_of(text_of(data, path), path)


class Lines:
    """Line numbers of tables and keys of a TOML text that is known to be well formed."""

    def __init__(self, text: str) -> None:
        self._found: dict[Path_, int] = {}
        self._counts: dict[Path_, int] = {}
        self._scan(text)

    def of(self, path: Path_) -> int | None:
        """The line of that value, else of the nearest table or key that holds it."""
        for size in range(len(path), 0, -1):
            if (line := self._found.get(path[:size])) is not None:
                return line
        return None

    def _scan(self, text: str) -> None:
        table: Path_ = ()
        array: Path_ = ()
        entry, depth, until = 0, 0, ""
        for number, raw in enumerate(text.splitlines(), 1):
            line = raw
            if until:
                if until not in line:
                    continue
                line, until = line.partition(until)[2], ""
            elif depth == 0:
                if header := _TABLE.match(line):
                    table = self._enter(_names(header[2]), header[1] == "[[")
                    self._found.setdefault(table, number)
                    self._found.setdefault(table[:-1], number)  # the array itself: its first entry
                    continue
                if key := _KEY.match(line):
                    array, entry = table + tuple(_names(key[1])), 0
                    self._key(table, _names(key[1]), number)
            elif depth == 1 and line.lstrip().startswith(("{", "[")):
                self._found.setdefault((*array, entry), number)  # an entry of an array over several lines
                entry += 1
            line, until = open_string(line)
            bare = bare_of(line)
            depth = max(0, depth + sum(bare.count(c) for c in "[{") - sum(bare.count(c) for c in "]}"))

    def _key(self, table: Path_, names: list[str], number: int) -> None:
        for size in range(1, len(names) + 1):
            self._found.setdefault(table + tuple(names[:size]), number)

    def _enter(self, names: list[str], is_array: bool) -> Path_:
        """The path of a table header: the last entry of every array on the way."""
        path: Path_ = ()
        for name in names[:-1]:
            path += (name,)
            if path in self._counts:
                path += (self._counts[path] - 1,)
        path += (names[-1],)
        if is_array:
            self._counts[path] = self._counts.get(path, 0) + 1
            path += (self._counts[path] - 1,)
        elif path in self._counts:
            path += (self._counts[path] - 1,)
        return path


def _names(dotted: str) -> list[str]:
    return [name.strip("\"'") for name in re.findall(_NAME, dotted)]


@lru_cache(maxsize=256)
def header_of(line: str) -> tuple[str, ...] | None:
    """The names of a table's header (``[[title.pressing]]``: title, pressing); None for another line.

    Kept, since a book has a few headers many thousand times.
    """
    found = _TABLE.match(line)
    return tuple(_names(found[2])) if found else None


def bare_of(line: str) -> str:
    """The line without its strings and its comment."""
    return _STRINGS.sub("", line)


def open_string(line: str) -> tuple[str, str]:
    """The line up to a string of several lines that it leaves open, and the quotes that will close it."""
    for quotes in ('"""', "'''"):
        before, found, after = line.partition(quotes)
        if found and quotes not in after:
            return before, quotes
    return line, ""
