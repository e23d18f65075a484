"""Which row of a list names its columns, and what to do where none does."""

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.titles.fold import fold
from benchtui.titles.lines import Row
from benchtui.titles.values import country_of

WORDS = Path(__file__).with_name("columnwords.toml")
_YEAR = re.compile(r"[cC~]?\s?(?:18|19|20)\d\d(?:[-/.]\d\d?){0,2}(?:\.0)?\??")
_BARCODE = re.compile(r"\d{8}|\d{12,14}")


@dataclass(frozen=True)
class Header:
    """``names`` as the file says them, or ours where it has no header; ``after``: how many of the first rows
    come before the list's own; ``said``: what a person has to know of it.
    """

    names: list[str]
    after: int
    said: list[str] = field(default_factory=list)


@cache
def words() -> dict[str, tuple[str, ...]]:
    """What each of our columns is called by others, as they are compared, best first."""
    with WORDS.open("rb") as file:
        return {ours: tuple(map(name_key, theirs)) for ours, theirs in tomllib.load(file).items()}


def name_key(name: str) -> str:
    """A column's name as it is compared: "Bestell-Nr." is "bestellnr"."""
    return fold(name).replace(" ", "")


def header_of(first: Sequence[Row], known: Sequence[str], path: Path) -> Header:
    """The header among the first rows. ``known``: names that are said to be in it, or places from 1.

    Rows above it (a shop's name, a date) are passed over. Without any, the columns are guessed from what
    stands in them where that can be told; else the first row counts as the header, and what it lacks is said
    later.
    """
    full = [(no, row) for no, row in enumerate(first) if any(cell.strip() for cell in row.cells)]
    if not full:
        raise BenchError("there is nothing in this file", path, "give a list of titles, one a line")
    named = [name for name in known if not name.isdigit()]
    for no, row in full:
        if names_columns(row.cells, named):
            above = [" ".join(filter(None, one.cells)) for _, one in full if one.line < row.line]
            said = [f"passed over above the columns' names: {'; '.join(above)[:200]}"] if above else []
            return Header(_trimmed(row.cells), no + 1, said)
    guessed = _guessed([row.cells for _, row in full])
    if guessed is not None:
        said = ["no row names the columns; guessed: " + ", ".join(
            f"{no + 1} {name or 'not used'}" for no, name in enumerate(guessed))]  # fmt: skip
        return Header([name or f"column {no + 1}" for no, name in enumerate(guessed)], 0, said)
    if len(named) < len(known):
        wide = max(len(row.cells) for _, row in full)
        return Header([f"column {no}" for no in range(1, wide + 1)], 0)
    no, row = full[0]
    return Header(_trimmed(row.cells), no + 1)


def _trimmed(cells: Sequence[str]) -> list[str]:
    """Without the empty cells at the end."""
    last = max((no for no, cell in enumerate(cells) if cell.strip()), default=0)
    return [cell.strip() for cell in cells[: last + 1]]


def names_columns(cells: Sequence[str], known: Sequence[str]) -> bool:
    """Whether the row has the names of a title's column and of another, or one that was said to be there."""
    here = {name_key(cell) for cell in cells if cell.strip()}
    if any(name_key(name) in here for name in known):
        return True
    found = [ours for ours, theirs in words().items() if here & set(theirs)]
    return len(found) > 1 and bool({"title", "both"} & set(found))


def _guessed(rows: list[list[str]]) -> list[str] | None:
    """Our name for each column, by what stands in it; None where it cannot be told, which needs two columns
    of words and one of years or numbers, in the first row too.
    """
    wide = max(map(len, rows))
    columns = [[row[at].strip() for row in rows if at < len(row) and row[at].strip()] for at in range(wide)]
    names = [""] * wide
    for name, fits in (("barcode", _BARCODE.fullmatch), ("first", _YEAR.fullmatch), ("country", _is_country)):
        at = next((no for no, cells in enumerate(columns) if not names[no] and _mostly(cells, fits)), None)
        if at is not None:
            names[at] = name
    worded = [
        no for no, cells in enumerate(columns) if not names[no] and cells and not _mostly(cells, _numbered)
    ]
    numbered = [no for no, cells in enumerate(columns) if not names[no] and cells and no not in worded]
    if numbered:
        names[numbered[0]] = "catalogue"
    named = any(name and any(map(str.isdigit, cell)) for name, cell in zip(names, rows[0], strict=False))
    if len(worded) < 2 or not named:
        return None
    names[worded[0]], names[worded[1]] = "artist", "title"
    if len(worded) > 2:
        names[worded[2]] = "company"
    return names


def _is_country(cell: str) -> bool:
    return bool(country_of(cell)[0])


def _numbered(cell: str) -> bool:
    return any(map(str.isdigit, cell)) and len(cell) < 20 and sum(map(str.isalpha, cell)) < 8


def _mostly(cells: Sequence[str], fits: object) -> bool:
    """Whether nine of ten cells fit."""
    return bool(cells) and sum(bool(fits(cell)) for cell in cells) * 10 >= 9 * len(cells)  # type: ignore[operator]
