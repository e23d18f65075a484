"""Turns the tables of a book into clues, ciphers and numbering rules."""

from datetime import date
from functools import lru_cache
from typing import Any, cast, get_args

from benchtui.books.row import Faults, Row, one_of
from benchtui.books.shape import (
    WORD_WEIGHT,
    Answer,
    BookHead,
    Cipher,
    Clue,
    ClueForm,
    Hardness,
    Numbering,
    Word,
)
from benchtui.model.money import minor_units
from benchtui.model.record import PART_KINDS
from benchtui.model.span import Span, hull

WORDS: tuple[Word, ...] = tuple(WORD_WEIGHT)
FORMS: tuple[ClueForm, ...] = get_args(ClueForm)
HARDNESSES: tuple[Hardness, ...] = get_args(Hardness)
ENDS: tuple[Hardness, ...] = ("hard", "firm", "soft")
_TELLS = {"unofficial": "counterfeit"}
"""Words of older books, and what they are read as."""


def read_head(row: Row, book_id: str, path: str, digest: str) -> BookHead:
    """The ``[book]`` table: who the book speaks for and in which currency its prices are."""
    head = BookHead(
        id=book_id,
        path=path,
        digest=digest,
        name=row.text("name", book_id),
        company=row.text("company"),
        country=row.text("country"),
        currency=row.text("currency"),
        strangers=row.texts("strangers"),
    )
    row.text("source")
    if head.currency:
        try:
            minor_units(head.currency)
        except ValueError as error:
            row.wrong("currency", str(error))
    row.done()
    return head


def read_clues(row: Row, book: BookHead) -> tuple[Clue, ...]:
    """A ``[[clue]]``; ``also_on = ["inner", "disc label"]`` makes it a clue of those parts too.

    They are called ``<id>-inner`` and ``<id>-disc``; a place of theirs may follow the part.
    """
    clue = _clue(row, book)
    if clue.form in ("choice", "number") and all(answer.neutral for answer in clue.answers):
        row.wrong("answer", "has no answers", "write [[clue.answer]] for each thing that can be seen")
    others = [entry.partition(" ") for entry in row.texts("also_on")]
    for part, _, _ in others:
        if part not in PART_KINDS:
            row.wrong("also_on", f"there is no part {part!r}", one_of(part, PART_KINDS))
    row.done()
    return (
        clue,
        *(
            clue._replace(id=f"{clue.id}-{part}", part=part, place=place or clue.place)
            for part, _, place in others
        ),
    )


def _clue(row: Row, book: BookHead) -> Clue:
    """A clue; where it names neither company nor country it is of those of its book."""
    companies, countries = _whose(row, book)
    return Clue(
        id=row.need("id"),
        ask=row.need("ask"),
        part=row.choice("part", PART_KINDS, "disc"),
        place=row.need("place"),
        answers=_years(row) + read_answers(row),
        per_side=row.flag("per_side"),
        form=cast(ClueForm, row.choice("form", FORMS, "choice")),
        unit=row.text("unit"),
        error=row.number("error", 0.0, 0) or 0.0,
        seconds=row.number("seconds", 3.0, 0.1) or 3.0,
        volunteer=row.flag("volunteer"),
        group=row.text("group"),
        misread=row.number("misread", None, 0),
        countries=countries,
        companies=companies,
        sizes=row.wholes("sizes"),
        materials=row.texts("materials"),
        titles=row.texts("titles"),
        not_in=row.texts("not_in"),
        instead_of=row.texts("instead_of"),
        expect=read_words(row, row.map("expect")),
        help=row.text("help"),
        source=row.text("source"),
        book=book.id,
        slips=row.texts("slips"),
    )


def _years(row: Row) -> tuple[Answer, ...]:
    """``years = [1955, 2005]``: one answer a year of a number clue, each a bound by itself, firm.

    ``years = [1895]`` runs to the present year. ``years_are = "earliest"`` (a year in a notice: made in that
    year or later) or ``"latest"`` (a dated inscription: sold by the end of that year); ``years_hardness``
    makes them harder or softer (a postmark). Digits are of no use here: the year is typed.
    """
    years, meaning = row.wholes("years"), row.choice("years_are", ("earliest", "latest"), "earliest")
    hardness = cast(Hardness, row.choice("years_hardness", ENDS, "firm"))
    if not years:
        return ()
    first, last = years[0], years[1] if len(years) == 2 else max(years[0], date.today().year)
    if len(years) > 2 or not 1000 <= first <= last <= 2999:
        right = "write years = [1955, 2005], or years = [1955] up to this year"
        row.wrong("years", f"years = {list(years)} is not a first and a last year", right)
        return ()
    return _answers_by_year(first, last, meaning == "latest", hardness, row.text("source"))


@lru_cache(maxsize=64)
def _answers_by_year(
    first: int, last: int, sold: bool, hardness: Hardness, source: str
) -> tuple[Answer, ...]:
    return tuple(
        Answer(
            id=f"y{year}",
            text=str(year),
            digit=1000 + index,
            span=Span(None, date(year, 12, 31)) if sold else Span(date(year, 1, 1), None),
            hardness=hardness,
            caps_sale=sold,
            low=year,
            high=year,
            source=source,
        )
        for index, year in enumerate(range(first, last + 1))
    )


def _whose(row: Row, book: BookHead) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Companies and countries of a clue; ``countries = ["any"]`` frees it from the book's own."""
    companies, countries = row.texts("companies"), row.texts("countries")
    if "any" in countries:
        return companies, ()
    if companies or countries:
        return companies, countries
    return ((book.company,), ()) if book.company else ((), (book.country,) if book.country else ())


def read_words(row: Row, answers: Any, at: tuple[str, ...] = ()) -> dict[str, Word]:
    """Answer to word under ``expect``; an answer alone is short for ``{ answer = "always" }``."""
    if isinstance(answers, str):
        return {answers: "always"}
    name = ".".join(("expect", *at))
    if not isinstance(answers, dict):
        what = f"{name} is of the wrong kind"
        row.wrong("expect", what, 'write "answer" or { answer = "usually" }', at=at)
        return {}
    for answer, word in answers.items():
        if word not in WORDS:
            what = f"{name}.{answer} = {word!r} is not a word"
            row.wrong("expect", what, one_of(str(word), WORDS), at=(*at, answer))
    return {answer: word for answer, word in answers.items() if word in WORDS}


def read_answers(row: Row) -> tuple[Answer, ...]:
    """The ``[[clue.answer]]`` tables; those without a digit take the digits left, from 1 up, in order.

    A bound without a source of its own has the clue's. One that passes to another needs no digit: -1.
    """
    rows, source = list(row.rows("answer")), row.text("source")
    taken = {entry.table["digit"] for entry in rows if isinstance(entry.table.get("digit"), int)}
    free = iter(number for number in range(1, 1000) if number not in taken)
    none = ("digit", "passes_to")
    return tuple(read_answer(row, -1 if any(map(row.has, none)) else next(free), source) for row in rows)


def read_answer(row: Row, digit: int, source: str = "") -> Answer:
    """One answer; ``digit`` is used where the book fixes none, ``source`` where a bound has none."""
    spans = row.spans("made")
    span = hull(spans) if spans else None
    ends = row.choice("to_hardness", ENDS, "soft") if row.has("to_hardness") else row.text("to_hardness")
    answer = Answer(
        id=row.need("id"),
        text=row.need("text"),
        digit=row.whole("digit", digit) if row.has("digit") else digit,
        span=span,
        hardness=cast(Hardness, row.choice("hardness", HARDNESSES, "soft" if span else "none")),
        caps_sale=row.flag("caps_sale"),
        looks_like=row.text("looks_like") or None,
        low=row.number("low"),
        high=row.number("high"),
        absent=row.flag("absent"),
        neutral=row.flag("neutral"),
        tells=_TELLS.get(told := row.text("tells"), told),
        source=row.text("source") or (source if span else ""),
        to_hardness=cast(Hardness, ends),
        times=spans if len(spans) > 1 else (),
        slips=row.texts("slips"),
        passes_to=row.text("passes_to"),
    )
    row.done()
    return answer


def read_cipher(row: Row) -> Cipher:
    """A ``[[cipher]]``: ten letters for ten digits."""
    cipher = Cipher(row.need("id"), row.need("letters"), row.text("digits", "1234567890"), row.text("source"))
    row.done()
    return cipher


def read_numbering(row: Row, book: BookHead) -> Numbering:
    """A ``[[numbering]]`` rule."""
    rule = Numbering(
        prefix=row.need("prefix"),
        low=row.whole("low", 0),
        high=row.whole("high", 0),
        first=row.span("first") or Span(),
        company=book.company,
        source=row.text("source"),
    )
    row.done()
    return rule


def book_faults(table: dict[str, Any], faults: Faults) -> Row:
    """The whole book as a row; a file whose top level holds what no book has is told so."""
    top = Row(table, faults)
    for key in ("book", "clue", "cipher", "numbering", "title", "add"):
        top._asked.add(key)
    top.done()
    return top
