"""An early stamper raises the odds of an early copy: a stated heuristic, held within some 6 decibans.

Stampers of a cut are numbered as they are made, so their numbers grow with the copies pressed. With x the
share of the title's copies pressed before a moment, the number is taken as geometric with a mean growing
from 3 at x = 0 to 30 at x = 1, half mixed with its mean over x, so that it can never decide alone.
The figures 3 and 30 are ours and stand for no company.
"""

from bisect import bisect_right
from itertools import accumulate

from benchtui.evidence.candidates import Candidates
from benchtui.evidence.seen import PartSeen
from benchtui.evidence.word_weights import Row

_FIRST_MEAN = 3.0
_LAST_MEAN = 30.0
_STEPS = 50
_MOST = 200  # beyond, a number says "late" and no more


def weigh_stamper(number: int, model: Candidates) -> tuple[Row, dict[int, Row]]:
    """L of a stamper number per pressing and time cell; "none of these" gets the mean."""
    even = sum(_chance(number, (i + 0.5) / _STEPS) for i in range(_STEPS)) / _STEPS
    grids = model.grids(False)[: len(model.pressings)]
    pressed = sorted(
        (mid, share * p)
        for share, cells in zip(model.prior, grids, strict=False)
        for mid, p in zip(cells.mids, cells.p, strict=True)
    )
    moments = [mid for mid, _ in pressed]
    upto = [0.0, *accumulate(weight for _, weight in pressed)]
    timed = {
        h: [
            0.5 * _chance(number, upto[bisect_right(moments, mid)] / upto[-1]) + 0.5 * even
            for mid in cells.mids
        ]
        for h, cells in enumerate(grids)
    }
    return [even] * model.size, timed


def _chance(number: int, x: float) -> float:
    mean = _FIRST_MEAN + (_LAST_MEAN - _FIRST_MEAN) * min(x, 1.0)
    return float((1 / mean) * (1 - 1 / mean) ** (min(number, _MOST) - 1))


def stamper_of(seen: PartSeen, numbers: dict[str, int], first_cuts: dict[str, str]) -> int | None:
    """The stamper number that speaks: the first side's, if its cut is the title's first or unread."""
    for side in seen.sides:
        cut, first = seen.cuts.get(side), first_cuts.get(side)
        if side in numbers and (cut is None or first is None or cut.casefold() == first.casefold()):
            return numbers[side]
    return None
