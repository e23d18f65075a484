"""Reads a whole book once: every table is turned into what it means, and the first fault is raised."""

import hashlib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.books.read import book_faults, read_answers, read_cipher, read_clues, read_head, read_numbering
from benchtui.books.read_titles import read_pressing, read_title
from benchtui.books.row import Faults, Problem, Row
from benchtui.books.shape import BookHead, BookTitle
from benchtui.books.toml_file import Path_, parse_toml
from benchtui.model.span import readable_span
from benchtui.model.title import Title


class WholeBook(NamedTuple):
    """A book whose every table can be read: what it says of itself, and its tables as they stand.

    ``head_tables``: clues, ciphers, numbering rules and answers to other books' clues; ``bodies``: the titles
    in the book's order; ``added``: title id -> pressings for titles of other books.
    """

    head: BookHead
    head_tables: dict[str, Any]
    titles: list[BookTitle]
    bodies: list[dict[str, Any]]
    added: dict[str, list[dict[str, Any]]]


_checked_last: list[tuple[bytes, Path, WholeBook]] = []
"""The book that was checked last, until it is opened: what the bench wrote just now is not read twice."""


def checked(data: bytes, path: Path) -> WholeBook:
    """The book in these bytes. BenchError with file and line for the first thing that cannot be read."""
    table, faults = parse_toml(data, path), _faults(data, path)
    book = _read(table, data, path, faults)
    faults.raise_first()
    _checked_last[:] = [(data, path, book)]
    return book


def usable(data: bytes, path: Path) -> tuple[WholeBook, list[Problem]]:
    """The book without what cannot be read of it (a pressing, an answer, a clue, a title), and why.

    BenchError where nothing of the file can be used, because it is no TOML.
    """
    last = _checked_last[0] if _checked_last else None  # another thread may be reading a book
    if last is not None and last[:2] == (data, path):
        _checked_last.clear()
        return last[2], []
    table = parse_toml(data, path)
    told: list[Problem] = []
    while True:
        faults = _faults(data, path)
        book = _read(table, data, path, faults)
        if not faults:
            return book, told
        # what follows a row that was taken out stands at another place than in the file
        found = faults.problems()
        told += found if not told else [one._replace(line=None) for one in found]
        before = str(table)
        _take_out(table, faults.places())
        if str(table) == before:
            faults.raise_first()


def _faults(data: bytes, path: Path) -> Faults:
    return Faults(path, lambda: data.decode("utf-8-sig"))


def _take_out(table: dict[str, Any], places: Sequence[Path_]) -> None:
    """Takes the smallest row out that holds each place; a field, where it is in none."""
    units = {_unit(place) for place in places}
    for unit in sorted(units, key=lambda one: [str(step).zfill(9) for step in one], reverse=True):
        *way, last = unit
        held: Any = table
        with suppress(LookupError, TypeError):  # it went with another row
            for step in way:
                held = held[step]
            del held[last]


def _unit(place: Path_) -> Path_:
    """The row of that place: a pressing or answer, else a title, clue or the like, else the field itself."""
    if len(place) >= 4 and isinstance(place[1], int) and isinstance(place[3], int):
        return place[:4]
    if len(place) >= 2 and isinstance(place[1], int):
        return place[:2]
    return place[:2] if place[0] == "book" else place[:1]


def _read(table: dict[str, Any], data: bytes, path: Path, faults: Faults) -> WholeBook:
    top = book_faults(table, faults)
    head = read_head(top.one("book"), path.stem, str(path), digest_of(data))
    for clue in top.rows("clue"):
        read_clues(clue, head)
    for cipher in top.rows("cipher"):
        read_cipher(cipher)
    for rule in top.rows("numbering"):
        read_numbering(rule, head)
    titles = [read_title(row, head) for row in top.rows("title")]
    added = read_added(top, head)
    if faults:  # tables of the wrong kind among them
        return WholeBook(head, {}, [], [], {})
    head_tables = {key: table.get(key, []) for key in ("clue", "cipher", "numbering")}
    head_tables["answers"] = [entry for entry in table.get("add", []) if entry.get("clue")]
    return WholeBook(head, head_tables, titles, table.get("title", []), added)


def read_added(top: Row, book: BookHead) -> dict[str, list[dict[str, Any]]]:
    """Reads ``[[add]]``: answers to another book's clue, or pressings (returned raw) of another's title."""
    pressings: dict[str, list[dict[str, Any]]] = {}
    for row in top.rows("add"):
        clue, title = row.text("clue"), row.text("title")
        if bool(clue) == bool(title):
            row.wrong("add", "needs either a clue or a title", 'write clue = "..." or title = "..."')
        if clue:
            read_answers(row)
        elif title:
            pressings.setdefault(title, []).extend(entry.table for entry in row.rows("pressing"))
            for entry in row.rows("pressing"):
                read_pressing(entry, book)
        row.done()
    return pressings


def title_row(title: BookTitle) -> Title:
    """The row by which the completion knows a title of a book."""
    return Title(
        id=title.id,
        artist=title.artist,
        title=title.title,
        catalogue=title.catalogues[0] if title.catalogues else "",
        first=title.first.edtf(),
        company=title.company,
        country=title.country,
        barcode=title.barcode,
        channels=title.channels,
        size_in=title.size_in,
        discs=title.discs,
        pressings=sum(not pressing.retired for pressing in title.pressings),
        book=title.book,
        numbers=" / ".join(dict.fromkeys(_other_numbers(title))),
    )


def bare_title(listed: Title) -> BookTitle:
    """The card of a title that no book has."""
    first = readable_span(listed.first)
    return BookTitle(
        listed.id, listed.artist, listed.title, first, listed.company, listed.country,
        tuple(filter(None, [listed.catalogue])), listed.barcode, listed.size_in or 12, listed.discs,
        listed.channels,
    )  # fmt: skip


def _other_numbers(title: BookTitle) -> Iterator[str]:
    """Every number beside the first: the title's own, and those of its pressings."""
    first = title.catalogues[0] if title.catalogues else ""
    numbers = (*title.catalogues, *(pressing.catalogue for pressing in title.pressings))
    return (number for number in numbers if number and number != first)


def digest_of(data: bytes) -> str:
    """Twelve hex digits that stand for a book's exact text."""
    return hashlib.sha256(data).hexdigest()[:12]
