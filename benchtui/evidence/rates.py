"""What a pressing that no book has would look like: what its company's other titles of the time show.

"None of these" must be able to win. Drawn as the middle of the title's known pressings it looks like none of
them and like no pressing at all; drawn as its company works, a copy that shows a late label, a late inner and
a new cut is likelier from a late pressing nobody has written down than from an early one misread three times.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date

from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.evidence.cells import YEAR
from benchtui.evidence.word_weights import Row, weights
from benchtui.model.span import Span

SMOOTH = 1.0
"""Even odds weigh like so many pressings: an answer nobody has expected yet stays possible."""
_FAR_YEARS = 3.0

Moment = tuple[float, float]
"""From and to, in ordinal days."""


@dataclass(frozen=True, slots=True)
class Rates:
    """Other titles of the company, each weighing less the further in time it was first issued."""

    titles: tuple[BookTitle, ...] = ()
    nearness: tuple[float, ...] = ()
    _kept: dict[tuple[object, ...], list[Row | None]] = field(default_factory=dict, compare=False)

    def clue(
        self, clue: Clue, ids: Sequence[str], made: Sequence[Moment], sound: str = ""
    ) -> list[Row | None]:
        """P of each answer at each time something was ``made``; None where no other title speaks of it.

        ``sound``: of pressings of that one alone, ``mono`` or ``stereo``; "" for all.
        """
        key = (clue.id, tuple(ids), tuple(made), sound)
        if key not in self._kept:
            each = (
                one
                for title in self.titles
                for one in title.pressings
                if not sound or (one.channels or title.channels) == sound
            )
            rows = [
                (p.period, row) for p in each if (row := weights(p.expect.get(clue.id, {}), ids)) is not None
            ]
            self._kept[key] = [_mean_then(rows, then) if rows else None for then in made]
        return self._kept[key]

    def cuts(self, first: Sequence[str], second: Sequence[str]) -> Row | None:
        """P of each pair of cuts, those not listed as ``other``; None where no title names any."""
        return self._mean(len(first) * len(second), lambda p: _pairs(p, first, second))

    def until(self) -> date | None:
        """The last day that the company is known to have made anything of these titles."""
        ends = [p.period.latest for title in self.titles for p in title.pressings]
        return max((day for day in ends if day is not None), default=None)

    def _mean(self, size: int, row_of: Callable[[Pressing], Row | None]) -> Row | None:
        """The mean over titles of the mean over their pressings by share, with a little even odds."""
        total, weight = [0.0] * size, 0.0
        for title, near in zip(self.titles, self.nearness, strict=True):
            rows = [(p.share, row) for p in title.pressings if (row := row_of(p)) is not None]
            shares = sum(share for share, _ in rows)
            if shares <= 0:
                continue
            weight += near * len(rows)
            for share, row in rows:
                part = near * len(rows) * share / shares
                total = [x + part * y for x, y in zip(total, row, strict=True)]
        if weight <= 0:
            return None
        return [(x + SMOOTH / size) / (weight + SMOOTH) for x in total]


def _mean_then(rows: Sequence[tuple[Span, Row]], made: Moment) -> Row:
    """The mean over pressings, each the less the further its own time is from that moment."""
    total = [SMOOTH / len(rows[0][1])] * len(rows[0][1])
    weight = SMOOTH
    for period, row in rows:
        near = 1 / (1 + _years_from(made, period) / _FAR_YEARS)
        total, weight = [x + near * y for x, y in zip(total, row, strict=True)], weight + near
    return [x / weight for x in total]


def rates(title: BookTitle | None, first: Span, peers: Sequence[BookTitle]) -> Rates:
    """The rates of a title's company around the time of its first issue."""
    if title is None or not peers:
        return Rates()
    near = tuple(1 / (1 + _years_apart(first, one.first) / _FAR_YEARS) for one in peers)
    return Rates(tuple(peers), near)


def _years_apart(one: Span, other: Span) -> float:
    if one.earliest is None or other.earliest is None:
        return _FAR_YEARS
    return abs((one.earliest - other.earliest).days) / YEAR


def _years_from(made: Moment, period: Span) -> float:
    """How many years lie between the two; of an open end it is not known that any do."""
    after = period.earliest.toordinal() - made[1] if period.earliest else 0.0
    before = made[0] - period.latest.toordinal() if period.latest else 0.0
    return max(0.0, after, before) / YEAR


def _pairs(pressing: Pressing, first: Sequence[str], second: Sequence[str]) -> Row | None:
    if not pressing.cuts:
        return None
    ids = list(dict.fromkeys(f"{a}|{b}" for (a, b), _ in pressing.cuts))
    row = weights({f"{a}|{b}": word for (a, b), word in pressing.cuts}, ids)
    if row is None:
        return None
    places = [{name.casefold(): i for i, name in enumerate(side)} for side in (first, second)]
    found = [0.0] * (len(first) * len(second))
    for pair, weight in zip(ids, row, strict=True):
        a, _, b = pair.partition("|")
        i = places[0].get(a.casefold(), len(first) - 1)
        j = places[1].get(b.casefold(), len(second) - 1)
        found[i * len(second) + j] += weight
    return found
