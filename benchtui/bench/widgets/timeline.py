"""Spans as bars on one common line of years, which belongs to the title: no answer moves it."""

from datetime import date
from typing import NamedTuple

from benchtui.bench.pieces import Glyphs, Line
from benchtui.desk.core.desk import Desk
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span
from benchtui.model.title import first_issued

BEFORE, AFTER = 4, 6
"""Years of air before the title's first date and after its last pressing."""
UNDATED = (1950, 1990)


class Axis(NamedTuple):
    """Years from ``first`` to ``last`` over ``width`` cells."""

    first: float
    last: float
    width: int

    def cell(self, year: float) -> int:
        share = (year - self.first) / max(0.1, self.last - self.first)
        return max(0, min(self.width - 1, int(share * self.width)))


def year_of(day: date) -> float:
    return day.year + (day.timetuple().tm_yday - 1) / 366


def axis_of(desk: Desk, record: RecordDoc, width: int) -> Axis:
    """The years in which the title was made, by the book or the title list; the same for every copy of it."""
    known, listed = desk.book_title, record["title"]
    spans = [one.period for one in known.pressings] + [known.first] if known is not None else []
    spans = spans or [first_issued(listed)]
    years = [year_of(end) for span in spans for end in (span.earliest, span.latest) if end is not None]
    if not years:
        return Axis(*UNDATED, width)
    return Axis(int(min(years)) - BEFORE, int(max(years)) + AFTER, width)


def axis_row(axis: Axis) -> str:
    """The years, as many as can be read, each beginning at its place."""
    text = [" "] * axis.width
    years = axis.last - axis.first
    step = next((one for one in (1, 2, 5, 10, 20, 50) if years / one * 6 <= axis.width), 50)
    year = int(axis.first) + (-int(axis.first)) % step
    while year < axis.last:
        at = axis.cell(year)
        if at + 4 <= axis.width:
            text[at : at + 4] = str(year)
        year += step
    return "".join(text)


def span_row(span: Span | None, axis: Axis, signs: Glyphs, style: str = "bar") -> Line:
    """Full cells where the part was likely made, dots elsewhere; arrows for open ends and for ends beyond the
    years shown.
    """
    if span is None:
        words = "the clues clash" if axis.width < 27 else "the clues contradict each other"
        return [(words.ljust(axis.width)[: axis.width], "clash")]
    if span.earliest is None and span.latest is None:
        return [(signs.rest * axis.width, "dim")]
    low = year_of(span.earliest) if span.earliest else None
    high = year_of(span.latest) if span.latest else None
    start = axis.cell(low) if low is not None else 0
    end = axis.cell(high) if high is not None else axis.width - 1
    cells = [signs.bar if start <= at <= end else signs.rest for at in range(axis.width)]
    if low is None or low < axis.first:
        cells[0] = signs.left
    if high is None or high > axis.last:
        cells[-1] = signs.right
    body = "".join(cells)
    return [(body[:start], "dim"), (body[start : end + 1], style), (body[end + 1 :], "dim")]
