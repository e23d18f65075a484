"""One part's evidence A(u,h) (evidence.md: *A part's evidence*, *Clues that repeat each other*)."""

from collections import Counter
from dataclasses import dataclass, field
from operator import mul

from benchtui.books.shape import Clue
from benchtui.evidence.candidates import Candidates
from benchtui.evidence.cuts import CutTable
from benchtui.evidence.seen import Mark, PartSeen
from benchtui.evidence.stampers import stamper_term
from benchtui.evidence.tables import ClueTable
from benchtui.evidence.words import Row


@dataclass(slots=True)
class Term:
    """One factor of A: L per candidate, by time cell where it changes; ``mark`` None: ``label`` says what."""

    flat: Row
    timed: dict[int, Row]
    mark: Mark | None
    label: str = ""


@dataclass(slots=True)
class PartEvidence:
    """A(u,h), B(u) and what goes into them. ``scal`` is the part of A outside the sum over time.

    ``times[h]``: p(t|u,h) times the dated factors, for candidates that have any. ``swap``: s, the odds that
    the part came from another copy. ``a`` is scaled to a maximum of 1: only ratios within a part matter.
    """

    seen: PartSeen
    terms: list[Term]
    groups: Counter[str]
    swap: float
    swapped: bool
    scal: Row = field(default_factory=list)
    times: dict[int, Row] = field(default_factory=dict)
    a: Row = field(default_factory=list)
    b: float = 1.0

    def mix(self) -> Row:
        """(1-s) A(u,h) + s B(u); 1 for a part ruled swapped, which no longer speaks."""
        if self.swapped:
            return [1.0] * len(self.a)
        other = self.swap * self.b
        keep = 1 - self.swap
        return [keep * value + other for value in self.a]


def group_of(clue: Clue) -> str:
    """What a clue repeats: its group, else itself seen at another place of the same part."""
    return clue.group or clue.id.partition("=")[0]


def cut_clue(clues: tuple[Clue, ...]) -> Clue | None:
    """The clue of form ``cut`` among a part's clues, or None."""
    return next((clue for clue in clues if clue.form == "cut"), None)


def terms_of(seen: PartSeen, model: Candidates, cuts: CutTable | None) -> tuple[list[Term], Counter[str]]:
    """The factors of a part's evidence, each already to the power its group leaves it."""
    groups = Counter(group_of(mark.clue) for mark in seen.marks)
    terms = []
    for mark in seen.marks:
        table = model.table(mark.clue, seen.kind)
        if not table.speaks or len(table.ids) < 2:
            continue
        flat, timed = table.column([answer.id for answer in mark.answers])
        divisor = 1 + (groups[group_of(mark.clue)] - 1) * model.settings.repeat
        if divisor != 1.0:
            power = 1 / divisor
            flat = [value**power for value in flat]
            timed = {h: [value**power for value in row] for h, row in timed.items()}
        terms.append(Term(flat, timed, mark))
    if cuts is not None and seen.cuts:
        first, second = (seen.cuts.get(side) for side in seen.sides)
        terms.append(Term(cuts.column(first, second), {}, None, "cuts"))
    return terms, groups


def evidence_of(
    seen: PartSeen, model: Candidates, cuts: CutTable | None, swap: float, swapped: bool, stamper: int | None
) -> PartEvidence:
    """A(u,h) = sum over t of p(t|u,h) times the product over the part's clues of L."""
    terms, groups = terms_of(seen, model, cuts)
    if stamper is not None and len(model.pressings) > 0:
        if stamper not in model.stampers:
            model.stampers[stamper] = stamper_term(stamper, model)
        terms.append(Term(*model.stampers[stamper], None, f"stamper {stamper}"))
    part = PartEvidence(seen, terms, groups, swap, swapped)
    part.scal, part.times, part.a = product(terms, model, seen.kind)
    top = max(part.a)
    if top > 0:
        part.scal = [value / top for value in part.scal]
        part.a = [value / top for value in part.a]
    part.b = sum(map(mul, model.prior, part.a))
    return part


def product(terms: list[Term], model: Candidates, kind: str) -> tuple[Row, dict[int, Row], Row]:
    """The steady factors, the dated ones cell by cell, and A from the two."""
    scal = [1.0] * model.size
    dated = sorted({h for term in terms for h in term.timed})
    grids = model.grids(kind in ("cover", "box", "inner")) if dated else []
    times = {h: grids[h].p for h in dated}
    for term in terms:
        if term.timed:
            scal = [
                x if h in term.timed else x * y for h, (x, y) in enumerate(zip(scal, term.flat, strict=True))
            ]
            for h, row in term.timed.items():
                times[h] = list(map(mul, times[h], row))
        else:
            scal = list(map(mul, scal, term.flat))
        # A long product may leave the range of a float; a common factor changes nothing.
        top = max(scal)
        if 0 < top < 1e-100:
            scal = [value / top for value in scal]
    a = scal
    if times:
        a = [x * sum(times[h]) if h in times else x for h, x in enumerate(scal)]
    return scal, times, a


def with_answer(part: PartEvidence, table: ClueTable, p_of: list[Row]) -> list[Row]:
    """A(u,h) times the chance of each answer of one more clue: one row per answer.

    ``p_of[h]``: the plain cell probabilities, for candidates that had no dated clue so far.
    """
    if not table.timed:
        return [list(map(mul, part.a, column)) for column in table.flat]
    rows = []
    for k, column in enumerate(table.flat):
        row = list(map(mul, part.a, column))
        for h, curves in table.timed.items():
            weights = part.times.get(h) or p_of[h]
            row[h] = part.scal[h] * sum(map(mul, weights, curves[k]))
        rows.append(row)
    return rows
