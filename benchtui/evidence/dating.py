"""When the whole copy was made: one axis of months under all pressings.

The copy is as old as its anchor's pressing: P(pressing, cell | all) is P(pressing | all) times the anchor's
time given that pressing and the anchor's own answers, times what dates the copy otherwise: no copy is older
than any part that belongs to it, nor younger than what says it was sold. "None of these" has no time of its
own: it is left out, and its share told. A pressing that the dealer named is the only one.

It lies inside the copy's likely span, so that one record never bears two dates.
"""

from calendar import monthrange
from collections.abc import Callable, Collection
from datetime import date
from itertools import accumulate
from math import exp, floor
from operator import mul

from benchtui.evidence.bounds import Bound, bounds_of
from benchtui.evidence.candidates import LAGGED
from benchtui.evidence.case import Case
from benchtui.evidence.cells import YEAR, Grid
from benchtui.evidence.results import CopyDate, PartSpan
from benchtui.evidence.settings import ModelSettings
from benchtui.model.span import Span

HELD = 0.9
_FAINT = 1e-4
"""Pressings with less than this share of what is known move no month."""
_ROUNDING = 1e-9
INSIDE = 0.5
"""The share that must lie inside the likely span: with less, parts and pressing date the copy differently."""


def copy_date(case: Case, spans: PartSpan, torn: Collection[str] = ()) -> CopyDate | None:
    """The shortest run of whole months that holds nine tenths; None where no pressing is known, where nothing
    was seen and the dealer named none, and where the copy's own date (``spans``) is not established or is
    another than its pressing's.

    ``torn``: parts whose clues contradict each other; only what is certain of them dates the copy.
    """
    anchor = case.post.parts.get(case.post.anchor or "")
    shares, unknown = _shares(case)
    known = sum(shares)
    seen = case.named is not None or any(part.says_anything() for part in case.seen.parts)
    if anchor is None or known <= 0 or not seen or spans.likely is None:
        return None
    grids = case.post.model.grids(anchor.seen.kind in LAGGED)
    others = _others(case, torn)
    months: dict[int, float] = {}
    for h, share in enumerate(shares):
        if share > _FAINT * known:
            _spread(months, grids[h], _times(grids[h], anchor.factors.times.get(h), others), share / known)
    first, length, held = shortest_run(months)
    if not all(_touches(spans.likely, month) for month in (first, first + length - 1)):
        inside = {month: weight for month, weight in months.items() if _touches(spans.likely, month)}
        if sum(inside.values()) < INSIDE * sum(months.values()):
            return None
        first, length, held = shortest_run(inside)
    return CopyDate(_span(first, length), held, unknown, spans.certain)


def _shares(case: Case) -> tuple[list[float], float]:
    """The odds of each pressing known, and those of "none of these"; all on the one that the dealer named."""
    named = case.named
    if named is None:
        return case.post.p[: len(case.post.model.pressings)], case.post.none
    return [float(h == named) for h in range(len(case.post.model.pressings))], 0.0


def _touches(span: Span, month: int) -> bool:
    begins, ends = span.earliest, span.latest
    after = begins is None or _month_of(begins.toordinal()) <= month
    return after and (ends is None or month <= _month_of(ends.toordinal()))


def _others(case: Case, torn: Collection[str]) -> list[Callable[[float], float]]:
    """How each bound of the other parts that belong, and each mark of the sale, lets a moment pass."""
    found = []
    for part in case.seen.parts:
        if part.id in case.elsewhere or part.id == case.post.anchor:  # its own answers are weighed already
            continue
        for bound in bounds_of(part, case.settings):
            kept = bound._replace(span=bound.certain()) if part.id in torn else bound
            found.append(_passes(kept, case.settings.model))
    return found


def _passes(bound: Bound, settings: ModelSettings) -> Callable[[float], float]:
    """1 from the bound's earliest on, for a mark of the sale up to its latest; outside it fades."""
    start, end = (
        {"firm": settings.firm, "soft": settings.soft}.get(one, 0.0) * YEAR for one in bound.hardness
    )
    if bound.caps:
        last = float("inf") if bound.span.latest is None else bound.span.latest.toordinal() + 1.0
        return lambda t: 1.0 if t < last else _fading(t - last, end)
    first = float("-inf") if bound.span.earliest is None else float(bound.span.earliest.toordinal())
    return lambda t: 1.0 if t >= first else _fading(first - t, start)


def _fading(days: float, scale: float) -> float:
    return exp(-days / scale) if scale else 0.0


def _times(grid: Grid, dated: list[float] | None, others: list[Callable[[float], float]]) -> list[float]:
    """P(cell | pressing, all), adding up to 1; what excludes every cell of a pressing is left to the odds."""
    weights = dated if dated is not None and sum(dated) > 0 else grid.p
    for passes in others:
        kept = list(map(mul, weights, map(passes, grid.mids)))
        weights = kept if sum(kept) > 0 else weights
    total = sum(weights)
    return [value / total for value in weights]


def _spread(months: dict[int, float], grid: Grid, weights: list[float], share: float) -> None:
    """Adds each cell's weight to the months it reaches over, evenly by days."""
    for mid, weight in zip(grid.mids, weights, strict=True):
        at, end = mid - grid.step / 2, mid + grid.step / 2
        a_day = share * weight / grid.step
        month = _month_of(floor(at))
        while at < end - _ROUNDING:
            next_at = min(end, float(_first_day(month + 1).toordinal()))
            months[month] = months.get(month, 0.0) + a_day * (next_at - at)
            at, month = next_at, month + 1


def shortest_run(months: dict[int, float]) -> tuple[int, int, float]:
    """First month, how many, and what they hold: the fewest that hold nine tenths of it all.

    Of several as short the one that holds most; of these the earliest. Months are years times 12 and on.
    """
    first, last = min(months), max(months)
    upto = list(accumulate((months.get(month, 0.0) for month in range(first, last + 1)), initial=0.0))
    wanted = HELD * upto[-1] - _ROUNDING
    best, end = (len(upto), 0.0, 0), 0
    for start in range(len(upto) - 1):
        while end < len(upto) - 1 and upto[end] - upto[start] < wanted:
            end += 1
        held = upto[end] - upto[start]
        if held >= wanted:
            best = min(best, (end - start, -round(held, 9), start))
    return first + best[2], best[0], -best[1] / upto[-1]


def _span(first: int, length: int) -> Span:
    last = _first_day(first + length - 1)
    return Span(_first_day(first), last.replace(day=monthrange(last.year, last.month)[1]))


def _month_of(ordinal: int) -> int:
    day = date.fromordinal(ordinal)
    return day.year * 12 + day.month - 1


def _first_day(month: int) -> date:
    return date(month // 12, month % 12 + 1, 1)
