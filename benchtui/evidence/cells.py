"""Time in cells: when a part was made, and how an answer's bounds fade."""

from bisect import bisect_left
from datetime import date
from itertools import pairwise
from math import ceil, exp
from typing import NamedTuple

from benchtui.books.shape import Answer
from benchtui.evidence.settings import ModelSettings
from benchtui.model.span import UNKNOWN, Span

YEAR = 365.2425
_MONTH = 30.0


class Grid(NamedTuple):
    """Middles of equal cells (ordinal days), the probability that the part was made in each, days in one."""

    mids: list[float]
    p: list[float]
    step: float = 0.0


def ends(period: Span, settings: ModelSettings, fallback: Span = UNKNOWN) -> tuple[float, float]:
    """First moment and end of a period in ordinal days; an open end lies ``open_years`` further."""
    low = period.earliest or fallback.earliest
    high = period.latest
    length = settings.open_years * YEAR
    if low is None:
        last = float((high or fallback.latest or date(1999, 12, 31)).toordinal() + 1)
        return last - length, last
    first = float(low.toordinal())
    return first, max(float(high.toordinal() + 1), first + 1) if high else first + length


def grid(low: float, high: float, settings: ModelSettings, lagged: bool) -> Grid:
    """Equal cells, about one a month and at most ``cells``; flat, or moved earlier by an exponential lag."""
    lag = settings.lag * YEAR if lagged else 0.0
    start = low - 4 * lag
    n = 1 if not settings.dates else max(1, min(settings.cells, ceil((high - start) / _MONTH)))
    step = (high - start) / n
    mids = [start + (i + 0.5) * step for i in range(n)]
    if not lag:
        return Grid(mids, [1.0 / n] * n, step)
    upto = [0.0] + [_made_by(start + i * step, low, high, lag) for i in range(1, n)] + [1.0]
    return Grid(mids, [b - a for a, b in pairwise(upto)], step)


def _made_by(x: float, low: float, high: float, lag: float) -> float:
    """P(T - E <= x) for T flat over the period and E exponential of mean ``lag``."""
    if x <= low:
        return lag / (high - low) * (exp((x - low) / lag) - exp((x - high) / lag))
    return ((x - low) + lag * (1 - exp((x - high) / lag))) / (high - low)


def fade(answer: Answer, mids: list[float], settings: ModelSettings) -> float | list[float]:
    """v(k,t): 1 inside the bounds; d years outside an end: hard 0, firm exp(-d/0.5), soft exp(-d/2).

    Each end fades by its own hardness; of several spans the one that allows most counts. One figure where it
    is the same in every cell. An answer that caps the sale says nothing of the earliest.
    """
    if answer.span is None or answer.hardness == "none" or not settings.dates:
        return 1.0
    scales = [{"firm": settings.firm, "soft": settings.soft}.get(end, 0.0) * YEAR for end in answer.ends]
    curves = [_within(span, answer.caps_sale, scales, mids) for span in answer.spans]
    curve = curves[0] if len(curves) == 1 else [max(values) for values in zip(*curves, strict=True)]
    return curve[0] if curve.count(curve[0]) == len(curve) else curve


def _within(span: Span, capped: bool, scales: list[float], mids: list[float]) -> list[float]:
    """1 inside one span, fading outside it; ``scales`` of its two ends in days, 0 where it is hard."""
    low = float(span.earliest.toordinal()) if span.earliest and not capped else float("-inf")
    high = float(span.latest.toordinal() + 1) if span.latest else float("inf")
    first, end = bisect_left(mids, low), bisect_left(mids, high)  # high itself is the first moment outside
    before = [exp((t - low) / scales[0]) if scales[0] else 0.0 for t in mids[:first]]
    after = [exp((high - t) / scales[1]) if scales[1] else 0.0 for t in mids[max(first, end) :]]
    return [*before, *([1.0] * max(end - first, 0)), *after]
