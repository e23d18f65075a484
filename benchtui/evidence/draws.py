"""Copies drawn from a pressing's own model: log A of what the questions asked of one part would come to."""

from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from math import log, log10
from operator import mul
from random import Random
from typing import Protocol

from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.parts import PartEvidence, Weighed, group_of
from benchtui.evidence.results import Surprise
from benchtui.evidence.runout import cuts_of
from benchtui.evidence.word_weights import Row

_LEAST = 1e-12
_GRAIN = 1 << 16
SURPRISING = 6.0
"""Decibans by which another answer was likelier, from which an answer is named as a surprise."""


def draw(rng: Random, values: Sequence[float], chances: Sequence[float], n: int) -> list[float]:
    """So many of the values, each as often as its chance says, to one part in 65,536.

    A table looked up by two random bytes: four times as quick as ``Random.choices`` for a thousand.
    """
    total = sum(chances)
    upto = [round(_GRAIN * x / total) for x in accumulate(chances)]
    table: list[float] = []
    for value, end in zip(values, upto, strict=True):
        table += [value] * (end - len(table))
    return list(map(table.__getitem__, array("H", rng.randbytes(2 * n))))


class Piece(Protocol):
    """Some questions of one part whose answers depend on each other, and on no other question's."""

    seen: float

    def draw(self, rng: Random, n: int, fails: float | None) -> list[float]:
        """log A of so many copies; ``fails``: how often an "always" fails, None: as the model has it."""
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

    def chances(self, cell: int, fails: float | None) -> Row:
        """P of each answer at a moment; an "always" fails no more often than it is seen to."""
        column = [row[cell] for row in self.rows]
        if fails is None or self.always is None or column[self.always] >= 1 - fails:
            return column
        shrunk = [x * fails / (1 - column[self.always]) for x in column]
        shrunk[self.always] = 1 - fails
        return shrunk

    def surprise(self, weights: Row) -> Surprise | None:
        """How far another answer was likelier, over all moments."""
        mean = [sum(map(mul, row, weights)) for row in self.rows]
        db = 10 * self.power * log10(max(mean) / max(sum(map(mul, self.seen, weights)), _LEAST))
        mark = self.term.mark
        if mark is None or db < SURPRISING:
            return None
        text = " or ".join(answer.text for answer in mark.answers)
        return Surprise(
            self.part, mark.place, mark.doc["clue"], mark.clue.ask, text, db, self.always is not None
        )


class Alone:
    """A clue that says the same at every time."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.seen = question.power * log(max(question.seen[0], _LEAST))

    def draw(self, rng: Random, n: int, fails: float | None) -> list[float]:
        q = self.question
        logs = [q.power * log(max(row[0], _LEAST)) for row in q.rows]
        return draw(rng, logs, q.chances(0, fails), n)

    def surprises(self) -> Iterable[Surprise]:
        found = self.question.surprise([1.0])
        return [found] if found else []


class Dated:
    """The dated clues of one part: all of one moment."""

    def __init__(self, questions: Sequence[Question], cells: Row) -> None:
        self.questions, self.cells = questions, cells
        self.seen = self._log([q.seen for q in questions])

    def _log(self, rows: Sequence[Row]) -> float:
        total = self.cells
        for q, row in zip(self.questions, rows, strict=True):
            total = list(map(mul, total, row if q.power == 1.0 else [x**q.power for x in row]))
        return log(max(sum(total), _LEAST))

    def draw(self, rng: Random, n: int, fails: float | None) -> list[float]:
        moments = rng.choices(range(len(self.cells)), weights=self.cells, k=n)
        often = [moments.count(cell) for cell in range(len(self.cells))]
        drawn = [
            [k for cell, times in enumerate(often) if times
             for k in rng.choices(range(len(q.rows)), weights=q.chances(cell, fails), k=times)]
            for q in self.questions
        ]  # fmt: skip

        @cache
        def of(*answers: int) -> float:
            return self._log([q.rows[k] for q, k in zip(self.questions, answers, strict=True)])

        return [of(*answers) for answers in zip(*drawn, strict=True)]

    def surprises(self) -> Iterable[Surprise]:
        return [found for q in self.questions if (found := q.surprise(self.cells))]


class Cuts:
    """The cuts that were read, of one side or as a pair."""

    def __init__(self, part: str, chances: Row, likely: float, read: dict[str, str]) -> None:
        self.part, self.p, self.likely, self.read = part, chances, likely, read
        self.seen = log(max(likely, _LEAST))

    def draw(self, rng: Random, n: int, fails: float | None) -> list[float]:
        logs = [log(max(x, _LEAST)) for x in self.p]
        return draw(rng, logs, self.p, n)

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
        question = _question(model, part, term, h, len(cells))
        if question is not None and len(question.seen) > 1:
            dated.append(question)
        elif question is not None:
            found.append(Alone(question))
    if dated:
        found.append(Dated(dated, cells))
    cuts = _cuts(model, part, h)
    return [*found, cuts] if cuts is not None else found


def _question(model: Candidates, part: PartEvidence, term: Weighed, h: int, cells: int) -> Question | None:
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
