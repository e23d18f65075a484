"""How likely what was seen on one part is under each pressing: A(u,h)."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from operator import mul

from benchtui.books.shape import Clue
from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.cuts import CutTable
from benchtui.evidence.same_runout import same_row
from benchtui.evidence.seen import Mark, PartSeen
from benchtui.evidence.sound import stem_row
from benchtui.evidence.stampers import weigh_stamper
from benchtui.evidence.tables import ClueTable, entropies, entropy
from benchtui.evidence.word_weights import Row

_KEPT = 64
STEM, SAME_RUNOUT = "runout stem", "same runouts as a copy seen before"


@dataclass(slots=True)
class Weighed:
    """One factor of A: L per candidate, by time cell where it changes; ``mark`` None: ``label`` says what."""

    flat: Row
    timed: dict[int, Row]
    mark: Mark | None
    label: str = ""

    @property
    def clue(self) -> str:
        """The clue's id, "" where it is no answer to one."""
        return self.mark.doc["clue"] if self.mark is not None else ""


@dataclass(slots=True)
class Asked:
    """What one more clue of a part would show: ``columns`` the chance of each answer under each candidate
    with what was seen on the part, ``entropy`` that of the answers in bits, ``own`` the chances if the part
    belongs.

    They rest on the part alone, so they stand while other parts are looked at. ``exact``: the candidates for
    which the part's own time is in it.
    """

    table: ClueTable
    own: list[Row]
    entropy: Row
    columns: list[Row]
    exact: set[int] = field(default_factory=set)
    swap: float = 0.0


@dataclass(slots=True)
class Factors:
    """What a part's answers come to, whatever the rest of the record: kept and used again while they stand.

    ``times[h]`` p(t|u,h) times the dated factors for
    candidates that have any, ``a`` is A scaled to a maximum of 1 (only ratios within a part matter), ``b`` is
    B(u). ``asked``: A with each answer of a further clue, by its table.
    """

    weighed: list[Weighed]
    groups: Counter[str]
    times: dict[int, Row]
    a: Row
    b: float
    asked: dict[int, Asked] = field(default_factory=dict)


@dataclass(slots=True)
class PartEvidence:
    """A part, its factors and how far it may come from another copy: ``swap`` is s."""

    seen: PartSeen
    factors: Factors
    swap: float
    swapped: bool

    @property
    def a(self) -> Row:
        """A(u,h), scaled."""
        return self.factors.a

    @property
    def b(self) -> float:
        """B(u), on the same scale."""
        return self.factors.b

    @property
    def weighed(self) -> list[Weighed]:
        """The factors of A, one a clue."""
        return self.factors.weighed

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


def weigh_marks(
    seen: PartSeen, model: Candidates, cuts: CutTable | None
) -> tuple[list[Weighed], Counter[str]]:
    """The factors of a part's evidence, each already to the power its group leaves it."""
    groups = Counter(group_of(mark.clue) for mark in seen.marks)
    weighed = []
    for mark in seen.marks:
        table = model.table(mark.clue, seen.kind)
        if not table.speaks or len(table.ids) < 2:
            continue
        flat, timed = table.column([answer.id for answer in mark.answers], mark.either)
        group = group_of(mark.clue)
        divisor = model.divisor(group, groups[group])
        if divisor != 1.0:
            power = 1 / divisor
            flat = [value**power for value in flat]
            timed = {h: [value**power for value in row] for h, row in timed.items()}
        weighed.append(Weighed(flat, timed, mark))
    if cuts is not None and seen.cuts:
        first, second = (seen.cuts.get(side) for side in seen.sides)
        weighed.append(Weighed(cuts.column(first, second), {}, None, "cuts"))
    return weighed, groups


def evidence_of(
    seen: PartSeen, model: Candidates, cuts: CutTable | None, swap: float, swapped: bool, stamper: int | None
) -> PartEvidence:
    """A(u,h) = sum over t of p(t|u,h) times the product over the part's clues of L."""
    marks = tuple(
        (id(model.table(m.clue, seen.kind)), tuple(a.id for a in m.answers), m.either) for m in seen.marks
    )
    runout = (id(cuts), tuple(seen.cuts.get(side) for side in seen.sides), stamper, seen.stem, seen.whole)
    key = (seen.kind, marks, runout)
    factors = model.kept.get(key)
    if not isinstance(factors, Factors):
        factors = _factors(seen, model, cuts, stamper)
        if len(model.kept) >= _KEPT:
            model.kept.clear()
        model.kept[key] = factors
    return PartEvidence(seen, factors, swap, swapped)


def _factors(seen: PartSeen, model: Candidates, cuts: CutTable | None, stamper: int | None) -> Factors:
    weighed, groups = weigh_marks(seen, model, cuts)
    if stamper is not None and len(model.pressings) > 0:
        weighed.append(Weighed(*weigh_stamper(stamper, model), None, f"stamper {stamper}"))
    if seen.stem:
        row = stem_row(seen.stem, model.pressings, model.title, model.size)
        weighed.append(Weighed(row, {}, None, f"{STEM} {seen.stem}"))
    if seen.whole and (same := same_row(seen.whole, model.taught, model.size)):
        weighed.append(Weighed(same, {}, None, SAME_RUNOUT))
    _, times, a = product(weighed, model, seen.kind)
    top = max(a)
    if top > 0:
        a = [value / top for value in a]
    return Factors(weighed, groups, times, a, sum(map(mul, model.prior, a)))


def product(weighed: list[Weighed], model: Candidates, kind: str) -> tuple[Row, dict[int, Row], Row]:
    """The steady factors, the dated ones cell by cell, and A from the two."""
    scal = [1.0] * model.size
    dated = sorted({h for one in weighed for h in one.timed})
    grids = model.grids(kind in LAGGED) if dated else []
    times = {h: grids[h].p for h in dated}
    for one in weighed:
        if one.timed:
            scal = [
                x if h in one.timed else x * y for h, (x, y) in enumerate(zip(scal, one.flat, strict=True))
            ]
            for h, row in one.timed.items():
                times[h] = list(map(mul, times[h], row))
        else:
            scal = list(map(mul, scal, one.flat))
        # A long product may leave the range of a float; a common factor changes nothing.
        top = max(scal)
        if 0 < top < 1e-100:
            scal = [value / top for value in scal]
    a = scal
    if times:
        a = [x * sum(times[h]) if h in times else x for h, x in enumerate(scal)]
    return scal, times, a


def told(part: PartEvidence, table: ClueTable, model: Candidates, telling: Sequence[int]) -> Asked:
    """What one more clue would show, swaps of this part summed out.

    ``telling``: the candidates for which the part's own time is worked in; for the others the plain mean over
    time serves: what that moves is far below what makes a clue worth a look.
    """
    kept = part.factors.asked.get(id(table))
    if kept is None:
        own, spread = table.in_mean(model.grids(part.seen.kind in LAGGED))
        kept = Asked(table, own, spread, own)
        part.factors.asked[id(table)] = kept
    timed = [h for h in telling if h in table.timed and h not in kept.exact and h in part.factors.times]
    for h in timed:
        _work_in_time(kept, part, h)
    if kept.swap != part.swap or (part.swap and timed):
        _mix_in_swaps(kept, part, model)
    return kept


def _work_in_time(kept: Asked, part: PartEvidence, h: int) -> None:
    weights = part.factors.times[h]
    total = sum(weights)
    if total <= 0:
        return
    known = [sum(map(mul, weights, curve)) / total for curve in kept.table.timed[h][:-1]]
    found = [*known, max(0.0, 1 - sum(known))]  # the answers' chances add up to 1
    for row, value in zip(kept.own, found, strict=True):
        row[h] = value
    kept.entropy[h] = entropy(found)
    kept.exact.add(h)


def _mix_in_swaps(kept: Asked, part: PartEvidence, model: Candidates) -> None:
    kept.swap, keep = part.swap, 1 - part.swap
    if not part.swap:
        kept.columns, kept.entropy = kept.own, entropies(kept.own)
        return
    whole = [value or 1.0 for value in part.mix()]
    rows = [list(map(mul, part.a, row)) for row in kept.own]
    others = [part.swap * sum(map(mul, model.prior, row)) for row in rows]
    kept.columns = [
        [(keep * x + other) / all_ for x, all_ in zip(row, whole, strict=True)]
        for row, other in zip(rows, others, strict=True)
    ]
    kept.entropy = entropies(kept.columns)
