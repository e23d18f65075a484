"""Weighted quantiles with whole-number weights, and how a sale fades with age. No float anywhere."""

from collections.abc import Sequence
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from benchtui.base.errors import BenchError

Ordered = TypeVar("Ordered", int, Fraction)
FULL = 10**15
"""The weight of a sale seen today."""


def weighted_quantile(pairs: Sequence[tuple[Ordered, int]], share: Fraction) -> Ordered:
    """The least value at which the running weight reaches ``share`` of the whole (pairs: value, weight).

    At one half this is the lower weighted median: on an even split the lower of the two, never a price that
    nobody paid. The convention is the inverse of the empirical distribution function (Hyndman & Fan 1996,
    type 1). BenchError without any weight.
    """
    whole = sum(weight for _, weight in pairs)
    if whole <= 0 or any(weight < 0 for _, weight in pairs):
        raise BenchError("no sale has any weight", "sales seen", "give at least one weight above 0")
    running = 0
    for value, weight in sorted(pairs):
        running += weight
        if weight and running * share.denominator >= whole * share.numerator:
            return value
    raise AssertionError("the running weight always reaches the whole")


def weighted_median(pairs: Sequence[tuple[Ordered, int]]) -> Ordered:
    """The lower weighted median."""
    return weighted_quantile(pairs, Fraction(1, 2))


@lru_cache(maxsize=8192)  # a list of sales asks for the same few hundred ages again at every key
def faded(age_days: int, half_life_days: int, full: int = FULL) -> int:
    """``full`` halved for each half-life gone by, at least 1: old sales count little, not nothing."""
    with localcontext() as exactly:
        exactly.prec = 40
        left = Decimal(full) * Decimal(2) ** (-Decimal(age_days) / Decimal(half_life_days))
    return max(1, int(left.to_integral_value()))
