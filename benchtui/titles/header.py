"""Which row of a list names its columns, and what to do where none does."""

import re
import tomllib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.titles.fold import fold
from benchtui.titles.lines import Row
from benchtui.titles.values import country_of

WORDS = Path(__file__).with_name("columnwords.toml")
_YEAR = re.compile(r"(?:[cC~]|[cC]a\.?|[cC]irca|[aA]bout)?\s?(?:18|19|20)\d\d(?:[-/.]\d\d?){0,2}(?:\.0)?\??")
_BARCODE = re.compile(r"\d{8}|\d{12,14}")
GUESSED = "no row names the columns; guessed"
"""How what is said of guessed columns begins."""
IN_ONE = "artist title"
"""The name that is given to a guessed column of both."""
_GREETING = re.compile(
    r"(dear|hello|hi|hey|good (morning|afternoon|evening|day)|greetings|hallo|guten (tag|morgen|abend)"
    r"|liebe[rs]?|sehr geehrte[rs]?|bonjour|ch[eè]re?s?|hola|ciao|beste|geachte)\b"
)
"""How a letter begins (common practice, no source)."""


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


def is_greeting(cells: Sequence[str]) -> bool:
    """Whether a row is the letter around a list, which a sign within it parted into cells: it has no figure,
    and leads to what follows by a colon; or it greets, and ends as a sentence or goes on in small letters.
    """
    full = [cell.strip() for cell in cells if cell.strip()]
    if not full or any(map(str.isdigit, " ".join(full))):
        return False
    leads = full[-1].endswith(":") and not any(cell.endswith(":") for cell in full[:-1])
    goes_on = full[-1].endswith((",", ".", "!")) or len(full) < len(cells) or full[-1][:1].islower()
    return leads or (goes_on and bool(_GREETING.match(full[0].lower())))


def header_of(
    first: Sequence[Row], known: Sequence[str], path: Path, companies: Collection[str] | None = None
) -> Header:
    """The header among the first rows. ``known``: names that are said to be in it, or places from 1.
    ``companies``: those known, where a column of other words may be anything else.

    Rows above it (a shop's name, a date, a greeting) are passed over. Without any, the columns are guessed
    from what stands in them where that can be told; where only some can, the others go by their places. Else
    the first row counts as the header, and what it lacks is said later.
    """
    full = [(no, row) for no, row in enumerate(first) if any(cell.strip() for cell in row.cells)]
    if not full:
        raise BenchError("there is nothing in this file", path, "give a list of titles, one a line")
    named = [name for name in known if not name.isdigit()]
    for no, row in full:
        if names_columns(row.cells, named):
            above = [one for _, one in full if one.line < row.line]
            return Header(_trimmed(row.cells), no + 1, _passed_over(above))
    top = next((at for at, (_, row) in enumerate(full) if not is_greeting(row.cells)), 0)
    passed, full = full[:top], full[top:]
    start, over = full[0][0] if passed else 0, _passed_over([row for _, row in passed])
    guessed = guessed_columns([row.cells for _, row in full], companies)
    if guessed is not None:
        told = (f"{no} {name or 'not known'}" for no, name in enumerate(guessed, 1))
        said = f"{GUESSED}: " + ", ".join(told)
        return Header([name or f"column {no + 1}" for no, name in enumerate(guessed)], start, [*over, said])
    if len(named) < len(known):
        wide = max(len(row.cells) for _, row in full)
        return Header([f"column {no}" for no in range(1, wide + 1)], start, over)
    no, row = full[0]
    return Header(_trimmed(row.cells), no + 1, over)


def _passed_over(above: Sequence[Row]) -> list[str]:
    told = "; ".join(" ".join(filter(None, row.cells)) for row in above)
    return [f"passed over above the columns' names: {told[:200]}"] if told else []


def _trimmed(cells: Sequence[str]) -> list[str]:
    """Without the empty cells at the end."""
    last = max((no for no, cell in enumerate(cells) if cell.strip()), default=0)
    return [cell.strip() for cell in cells[: last + 1]]


def names_columns(cells: Sequence[str], known: Sequence[str]) -> bool:
    """Whether the row has the names of a title's column and of another, or one that was said to be there: not
    where a year stands in it, for a pressing may be called ``first``.
    """
    here = {name_key(cell) for cell in cells if cell.strip()}
    if any(name_key(name) in here for name in known):
        return not any(is_year(cell.strip()) for cell in cells)
    found = [ours for ours, theirs in words().items() if here & set(theirs)]
    return len(found) > 1 and bool({"title", "both"} & set(found))


def guessed_columns(rows: list[list[str]], companies: Collection[str] | None = None) -> list[str] | None:
    """Our name for each column, by what stands in it, "" for none; None where the first row has no year or
    number over those of others: it names the columns. Which is artist and which title takes two of words; a
    third is the company's, where ``companies`` are given only one that has those.
    """
    wide = max(map(len, rows))
    columns = [[row[at].strip() for row in rows if at < len(row) and row[at].strip()] for at in range(wide)]
    names = [""] * wide
    for name, fits in (("barcode", _BARCODE.fullmatch), ("first", is_year), ("country", _is_country)):
        at = next((no for no, cells in enumerate(columns) if not names[no] and mostly(cells, fits)), None)
        if at is not None:
            names[at] = name
    worded = [
        no for no, cells in enumerate(columns) if not names[no] and cells and not mostly(cells, is_numbered)
    ]
    numbered = [no for no, cells in enumerate(columns) if not names[no] and cells and no not in worded]
    if numbered:
        names[numbered[0]] = "catalogue"
    named = any(name and any(map(str.isdigit, cell)) for name, cell in zip(names, rows[0], strict=False))
    if not named or not worded:
        return None
    words_left = worded[2:]
    if mostly(columns[worded[0]], lambda cell: " - " in cell):
        names[worded[0]], words_left = IN_ONE, worded[1:]
    elif len(worded) > 1:
        names[worded[0]], names[worded[1]] = "artist", "title"
    known = None if companies is None else {name_key(one) for one in companies}
    for no in words_left:
        if known is None or mostly(columns[no], lambda cell: name_key(cell) in known):
            names[no] = "company"
            break
    return names


def _is_country(cell: str) -> bool:
    return bool(country_of(cell)[0])


def is_year(cell: str) -> bool:
    """Whether it may be the year a title was first issued, or a day of it."""
    return bool(_YEAR.fullmatch(cell))


def is_numbered(cell: str) -> bool:
    """Whether it may be a catalogue number: it has a digit, is short, and has few letters."""
    return any(map(str.isdigit, cell)) and len(cell) < 20 and sum(map(str.isalpha, cell)) < 8


def mostly(cells: Sequence[str], fits: Callable[[str], object]) -> bool:
    """Whether nine of ten cells fit."""
    return bool(cells) and sum(bool(fits(cell)) for cell in cells) * 10 >= 9 * len(cells)
