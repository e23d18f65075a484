"""Clues as rows of JSON and back: what was read and checked once is not read and checked at every start."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from typing import Any

from benchtui.books.shape import Answer, Clue
from benchtui.model.span import Span

_PLAIN: dict[type, dict[str, Any]] = {kind: dict(kind._field_defaults) for kind in (Clue, Answer)}
"""What a field holds where a row does not name it."""


def clue_row(clue: Clue) -> dict[str, Any]:
    """The clue without its book, as JSON takes it."""
    answers = [{**_named(one), **_spans(one)} for one in clue.answers]
    return {**_named(clue), "answers": answers}


def clue_of(row: Mapping[str, Any], book: str) -> Clue:
    """The clue of such a row."""
    given: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in row.items()
    }
    given["answers"] = tuple(map(_answer, row["answers"]))
    return Clue(**given, book=book)


def _named(thing: Clue | Answer) -> dict[str, Any]:
    plain = _PLAIN[type(thing)]
    values = thing._asdict()
    values.pop("book", None)
    return {key: value for key, value in values.items() if key not in plain or value != plain[key]}


def _spans(answer: Answer) -> dict[str, Any]:
    """Its spans, each a pair of days or None."""
    found: dict[str, Any] = {}
    if answer.span is not None:
        found["span"] = _pair(answer.span)
    if answer.times:
        found["times"] = [_pair(span) for span in answer.times]
    return found


def _pair(span: Span) -> list[str | None]:
    return [None if day is None else day.isoformat() for day in (span.earliest, span.latest)]


def _answer(row: Mapping[str, Any]) -> Answer:
    if "slips" in row:
        row = {**row, "slips": tuple(row["slips"])}
    if "span" not in row:
        return Answer(**row)
    times = tuple(_span(*pair) for pair in row.get("times", ()))
    return Answer(**{**row, "span": _span(*row["span"]), "times": times})


@lru_cache(maxsize=1024)
def _span(earliest: str | None, latest: str | None) -> Span:
    """Books say the same few spans again and again."""
    return Span(_day(earliest), _day(latest))


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
