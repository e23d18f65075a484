"""A book as a table: a row a pressing, the fixed columns, a column a clue; read again it changes nothing."""

import csv
import io
from collections.abc import Iterable, Sequence

from benchtui.books.library import Library
from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.knowledge.cells import write_cell
from benchtui.knowledge.folded import fold
from benchtui.knowledge.heads import BRACKETS, FIXED, column_words
from benchtui.knowledge.values import cuts_text, ends_of, list_text, stems_text
from benchtui.model.money import Money
from benchtui.titles.columns import guarded
from benchtui.titles.header import name_key


def rows_of_book(library: Library, book: str) -> list[list[str]]:
    """The table of a book's titles (``book``: its id): the header, then its rows, every one as text."""
    titles = [title for row in library.titles() if row.book == book and (title := library.title(row.id))]
    return table_of(titles, library)


def table_of(titles: Sequence[BookTitle], library: Library) -> list[list[str]]:
    """The table of these titles."""
    used = dict.fromkeys(clue for title in titles for pressing in title.pressings for clue in pressing.expect)
    clues = [clue for clue in library.clues() if clue.id in used]
    header = [*FIXED, *(_heading(clue, library) for clue in clues)]
    return [header, *(row for title in titles for row in _rows(title, clues, library))]


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """The rows as CSV; text that a spreadsheet would take for a formula is guarded, ``-`` alone is none."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([cell if cell == "-" else guarded(cell) for cell in row])
    return out.getvalue()


def _heading(clue: Clue, library: Library) -> str:
    """The question of the clue, its id in brackets where that alone tells it from other clues; the id alone
    where the words are those of a fixed column.
    """
    words, asked = " ".join(clue.ask.split()), fold(clue.ask)
    fixed = {word for words in column_words().values() for word in words}
    if {name_key(words), name_key(BRACKETS.sub("", words))} & fixed:
        return clue.id
    same = [one for one in library.clues() if asked in (fold(one.ask), fold(one.id))]
    return words if len(same) == 1 and clue.form in ("choice", "number") else f"{words} ({clue.id})"


def _rows(title: BookTitle, clues: Sequence[Clue], library: Library) -> list[list[str]]:
    currency = library.currency(title.book)
    pressings: Sequence[Pressing | None] = title.pressings or [None]
    return [_row(title, pressing, clues, currency) for pressing in pressings]


def _row(title: BookTitle, pressing: Pressing | None, clues: Sequence[Clue], currency: str) -> list[str]:
    fields = {
        "artist": title.artist,
        "title": title.title,
        "number": "; ".join(title.catalogues),
        "company": title.company,
        "country": title.country,
        "first": title.first.edtf(),
        "channels": title.channels,
        "size": str(title.size_in),
        "discs": str(title.discs),
        "stems": stems_text(title.stems),
    }
    if pressing is not None:
        fields |= _of_pressing(pressing, currency)
    told = [fields.get(name, "") for name in FIXED]
    expect = pressing.expect if pressing else {}
    return told + [write_cell(expect[clue.id], clue) if expect.get(clue.id) else "" for clue in clues]


def _of_pressing(pressing: Pressing, currency: str) -> dict[str, str]:
    start, end = ends_of(pressing.period)
    fields = {
        "pressing": pressing.name,
        "from": start,
        "to": end,
        "share": "" if pressing.share == 1.0 else f"{pressing.share:.12g}",
        "price": "" if pressing.price is None else Money(pressing.price, currency).plain(),
        "kind": "" if pressing.kind == "ordinary" else pressing.kind,
        "extras": list_text(pressing.extras),
        "cuts": cuts_text(pressing.cuts),
        "source": pressing.source,
        "note": pressing.note,
    }
    if pressing.catalogue:
        fields["number"] = pressing.catalogue
    if pressing.channels:
        fields["channels"] = pressing.channels
    return fields
