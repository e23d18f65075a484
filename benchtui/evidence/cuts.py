"""The two sides' cuts as one clue over pairs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from benchtui.books.shape import Clue, Pressing, Word
from benchtui.evidence.rates import Rates
from benchtui.evidence.runout import cuts_of
from benchtui.evidence.settings import ModelSettings
from benchtui.evidence.tables import ClueTable
from benchtui.evidence.word_weights import Row, fill, learnt, unknown, weights

OTHER = "other"


@dataclass(slots=True)
class CutTable:
    """``pair[a][b][h]``: L of the first side's cut a with the second side's b under candidate h."""

    sides: tuple[tuple[str, ...], tuple[str, ...]]
    pair: list[list[Row]]
    _asked: dict[tuple[int, str | None], ClueTable] = field(default_factory=dict)

    def places(self, side: int, cut: str) -> list[int]:
        """Where a cut stands in its side's list, or those of an either; an unlisted one is ``other``."""
        names = [name.casefold() for name in self.sides[side]]
        found = [
            names.index(low) if (low := one.casefold()) in names else len(names) - 1 for one in cuts_of(cut)
        ]
        return list(dict.fromkeys(found))

    def column(self, first: str | None, second: str | None) -> Row:
        """L of what was read; of one side alone its marginal, of either of several cuts the sum of theirs."""
        rows = self.pair if first is None else [self.pair[i] for i in self.places(0, first)]
        cells = [row if second is None else [row[j] for j in self.places(1, second)] for row in rows]
        return [sum(values) for values in zip(*(col for row in cells for col in row), strict=True)]

    def asking(self, side: int, known: str | None) -> ClueTable:
        """The table of one side's cut, given the other side's where that was read."""
        if (side, known) not in self._asked:
            base = self.column(known, None) if side else self.column(None, known)
            flat = []
            for cut in self.sides[side]:
                joint = self.column(known, cut) if side else self.column(cut, known)
                flat.append(
                    joint
                    if known is None
                    else [a / b if b else 0.0 for a, b in zip(joint, base, strict=True)]
                )
            self._asked[side, known] = ClueTable(self.sides[side], flat, {})
        return self._asked[side, known]


def cut_table(
    pressings: Sequence[Pressing],
    clue: Clue | None,
    prior: Sequence[float],
    counts: Sequence[Mapping[str, Any]],
    settings: ModelSettings,
    rates: Rates,
) -> CutTable | None:
    """The title's table of cuts, or None where no pressing says anything of them.

    ``prior`` of every candidate: those beyond the pressings are the stretches of "none of these".
    """
    words = [p.expect.get(clue.id, {}) if clue else {} for p in pressings]
    listed = [a.id for a in clue.answers if not a.neutral] if clue and any(words) else []
    sides = tuple(
        (*dict.fromkeys([p_cut[0][s] for p in pressings for p_cut in p.cuts] + [*listed]), OTHER)
        for s in (0, 1)
    )
    sides = tuple((*[c for c in side[:-1] if c != OTHER], OTHER) for side in sides)
    if len(sides[0]) == 1 and len(sides[1]) == 1:
        return None
    rows = [_pairs(p, word, (sides[0], sides[1]), settings) for p, word in zip(pressings, words, strict=True)]
    size = len(sides[0]) * len(sides[1])
    theta = [
        learnt(row, _counted(count, (sides[0], sides[1])), settings.strength * p.trust_of(""))
        for p, row, count in zip(pressings, fill(rows, size), counts, strict=True)
    ]
    of_none = rates.cuts(sides[0], sides[1]) or unknown(theta, prior[: len(theta)], size)
    theta += [of_none] * (len(prior) - len(theta))
    m = settings.misread_of(clue.misread if clue else None)
    return CutTable((sides[0], sides[1]), _misread_pairs(theta, len(sides[0]), len(sides[1]), m))


def _pairs(
    pressing: Pressing,
    single: Mapping[str, Word],
    sides: tuple[tuple[str, ...], ...],
    settings: ModelSettings,
) -> Row | None:
    """l w(a,b) + (1-l) w(a) w(b) over all pairs, l = 0 where no pairs are named; None: silent."""
    n = len(sides[1])
    if pressing.cuts:
        ids = [f"{a}|{b}" for a in sides[0] for b in sides[1]]
        w = weights({f"{a}|{b}": word for (a, b), word in pressing.cuts}, ids)
        if w is None:
            return None
        first = [sum(w[i * n : (i + 1) * n]) for i in range(len(sides[0]))]
        second = [sum(w[j::n]) for j in range(n)]
        share = settings.coupling
        return [
            share * w[i * n + j] + (1 - share) * a * b
            for i, a in enumerate(first)
            for j, b in enumerate(second)
        ]
    one, two = weights(single, sides[0]), weights(single, sides[1])
    return None if one is None or two is None else [a * b for a in one for b in two]


def _counted(counts: Mapping[str, Any], sides: tuple[tuple[str, ...], tuple[str, ...]]) -> Row:
    """The shop's counts of pairs; cuts the book does not list go to ``other``."""
    n = len(sides[1])
    row = [0.0] * (len(sides[0]) * n)
    lower = [{name.casefold(): i for i, name in enumerate(side)} for side in sides]
    for key, times in counts.get("cuts", {}).items():
        a, _, b = str(key).partition("|")
        i = lower[0].get(a.casefold(), len(sides[0]) - 1)
        j = lower[1].get(b.casefold(), n - 1)
        row[i * n + j] += times
    return row


def _misread_pairs(theta: Sequence[Row], first: int, second: int, m: float) -> list[list[Row]]:
    """Misreads apply a side: along the one, then along the other."""
    pair = [[[0.0] * len(theta) for _ in range(second)] for _ in range(first)]
    for h, row in enumerate(theta):
        across = [_slip(row[i * second : (i + 1) * second], m) for i in range(first)]
        for j in range(second):
            for i, value in enumerate(_slip([line[j] for line in across], m)):
                pair[i][j][h] = value
    return pair


def _slip(row: Row, m: float) -> Row:
    """Misreads among the cuts of one side; the row is one side's share of a pair and need not add up to 1."""
    if len(row) < 2:
        return row
    total = sum(row)
    return [(1 - m) * x + m * (total - x) / (len(row) - 1) for x in row]
