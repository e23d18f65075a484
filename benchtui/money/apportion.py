"""Whole pennies shared out so that they always add up: largest remainder."""

from collections.abc import Sequence

from benchtui.base.errors import BenchError


def largest_remainder(total: int, weights: Sequence[int]) -> list[int]:
    """``total`` split in proportion to ``weights``, exact: each gets the whole part of its quota, and the
    pennies left over go one each to the largest remainders, equal remainders in input order.

    All weights zero means evenly; no weights at all is an empty list. A larger total can give one share a
    penny less (the Alabama paradox): that is the method, not a fault.
    BenchError below zero; TypeError for anything but whole numbers.
    Source: the Hare-Niemeyer (Hamilton) method; tie rule ours.
    """
    for number in (total, *weights):
        if type(number) is not int:
            raise TypeError(f"amounts and weights are whole numbers, not {type(number).__name__}: {number!r}")
        if number < 0:
            raise BenchError(f"{number} cannot be shared out or be a weight", "shares", "use 0 or more")
    whole = sum(weights)
    if not whole:
        weights, whole = [1] * len(weights), len(weights)
    if not whole:
        return []
    quotas = [divmod(total * weight, whole) for weight in weights]
    got = [quota for quota, _ in quotas]
    by_remainder = sorted(range(len(quotas)), key=lambda at: -quotas[at][1])
    for at in by_remainder[: total - sum(got)]:
        got[at] += 1
    return got
