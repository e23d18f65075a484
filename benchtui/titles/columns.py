"""Our columns, the dealer's own names for them, and the title that a row of cells makes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import blake2b
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.fold import fold, number_key
from benchtui.titles.header import name_key, words
from benchtui.titles.oneline import cells_of_line
from benchtui.titles.values import (
    barcode_of,
    channels_of,
    count_of,
    country_key,
    country_of,
    date_of,
    discs_in,
    is_empty,
    is_nothing,
    size_of,
)

COLUMNS = (
    "artist", "title", "catalogue", "first", "company", "country", "barcode", "channels", "size_in", "discs",
    "id",
)  # fmt: skip
"""The columns of a list. ``first``: first issued, a year, a date or EDTF; ``size_in``: inches; ``id``: may
be left out, the list's own otherwise.
"""
NEEDED = ("artist", "title")
BOTH = "both"
"""Artist and title in one cell, parted by a dash."""
LONGEST = 500
"""Letters of a cell; nothing on a record is longer."""
GUARDED = ("=", "+", "-", "@", "\t", "\r", "\n", "'")


class NoColumnError(BenchError):
    """No column of the list holds artist or title, as far as its names say; ``header`` has them."""

    def __init__(self, what: str, path: Path, right: str, header: Sequence[str]) -> None:
        super().__init__(what, path, right, 1)
        self.header = tuple(header)


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
    ours: bool = False
    """Whether the list was written by this program: its cells say exactly what they hold."""
    header: tuple[str, ...] = ()
    countries: Mapping[str, str] = field(default_factory=dict)
    """Codes of countries that somebody said, by ``country_key``."""

    def title(self, cells: Sequence[str]) -> tuple[Title, list[str]]:
        """The title of the row, and what was left out of it. Raises RefusedError."""
        text = {name: unguarded(cells[at]) for name, at in self.at.items()}
        if not self.ours:
            if len(self.at) > 1 and all(cells[at].strip() == self.header[at] for at in self.at.values()):
                raise RefusedError("the columns' names once more")
            text = {
                name: "" if (is_nothing if name == "title" else is_empty)(cell) else cell
                for name, cell in text.items()
            }
        if BOTH in text:
            _part(text)
        for name, cell in text.items():
            if len(cell) > LONGEST:
                raise RefusedError(f"{name} has {len(cell):,} letters; the limit is {LONGEST}")
            at = self.at.get(name)
            if at is not None and cells[at].lstrip().startswith("=") and name in NEEDED:
                raise RefusedError(f"{name} is a formula ({cell[:20]}); write its text")
        if not text["title"]:
            raise RefusedError("the title is empty")
        if not fold(text["title"] + text["artist"]):
            raise RefusedError("title and artist have no letter or digit")
        left: list[str] = []
        return _title(text, left, self.countries), left


def is_country_code(ours: str) -> bool:
    """Whether what a name is said to stand for is a country (``XV``) and none of our columns (``id``)."""
    return len(ours) == 2 and ours.isupper() and bool(country_of(ours)[0])


def columns_of(header: Sequence[str], mapping: Mapping[str, str], path: Path) -> Columns:
    """Reads the header; ``mapping`` is the dealer's name, a place from 1, or a country -> ours, or its code.

    Raises BenchError where it does not fit.
    """
    said = {country_key(theirs): ours for theirs, ours in mapping.items() if is_country_code(ours)}
    mapping = {theirs: ours for theirs, ours in mapping.items() if not is_country_code(ours)}
    names = {name_key(name): at for at, name in reversed(list(enumerate(header)))}
    meant = {name_key(theirs) for theirs in mapping}
    at = {
        ours: names[name_key(ours)]
        for ours in COLUMNS
        if name_key(ours) in names and name_key(ours) not in meant
    }
    for ours, others in words().items():
        taken = set(at.values())
        fits = (names[one] for one in others if one in names and one not in meant and names[one] not in taken)
        found = next(fits, None)
        if ours not in at and ours not in mapping.values() and found is not None:
            at[ours] = found
    for theirs, ours in mapping.items():
        if ours not in (*COLUMNS, BOTH):
            raise BenchError(f"{ours} is not one of our columns", "--map", "ours are " + ", ".join(COLUMNS))
        place = names.get(name_key(theirs))
        if place is None and theirs.isdigit() and 0 < int(theirs) <= len(header):
            place = int(theirs) - 1
        if place is None:
            raise BenchError(f"there is no column {theirs}", path, "its columns are " + ", ".join(header), 1)
        at = {name: taken for name, taken in at.items() if taken != place} | {ours: place}
    if all(name in at for name in NEEDED):
        at.pop(BOTH, None)
    missing = [name for name in NEEDED if name not in at and BOTH not in at]
    if missing:
        right = (
            f"use --map THEIRS={missing[0]}, or by its place --map 1={missing[0]}; "
            f"its columns are {', '.join(header)[:200]}"
        )
        raise NoColumnError(f"there is no column {' or '.join(missing)}", path, right, header)
    unused = tuple(name for no, name in enumerate(header) if no not in at.values() and name)
    read_as = tuple((header[no], ours) for ours, no in at.items() if name_key(header[no]) != name_key(ours))
    return Columns(at, unused, read_as, tuple(header) == COLUMNS, tuple(header), said)


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


def _part(text: dict[str, str]) -> None:
    """Artist and title out of the cell that holds both, with its number and year where no column has them."""
    whole = text.pop(BOTH)
    found = cells_of_line(whole)
    if found is None:
        raise RefusedError(f"{whole[:40]!r} has no ' - ' between artist and title")
    for name, cell in zip(("artist", "title", "catalogue", "first"), found, strict=True):
        text[name] = text.get(name) or cell


def _title(text: dict[str, str], left: list[str], countries: Mapping[str, str]) -> Title:
    artist, name, catalogue = text["artist"], text["title"], text.get("catalogue", "")
    size = text.get("size_in", "")
    first, country = date_of(text.get("first", "")), country_of(text.get("country", ""), countries)
    barcode, channels = barcode_of(text.get("barcode", "")), channels_of(text.get("channels", ""))
    inches, discs = size_of(size), count_of("discs", text.get("discs", ""), 200)
    left += [say for _, say in (first, country, barcode, channels, inches, discs) if say]
    return Title(
        id=text.get("id", "") or identity(artist, name, catalogue),
        artist=artist,
        title=name,
        catalogue=catalogue,
        first=first[0],
        company=text.get("company", ""),
        country=country[0],
        barcode=barcode[0],
        channels=channels[0],
        size_in=inches[0],
        discs=discs[0] or discs_in(size) or 1,
    )
