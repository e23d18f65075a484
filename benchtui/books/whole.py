"""Reads a whole book once: every table is turned into what it means, and the first fault is raised."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchtui.books.read import book_faults, read_answers, read_cipher, read_clues, read_head, read_numbering
from benchtui.books.read_titles import read_pressing, read_title
from benchtui.books.row import Faults, Row
from benchtui.books.shape import BookHead, BookTitle
from benchtui.books.toml_file import parse_toml
from benchtui.model.title import Title


@dataclass(frozen=True, slots=True)
class WholeBook:
    """A book whose every table can be read: what it says of itself, and its tables as they stand.

    ``head_tables``: clues, ciphers, numbering rules and answers to other books' clues; ``bodies``: the titles
    in the book's order; ``added``: title id -> pressings for titles of other books.
    """

    head: BookHead
    head_tables: dict[str, Any]
    titles: list[BookTitle]
    bodies: list[dict[str, Any]]
    added: dict[str, list[dict[str, Any]]]


def checked(data: bytes, path: Path) -> WholeBook:
    """The book in these bytes. BenchError with file and line for the first thing that cannot be read."""
    table = parse_toml(data, path)
    faults = Faults(path, lambda: data.decode("utf-8-sig"))
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
    faults.raise_first()
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


def _other_numbers(title: BookTitle) -> Iterator[str]:
    """Every number beside the first: the title's own, and those of its pressings."""
    first = title.catalogues[0] if title.catalogues else ""
    numbers = (*title.catalogues, *(pressing.catalogue for pressing in title.pressings))
    return (number for number in numbers if number and number != first)


def digest_of(data: bytes) -> str:
    """Twelve hex digits that stand for a book's exact text."""
    return hashlib.sha256(data).hexdigest()[:12]
