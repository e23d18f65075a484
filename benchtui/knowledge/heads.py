"""The columns of a table of pressings: which are fixed, which are clues, and what heading lines above say."""

import re
import tomllib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.knowledge.folded import fold
from benchtui.titles.header import Header, header_of, is_greeting, is_year, name_key, words
from benchtui.titles.lines import Row

BRACKETS = re.compile(r"[(\[].*?[)\]]")
WORDS = Path(__file__).with_name("tablewords.toml")
TITLE_FIELDS = (
    "artist",
    "title",
    "both",
    "number",
    "company",
    "country",
    "first",
    "channels",
    "size",
    "discs",
)
PRESSING_FIELDS = (
    "pressing", "from", "to", "made", "share", "price", "kind", "extras", "cuts", "stems", "source", "note",
)  # fmt: skip
FIXED = (
    "artist", "title", "number", "company", "country", "first", "pressing", "from", "to", "share", "price",
    "channels", "size", "discs", "kind", "extras", "cuts", "stems", "source", "note",
)  # fmt: skip
"""The fixed columns in the order in which a table is written; every other column is a clue."""
NAMED = (*FIXED[: FIXED.index("share")], "made", *FIXED[FIXED.index("share") :])
"""What a person may say that a column is: those, and ``made`` for both ends in one cell."""
MAYBE_COMPANY = frozenset({"label", "lbl"})
"""What most dealers call the company; in a table of pressings it is the paper on the disc, unless each title
has one (rows.py).
"""
_AS_LISTS = {"number": "catalogue", "size": "size_in"}


@cache
def _file() -> dict[str, Any]:
    with WORDS.open("rb") as file:
        return tomllib.load(file)


@cache
def column_words() -> dict[str, tuple[str, ...]]:
    """What each fixed column is called, as names are compared, best first."""
    found: dict[str, tuple[str, ...]] = {}
    for ours in TITLE_FIELDS:
        found[ours] = (name_key(ours), *words()[_AS_LISTS.get(ours, ours)])
    for ours in PRESSING_FIELDS:
        found[ours] = tuple(map(name_key, _file()[ours]))
    found["company"] = tuple(one for one in found["company"] if one not in MAYBE_COMPANY)
    found["first"] = tuple(one for one in found["first"] if one not in ("date", "an", "yr"))
    return found


def of_pressings(name: str) -> bool:
    """Whether a column's name is one that a table of pressings has and a title list has not."""
    words = column_words()
    return any(name_key(name) in words[ours] for ours in ("pressing", "from", "to", "made", "share"))


@cache
def kinds() -> dict[str, str]:
    """Words for a kind of pressing, folded, and the kind."""
    return {fold(word): kind for kind, said in _file()["kinds"].items() for word in said}


def place_of(name: str) -> tuple[str, str] | None:
    """Part and place that a column's name speaks of; None where it says neither."""
    told = f" {fold(name)} "
    for where, said in _file()["places"].items():
        if any(f" {word} " in told or f" {word}s " in told for word in said):
            part, _, place = where.partition(" ")
            return part, place
    return None


class Heading(NamedTuple):
    """One column: its name, with what a heading line above it says, and the fixed column that it is ("")."""

    at: int
    name: str
    group: str = ""
    fixed: str = ""

    @property
    def full(self) -> str:
        """The name under its heading: ``Label`` over ``colour`` is ``Label colour``."""
        within = not self.group or fold(self.group) in fold(self.name)
        return self.name if within else f"{self.group} {self.name}"

    @property
    def called(self) -> str:
        """``column Label colour``; of one without a name ``column 5``."""
        return self.full if self.full.startswith("column ") else f"column {self.full}"


@dataclass
class Heads:
    """Finds the header of a table; keeps the heading lines that stand above it. ``companies``: those known,
    by which a column without a name is told for theirs.
    """

    mapped: Sequence[str] = ()
    companies: Collection[str] = ()
    above: list[list[str]] = field(default_factory=list)

    def find(self, first: Sequence[Row], known: Sequence[str], path: Path) -> Header:
        """The row that names most fixed columns, and at least a title's; the lines above it are kept."""
        best = max(first, key=lambda row: _named(row.cells, self.mapped), default=None)
        if best is None or _named(best.cells, self.mapped) < 2:
            return self._unnamed(first, known, path)
        no = next(no for no, row in enumerate(first) if row is best)
        self.above = [row.cells for row in first[:no] if any(cell.strip() for cell in row.cells)]
        names = [cell.strip() for cell in best.cells]
        while names and not names[-1] and not self._beneath(len(names) - 1):
            names.pop()
        return Header(names, no + 1)

    def _unnamed(self, first: Sequence[Row], known: Sequence[str], path: Path) -> Header:
        """No row names a title: a caption of one cell above the rest is no row of names either."""
        rows = (no for no, row in enumerate(first) if sum(bool(cell.strip()) for cell in row.cells) > 1)
        no = next(rows, 0)
        self.above = [row.cells for row in first[:no] if any(cell.strip() for cell in row.cells)]
        header = header_of(first[no:], known, path, self.companies)
        return replace(header, after=header.after + no)

    def _beneath(self, at: int) -> bool:
        return any(at < len(row) and row[at].strip() for row in self.above[-1:])

    def headings(self, header: Sequence[str], groups: Callable[[str], bool] = bool) -> list[Heading]:
        """The columns with what the line directly above says of them, and which of them are fixed.

        A heading that spans several columns stands in the first of them only (merged cells); it ends before
        the next fixed column.
        """
        over = self._groups(header)
        fixed = fixed_columns(header, over)
        found = []
        for at, name in enumerate(header):
            group = over[at] if groups(over[at]) else ""
            if name.strip() or group:
                found.append(
                    Heading(at, name.strip() or group, group if name.strip() else "", fixed.get(at, ""))
                )
        return found

    def _groups(self, header: Sequence[str]) -> list[str]:
        wide = len(header)
        if not self.above:
            return [""] * wide
        row = (self.above[-1] + [""] * wide)[:wide]
        if sum(bool(cell.strip()) for cell in row) < 2 or is_greeting(self.above[-1]):  # of the whole table
            return [""] * wide
        fixed, over, last = fixed_columns(header), [], ""
        for at, cell in enumerate(row):
            if cell.strip() or at in fixed:
                last = " ".join(cell.split())
            over.append(last)
        return over


def _named(cells: Sequence[str], mapped: Sequence[str]) -> int:
    """How many fixed columns a row names; 0 where it names no title."""
    keys = {name_key(cell) for cell in cells if cell.strip()}
    keys |= {name_key(BRACKETS.sub("", cell)) for cell in cells if cell.strip()} - {""}
    found = {ours for ours, theirs in column_words().items() if keys & set(theirs)}
    data = any(is_year(cell.strip()) for cell in cells)  # a pressing may be called "first"
    said = 0 if data else sum(name_key(name) in keys for name in mapped)
    return len(found) + said if {"title", "both"} & found or said else 0


def fixed_columns(header: Sequence[str], over: Sequence[str] | None = None) -> dict[int, str]:
    """Place of each fixed column; each of them once, by the best of its words.

    A word under a heading that names a part of the record (``date`` under ``Label``) is a clue's, but for
    the fixed columns' own names (``cuts`` under ``Runout``).
    """
    found: dict[int, str] = {}
    keys = [name_key(name) for name in header]
    bare = [name_key(BRACKETS.sub("", name)) for name in header]
    for ours, theirs in column_words().items():
        for word in theirs:
            places = (no for no, key in enumerate(keys) if word in (key, bare[no]) and no not in found)
            at = next(places, None)
            own = ours in ("price", "note", "source") or word == name_key(ours)
            if at is not None and (own or not (over and place_of(over[at]))):
                found[at] = ours
                break
    return found
