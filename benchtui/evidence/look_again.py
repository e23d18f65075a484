"""Says when money is at stake in the leader, and where to look."""

from typing import NamedTuple

from benchtui.books.shape import Clue
from benchtui.evidence.candidates import LAGGED
from benchtui.evidence.case import Case
from benchtui.evidence.nextclue import Prospect, Prospects
from benchtui.evidence.results import SecondLook
from benchtui.model.record import RecordDoc, parts_of

_TELLING = 0.5


class Telltale(NamedTuple):
    """The clue that gives a known imitation away: ``apart`` 0..1 is how well it does."""

    part: str
    clue: Clue
    place: str
    apart: float


def telltale(case: Case, lead: int) -> Telltale | None:
    """The clue to look at before a dear leader with known imitations settles; None where one was seen."""
    pressing, price = case.pressing(lead), case.costs.price(lead)
    if pressing is None or price is None or price < case.settings.dear_from:
        return None
    fakes = [h for h, p in enumerate(case.post.model.pressings) if p.imitates == pressing.id]
    found = _telling(case, lead, fakes) if fakes and not _by_leader(case, pressing.id) else []
    seen = {(part.id, mark.doc["clue"]) for part in case.seen.parts for mark in part.marks}
    if any(
        (one.part, one.clue.id) in seen or _looked(case, one.part, one.place, one.clue.id) for one in found
    ):
        return None
    return max(found, key=lambda one: (one.apart, -one.clue.seconds), default=None)


def _telling(case: Case, lead: int, fakes: list[int]) -> list[Telltale]:
    """Clues that set the leader well apart from every known imitation of it."""
    found = []
    for key, part in case.post.parts.items():
        if key in case.elsewhere:
            continue
        for clue in case.library.clues_for(case.record, part.seen.doc):
            if clue.form in ("cut", "titles"):
                continue
            table = case.post.model.table(clue, part.seen.kind)
            columns = table.expected(case.post.model.grids(part.seen.kind in LAGGED))
            apart = min(sum(abs(col[lead] - col[fake]) for col in columns) / 2 for fake in fakes)
            if apart >= _TELLING:
                place = f"{clue.place} {part.seen.sides[0]}" if clue.per_side else clue.place
                found.append(Telltale(key, clue, place, apart))
    return found


def _by_leader(case: Case, pressing: str) -> bool:
    return any(entry.get("leader") == pressing for entry in case.record["looked"])


def _looked(case: Case, part: str, place: str, clue: str) -> bool:
    """Whether "looked, it is not" was recorded for that clue."""
    wanted = (part, place, clue)
    return any((e.get("part"), e.get("place"), e.get("clue")) == wanted for e in case.record["looked"])


def _taken_on(case: Case, pressing: str) -> float:
    """What was at stake when the dealer looked again and left it called so, in minor units."""
    then = (entry for entry in case.record["looked"] if entry.get("called") == pressing)
    return max((float(entry.get("cost", 0)) for entry in then), default=0.0)


def second_look(
    case: Case, lead: int, cost: float | None, open_clues: Prospects, telltale: Telltale | None
) -> SecondLook | None:
    """Raised when the cost passes the threshold, or a known imitation of a dear leader was not looked for.

    Silent once "looked, it is not" was recorded for the clue it would name, and while what is at stake is no
    more than the dealer took upon them then, but for less than a look costs: an answer that fits the leader
    fits others too, and may put a little more at stake.
    """
    pressing = case.pressing(lead)
    if cost is None or pressing is None or not case.currency or _by_leader(case, pressing.id):
        return None
    if telltale is not None and case.post.p[lead] >= 0.5:
        ask = f"{case.names[telltale.part]}: {telltale.clue.ask}"
        stake = "imitations are known"
        say = f"{stake}; before you are sure, look at {ask}"
        return SecondLook(case.money(cost), telltale.clue, telltale.place, telltale.part, say, True, stake)
    if cost <= case.settings.look_again + _taken_on(case, pressing.id):
        return None
    raised = _worth_most(case, cost, open_clues.all())
    named = raised.clue.id if raised.clue else ""
    return None if _looked(case, raised.part, raised.place, named) else raised


def _by_grades(record: RecordDoc) -> str:
    """`` at the cover's grade``, which the prices behind it go by while the disc has none; "" where all have
    theirs, and where none has: then the prices are those of the top grade.
    """
    counting = [part for kind in ("cover", "box", "disc") for part in parts_of(record, kind)]
    graded = [part for part in counting if part["grades"]]
    if not graded or len(graded) == len(counting):
        return ""
    kinds = {part["kind"] for part in graded}
    return f" at the {kinds.pop()}'s grade" if len(kinds) == 1 else " at the grades given so far"


def _worth_most(case: Case, cost: float, rows: dict[str, list[Prospect]]) -> SecondLook:
    """What is at stake, and the clue worth most money per second."""
    timely = (row for found in rows.values() for row in found if row.timely)
    best = max(timely, key=lambda r: r.saves / r.seconds, default=None)
    say = f"{case.money(cost).show()} at stake{_by_grades(case.record)}"
    if case.post.none >= 0.05:
        say += ", unknown pressings aside"
    if best is None or best.saves <= 0:
        return SecondLook(case.money(cost), None, "", "", f"{say}; no clue is left that would tell")
    ask = f"{say}; {case.names[best.part]}: {best.clue.ask}"
    return SecondLook(case.money(cost), best.clue, best.place, best.part, ask, stake=say)
