"""Days and spans in words, in English whatever the computer's language."""

from calendar import monthrange
from datetime import date

from benchtui.model.span import Span, parse_edtf

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def day_words(text: str) -> str:
    """``1967``, ``May 1967``, ``1 July 1963`` of a date cut to year, month or day."""
    year, *rest = text.split("-")
    if not rest:
        return year
    month = f"{MONTHS[int(rest[0]) - 1]} {year}"
    return month if len(rest) == 1 else f"{int(rest[1])} {month}"


def span_words(span: Span, whole_months: bool = False) -> str:
    """``in 1967``, ``between May 1967 and February 1968``, ``in 1971 or later``, ``in 1968 or earlier``.

    ``whole_months`` widens it to whole months: the grace of a soft bound is no day of the calendar.
    """
    text = (_widened(span) if whole_months else span).edtf()
    if not text.startswith("["):
        return f"{'on' if len(text) == 10 else 'in'} {day_words(text)}" if text else ""
    low, _, high = text.strip("[]").partition("..")
    if not low:
        return f"{_at(high)} or earlier"
    if not high:
        return f"{_at(low)} or later"
    return f"between {day_words(low)} and {day_words(high)}"


def _widened(span: Span) -> Span:
    first = span.earliest.replace(day=1) if span.earliest else None
    last = (
        span.latest.replace(day=monthrange(span.latest.year, span.latest.month)[1]) if span.latest else None
    )
    return Span(first, last)


def year_words(edtf: str) -> str:
    """A title's first date in words: ``about 1967``; what is no EDTF is shown as it stands."""
    try:
        plain = edtf.rstrip("~?%")
        if plain != edtf and "[" not in edtf:
            doubt = "perhaps" if edtf[len(plain) :] == "?" else "about"
            return f"{doubt} {span_words(parse_edtf(plain)).removeprefix('in ')}"
        return span_words(parse_edtf(edtf))
    except ValueError:
        return edtf


def long_day(day: date) -> str:
    """``25 November 2026``."""
    return day_words(day.isoformat())


def _at(text: str) -> str:
    return f"{'on' if len(text) == 10 else 'in'} {day_words(text)}"
