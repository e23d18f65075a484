"""Two graders, or one grader twice: how far they agree, and whether one drifts away from the other.

Cohen's kappa, weighted (J. Cohen, Psychological Bulletin 70, 1968): 1 is full agreement, 0 is what chance
alone would give. Quadratic weights, since two steps apart is worse than twice one step. Every grade of the
scale counts as a place on it, used or not: leaving out an unused grade would bring its neighbours closer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

Weights = Literal["none", "linear", "quadratic"]
Table = Sequence[Sequence[int]]


class Pair(NamedTuple):
    """One part graded twice: ``first`` and ``second`` are steps of one scale; ``month`` is ``2026-11``."""

    first: str
    second: str
    month: str = ""


@dataclass(frozen=True, slots=True)
class Drift:
    """Over ``count`` pairs the second grading lies ``steps`` higher (or lower, where negative) on average."""

    group: str
    count: int
    steps: float


def confusion(pairs: Sequence[Pair], steps: Sequence[str]) -> list[list[int]]:
    """How often each first grade (rows) met each second one (columns), ``steps`` best first.

    ValueError for a grade that is no step of the scale.
    """
    place = _places(steps)
    table = [[0] * len(steps) for _ in steps]
    for pair in pairs:
        table[_place(place, pair.first)][_place(place, pair.second)] += 1
    return table


def kappa(table: Table, weights: Weights = "quadratic") -> float | None:
    """Weighted kappa of a square table of counts.

    None where it does not exist: nothing counted, or both graders gave one and the same grade throughout,
    so that chance alone would agree as well. ValueError for a table that is not square or holds a negative.
    """
    size = len(table)
    if any(len(row) != size for row in table) or any(count < 0 for row in table for count in row):
        raise ValueError("kappa needs a square table of counts")
    total = sum(map(sum, table))
    rows = [sum(row) for row in table]
    columns = [sum(column) for column in zip(*table, strict=True)]
    apart = [[_apart(i, j, weights) for j in range(size)] for i in range(size)]
    seen = sum(apart[i][j] * table[i][j] for i in range(size) for j in range(size))
    chance = sum(apart[i][j] * rows[i] * columns[j] for i in range(size) for j in range(size))
    return None if chance == 0 else 1 - seen * total / chance


def within(table: Table, steps: int = 0) -> float | None:
    """The share of pairs at most that many steps apart; None where nothing was counted."""
    total = sum(map(sum, table))
    near = sum(count for i, row in enumerate(table) for j, count in enumerate(row) if abs(i - j) <= steps)
    return near / total if total else None


def drift_by_grade(pairs: Sequence[Pair], steps: Sequence[str]) -> list[Drift]:
    """For each first grade that occurs, in the scale's order: how far the second grading lies above it."""
    grouped = ((step, [pair for pair in pairs if pair.first == step]) for step in steps)
    return [_drift(step, group, steps) for step, group in grouped if group]


def drift_by_month(pairs: Sequence[Pair], steps: Sequence[str]) -> list[Drift]:
    """The same for each month of the first grading, oldest first."""
    months = sorted({pair.month for pair in pairs})
    return [_drift(month, [pair for pair in pairs if pair.month == month], steps) for month in months]


def _drift(group: str, pairs: Sequence[Pair], steps: Sequence[str]) -> Drift:
    place = _places(steps)
    above = [_place(place, pair.first) - _place(place, pair.second) for pair in pairs]
    return Drift(group, len(pairs), sum(above) / len(above))


def _places(steps: Sequence[str]) -> dict[str, int]:
    return {step: at for at, step in enumerate(steps)}


def _place(places: dict[str, int], grade: str) -> int:
    if grade not in places:
        raise ValueError(f"{grade!r} is not a grade of the scale; it has {', '.join(places)}")
    return places[grade]


def _apart(i: int, j: int, weights: Weights) -> int:
    return int(i != j) if weights == "none" else abs(i - j) if weights == "linear" else (i - j) ** 2
