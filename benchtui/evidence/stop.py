"""From where on a leader is called settled: calibrated on the copies that the dealer named.

"Settled at .95" promises one wrong in twenty at most. Clues that hang together and books with gaps make the
odds too sure. So of every copy named by the dealer it is kept how sure the bench was of its leader and
whether that was the pressing named. With x the log odds of the leader, P(right) is taken as 1 / (1 + exp(-a
x)), a found by greatest likelihood and held near 1 (the form of J. Platt 1999, "Probabilistic outputs for
support vector machines", with one figure, as in C. Guo and others 2017, "On calibration of modern neural
networks").
"""

from collections.abc import Mapping
from math import exp, floor, log
from typing import NamedTuple

ENOUGH = 200
"""Named copies before which nothing is calibrated."""
SLOPES = tuple(0.4 + 0.05 * i for i in range(18))
_SPREAD = 0.3
"""Of log a, before any copy was named."""
_STEP, _MOST = 0.5, 12


class Stop(NamedTuple):
    """``at``: how likely a leader is settled from. ``named`` copies; of them ``sure`` of the leader at the
    shop's own figure, and of these ``wrong``.
    """

    at: float
    named: int = 0
    sure: int = 0
    wrong: int = 0

    def say(self) -> str:
        """Where it stops and how often it was wrong, in a sentence."""
        if self.named == 0:
            return f"counts as sure from {self.at:.1%}; not checked yet: you have named no copy"
        share = f" ({self.wrong / self.sure:.1%})" if self.sure else ""
        copies = "the one copy" if self.named == 1 else f"the {self.named} copies"
        told = f"of {copies} you named the bench was sure of {self.sure}, and wrong in {self.wrong}"
        if self.named < ENOUGH:
            return f"counts as sure from {self.at:.1%}; {told}{share}; adjusted once there are {ENOUGH}"
        return f"counts as sure from {self.at:.1%}, adjusted by them: {told}{share}"


NO_STOP = Stop(0.95)


def bin_of(p: float, settle: float = 0.95) -> str:
    """Where a leader's share stands: half units of log odds, counted from the stop."""
    held = min(max(p, 1e-9), 1 - 1e-9)
    place = floor((_logit(held) - _logit(settle)) / _STEP + 1e-9)
    return str(max(-_MOST, min(_MOST, place)))


def stop_of(seen: Mapping[str, Mapping[str, int]], settle: float) -> Stop:
    """The stop after these copies: by bin how often the leader was ``right`` and ``wrong``."""
    rows = [(int(place), its.get("right", 0), its.get("wrong", 0)) for place, its in seen.items()]
    named = sum(right + wrong for _, right, wrong in rows)
    sure = [(right, wrong) for place, right, wrong in rows if place >= 0]
    wrong = sum(wrong for _, wrong in sure)
    at = settle if named < ENOUGH else 1 / (1 + exp(-_logit(settle) / _slope(rows)))
    return Stop(at, named, sum(right for right, _ in sure) + wrong, wrong)


def _slope(rows: list[tuple[int, int, int]]) -> float:
    """The likeliest a."""

    def likely(a: float) -> float:
        total = -((log(a) / _SPREAD) ** 2) / 2
        for place, right, wrong in rows:
            x = a * (_logit(0.95) + (place + 0.5) * _STEP)
            total -= right * log(1 + exp(-x)) + wrong * log(1 + exp(x))
        return total

    return max(SLOPES, key=likely)


def _logit(p: float) -> float:
    return log(p / (1 - p))
