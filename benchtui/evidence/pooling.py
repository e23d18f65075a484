"""Answers of which a title's book says nothing: what its copies showed, pooled over its pressings.

Without pooling the chance differences of a few copies become evidence for one pressing against another.
"""

from collections.abc import Sequence
from math import lgamma

from benchtui.evidence.word_weights import Row

STRENGTHS = (10, 5, 20, 2, 40)
"""s, the middle one first: it stands where the counts do not tell one from another."""
EVEN = 4.0


def pooled(counts: Sequence[Row], even: Row) -> tuple[list[Row], Row]:
    """theta(k|h) = (s q(k) + n(k)) / (s + N) of each pressing, and q.

    ``counts``: n(k) of each pressing. q: the counts of all pressings plus 4 x ``even``, as shares. s is that
    of 2, 5, 10, 20, 40 under which the counts are likeliest (their marginal likelihood, answers of a
    pressing's copies drawn by a Dirichlet of mean q and weight s).
    """
    total = [EVEN * base + sum(column) for base, column in zip(even, zip(*counts, strict=True), strict=True)]
    q = [value / sum(total) for value in total]
    told = [row for row in counts if sum(row) > 0]
    s = max(STRENGTHS, key=lambda s: round(_likelihood(told, q, s), 9))
    return [[(s * x + n) / (s + sum(row)) for x, n in zip(q, row, strict=True)] for row in counts], q


def _likelihood(counts: Sequence[Row], q: Row, s: float) -> float:
    """Log marginal likelihood of the counts, but for what does not depend on s."""
    total = 0.0
    for row in counts:
        total += lgamma(s) - lgamma(s + sum(row))
        total += sum(lgamma(s * x + n) - lgamma(s * x) for x, n in zip(q, row, strict=True) if n)
    return total
