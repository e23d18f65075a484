"""How far the clues of a group repeat each other: learnt from the copies that the dealer named.

log L of n clues of one group is divided by 1 + (n - 1) r. The books' r is .3, too much where the clues go
their own ways and too little where one cause is behind all of them. Of each named copy is kept what the
named pressing's odds would have cost in bits under each r (witness.py); the learnt r is the mean of all of
them, each as likely as 2 to the minus those bits and as it was thought at first: a few copies move it
little.
"""

from collections.abc import Mapping
from math import exp2

STRENGTHS: dict[str, float] = {"0": 0.0, "0.15": 0.15, "0.3": 0.3, "0.6": 0.6, "1": 1.0}
_AT_FIRST: dict[str, float] = {"0": 1.5, "0.15": 2.5, "0.3": 4.0, "0.6": 1.5, "1": 0.5}
"""How likely each is before any copy was named; their mean is the .3 of the books."""


def learnt_repeats(bits: Mapping[str, Mapping[str, float]]) -> dict[str, float]:
    """r of each group that named copies tell of, from the bits under each r (by group, then r)."""
    return {group: _mean(its) for group, its in bits.items()}


def _mean(bits: Mapping[str, float]) -> float:
    least = min(bits.values())
    odds = {key: its * exp2(least - bits.get(key, least)) for key, its in _AT_FIRST.items()}
    return sum(STRENGTHS[key] * value for key, value in odds.items()) / sum(odds.values())
