"""One clue's likelihoods under every candidate of a title."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import log2
from operator import mul

from benchtui.books.shape import Answer, Clue
from benchtui.evidence.cells import Grid, fade
from benchtui.evidence.settings import ModelSettings
from benchtui.evidence.word_weights import Row

MANY = 16


@dataclass(slots=True)
class ClueTable:
    """L of each answer: ``flat[k][h]``, and for candidates whose L changes over time ``timed[h][k][t]``.

    ``entropy[h]`` is that of the answers under h, in bits (0 where timed: those are worked out when asked).
    ``speaks`` is False where every candidate says the same at every time.
    """

    ids: tuple[str, ...]
    flat: list[Row]
    timed: dict[int, list[Row]]
    entropy: Row = field(default_factory=list)
    speaks: bool = True
    _coarse: "ClueTable | None" = None
    _tempered: dict[float, "ClueTable"] = field(default_factory=dict)
    _expected: list[Row] = field(default_factory=list)
    _spread: Row = field(default_factory=list)

    def __post_init__(self) -> None:
        self.entropy = [
            0.0 if h in self.timed else entropy(row) for h, row in enumerate(zip(*self.flat, strict=True))
        ]
        self.speaks = bool(self.timed) or any(max(col) - min(col) > 1e-12 for col in self.flat)

    def column(self, answers: Sequence[str], summed: bool = False) -> tuple[Row, dict[int, Row]]:
        """L of one answer; of two brackets where a number lies at their edge the mean; of either of two
        (``summed``) the sum.
        """
        ks = [self.ids.index(answer) for answer in answers]
        if len(ks) == 1:
            return self.flat[ks[0]], {h: rows[ks[0]] for h, rows in self.timed.items()}
        by = 1 if summed else len(ks)
        flat = [sum(values) / by for values in zip(*(self.flat[k] for k in ks), strict=True)]
        timed = {
            h: [sum(values) / by for values in zip(*(rows[k] for k in ks), strict=True)]
            for h, rows in self.timed.items()
        }
        return flat, timed

    def expected(self, grids: Sequence[Grid]) -> list[Row]:
        """L of each answer with the time not known further: the mean over each candidate's cells."""
        if not self._expected:
            self._expected = [list(column) for column in self.flat]
            for h, curves in self.timed.items():
                for k, curve in enumerate(curves):
                    self._expected[k][h] = sum(map(mul, grids[h].p, curve))
        return self._expected

    def in_mean(self, grids: Sequence[Grid]) -> tuple[list[Row], Row]:
        """The same to write into, and the entropy of the answers; what is so at all times is no copy."""
        if not self.timed:
            return self.flat, self.entropy
        columns = self.expected(grids)
        if not self._spread:
            self._spread = entropies(columns)
        return [list(column) for column in columns], list(self._spread)

    def coarse(self) -> "ClueTable":
        """Neighbours among many answers (years, say) taken together, to ask with: a dozen at most."""
        if len(self.ids) <= MANY:
            return self
        if self._coarse is None:
            step = -(-len(self.ids) // 12)
            starts = range(0, len(self.ids), step)
            flat = [_summed(self.flat[i : i + step]) for i in starts]
            timed = {h: [_summed(rows[i : i + step]) for i in starts] for h, rows in self.timed.items()}
            self._coarse = ClueTable(tuple(self.ids[i] for i in starts), flat, timed)
        return self._coarse

    def tempered(self, divisor: float) -> "ClueTable":
        """log L over the divisor, adding up to 1 again: what a clue that repeats others can still tell."""
        if divisor == 1.0:
            return self
        if divisor not in self._tempered:
            timed = {h: temper(rows, divisor) for h, rows in self.timed.items()}
            self._tempered[divisor] = ClueTable(self.ids, temper(self.flat, divisor), timed)
        return self._tempered[divisor]


def _summed(rows: list[Row]) -> Row:
    return [sum(column) for column in zip(*rows, strict=True)]


def entropy(row: Sequence[float]) -> float:
    """Shannon entropy in bits of figures that add up to 1."""
    return -sum(p * log2(p) for p in row if p > 0)


def entropies(columns: list[Row]) -> Row:
    """That of each candidate's answers, ``columns[k][h]``, quickly: every key takes thousands."""
    try:
        terms = [list(map(mul, column, map(log2, column))) for column in columns]
    except ValueError:  # a nought among them
        return [entropy(row) for row in zip(*columns, strict=True)]
    return [-total for total in map(sum, zip(*terms, strict=True))]


def temper(rows: list[Row], divisor: float) -> list[Row]:
    """Each figure to the power 1/divisor, columns made to add up to 1 again (a column of zeros stays)."""
    powered = [[value ** (1 / divisor) for value in row] for row in rows]
    totals = [sum(column) or 1.0 for column in zip(*powered, strict=True)]
    return [[value / total for value, total in zip(row, totals, strict=True)] for row in powered]


def twins_of(answers: Sequence[Answer]) -> dict[int, int]:
    """Answer to its named look-alike, by place."""
    place = {answer.id: k for k, answer in enumerate(answers)}
    named = {k: place[a.looks_like] for k, a in enumerate(answers) if a.looks_like in place}
    return {k: twin for k, twin in named.items() if k != twin}


def misread(p: Row, twins: Mapping[int, int], m: float) -> Row:
    """L = (1-m) P + m (1-P)/(K-1); an answer with a named look-alike gives all its m to that one."""
    size = len(p)
    if size < 2 or m == 0:
        return p
    if not twins:
        return [(1 - m) * x + m * (1 - x) / (size - 1) for x in p]
    shared = sum(x for k, x in enumerate(p) if k not in twins)
    row = [(1 - m) * x + m * (shared - (0.0 if k in twins else x)) / (size - 1) for k, x in enumerate(p)]
    for k, twin in twins.items():
        row[twin] += m * p[k]
    return row


def clue_table(clue: Clue, theta: Sequence[Row], grids: Sequence[Grid], settings: ModelSettings) -> ClueTable:
    """The table of a clue from theta(k|h) and each candidate's time cells."""
    answers = [answer for answer in clue.answers if not answer.neutral]
    twins = twins_of(answers)
    m = settings.misread_of(clue.misread)
    flat: list[Row] = [[0.0] * len(theta) for _ in answers]
    timed: dict[int, list[Row]] = {}
    for h, (row, cells) in enumerate(zip(theta, grids, strict=True)):
        curves = [fade(answer, cells.mids, settings) for answer in answers]
        if any(isinstance(curve, list) for curve in curves):
            timed[h] = _over_time(row, curves, len(cells.mids), twins, m)
            continue
        steady = misread(_dated(row, [float(c) for c in curves if not isinstance(c, list)]), twins, m)
        for k, value in enumerate(steady):
            flat[k][h] = value
    return ClueTable(tuple(answer.id for answer in answers), flat, timed)


def _over_time(
    theta: Row, curves: Sequence[float | list[float]], cells: int, twins: Mapping[int, int], m: float
) -> list[Row]:
    """L of each answer, cell by cell."""
    rows = [
        [w * v for v in c] if isinstance(c, list) else [w * c] * cells
        for w, c in zip(theta, curves, strict=True)
    ]
    totals = [sum(column) for column in zip(*rows, strict=True)]
    size = len(rows)
    if twins or size < 2 or min(totals) <= 0:
        columns = [misread(_dated(list(p), [1.0] * size), twins, m) for p in zip(*rows, strict=True)]
        return [list(row) for row in zip(*columns, strict=True)]
    low = m / (size - 1)
    keep = [(1 - m - low) / total for total in totals]
    return [[a * b + low for a, b in zip(row, keep, strict=True)] for row in rows]


def _dated(theta: Row, v: Sequence[float]) -> Row:
    """P(k|h,t) = theta(k) v(k,t) over its sum; even odds where the sum is 0."""
    row = [a * b for a, b in zip(theta, v, strict=True)]
    total = sum(row)
    return [value / total for value in row] if total > 0 else [1.0 / len(row)] * len(row)
