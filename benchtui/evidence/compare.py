"""What tells two pressings apart, what would prove or disprove one, and what of the copy is unusual.

All of it is read off the same tables that weigh the answers: the difference of two items, the character that
separates one from the rest, the states that hardly any copy shows (M. J. Dallwitz and others, *Principles of
interactive keys*).
"""

from collections.abc import Iterator
from math import log10

from benchtui.books.shape import Clue
from benchtui.evidence.candidates import LAGGED
from benchtui.evidence.case import Case
from benchtui.evidence.gains import joint_table
from benchtui.evidence.nextclue import asking_table, still_open
from benchtui.evidence.parts import PartEvidence, told
from benchtui.evidence.results import Apart, Proof, Unusual
from benchtui.evidence.tables import ClueTable

LEAST_APART = 3.0
"""Points that a look at a clue is expected to make between two pressings, below which it tells nothing."""
SHOWN = 0.2
"""An answer this likely is named as one that a pressing shows."""
RARE = 0.15
"""An answer less likely than this is unusual."""
MOVES = 2.0
"""How many times likelier or less likely an answer makes a pressing before it counts for or against it."""


def apart(case: Case, one: str | None, other: str | None) -> tuple[Apart, ...]:
    """The clues that tell two candidates apart, best first, with what each shows; None: none of these.

    Their worth is what a look makes between the two on average, whichever it is, in points (decibans).
    """
    ids = [p.id for p in case.post.model.pressings] + [None]
    if one not in ids or other not in ids:
        return ()
    a, b = ids.index(one), ids.index(other)
    found = []
    for part, clue, place, table in _tables(case):
        columns = table.expected(case.post.model.grids(part.seen.kind in LAGGED))
        p, q = ([case.post.as_one(column)[h] for column in columns] for h in (a, b))
        points = sum((x - y) * 10 * log10(x / y) for x, y in zip(p, q, strict=True) if x > 0 and y > 0) / 2
        if points >= LEAST_APART:
            seen = _seen(part, clue, place)
            found.append(
                Apart(
                    part.seen.id,
                    place,
                    clue.ask,
                    _shows(clue, table, p),
                    _shows(clue, table, q),
                    points,
                    seen,
                )
            )
    return tuple(sorted(found, key=lambda line: -line.points))


def proofs(case: Case, pressing: str | None) -> tuple[Proof, ...]:
    """Answers to open questions that would speak most for a candidate, and those most against it.

    ``after``: its odds were that answer seen; ``chance``: how likely that answer is. Those for it come first.
    """
    ids = [p.id for p in case.post.model.pressings] + [None]
    if pressing not in ids or case.post.model.size < 2:
        return ()
    h = ids.index(pressing)
    now = case.post.odds[h]
    found = []
    for part, clue, place in _open_of(case):
        table = asking_table(case.post, part, clue, place)
        if table is None or not table.speaks:
            continue
        shown = told(part, table, case.post.model, case.post.telling)
        for name, joint in zip(table.ids, joint_table(case.post, shown), strict=True):
            row = case.post.model.merged(joint)
            chance = sum(row)
            if chance > 0 and _moves(now, row[h] / chance):
                found.append(
                    Proof(
                        part.seen.id,
                        place,
                        clue.ask,
                        _text(clue, name),
                        row[h] / chance,
                        chance,
                        row[h] > now * chance,
                    )
                )
    found.sort(key=lambda line: -line.after if line.proves else line.after)
    return tuple(sorted(found, key=lambda line: not line.proves))


def _moves(now: float, after: float) -> bool:
    """Whether the odds, not the share, change by so much: from .97 to .99 is a proof too."""
    before, then = now / max(1 - now, 1e-12), after / max(1 - after, 1e-12)
    return then >= MOVES * before or before >= MOVES * then


def unusual(case: Case, pressing: str | None) -> tuple[Unusual, ...]:
    """What was seen on the copy that few of a candidate's show, the rarest first."""
    ids = [p.id for p in case.post.model.pressings] + [None]
    if pressing not in ids:
        return ()
    lead = ids.index(pressing)
    found = []
    for key, part in case.post.parts.items():
        if key in case.elsewhere or part.swapped:
            continue
        grids = case.post.model.grids(part.seen.kind in LAGGED)
        for one in part.weighed:
            if one.mark is None:
                share, label = case.post.as_one(one.flat)[lead], f"{case.names[key]}: {one.label}"
            else:
                table = case.post.model.table(one.mark.clue, part.seen.kind)
                columns = table.expected(grids)
                share = sum(
                    case.post.as_one(columns[table.ids.index(answer.id)])[lead] for answer in one.mark.answers
                )
                said = " or ".join(answer.text for answer in one.mark.answers)
                label = f"{case.names[key]}: {one.mark.clue.ask}: {said}"
            if share < RARE:
                found.append(Unusual(key, label, share))
    return tuple(sorted(found, key=lambda line: line.share))


def _tables(case: Case) -> Iterator[tuple[PartEvidence, Clue, str, ClueTable]]:
    """Every clue of the record that foretells anything, seen already or not, with its table."""
    for part in case.post.parts.values():
        for clue in case.library.clues_for(case.record, part.seen.doc):
            sides = part.seen.sides if clue.form == "cut" else part.seen.sides[:1]
            for side in sides if clue.per_side or clue.form == "cut" else ("",):
                place = f"{clue.place} {side}".strip()
                table = _plain(case, part, clue, side)
                if table is not None:
                    yield part, clue, place, table


def _plain(case: Case, part: PartEvidence, clue: Clue, side: str) -> ClueTable | None:
    """The table of a clue by itself, whatever else was seen."""
    if clue.form == "titles":
        return None
    if clue.form != "cut":
        return case.post.model.table(clue, part.seen.kind)
    cuts = case.post.model.cuts(clue) if part.seen.doc.get("number", 1) == 1 else None
    return None if cuts is None else cuts.asking(part.seen.sides.index(side), None)


def _open_of(case: Case) -> Iterator[tuple[PartEvidence, Clue, str]]:
    for key, part in case.post.parts.items():
        if key not in case.elsewhere and not part.swapped:
            clues = case.library.clues_for(case.record, part.seen.doc)
            yield from ((part, clue, place) for clue, place in still_open(part, clues))


def _shows(clue: Clue, table: ClueTable, p: list[float]) -> str:
    """``gold``, ``gold or red``, ``any of several``: the answers that so many of its copies show."""
    likely = sorted(zip(p, table.ids, strict=True), reverse=True)
    named = [_text(clue, name) for share, name in likely if share >= SHOWN]
    return " or ".join(named) if named else "any of several"


def _text(clue: Clue, name: str) -> str:
    answer = clue.answer(name)
    return answer.text if answer is not None else name


def _seen(part: PartEvidence, clue: Clue, place: str) -> str:
    """What was seen there, "" where nobody looked."""
    if clue.form == "cut":
        return part.seen.cuts.get(place.rpartition(" ")[2], "")
    said = (mark for mark in part.seen.marks if mark.doc["clue"] == clue.id)
    return next((" or ".join(answer.text for answer in mark.answers) for mark in said), "")
