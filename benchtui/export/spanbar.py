"""Spans as bars on one time line, as inline SVG: a thin line is certain, a thick bar likely.

An open end runs to the edge of the line and ends in an arrow, so that nothing is told by colour alone.
"""

from collections.abc import Iterable
from datetime import date
from html import escape
from typing import NamedTuple

from benchtui.evidence.results import PartSpan
from benchtui.export.items import Item
from benchtui.export.wording import part_name
from benchtui.model.record import is_here
from benchtui.model.span import Span

_LEFT, _WIDE, _ROW = 58, 230, 16
_ARROW = 5


class Axis(NamedTuple):
    """A line of whole years, both included."""

    first: int
    last: int

    def at(self, day: date) -> float:
        """Where a day lies, in units of the picture."""
        start, end = date(self.first, 1, 1).toordinal(), date(self.last, 12, 31).toordinal()
        part = (day.toordinal() - start) / (end - start)
        return round(_LEFT + _WIDE * min(1.0, max(0.0, part)), 1)

    def ticks(self) -> list[int]:
        """Some three to seven years to write under the line."""
        years = self.last - self.first + 1
        step = next((step for step in (1, 2, 5, 10, 20, 50) if years / step <= 7), 100)
        first = -(-self.first // step) * step
        return list(range(first, self.last + 1, step))


def axis_of(items: Iterable[Item]) -> Axis | None:
    """One line for all records of a page, so that they can be compared; None where no span has an end."""
    weighed = [item.weighed for item in items if item.weighed]
    spans = [
        span for one in weighed for pair in one.parts.values() for span in (pair.certain, pair.likely) if span
    ]
    years = [day.year for span in spans for day in (span.earliest, span.latest) if day]
    return Axis(min(years) - 1, max(years) + 1) if years else None


LEGEND = "Made between: a thin line is certain, a thick bar likely; an arrow is an open end."


def span_bars(item: Item, axis: Axis | None) -> str:
    """The bars of every part of which something is known, or "" where there is nothing to draw."""
    known = item.weighed.parts if item.weighed else {}
    rows = [
        (part_name(item.record, part), known[part["id"]])
        for part in item.record["parts"]
        if is_here(part) and part["id"] in known and _drawn(known[part["id"]])
    ]
    if axis is None or not rows:
        return ""
    copy = item.weighed.copy_date if item.weighed else None
    if copy is not None:
        rows.append(("copy", PartSpan(copy.certain, copy.run)))
    height, wide = _ROW * len(rows) + 14, _LEFT + _WIDE + 8
    said = "; ".join(f"{name} {_said(pair)}" for name, pair in rows)
    lines = "".join(_row(axis, _ROW * at + 9, name, pair) for at, (name, pair) in enumerate(rows))
    return (
        f'<svg class="spans" viewBox="0 0 {wide} {height}" role="img" aria-label="{escape(said)}">'
        f"{_scale(axis, height)}{lines}</svg>"
    )


def _drawn(pair: PartSpan) -> bool:
    return pair.likely is None or pair.certain is None or pair.likely.known or pair.certain.known


def _said(pair: PartSpan) -> str:
    return pair.likely.edtf() if pair.likely else "clues contradict each other"


def _row(axis: Axis, y: int, name: str, pair: PartSpan) -> str:
    drawn = f'<text x="0" y="{y + 3}">{escape(name[:11])}</text>'
    if pair.likely is None or pair.certain is None:
        return (
            drawn + f'<text x="{_LEFT + 2}" y="{y + 3}" class="clash">!! clues contradict each other</text>'
        )
    return drawn + _bar(axis, y, pair.certain, "certain", 1.4) + _bar(axis, y, pair.likely, "likely", 6)


def _bar(axis: Axis, y: int, span: Span, css: str, thick: float) -> str:
    if not span.known:
        return ""
    left = axis.at(span.earliest) if span.earliest else float(_LEFT)
    right = axis.at(span.latest) if span.latest else float(_LEFT + _WIDE)
    wide = max(right - left, 1.5)
    bar = f'<rect class="{css}" x="{left}" y="{y - thick / 2}" width="{wide:.1f}" height="{thick}"/>'
    return bar + ("" if span.earliest else _arrow(left, y, -1)) + ("" if span.latest else _arrow(right, y, 1))


def _arrow(x: float, y: int, way: int) -> str:
    back = x - way * _ARROW
    return f'<path class="open" d="M{back} {y - 5}L{x + way * 4} {y}L{back} {y + 5}z"/>'


def _scale(axis: Axis, height: int) -> str:
    foot = height - 3
    ticks = "".join(
        f'<line x1="{axis.at(date(year, 1, 1))}" x2="{axis.at(date(year, 1, 1))}" y1="1" y2="{height - 12}"/>'
        f'<text class="year" x="{axis.at(date(year, 1, 1))}" y="{foot}">{year}</text>'
        for year in axis.ticks()
    )
    return f'<g class="scale">{ticks}</g>'
