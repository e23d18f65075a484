"""Spans as bars on one common line of years."""

from dataclasses import dataclass
from datetime import date

from benchtui.bench.pieces import Glyphs, Line
from benchtui.model.span import Span


@dataclass(frozen=True)
class Axis:
    """Years from ``first`` to ``last`` over ``width`` cells."""

    first: float
    last: float
    width: int

    def cell(self, year: float) -> int:
        share = (year - self.first) / max(0.1, self.last - self.first)
        return max(0, min(self.width - 1, int(share * self.width)))


def year_of(day: date) -> float:
    return day.year + (day.timetuple().tm_yday - 1) / 366


def axis_for(spans: list[Span], width: int) -> Axis:
    """An axis that shows every end of the spans with a year of air; 1950 to 1985 where there is none."""
    years = [year_of(end) for span in spans for end in (span.earliest, span.latest) if end is not None]
    if not years:
        return Axis(1950, 1985, width)
    low, high = int(min(years)) - 1, int(max(years)) + 2
    if high - low < 8:
        air = (8 - (high - low) + 1) // 2
        low, high = low - air, high + air
    return Axis(low, high, width)


def draw_axis(axis: Axis, glyphs: Glyphs) -> Line:
    """The years, as many as fit legibly, each starting at its place."""
    text = [" "] * axis.width
    step = next(
        (one for one in (1, 2, 5, 10, 20, 50) if (axis.last - axis.first) / one * 6 <= axis.width), 50
    )
    year = int(axis.first) + (-int(axis.first)) % step
    while year < axis.last:
        at = axis.cell(year)
        if at + 4 <= axis.width:
            text[at : at + 4] = str(year)
        year += step
    return [("".join(text), "dim")]


def draw_span(
    span: Span | None, certain: Span | None, axis: Axis, glyphs: Glyphs, style: str = "bar"
) -> Line:
    """Full cells where the part was likely made, dots elsewhere; arrows for open ends."""
    if span is None:
        return [("the clues contradict each other".ljust(axis.width)[: axis.width], "clash")]
    if span.earliest is None and span.latest is None:
        return [(glyphs.rest * axis.width, "dim")]
    start = axis.cell(year_of(span.earliest)) if span.earliest else 0
    end = axis.cell(year_of(span.latest)) if span.latest else axis.width - 1
    cells = [glyphs.rest] * axis.width
    for at in range(start, end + 1):
        cells[at] = glyphs.bar
    if span.earliest is None:
        cells[0] = glyphs.left
    if span.latest is None:
        cells[-1] = glyphs.right
    body = "".join(cells)
    return [(body[:start], "dim"), (body[start : end + 1], style), (body[end + 1 :], "dim")]
