"""Our columns, the dealer's own names for them, and the title that a row of cells makes."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import blake2b
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.model.span import parse_edtf
from benchtui.model.title import Title
from benchtui.titles.barcode import read_barcode
from benchtui.titles.fold import fold, number_key

COLUMNS = (
    "artist", "title", "catalogue", "first", "company", "country", "barcode", "channels", "size_in", "discs",
    "id",
)  # fmt: skip
"""The columns of a list. ``first``: first issued, a year, a date or EDTF; ``size_in``: inches; ``id``: may
be left out, the list's own otherwise.
"""
NEEDED = ("artist", "title")
OTHERS = {
    "catalogue": ("catalogue number", "cat number", "cat no", "number"),
    "first": ("year", "first issued", "released"),
    "company": ("label", "record company", "record label"),
    "artist": ("performer", "band"),
    "title": ("album", "name"),
}
"""What a list's columns are called by others: read so where our own name does not stand in it."""
LONGEST = 500
"""Letters of a cell; nothing on a record is longer."""
GUARDED = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
CHANNELS = ("mono", "stereo", "both")


class RefusedError(ValueError):
    """This row makes no title; the message says why."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Where each of our columns stands in a row; ``unused`` are the file's columns that nothing is read
    from.
    """

    at: dict[str, int]
    unused: tuple[str, ...]
    read_as: tuple[tuple[str, str], ...] = ()
    """Columns read under another name than ours: theirs, ours."""

    def title(self, cells: Sequence[str]) -> tuple[Title, list[str]]:
        """The title of the row, and what was left out of it. Raises RefusedError."""
        text = {name: unguarded(cells[at]) for name, at in self.at.items()}
        for name, cell in text.items():
            if len(cell) > LONGEST:
                raise RefusedError(f"{name} has {len(cell):,} letters; {LONGEST} are the most")
            if cells[self.at[name]].lstrip().startswith("=") and name in NEEDED:
                raise RefusedError(f"{name} is a formula ({cell[:20]}); write its text")
        if not text["title"]:
            raise RefusedError("the title is empty")
        if not fold(text["title"] + text["artist"]):
            raise RefusedError("title and artist hold no letter or digit")
        left: list[str] = []
        return _title(text, left), left


def columns_of(header: Sequence[str], mapping: Mapping[str, str], path: Path) -> Columns:
    """Reads the header; ``mapping`` is the dealer's name -> ours. Raises BenchError where it does not fit."""
    names = {fold(name): at for at, name in reversed(list(enumerate(header)))}
    meant = {fold(theirs) for theirs in mapping}
    at = {ours: names[fold(ours)] for ours in COLUMNS if fold(ours) in names and fold(ours) not in meant}
    for ours, others in OTHERS.items():
        found = next((one for one in others if fold(one) in names and fold(one) not in meant), None)
        if ours not in at and ours not in mapping.values() and found is not None:
            at[ours] = names[fold(found)]
    for theirs, ours in mapping.items():
        if ours not in COLUMNS:
            raise BenchError(f"{ours} is none of our columns", "--map", "ours are " + ", ".join(COLUMNS))
        if fold(theirs) not in names:
            raise BenchError(f"there is no column {theirs}", path, "its columns are " + ", ".join(header), 1)
        at[ours] = names[fold(theirs)]
    missing = [name for name in NEEDED if name not in at]
    if missing:
        right = f"name it so, or say --map THEIRS={missing[0]}; its columns are {', '.join(header)[:200]}"
        raise BenchError(f"there is no column {' or '.join(missing)}", path, right, 1)
    unused = tuple(name for no, name in enumerate(header) if no not in at.values())
    read_as = tuple((header[no], ours) for ours, no in at.items() if fold(header[no]) != fold(ours))
    return Columns(at, unused, read_as)


def guarded(text: str) -> str:
    """Text that a spreadsheet would take for a formula gets a leading apostrophe (OWASP, CSV Injection)."""
    return "'" + text if text.startswith(GUARDED) else text


def unguarded(text: str) -> str:
    """Strips exactly one guarding apostrophe, and leaves single spaces between words."""
    plain = text[1:] if text.startswith("'") and text[1:].startswith(GUARDED) else text
    return " ".join(plain.split())


def identity(artist: str, title: str, catalogue: str) -> str:
    """The id of a title that brings none: the same words and number make the same id in every list."""
    return _id_of(fold(artist), fold(title), number_key(catalogue))


def variant_id(title: Title) -> str:
    """The id of a title that shares words and number with another one: what tells it apart is in it."""
    facts = (title.first, fold(title.company), title.country, str(title.size_in or ""), title.channels)
    return _id_of(fold(title.artist), fold(title.title), number_key(title.catalogue), *facts)


def has_own_id(title: Title) -> bool:
    """Whether its list gave the title an id, which then is all that says which title it is."""
    return title.id not in (identity(title.artist, title.title, title.catalogue), variant_id(title))


def _id_of(*words: str) -> str:
    return "l-" + blake2b("\n".join(words).encode(), digest_size=8).hexdigest()


def _title(text: dict[str, str], left: list[str]) -> Title:
    artist, name, catalogue = text["artist"], text["title"], text.get("catalogue", "")
    return Title(
        id=text.get("id", "") or identity(artist, name, catalogue),
        artist=artist,
        title=name,
        catalogue=catalogue,
        first=_first(text.get("first", ""), left),
        company=text.get("company", ""),
        country=text.get("country", "").upper(),
        barcode=_barcode(text.get("barcode", ""), left),
        channels=_channels(text.get("channels", ""), left),
        size_in=_number("size_in", text.get("size_in", ""), 40, left),
        discs=_number("discs", text.get("discs", ""), 200, left) or 1,
    )


def _first(text: str, left: list[str]) -> str:
    if not text:
        return ""
    if _is_date(text):
        return text
    left.append(f"first {text[:30]!r} is no date; write 1967, 1967-05 or [1966..1968]")
    return ""


@lru_cache(maxsize=20_000)
def _is_date(text: str) -> bool:
    try:
        parse_edtf(text)
    except ValueError:
        return False
    return True


def _barcode(text: str, left: list[str]) -> str:
    code = read_barcode(text) if text else None
    if code is not None and code.valid is False:
        left.append(code.say)
    return text


def _channels(text: str, left: list[str]) -> str:
    low = fold(text)
    if low and low not in CHANNELS:
        left.append(f"channels {text[:30]!r} is none of {', '.join(CHANNELS)}")
    return low if low in CHANNELS else ""


def _number(name: str, text: str, most: int, left: list[str]) -> int | None:
    if not text:
        return None
    whole = re.match(r"\d{1,4}(?!\d)", text)
    if whole and 0 < int(whole.group()) <= most:
        return int(whole.group())
    left.append(f"{name} {text[:30]!r} is no number from 1 to {most}")
    return None
