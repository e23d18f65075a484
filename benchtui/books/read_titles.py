"""Turns the tables of a book into titles and pressings."""

from typing import cast, get_args

from benchtui.books.read import WORDS, read_words
from benchtui.books.row import Row
from benchtui.books.shape import BookHead, BookTitle, Completeness, Known, Pressing, PressingKind, Said, Word
from benchtui.model.money import parse_money
from benchtui.model.span import Span

MATERIALS = ("vinyl", "shellac", "styrene", "lacquer", "metal")
CHANNELS = ("", "mono", "stereo", "both", "quad")
SEEN_HERE = "seen on the bench"
"""Source of a pressing grown out of the work: all that an own book said before it kept ``known``."""


def read_title(row: Row, book: BookHead) -> BookTitle:
    """A ``[[title]]`` with its pressings."""
    title = BookTitle(
        id=row.need("id"),
        artist=row.text("artist"),
        title=row.need("title"),
        first=row.span("first") or Span(),
        company=row.text("company", book.company),
        country=row.text("country", book.country),
        catalogues=row.texts("catalogues"),
        barcode=row.text("barcode"),
        size_in=row.whole("size_in", 12, 1),
        discs=row.whole("discs", 1, 1),
        channels=row.choice("channels", CHANNELS, ""),
        material=row.choice("material", MATERIALS, "vinyl"),
        stems=_texts_by_name(row, "stems"),
        extras=row.texts("extras"),
        inners=row.whole("inners", 1),
        box=row.flag("box"),
        pressings=tuple(read_pressing(entry, book) for entry in row.rows("pressing")),
        clues=row.texts("clues"),
        cipher=row.text("cipher"),
        book=book.id,
        complete=cast(Completeness, row.choice("complete", get_args(Completeness), "")),
    )
    row.done()
    return title


def read_pressing(row: Row, book: BookHead) -> Pressing:
    """A ``[[title.pressing]]``: what to expect of each clue, in the book's words."""
    identifier, source = row.need("id"), row.text("source")
    known = row.choice("known", get_args(Known), "grown" if source == SEEN_HERE else "written")
    pressing = Pressing(
        id=identifier,
        name=row.text("name", identifier),
        period=row.span("period") or Span(),
        kind=_kind(row),
        share=row.number("share", 1.0, 0) or 0.0,
        catalogue=row.text("catalogue"),
        country=row.text("country"),
        channels=row.choice("channels", CHANNELS, ""),
        expect=_expect(row),
        cuts=_cuts(row),
        extras=row.texts("extras"),
        price=_price(row, book),
        imitates=row.text("imitates") or None,
        note=row.text("note"),
        source=source,
        retired=row.text("retired"),
        passes_to=row.text("passes_to"),
        said=tuple(_said(entry) for entry in row.rows("said")),
        known=cast(Known, known),
        differs=row.texts("differs"),
    )
    row.done()
    return pressing


def _said(row: Row) -> Said:
    """What another book says of a pressing."""
    said = Said(
        source=row.need("source"),
        name=row.text("name"),
        period=row.text("period"),
        price=row.text("price"),
        expect=_expect(row),
    )
    row.done()
    return said


def _kind(row: Row) -> PressingKind:
    """A book written before counterfeit and pirate were told apart says ``unofficial`` for either."""
    if row.text("kind") == "unofficial":
        return "counterfeit" if row.text("imitates") else "pirate"
    return cast(PressingKind, row.choice("kind", get_args(PressingKind), "ordinary"))


def _texts_by_name(row: Row, key: str) -> dict[str, str]:
    found = row.map(key)
    for name, value in found.items():
        if not isinstance(value, str):
            row.wrong(key, f"{key}.{name} is not text", f'write {key} = {{ A = "...", B = "..." }}')
    return {name: value for name, value in found.items() if isinstance(value, str)}


def _expect(row: Row) -> dict[str, dict[str, Word]]:
    """Clue to answer to word; ``clue = "answer"`` is short for ``clue = { answer = "always" }``."""
    return {clue: read_words(row, answers, (clue,)) for clue, answers in row.map("expect").items()}


def _cuts(row: Row) -> tuple[tuple[tuple[str, str], Word], ...]:
    """``[["1", "2", "usually"], ...]``: the cuts of the two sides and how usual the pair is."""
    pairs: list[tuple[tuple[str, str], Word]] = []
    for entry in row.list("cuts"):
        if isinstance(entry, list) and len(entry) == 3 and all(isinstance(part, str) for part in entry):
            first, second, word = entry
            if word in WORDS:
                pairs.append(((first, second), cast(Word, word)))
                continue
        right = 'write cuts = [["1", "1", "usually"]] with one of ' + ", ".join(WORDS)
        row.wrong("cuts", f"{entry!r} is not a pair of cuts with a word", right)
    return tuple(pairs)


def _price(row: Row, book: BookHead) -> int | None:
    """Minor units of the book's currency."""
    text = row.text("price")
    if not text:
        return None
    if not book.currency:
        row.wrong("price", "a price without a currency", 'write currency = "GBP" under [book]')
        return None
    try:
        return parse_money(text, book.currency).minor
    except ValueError as error:
        row.wrong("price", f"price: {error}")
        return None
