"""Spans: made at some moment between two ends, either of which may be open.

Text form is EDTF (ISO 8601-2:2019, Library of Congress profile), of which only what means "one moment
somewhere between" is used: a date, a season or part of a year, digits unknown (``196X``, ``1984-1X``),
uncertain or about (``1967?``, ``1967~``, ``1967%``), one of a set (``[A..B]``, ``[1967,1969]``). ``A/B``
means that it lasted that long, ``{..}`` that it was all of them: both are refused.
"""

import re
from calendar import monthrange
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

_QUALIFIED = "[?~%]?"
_DATE = re.compile(
    f"{_QUALIFIED}(\\d{{4}}|\\d{{3}}X|\\d{{2}}XX|\\dXXX){_QUALIFIED}"
    f"(?:-{_QUALIFIED}([\\dX]{{2}}){_QUALIFIED}(?:-{_QUALIFIED}([\\dX]{{2}}){_QUALIFIED})?)?"
)
_ABOUT = re.compile(r"(?:about|around|circa|ca?\.?)\s*(?=[\d?~%])", re.IGNORECASE)
# First and last month of the parts of a year; a winter goes on into the next one: it is that winter's.
_NORTH = {21: (3, 5), 22: (6, 8), 23: (9, 11), 24: (12, 14)}
_PARTS = {
    **_NORTH,
    **{code + 4: months for code, months in _NORTH.items()},
    29: (9, 11),
    30: (12, 14),
    31: (3, 5),
    32: (6, 8),
    **{33 + n: (1 + 3 * n, 3 + 3 * n) for n in range(4)},
    **{37 + n: (1 + 4 * n, 4 + 4 * n) for n in range(3)},
    **{40 + n: (1 + 6 * n, 6 + 6 * n) for n in range(2)},
}
_RIGHT = "write 1963, 1963-07, 1963-07-01, 196X, 1963~, [1963,1965], [1963-07..1968], [1971..] or [..1968]"


@dataclass(frozen=True, slots=True)
class Span:
    """``earliest`` and ``latest`` inclusive days; None is an open end. Never reversed."""

    earliest: date | None = None
    latest: date | None = None

    def __post_init__(self) -> None:
        if self.earliest and self.latest and self.earliest > self.latest:
            raise ValueError(f"{self.earliest} is after {self.latest}; put the earlier end first")

    def meet(self, other: "Span") -> "Span | None":
        """What both allow, or None where they exclude each other."""
        earliest = max((day for day in (self.earliest, other.earliest) if day), default=None)
        latest = min((day for day in (self.latest, other.latest) if day), default=None)
        if earliest and latest and earliest > latest:
            return None
        return Span(earliest, latest)

    @property
    def known(self) -> bool:
        """Whether at least one end is known."""
        return self.earliest is not None or self.latest is not None

    def edtf(self) -> str:
        """The shortest exact form with both ends equally precise; "" where neither end is known."""
        if not self.known:
            return ""
        cut = next(size for size in (4, 7, 10) if self._exact_at(size))
        low = self.earliest.isoformat()[:cut] if self.earliest else ""
        high = self.latest.isoformat()[:cut] if self.latest else ""
        return low if low == high else f"[{low}..{high}]"

    def _exact_at(self, size: int) -> bool:
        """Whether cutting both ends to years (4), months (7) or days (10) loses nothing."""
        if size == 10:
            return True
        first, last = self.earliest, self.latest
        if (first and first.day != 1) or (last and last.day != monthrange(last.year, last.month)[1]):
            return False
        return size == 7 or ((not first or first.month == 1) and (not last or last.month == 12))


UNKNOWN = Span()


def hull(spans: Collection[Span]) -> Span:
    """From the first of the earliest ends to the last of the latest; open where one of them is."""
    starts, ends = [span.earliest for span in spans], [span.latest for span in spans]
    return Span(
        None if None in starts else min((day for day in starts if day), default=None),
        None if None in ends else max((day for day in ends if day), default=None),
    )


def spans_text(spans: Collection[Span]) -> str:
    """Several spans as a person types them, "or" between them."""
    return " or ".join(map(dots_text, spans))


def years_text(span: Span) -> str:
    """``1969-70``, ``1971 on``, ``to 1975``: the years alone, where there is no room for days."""
    first, last = (end.year if end else None for end in (span.earliest, span.latest))
    if first is None or last is None:
        return f"{first} on" if first else f"to {last}" if last else ""
    if first == last:
        return str(first)
    return f"{first}-{last % 100:02}" if first // 100 == last // 100 else f"{first}-{last}"


def days_text(span: Span) -> str:
    """``1966-05 to 1968-03``, ``1979-05-02 on``, ``to 1975-06``, ``1967-05``: a span in plain words."""
    low, dots, high = span.edtf().strip("[]").partition("..")
    if not dots:
        return low
    return f"{low} to {high}" if low and high else f"{low} on" if low else f"to {high}"


def months_text(span: Span) -> str:
    """The same of what is only likely: no day is told where it is longer than a quarter of a year."""
    if span.earliest and span.latest and (span.latest - span.earliest).days < 92:
        return days_text(span)
    return re.sub(r"(\d{4}-\d\d)-\d\d", r"\1", days_text(span))


def dots_text(span: Span) -> str:
    """``1958..1963``, ``1968..``, ``..1967-03``, ``1967-12``: as a person types a span, each end short; both
    equally precise within a year.
    """
    if span.earliest and span.latest and span.earliest.year == span.latest.year:
        return span.edtf().strip("[]")
    return f"{_short(span.earliest, 1, 1)}..{_short(span.latest, 12, 31)}" if span.known else ""


def _short(end: date | None, month: int, day: int) -> str:
    """The end as its year or month, where that is all it says. ``month``, ``day``: the year's own end."""
    if end is None:
        return ""
    if (end.month, end.day) == (month, day):
        return f"{end.year:04}"
    of_month = day if day == 1 else monthrange(end.year, end.month)[1]
    return end.isoformat()[: 7 if end.day == of_month else 10]


def dated_text(edtf: str) -> str:
    """``1971 to 1972``, ``about 1967``, ``perhaps 1967``: a date as it is kept, in plain words."""
    plain = edtf.rstrip("?~%")
    doubt = {"": "", "?": "perhaps ", "~": "about "}.get(edtf[len(plain) :], "perhaps about ")
    try:
        return doubt + " or ".join(days_text(span) for span in parse_dated(plain).spans)
    except ValueError:
        return edtf


def joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    """The spans in order, those that overlap or touch made one."""
    found: list[Span] = []
    for span in sorted(spans, key=lambda one: one.earliest or date.min):
        if found and _reaches(found[-1], span):
            found[-1] = hull([found[-1], span])
        else:
            found.append(span)
    return tuple(found)


def _reaches(one: Span, other: Span) -> bool:
    if one.latest is None or other.earliest is None:
        return True
    return other.earliest.toordinal() <= one.latest.toordinal() + 1


class Dated(NamedTuple):
    """What a date as written allows: its spans in order, and whether it says itself that it is unsure.

    ``1967?`` and ``1967~`` are soft; what is only about (``~``, ``%``) is wider each way too: a year by half
    a year, a month or season by a month, a day by fifteen.
    """

    spans: tuple[Span, ...] = ()
    soft: bool = False


def parse_edtf(text: str) -> Span:
    """The span a piece of EDTF reaches over; "" is the span of which nothing is known.

    Raises ValueError with one sentence that says what would be right.
    """
    spans = parse_dated(text).spans
    return hull(spans) if spans else Span()


def readable_span(text: str) -> Span:
    """The same; of a text that cannot be read nothing is known."""
    try:
        return parse_edtf(text)
    except ValueError:
        return UNKNOWN


def parse_dated(text: str) -> Dated:
    """Every span a piece of EDTF allows, and whether it is unsure; ``about 1967`` is read as ``1967~``.

    Raises ValueError with one sentence that says what would be right.
    """
    text = about_as_edtf(text.strip())
    if not text:
        return Dated()
    if "/" in text:
        raise ValueError(f"{text!r} means the whole time from A to B; for one moment in between write [A..B]")
    if text.startswith("{"):
        raise ValueError(f"{text!r} means all of them; for one of them write [{text.strip('{} ')}]")
    soft = any(sign in text for sign in "?~%")
    if not text.startswith("["):
        return Dated((Span(*_ends(text)),), soft)
    pieces = [piece.strip() for piece in text[1:-1].split(",")]
    if not text.endswith("]") or "[" in text[1:] or (len(pieces) < 2 and ".." not in text):
        raise ValueError(f"{text!r} is not a span; {_RIGHT}")
    return Dated(joined([_one_of(piece, text) for piece in pieces]), soft)


def about_as_edtf(text: str) -> str:
    """``about 1967``, ``c. 1967`` as EDTF has it."""
    found = _ABOUT.match(text)
    return f"{text[found.end() :].rstrip('?~%')}~" if found else text


def _one_of(piece: str, whole: str) -> Span:
    """One member of a set: a date, or everything from A to B."""
    first, dots, last = (part.strip() for part in piece.partition(".."))
    if not dots and first:
        return Span(*_ends(first))
    if not (first or last) or ".." in last:
        raise ValueError(f"{whole!r} is not a span; {_RIGHT}")
    earliest = _ends(first)[0] if first else None
    latest = _ends(last)[1] if last else None
    if earliest and latest and earliest > latest:
        raise ValueError(f"{whole!r} is reversed; write [{last}..{first}]")
    return Span(earliest, latest)


def _ends(text: str) -> tuple[date, date]:
    """First and last day of one EDTF date, season or date with unknown digits, widened where it is about."""
    match = _DATE.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is not a date; {_RIGHT}")
    year, month, day = match[1], match[2], match[3]
    low, high = int(year.replace("X", "0")), int(year.replace("X", "9"))
    if high == 0:
        raise ValueError(f"{text!r}: years run from 0001; {_RIGHT}")
    first, last = _in_year(text, high, month, day)
    if low != high:
        first = _in_year(text, max(low, 1), month, day)[0]
    if "~" not in text and "%" not in text:
        return first, last
    if day is not None and day != "XX":
        return first - timedelta(days=15), last + timedelta(days=15)
    months = 1 if month is not None and month != "XX" else 6
    return _months_on(first, -months), _months_on(last + timedelta(days=1), months) - timedelta(days=1)


def _in_year(text: str, year: int, month: str | None, day: str | None) -> tuple[date, date]:
    """First and last day of that date in one year."""
    months = _numbers(month or "XX", range(1, 13))
    part = _PARTS.get(int(month)) if month and month.isdigit() and day is None else None
    if not months and part:
        return date(year, part[0], 1), _months_on(date(year, 1, 1), part[1]) - timedelta(days=1)
    if not months:
        right = "months run 01 to 12, seasons 21 to 24 (24: December to February of that winter)"
        raise ValueError(f"{text!r}: there is no month {month}; {right}")
    first, last = months[0], months[-1]
    lengths = {m: monthrange(year, m)[1] for m in months}
    days = _numbers(day or "XX", range(1, max(lengths.values()) + 1))
    if not days:
        raise ValueError(f"{text!r}: there is no such day; that month has {max(lengths.values())}")
    return date(year, first, days[0]), date(year, last, min(days[-1], lengths[last]))


def _numbers(pattern: str, known: range) -> list[int]:
    """The numbers of two digits that the pattern allows: ``1X`` of the months is 10, 11, 12."""
    if pattern.isdigit():
        return [int(pattern)] if int(pattern) in known else []
    if pattern == "XX":
        return list(known)
    wanted = re.compile(pattern.replace("X", "."))
    return [number for number in known if wanted.fullmatch(f"{number:02}")]


def _months_on(day: date, months: int) -> date:
    """The first of the month so many months on, or the same day where the month has it."""
    at = day.year * 12 + day.month - 1 + months
    year, month = divmod(at, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
