"""A book's text in pieces: ``[book]``, each ``[[clue]]``, ``[[title]]``, ``[[title.pressing]]`` and so on.

A piece is what is edited at a time: the rest of the file keeps every byte, and a book of 5,000 titles is
not read whole for the sake of one. The pieces together are the text again.
"""

import re
import tomllib
from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate
from typing import Any

from benchtui.books.text import ends_alike
from benchtui.books.toml_file import bare_of, header_of, open_string

_NAMED = re.compile(r"[ \t]*(id|title|clue)[ \t]*=[ \t]*(?:\"([^\"\\]*)\"|'([^']*)')[ \t]*(?:#.*)?$")
_TELLS = re.compile(r"[\[\]{}]|\"{3}|'{3}")
_NAMES = ("id", "title", "clue")


@dataclass(frozen=True)
class Piece:
    """``path``: the names of its header, such as ("title", "pressing"); () for what stands above the first.

    Sub-tables of a piece (``[title.pressing.expect]``) belong to it, and so do comments directly above its
    header. ``tail`` of it is what stands below its last line: comments and space before the next piece.
    """

    path: tuple[str, ...]
    text: str

    @cached_property
    def table(self) -> dict[str, Any]:
        """What the piece says of itself."""
        found: Any = tomllib.loads(self.text)
        for name in self.path:
            found = found[name]
        return dict(found[0] if isinstance(found, list) else found)

    @cached_property
    def names(self) -> dict[str, str]:
        """Its id, and of an ``[[add]]`` the title or clue it adds to."""
        plain = _plain_names(self.text)
        if plain is None:
            plain = {name: str(self.table[name]) for name in _NAMES if name in self.table}
        return plain

    def parted(self) -> tuple[str, str]:
        """Its text, and its tail."""
        lines = self.text.splitlines(keepends=True)
        end = len(lines)
        while end and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
            end -= 1
        return "".join(lines[:end]), "".join(lines[end:])


def _plain_names(text: str) -> dict[str, str] | None:
    """The names as their lines say them; None where one of them is written in another way."""
    found: dict[str, str] = {}
    headers = 0
    for line in text.splitlines():
        if header_of(line) is not None:
            headers += 1
            if headers > 1:
                break
        elif line.lstrip().startswith((*_NAMES, '"', "'")):
            if (plain := _NAMED.match(line)) is not None:
                found.setdefault(plain[1], plain[2] if plain[2] is not None else plain[3])
            elif line.split("=")[0].strip().strip("\"'") in _NAMES:
                return None
    return found


LARGE = 1_000_000
"""Signs of a book from which reading all of it takes seconds, so that only what changed of it is read."""
_split_last: list[tuple[str, list[Piece]]] = []
"""The large text that was parted last: it is looked at, changed and prepared one after the other."""


def split_pieces(text: str) -> list[Piece] | None:
    """The pieces of a text that is known to be TOML; None where its tables are not written by headers."""
    last = _split_last[0] if _split_last else None  # another thread may be reading a book
    if last is not None and last[0] == text:
        return list(last[1])
    if len(text) <= LARGE:
        return _split(text)
    pieces = _split_beside(*last, text) if last is not None else None
    if pieces is None:
        pieces = _split(text)
    if pieces is not None:
        _split_last[:] = [(text, list(pieces))]
    return pieces


def _split_beside(old: str, pieces: list[Piece], text: str) -> list[Piece] | None:
    """The pieces of a text that is another in one place only, parted anew there; None where that is not sure.

    ``pieces``: those of the ``old`` text. Read again are whole top pieces, from one before to one after it.
    """
    head, tail = ends_alike(old, text)
    starts = list(accumulate((len(piece.text) for piece in pieces), initial=0))
    low = max(0, bisect_right(starts, head) - 2)
    while low and len(pieces[low].path) != 1:
        low -= 1
    high = min(bisect_left(starts, len(old) - tail) + 1, len(pieces))
    while high < len(pieces) and len(pieces[high].path) != 1:
        high += 1
    place = text[starts[low] : starts[high] + len(text) - len(old)]
    if len(place) > len(text) // 2:
        return None
    try:
        tomllib.loads(place)  # else a string or a list is open at its end
    except tomllib.TOMLDecodeError:
        return None
    fresh = _split(place)
    return None if fresh is None else [*pieces[:low], *fresh, *pieces[high:]]


def _split(text: str) -> list[Piece] | None:
    lines = text.splitlines(keepends=True)
    starts = _starts(lines)
    if starts is None:
        return None
    places = [at for at, _ in starts] + [len(lines)]
    above = "".join(lines[: places[0]])
    if any(line.strip() and line.lstrip()[0] not in "#\ufeff" for line in above.splitlines()):
        return None
    pieces = [Piece(path, "".join(lines[at:end])) for (at, path), end in zip(starts, places[1:], strict=True)]
    return [Piece((), above), *pieces] if above else pieces


def _starts(lines: list[str]) -> list[tuple[int, tuple[str, ...]]] | None:
    """Where each piece begins, and its path. None where a part of a table stands apart from it."""
    starts: list[tuple[int, tuple[str, ...]]] = []
    depth, until = 0, ""
    for number, raw in enumerate(lines):
        line = raw
        if not (until or depth or _TELLS.search(line)):
            continue  # most lines of a book: nothing in them opens or closes anything
        if until:
            if until not in line:
                continue
            line, until = line.partition(until)[2], ""
        elif depth == 0 and line.lstrip().startswith("[") and (path := header_of(line)) is not None:
            if len(path) == 1 or line.lstrip().startswith("[["):
                if len(path) > 1 and (not starts or starts[-1][1][0] != path[0]):
                    return None
                low = starts[-1][0] + 1 if starts else 0
                starts.append((_with_comments(lines, number, low), path))
            elif not starts or path[: len(starts[-1][1])] != starts[-1][1]:
                return None
            continue
        line, until = open_string(line)
        bare = bare_of(line)
        depth = max(0, depth + bare.count("[") + bare.count("{") - bare.count("]") - bare.count("}"))
    return starts


def _with_comments(lines: list[str], number: int, low: int) -> int:
    """The first of the comment lines directly above that line."""
    while number > low and lines[number - 1].lstrip().startswith("#"):
        number -= 1
    return number
