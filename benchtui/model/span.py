"""Spans: made at some moment between two ends, either of which may be open.

Text form is EDTF (ISO 8601-2:2019, Library of Congress profile), of which only what means
"one moment somewhere between" is used: a date, a date with unknown digits, a season, and the
one-of-a-set ``[A..B]``. ``A/B`` means that it lasted that long and is refused.
"""

import re
from calendar import monthrange
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

_DATE = re.compile(r"(\d{4}|\d{3}X|\d{2}XX)(?:-(\d{2}|XX)(?:-(\d{2}|XX))?)?")
# Seasons as the edtf package's strict bounds have them: of winter only the December of that year.
_SEASONS = {"21": (3, 5), "22": (6, 8), "23": (9, 11), "24": (12, 12)}
_RIGHT = "write 1963, 1963-07, 1963-07-01, 196X, [1963-07..1968], [1971..] or [..1968]"


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

    def holds(self, day: date) -> bool:
        """Whether that day lies inside, ends included."""
        return (self.earliest is None or self.earliest <= day) and (self.latest is None or day <= self.latest)

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
        low = self.earliest is None or _ends(self.earliest.isoformat()[:size])[0] == self.earliest
        return low and (self.latest is None or _ends(self.latest.isoformat()[:size])[1] == self.latest)


UNKNOWN = Span()


def hull(spans: Collection[Span]) -> Span:
    """From the first of the earliest ends to the last of the latest; open where one of them is."""
    starts, ends = [span.earliest for span in spans], [span.latest for span in spans]
    return Span(
        None if None in starts else min((day for day in starts if day), default=None),
        None if None in ends else max((day for day in ends if day), default=None),
    )


def spans_text(spans: Collection[Span]) -> str:
    """Several spans as they are shown: each in EDTF, "or" between them."""
    return " or ".join(span.edtf() for span in spans)


def parse_edtf(text: str) -> Span:
    """The span a piece of EDTF stands for; "" is the span of which nothing is known.

    Raises ValueError with one sentence that says what would be right.
    """
    text = text.strip()
    if not text:
        return Span()
    if "/" in text:
        raise ValueError(f"{text!r} means the whole time from A to B; for one moment in between write [A..B]")
    if not text.startswith("["):
        return Span(*_ends(text))
    match = re.fullmatch(r"\[\s*([^.\[\]]*?)\s*\.\.\s*([^.\[\]]*?)\s*\]", text)
    if match is None or not (match[1] or match[2]):
        raise ValueError(f"{text!r} is not a span; {_RIGHT}")
    earliest = _ends(match[1])[0] if match[1] else None
    latest = _ends(match[2])[1] if match[2] else None
    if earliest and latest and earliest > latest:
        raise ValueError(f"{text!r} is reversed; write [{match[2]}..{match[1]}]")
    return Span(earliest, latest)


def _ends(text: str) -> tuple[date, date]:
    """First and last day of one EDTF date, season or date with unknown digits."""
    match = _DATE.fullmatch(text)
    if match is None:
        raise ValueError(f"{text!r} is not a date; {_RIGHT}")
    year, month, day = match[1], match[2], match[3]
    low_year, high_year = int(year.replace("X", "0")), int(year.replace("X", "9"))
    if low_year == 0:
        raise ValueError(f"{text!r}: years run from 0001; {_RIGHT}")
    if month in (None, "XX") or "X" in year:
        if (month or "XX") != "XX" or (day or "XX") != "XX":
            raise ValueError(f"{text!r}: only the last digits may be unknown; {_RIGHT}")
        return date(low_year, 1, 1), date(high_year, 12, 31)
    return _within_year(text, low_year, month, day)


def _within_year(text: str, year: int, month: str, day: str | None) -> tuple[date, date]:
    """First and last day of a month, season or day of a known year."""
    if month in _SEASONS and day is None:
        first, last = _SEASONS[month]
    elif 1 <= int(month) <= 12:
        first = last = int(month)
    else:
        raise ValueError(f"{text!r}: there is no month {month}; months run 01 to 12, seasons 21 to 24")
    if day is None or day == "XX":
        return date(year, first, 1), date(year, last, monthrange(year, last)[1])
    days = monthrange(year, first)[1]
    if not 1 <= int(day) <= days:
        raise ValueError(f"{text!r}: there is no such day; that month has {days}")
    return (only := date(year, first, int(day))), only
