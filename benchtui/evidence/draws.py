"""Copies drawn from a pressing's own model: log A of what the questions asked of one part would come to."""

from array import array
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, partial, reduce
from itertools import accumulate
from math import log, log10
from operator import add, mul, truediv
from random import Random
from typing import Protocol, TypeVar

from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.parts import PartEvidence, Weighed, group_of
from benchtui.evidence.results import Surprise
from benchtui.evidence.runout import cuts_of
from benchtui.evidence.word_weights import Row

Value = TypeVar("Value")
_LEAST = 1e-12
_GRAIN = 1 << 16
_SAME = 1e-9
_AT_HOME = 0.5
"""An "always" less likely than this is held back by its dates, not seen to fail."""
SURPRISING = 6.0
"""Decibans by which another answer was likelier, from which an answer is named as a surprise."""


def draw(rng: Random, values: Sequence[Value], chances: Sequence[float], n: int) -> list[Value]:
    """So many of the values, each as often as its chance says, to one part in 65,536.

    A table looked up by two random bytes: four times as quick as ``Random.choices`` for a thousand.
    """
    total = sum(chances)
    upto = [round(_GRAIN * x / total) for x in accumulate(chances)]
    table: list[Value] = []
    for value, end in zip(values, upto, strict=True):
        table += [value] * (end - len(table))
    return list(map(table.__getitem__, array("H", rng.randbytes(2 * n))))


Drawn = tuple[list[float], list[float]]
"""Of each copy log A, and the log of how much likelier it is where an "always" fails as on the bench."""


class Piece(Protocol):
    """Some questions of one part whose answers depend on each other, and on no other question's."""

    seen: float

    def draw(self, rng: Random, n: int, fails: float) -> Drawn:
        """So many copies; ``fails``: how often an "always" fails on the bench."""
        ...

    def surprises(self) -> Iterable[Surprise]:
        """The answers seen that another was likelier than by far."""
        ...


@dataclass(slots=True)
class Question:
    """A clue under one pressing: ``rows[k]`` is L of each answer, moment by moment, or once for all times.

    ``seen`` L of what was seen in the same way, ``always`` the place of the answer that the book says it
    always shows, ``power`` what the clue's group leaves of it.
    """

    term: Weighed
    part: str
    rows: list[Row]
    seen: Row
    always: int | None
    power: float

    @property
    def changes(self) -> bool:
        """Whether any answer's chance is another at another time."""
        return any(max(row) - min(row) > _SAME for row in self.rows)

    def chances(self, cell: int) -> Row:
        """P of each answer at a moment."""
        return [row[cell] for row in self.rows]

    def careful(self, cell: int, fails: float) -> Row:
        """The log of how much likelier each answer is there where an "always" fails no more often than it is
        seen to; at a moment to which its own dates do not let it, it is none.
        """
        likely = self.chances(cell)
        if self.always is None or not _AT_HOME <= likely[self.always] < 1 - fails:
            return [0.0] * len(likely)
        ratios = [log(fails / (1 - likely[self.always]))] * len(likely)
        ratios[self.always] = log((1 - fails) / likely[self.always])
        return ratios

    def surprise(self, weights: Row) -> Surprise | None:
        """How far another answer was likelier, over all moments."""
        mean = [_mean(weights, row) for row in self.rows]
        db = 10 * self.power * log10(max(mean) / max(_mean(weights, self.seen), _LEAST))
        mark = self.term.mark
        if mark is None or db < SURPRISING:
            return None
        text = " or ".join(answer.text for answer in mark.answers)
        return Surprise(
            self.part, mark.place, mark.doc["clue"], mark.clue.ask, text, db, self.always is not None
        )


def _times(one: Row, other: Row) -> Row:
    return list(map(mul, one, other))


def _mean(weights: Row, row: Row) -> float:
    return float(sum(map(mul, row, weights)))


def _powered(row: Row, power: float) -> Row:
    return [max(x, _LEAST) ** power for x in row]


class Alone:
    """A clue that says the same at every time."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.seen = question.power * log(max(question.seen[0], _LEAST))

    def draw(self, rng: Random, n: int, fails: float) -> Drawn:
        q = self.question
        logs = [q.power * log(max(row[0], _LEAST)) for row in q.rows]
        each = list(zip(logs, q.careful(0, fails), strict=True))
        values, likelier = zip(*draw(rng, each, q.chances(0), n), strict=True)
        return list(values), list(likelier)

    def surprises(self) -> Iterable[Surprise]:
        found = self.question.surprise([1.0])
        return [found] if found else []


class Dated:
    """The dated clues of one part: all of one moment.

    Most copies show what is usual: of each only the answers that are not are multiplied in, by how much less
    likely they are, moment by moment.
    """

    def __init__(self, questions: Sequence[Question], cells: Row) -> None:
        self.questions, self.cells = questions, cells
        rows = [[_powered(row, q.power) for row in q.rows] for q in questions]
        usual = [max(its, key=partial(_mean, cells)) for its in rows]
        self._usual: Row = reduce(_times, usual, cells)
        self._instead = [
            [None if row is most else list(map(truediv, row, most)) for row in its]
            for its, most in zip(rows, usual, strict=True)
        ]
        seen = [_powered(q.seen, q.power) for q in questions]
        self.seen = self._log(list(map(truediv, row, most)) for row, most in zip(seen, usual, strict=True))

    def _log(self, factors: Iterable[Row]) -> float:
        by_moment: Row = reduce(_times, factors, self._usual)
        return log(max(sum(by_moment), _LEAST))

    def draw(self, rng: Random, n: int, fails: float) -> Drawn:
        moments = rng.choices(range(len(self.cells)), weights=self.cells, k=n)
        often = Counter(moments)
        drawn, likelier = [], [0.0] * n
        for q in self.questions:
            each = [
                (cell, rng.choices(range(len(q.rows)), q.chances(cell), k=n)) for cell, n in often.items()
            ]
            drawn.append([k for _, ks in each for k in ks])
            if q.always is not None:
                careful = ((q.careful(cell, fails), ks) for cell, ks in each)
                likelier = list(map(add, likelier, (row[k] for row, ks in careful for k in ks)))

        @cache
        def of(*answers: int) -> float:
            factors = (its[k] for its, k in zip(self._instead, answers, strict=True))
            return self._log(one for one in factors if one is not None)

        return [of(*answers) for answers in zip(*drawn, strict=True)], likelier

    def surprises(self) -> Iterable[Surprise]:
        return [found for q in self.questions if (found := q.surprise(self.cells))]


class Cuts:
    """The cuts that were read, of one side or as a pair."""

    def __init__(self, part: str, chances: Row, likely: float, read: dict[str, str]) -> None:
        self.part, self.p, self.likely, self.read = part, chances, likely, read
        self.seen = log(max(likely, _LEAST))

    def draw(self, rng: Random, n: int, fails: float) -> Drawn:
        logs = [log(max(x, _LEAST)) for x in self.p]
        return draw(rng, logs, self.p, n), [0.0] * n

    def surprises(self) -> Iterable[Surprise]:
        db = 10 * log10(max(self.p) / max(self.likely, _LEAST))
        if db < SURPRISING:
            return []
        sides = " and ".join(self.read)
        return [
            Surprise(
                self.part,
                "runout",
                "cut",
                f"cut {sides}",
                " and ".join(" or ".join(cuts_of(cut)) for cut in self.read.values()),
                db,
            )
        ]


def pieces_of(model: Candidates, part: PartEvidence, h: int) -> list[Piece]:
    """What was asked of a part, in pieces that are independent under pressing h."""
    found: list[Piece] = []
    dated = []
    cells = model.grids(part.seen.kind in LAGGED)[h].p
    for term in part.weighed:
        question = _question(model, part, term, h)
        if question is not None and question.changes:
            dated.append(question)
        elif question is not None:
            found.append(Alone(question))
    if dated:
        found.append(Dated(dated, cells))
    cuts = _cuts(model, part, h)
    return [*found, cuts] if cuts is not None else found


def _question(model: Candidates, part: PartEvidence, term: Weighed, h: int) -> Question | None:
    if term.mark is None:
        return None
    clue = term.mark.clue
    table = model.table(clue, part.seen.kind)
    flat, timed = table.column([answer.id for answer in term.mark.answers], term.mark.either)
    rows = table.timed.get(h) or [[column[h]] for column in table.flat]
    words = model.pressings[h].expect.get(term.mark.doc["clue"], {})
    always = next((k for k, answer in enumerate(table.ids) if words.get(answer) == "always"), None)
    group = group_of(clue)
    power = 1 / model.divisor(group, part.factors.groups[group])
    return Question(term, part.seen.id, rows, timed.get(h) or [flat[h]], always, power)


def _cuts(model: Candidates, part: PartEvidence, h: int) -> Cuts | None:
    table = model.cuts_read
    if table is None or not any(term.label == "cuts" for term in part.weighed):
        return None
    read = {side: part.seen.cuts[side] for side in part.seen.sides if side in part.seen.cuts}
    first, second = (part.seen.cuts.get(side) for side in part.seen.sides)
    names: tuple[Sequence[str | None], ...] = tuple(
        known if side in read else [None] for side, known in zip(part.seen.sides, table.sides, strict=True)
    )
    chances = [table.column(a, b)[h] for a in names[0] for b in names[1]]
    return Cuts(part.seen.id, chances, table.column(first, second)[h], read)
