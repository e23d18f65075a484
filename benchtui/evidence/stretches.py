"""When a pressing that nobody has described was made: a mixture over stretches of its company's years.

Drawn as flat over all of them, such a pressing has a disc of one year and a cover of another; its parts share
their time only where each stretch is a candidate of its own. Together they are "none of these".
"""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from math import exp
from statistics import median
from typing import NamedTuple

from benchtui.evidence.cells import YEAR
from benchtui.evidence.rates import Rates
from benchtui.evidence.settings import ModelSettings
from benchtui.model.span import Span

_SINCE = date(1948, 6, 1)
"""Where nothing at all is known: since there have been long-playing records."""


class Stretch(NamedTuple):
    """From ``low`` to ``high`` in ordinal days; ``share`` of what nobody has described, adding up to 1."""

    low: float
    high: float
    share: float


def stretches(
    periods: Sequence[tuple[float, float]], first: Span, rates: Rates, settings: ModelSettings
) -> tuple[Stretch, ...]:
    """Equal stretches, those first that no known pressing's period covers (``periods``) and that lie near
    one: a title's pressings follow each other.

    None is shorter than a year or than those periods usually are: it would fit by its dates alone what a
    pressing of unknown years cannot. One alone where no other title tells what the company's time looks like.
    """
    low, high = _years(periods, first, rates, settings)
    if not periods or not rates.titles:
        return (Stretch(low, high, 1.0),)
    shortest = max(YEAR, median(end - start for start, end in periods))
    n = max(1, min(settings.stretches, round((high - low) / shortest)))
    step = (high - low) / n
    pieces = list(pairwise(low + i * step for i in range(n + 1)))
    odds = [_odds(piece, periods, settings) for piece in pieces]
    total = sum(odds)
    return tuple(Stretch(a, b, x / total) for (a, b), x in zip(pieces, odds, strict=True))


def _odds(
    piece: tuple[float, float], periods: Sequence[tuple[float, float]], settings: ModelSettings
) -> float:
    """1 beside a known pressing's time, less under one and less the further away from any."""
    low, high = piece
    away = min(max(0.0, start - high, low - end) for start, end in periods) / YEAR
    return exp(-away / settings.near) * (1 - (1 - settings.covered) * _covered(piece, periods))


def _covered(piece: tuple[float, float], periods: Sequence[tuple[float, float]]) -> float:
    """The share of a piece of time in which a known pressing was made, 0 to 1."""
    low, high = piece
    days = sum(max(0.0, min(high, end) - max(low, start)) for start, end in periods)
    return min(1.0, days / (high - low))


def _years(
    periods: Sequence[tuple[float, float]], first: Span, rates: Rates, settings: ModelSettings
) -> tuple[float, float]:
    """From the title's first date on, while its company made any."""
    starts = [low for low, _ in periods]
    low = float((first.earliest or _SINCE).toordinal())
    if starts and not first.earliest:
        low = min(starts)
    last = rates.until()
    years = settings.none_years if starts else settings.all_years
    high = low + YEAR if last is not None else low + years * YEAR
    ends = [float(last.toordinal() + 1)] if last is not None else []
    return low, max([high, *ends, *(end for _, end in periods)])
