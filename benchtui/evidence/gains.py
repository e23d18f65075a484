"""What an open clue is expected to tell: mutual information of pressing and answer (evidence.md: *Next*)."""

from collections.abc import Sequence
from math import log2
from operator import mul

from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.parts import PartEvidence, with_answer
from benchtui.evidence.posterior import Posterior
from benchtui.evidence.tables import ClueTable
from benchtui.evidence.word_weights import Row


def spread(values: Sequence[float]) -> float:
    """Sum of x log2 x; written for speed, since every key press takes thousands of them."""
    try:
        return float(sum(map(mul, values, map(log2, values))))
    except ValueError:  # a nought among them
        return sum(x * log2(x) for x in values if x > 0)


def joint_table(post: Posterior, part: PartEvidence, table: ClueTable) -> list[Row]:
    """P(answer, pressing) under the whole mixture, swaps of this part summed out: one row per answer."""
    rows = with_answer(part.factors, table, post.model, part.seen.kind)
    rest = post.rest[part.seen.id]
    if not part.swap:
        return [list(map(mul, rest, row)) for row in rows]
    kept = [(1 - part.swap) * value for value in rest]
    mixed = []
    for row in rows:
        other = part.swap * sum(map(mul, post.model.prior, row))
        mixed.append([a * value + r * other for a, value, r in zip(kept, row, rest, strict=True)])
    return mixed


def gain(joint: list[Row], known: float) -> float:
    """Mutual information: sum of P(k,h) log2 P(k,h)/(P(k) P(h)); ``known`` is the sum of P(h) log2 P(h)."""
    both = sum(map(spread, joint))
    return max(0.0, both - spread([sum(row) for row in joint]) - known)


def plain_gain(p: Row, table: ClueTable) -> float:
    """The same where part and clue are plain (no swap, no dates): H(answer) - H(answer | pressing)."""
    answers = spread([sum(map(mul, p, column)) for column in table.flat])
    known: float = sum(map(mul, p, table.entropy))
    return max(0.0, -answers - known)


def date_gain(part: PartEvidence, table: ClueTable, model: Candidates) -> float:
    """Without pressings to tell apart: mutual information in bits of the answer and the time cell."""
    weights = part.factors.times.get(0) or model.grids(part.seen.kind in LAGGED)[0].p
    total = sum(weights)
    if not table.timed or total <= 0:
        return 0.0
    time = [value / total for value in weights]
    return gain([list(map(mul, time, row)) for row in table.timed[0]], spread(time))


def paired(one: ClueTable, two: ClueTable) -> ClueTable:
    """Two clues as one whose answers are the pairs; independent given pressing and time."""
    if kept := one.pairs.get(id(two)):
        return kept[1]
    ids = tuple(f"{a}|{b}" for a in one.ids for b in two.ids)
    flat = [list(map(mul, a, b)) for a in one.flat for b in two.flat]
    timed = {}
    for h in one.timed.keys() | two.timed.keys():
        cells = len((one.timed.get(h) or two.timed[h])[0])
        first = one.timed.get(h) or [[column[h]] * cells for column in one.flat]
        second = two.timed.get(h) or [[column[h]] * cells for column in two.flat]
        timed[h] = [list(map(mul, a, b)) for a in first for b in second]
    one.pairs[id(two)] = (two, ClueTable(ids, flat, timed))
    return one.pairs[id(two)][1]
