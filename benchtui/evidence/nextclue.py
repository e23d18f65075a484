"""What to look at next: bits, and money, per second of looking."""

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from benchtui.books.shape import Clue
from benchtui.evidence.case import Case
from benchtui.evidence.gains import date_gain, gain, information, joint_table, pair_table, whether_new
from benchtui.evidence.parts import PartEvidence, group_of, told
from benchtui.evidence.posterior import Posterior
from benchtui.evidence.second import Costs
from benchtui.evidence.settings import WeighSettings
from benchtui.evidence.tables import ClueTable
from benchtui.evidence.timely import Timely


class Prospect(NamedTuple):
    """A clue not yet seen: what it is expected to tell and to save (minor units), and how long it takes.

    ``timely``: whether a candidate may show it at its date (`benchtui.evidence.timely`).
    """

    part: str
    clue: Clue
    place: str
    bits: float
    seconds: float
    saves: float
    table: ClueTable | None
    timely: bool = True

    @property
    def rate(self) -> float:
        """Bits per second of looking."""
        return self.bits / self.seconds


class Prospects:
    """What looking further would tell and save, worked out part by part when it is first asked for.

    ``cost``: of the leader before looking, in minor units; None where there is none. ``ask`` False: nothing
    is to be looked at.
    """

    def __init__(
        self, case: Case, timely: Timely, cost: float | None, in_hand: str | None, ask: bool
    ) -> None:
        self._case, self._timely, self._in_hand = case, timely, in_hand
        self._whole = cost if cost is not None and case.costs.priced else 0.0
        self._keys = list(case.post.parts) if ask else []
        self._found: dict[tuple[str, float], list[Prospect]] = {}

    def of(self, part: str) -> list[Prospect]:
        """The part's clues not yet seen, best first, those worth nothing last in the printed order."""
        return self._of(part, self.now) if part in self._keys else []

    def all(self) -> dict[str, list[Prospect]]:
        """Those of every part."""
        return {key: self.of(key) for key in self._keys}

    @cached_property
    def now(self) -> float:
        """The cost that savings are counted from; 0 leaves money out.

        Below the threshold no second look is raised: there savings count only where no clue tells enough by
        its bits.
        """
        if self._whole >= self._case.settings.look_again or self._whole == 0.0 or not self._keys:
            return self._whole if self._keys else 0.0
        return 0.0 if self._any_tells() else self._whole

    def worth_a_look(self) -> bool:
        """Whether any clue of any part is."""
        return self._any_tells() or any(worth_a_look(self.of(key), self._case.settings) for key in self._keys)

    def _any_tells(self) -> bool:
        """Whether a clue tells enough by its bits, which are the same whatever the cost."""
        least, now = self._case.settings.least_bits, self._whole
        known = now if now >= self._case.settings.look_again else 0.0
        keys = sorted(self._keys, key=lambda key: key != self._in_hand)
        return any(row.timely and row.bits >= least for key in keys for row in self._of(key, known))

    def _of(self, key: str, now: float) -> list[Prospect]:
        if (key, now) not in self._found:
            self._found[key, now] = self._worked_out(key, now)
        return self._found[key, now]

    def _worked_out(self, key: str, now: float) -> list[Prospect]:
        case, post, settings = self._case, self._case.post, self._case.settings
        part = post.parts[key]
        open_clues = still_open(part, case.library.clues_for(case.record, part.seen.doc))
        if key in case.elsewhere:  # what it would tell is of another copy
            return [_silent(part, clue, place) for clue, place in open_clues]
        first = 0.0 if key == self._in_hand else settings.seconds_to_take_up
        rows = [_prospect(post, part, clue, place, case.costs, now, first) for clue, place in open_clues]
        rows = [row if self._timely(key, row.clue) else row._replace(timely=False) for row in rows]
        sure = now > settings.look_again and max(post.odds) >= settings.settle
        return sorted(rows, key=lambda row: _rank(row, sure))


def of_new(post: Posterior, rows: Iterable[Prospect]) -> list[Prospect]:
    """The same clues of a part by what they tell of one question: did anybody describe this pressing? Of
    that one any time may be.
    """
    found = []
    for row in rows:
        bits = 0.0
        if row.table is not None and row.bits > 0:
            bits = whether_new(post, told(post.parts[row.part], row.table, post.model, post.telling))
        found.append(row._replace(bits=bits, saves=0.0, timely=True))
    return sorted(found, key=lambda row: _rank(row, False))


def tables_of(case: Case) -> Iterator[None]:
    """Makes the tables that asking about a record's open clues takes, one a step; they are kept by title."""
    for part in case.post.parts.values():
        for clue, place in still_open(part, case.library.clues_for(case.record, part.seen.doc)):
            asking_table(case.post, part, clue, place)
            yield


def _rank(row: Prospect, sure: bool) -> tuple[float, float]:
    """Bits per second; once the leader is sure and only money is open, money per second before them."""
    return (-row.saves / row.seconds if sure else 0.0), (-row.rate if row.bits >= 1e-6 else 0.0)


def still_open(part: PartEvidence, clues: tuple[Clue, ...]) -> list[tuple[Clue, str]]:
    """Clues of a part that were not seen, each with the place where it is asked (the first side)."""
    asked = {clue for _, clue in part.seen.asked}
    found = []
    for clue in clues:
        if clue.form == "cut":
            found += [
                (clue, f"{clue.place} {side}") for side in part.seen.sides if side not in part.seen.cuts
            ]
        elif clue.id not in asked:
            found.append((clue, f"{clue.place} {part.seen.sides[0]}" if clue.per_side else clue.place))
    return found


def _silent(part: PartEvidence, clue: Clue, place: str) -> Prospect:
    """A clue that tells nothing of this copy."""
    return Prospect(part.seen.id, clue, place, 0.0, max(clue.seconds, 0.1), 0.0, None)


def _prospect(
    post: Posterior,
    part: PartEvidence,
    clue: Clue,
    place: str,
    costs: Costs,
    now: float,
    first: float,
) -> Prospect:
    seconds = max(clue.seconds, 0.1) + first
    table = asking_table(post, part, clue, place)
    if table is None or not table.speaks or part.swapped:
        return Prospect(part.seen.id, clue, place, 0.0, seconds, 0.0, None)
    if post.model.size < 2:
        bits = date_gain(part, table, post.model)
        return Prospect(part.seen.id, clue, place, bits, seconds, 0.0, table)
    shown = told(part, table, post.model, post.telling)
    bits, saves = information(post, shown), 0.0
    if now > 0 and bits > 1e-6:
        saves = max(0.0, now - sum(costs.least(row) for row in joint_table(post, shown)))
    return Prospect(part.seen.id, clue, place, bits, seconds, saves, table)


def asking_table(post: Posterior, part: PartEvidence, clue: Clue, place: str) -> ClueTable | None:
    """The table that says how an open clue would be answered; None where nothing can be foretold."""
    if clue.form == "titles":
        return None
    if clue.form != "cut":
        table = post.model.table(clue, part.seen.kind)
        group = group_of(clue)
        return table.coarse().tempered(post.model.divisor(group, part.factors.groups[group] + 1))
    cuts = post.model.cuts(clue) if part.seen.doc.get("number", 1) == 1 else None
    if cuts is None:
        return None
    side = 1 if place.endswith(part.seen.sides[1]) else 0
    return cuts.asking(side, part.seen.cuts.get(part.seen.sides[1 - side]))


def next_part(
    post: Posterior, rows: dict[str, list[Prospect]], settings: WeighSettings, in_hand: str | None
) -> str | None:
    """The part best taken up next: its two best clues together, in bits per second, reached for once."""
    best, chosen = 0.0, None
    for key, every in rows.items():
        found = [row for row in every if row.timely]
        if key != in_hand and found and found[0].bits > 0:
            rate = _together(post, post.parts[key], found, settings)
            if rate > best and worth_a_look(found, settings):
                best, chosen = rate, key
    return chosen


def worth_a_look(rows: list[Prospect], settings: WeighSettings) -> bool:
    """Whether any of the clues that are timely tells .01 bit or saves more than the wage of looking."""
    timely = [row for row in rows if row.timely]
    return any(r.bits >= settings.least_bits or r.saves > settings.wage(r.seconds) for r in timely)


def _together(post: Posterior, part: PartEvidence, rows: list[Prospect], settings: WeighSettings) -> float:
    first = rows[0]
    second = next((r for r in rows[1:] if r.bits > 0 and r.clue.id != first.clue.id), None)
    if first.table is None or second is None or second.table is None or post.model.size < 2:
        return first.rate
    bits = gain(pair_table(post, part, first.table, second.table), post.spread)
    return max(first.rate, bits / max(first.seconds + second.seconds - settings.seconds_to_take_up, 0.1))
