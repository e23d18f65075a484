"""What an open clue is expected to tell: mutual information of pressing and answer."""

from collections.abc import Sequence
from math import log2
from operator import mul

from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.parts import Asked, PartEvidence, told
from benchtui.evidence.posterior import Posterior
from benchtui.evidence.tables import ClueTable
from benchtui.evidence.word_weights import Row


def spread(values: Sequence[float]) -> float:
    """Sum of x log2 x; written for speed, since every key press takes thousands of them."""
    try:
        return float(sum(map(mul, values, map(log2, values))))
    except ValueError:  # a nought among them
        return sum(x * log2(x) for x in values if x > 0)


def joint_table(post: Posterior, kept: Asked) -> list[Row]:
    """P(answer, candidate) under the whole mixture: one row per answer."""
    return [list(map(mul, post.p, column)) for column in kept.columns]


def information(post: Posterior, kept: Asked) -> float:
    """Mutual information of answer and pressing in bits: H(answer) - H(answer | pressing)."""
    p, n = post.p, len(post.model.pressings)
    answers = spread([sum(map(mul, p, column)) for column in kept.columns])
    none = [sum(map(mul, p[n:], column[n:])) for column in kept.columns]
    known: float = sum(map(mul, p[:n], kept.entropy)) - spread(none) + spread([sum(none)])
    return max(0.0, -answers - known)


def whether_new(post: Posterior, kept: Asked) -> float:
    """Mutual information of answer and "none of these" in bits: whatever it tells the known ones apart."""
    odds = [1 - post.none, post.none]
    joint = [list(map(mul, odds, post.as_two(column))) for column in kept.columns]
    return max(0.0, gain(joint, spread(odds)))


def gain(joint: list[Row], known: float) -> float:
    """Mutual information: sum of P(k,h) log2 P(k,h)/(P(k) P(h)); ``known`` is the sum of P(h) log2 P(h)."""
    both = sum(map(spread, joint))
    return max(0.0, both - spread([sum(row) for row in joint]) - known)


def date_gain(part: PartEvidence, table: ClueTable, model: Candidates) -> float:
    """Without pressings to tell apart: mutual information in bits of the answer and the time cell."""
    weights = part.factors.times.get(0) or model.grids(part.seen.kind in LAGGED)[0].p
    total = sum(weights)
    if not table.timed or total <= 0:
        return 0.0
    time = [value / total for value in weights]
    return gain([list(map(mul, time, row)) for row in table.timed[0]], spread(time))


def pair_table(post: Posterior, part: PartEvidence, one: ClueTable, two: ClueTable) -> list[Row]:
    """P(both answers, pressing) of two clues, taken as independent given the pressing: a row per pair.

    What their dates would say of each other given the pressing is left out: it is little, and dear to find.
    """
    one_told, two_told = (told(part, table, post.model, post.telling) for table in (one, two))
    if not part.swap:
        rows = joint_table(post, one_told)
        return [post.model.merged(list(map(mul, row, col))) for row in rows for col in two_told.columns]
    rows = [list(map(mul, part.a, row)) for row in one_told.own]
    return _mixed(post, part, [list(map(mul, row, chance)) for row in rows for chance in two_told.own])


def _mixed(post: Posterior, part: PartEvidence, rows: list[Row]) -> list[Row]:
    """Rows of A(u,h) with answers under what all other parts say, swaps of this part summed out."""
    others = [part.swap * sum(map(mul, post.model.prior, row)) for row in rows]
    keep, rest = 1 - part.swap, post.rest[part.seen.id]
    return [
        post.model.merged([k * (keep * x + other) for k, x in zip(rest, row, strict=True)])
        for row, other in zip(rows, others, strict=True)
    ]
