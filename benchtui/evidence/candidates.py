"""The candidates of a title: its pressings and "none of these" by its stretches, with times and tables."""

from collections.abc import Hashable, Mapping
from operator import mul
from typing import Any

from benchtui.books.ladder import OLD_STOCK, is_proposed
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.evidence.cells import Grid, ends, grid
from benchtui.evidence.cuts import CutTable, cut_table
from benchtui.evidence.learn import GROUPS
from benchtui.evidence.pooling import pooled
from benchtui.evidence.prior import prior
from benchtui.evidence.rates import Rates
from benchtui.evidence.repeats import learnt_repeats
from benchtui.evidence.settings import Counts, ModelSettings
from benchtui.evidence.sound import by_sound, follows, sound_for
from benchtui.evidence.stretches import stretches
from benchtui.evidence.tables import ClueTable, clue_table
from benchtui.evidence.word_weights import Row, fill, learnt, unknown, weights
from benchtui.model.span import Span

LAGGED = frozenset(OLD_STOCK)
NO_RATES = Rates()
OTHER_SOUND = 0.1
"""How often a pressing that nobody has described is of the other sound than its title: a stated guess."""
_KEPT = 12
_cache: dict[tuple[str, str, ModelSettings], "Candidates"] = {}


class Candidates:
    """Pressings h = 0..n-1 and from n on "none of these", a candidate for each stretch of its time.

    Likelihood tables are made when first asked for.
    """

    def __init__(
        self,
        title: BookTitle | None,
        first: Span,
        counts: Counts,
        settings: ModelSettings,
        rates: Rates = NO_RATES,
    ) -> None:
        self.title = title
        self.rates = rates
        self.first = first
        self.settings = settings
        self.pressings: tuple[Pressing, ...] = title.pressings if title else ()
        self._periods = [ends(p.period, settings, first) for p in self.pressings]
        self.unknown = stretches(self._periods, first, rates, settings)
        self.size = len(self.pressings) + len(self.unknown)
        self.counts = relevant(counts, self.pressings)
        self._repeats = learnt_repeats(counts.get(GROUPS, {}))
        self.taught: list[Mapping[str, Any]] = [self.counts.get(p.id, {}) for p in self.pressings]
        odds = prior(title, self.taught, settings)
        self.prior = [*odds[:-1], *(odds[-1] * one.share for one in self.unknown)]
        self._grids: dict[bool, list[Grid]] = {}
        self._tables: dict[tuple[str, bool], tuple[Clue, ClueTable]] = {}
        self._cuts: tuple[Clue | None, CutTable | None] | None = None
        self.kept: dict[Hashable, object] = {}

    def grids(self, lagged: bool) -> list[Grid]:
        """When each candidate was made, cell by cell; covers and inners (``lagged``) somewhat earlier."""
        if lagged not in self._grids:
            spans = [*self._periods, *((one.low, one.high) for one in self.unknown)]
            self._grids[lagged] = [grid(low, high, self.settings, lagged) for low, high in spans]
        return self._grids[lagged]

    def divisor(self, group: str, n: int) -> float:
        """What log L of n clues of one group is divided by: they repeat each other."""
        return 1 + (n - 1) * self._repeats.get(group, self.settings.repeat)

    def merged(self, row: Row) -> Row:
        """A row over candidates with the stretches of "none of these" added up, last."""
        n = len(self.pressings)
        return row if len(row) == n + 1 else [*row[:n], sum(row[n:])]

    def table(self, clue: Clue, kind: str) -> ClueTable:
        """The likelihoods of a clue's answers on a part of that kind."""
        key = (clue.id, kind in LAGGED)
        kept = self._tables.get(key)
        if kept is None or (kept[0] is not clue and kept[0] != clue):
            kept = (clue, clue_table(clue, self._theta(clue), self.grids(kind in LAGGED), self.settings))
            if key in self._tables:  # the book has changed: nothing worked out from the old clue may stay
                self.kept.clear()
            self._tables[key] = kept
        elif kept[0] is not clue:  # the same, read again: compared once, not at every key
            self._tables[key] = (clue, kept[1])
        return kept[1]

    def _theta(self, clue: Clue) -> list[Row]:
        """theta(k|h) of each pressing, then that of each stretch of "none of these"."""
        ids = [answer.id for answer in clue.answers if not answer.neutral]
        usual = weights(clue.expect, ids)
        rows = [self._said(p, clue, ids) for p in self.pressings]
        seen = [count.get("clues", {}).get(clue.id, {}) for count in self.taught]
        counts = [[float(its.get(answer, 0)) for answer in ids] for its in seen]
        sound = sound_for(self.title, clue)
        company = self.rates.clue(clue, ids, [(one.low, one.high) for one in self.unknown], sound)
        if self.settings.pool and self.pressings and not any(rows):
            theta, like_known = pooled(counts, usual or [1 / len(ids)] * len(ids))
        else:
            filled = fill(rows, len(ids), usual)
            worth = [self.settings.strength * pressing.trust_of(clue.id) for pressing in self.pressings]
            theta = [learnt(row, its, s) for row, its, s in zip(filled, counts, worth, strict=True)]
            like_known = unknown(theta, self.prior[: len(theta)], len(ids), usual)
        theta = self._as_its_company(clue, ids, theta, sound)
        if sound and theta and not any(one.expect.get(clue.id) for one in self.pressings):
            return [*theta, *self._unwritten(clue, ids, theta, sound)]
        return [*theta, *(row or like_known for row in company)]

    def _as_its_company(self, clue: Clue, ids: list[str], theta: list[Row], sound: str) -> list[Row]:
        """Where the ladder is silent of a clue, what it proposes looks like its company's titles of the time,
        as "none of these" does: what both show alike must not count for one of them.
        """
        silent = [is_proposed(one.id) and not one.expect.get(clue.id) for one in self.pressings]
        if not any(silent):
            return theta
        then = self.rates.clue(clue, ids, self._periods, sound)
        return [(its if guess else None) or row for its, guess, row in zip(then, silent, theta, strict=True)]

    def _unwritten(self, clue: Clue, ids: list[str], theta: list[Row], sound: str) -> list[Row]:
        """Of a title of one sound another pressing has that too, but for one in so many: the word that all
        known pressings of it bear is then no word against them.
        """
        known = self.prior[: len(theta)]
        total = sum(known) or 1.0
        own = [sum(map(mul, known, column)) / total for column in zip(*theta, strict=True)]
        other = weights(by_sound("stereo" if sound == "mono" else "mono", clue), ids) or own
        row = [(1 - OTHER_SOUND) * x + OTHER_SOUND * y for x, y in zip(own, other, strict=True)]
        return [row] * len(self.unknown)

    def _said(self, pressing: Pressing, clue: Clue, ids: list[str]) -> Row | None:
        """What the book says; of a pressing grown here what the one copy showed is no word of a book, unless
        a book speaks of other pressings too or the dealer marked that it makes the difference. Where the book
        is silent of the clue, what follows from the pressing's channels or number.
        """
        by_itself = weights(follows(pressing, self.title, clue), ids)
        marked = clue.id in pressing.differs or self._is_written(clue.id)
        if pressing.known == "grown" and not marked:
            return by_itself
        return weights(pressing.expect.get(clue.id, {}), ids) or by_itself

    def _is_written(self, clue: str) -> bool:
        return any(p.expect.get(clue) for p in self.pressings if p.known == "written" or clue in p.differs)

    @property
    def cuts_read(self) -> CutTable | None:
        """The table of cuts as it was last asked for."""
        return self._cuts[1] if self._cuts else None

    def cuts(self, clue: Clue | None) -> CutTable | None:
        """The table of the two sides' cuts; ``clue`` is the book's own of form ``cut``, where it has one."""
        if self._cuts is None or (self._cuts[0] is not clue and self._cuts[0] != clue):
            table = cut_table(self.pressings, clue, self.prior, self.taught, self.settings, self.rates)
            self.kept.clear()
            self._cuts = (clue, table)
        elif self._cuts[0] is not clue:
            self._cuts = (clue, self._cuts[1])
        return self._cuts[1]


def relevant(counts: Counts, pressings: tuple[Pressing, ...]) -> dict[str, Any]:
    """The shop's counts of these pressings and of those that passed to them, and of what repeats."""
    found = {p.id: taught for p in pressings if (taught := taught_of(counts, p))}
    return {GROUPS: counts[GROUPS], **found} if GROUPS in counts else found


def candidates(
    title: BookTitle | None, first: Span, counts: Counts, settings: ModelSettings, rates: Rates = NO_RATES
) -> Candidates:
    """The title's candidates, from the last few kept where all that they are made of is the same."""
    pressings = title.pressings if title else ()
    key = (title.book, title.id, settings) if title else ("", first.edtf(), settings)
    kept = _cache.get(key)
    same = kept is not None and (kept.title is title or kept.title == title) and kept.first == first
    same = same and kept is not None and (kept.rates is rates or kept.rates == rates)
    if kept is not None and same and kept.counts == relevant(counts, pressings):
        kept.title, kept.rates = title, rates
    else:
        kept = Candidates(title, first, _copied(relevant(counts, pressings)), settings, rates)
        _cache.pop(key, None)
        while len(_cache) >= _KEPT:
            _cache.pop(next(iter(_cache)), None)
        _cache[key] = kept
    return kept


def _copied(counts: Mapping[str, Any]) -> dict[str, Any]:
    """A deep copy: the caller may go on counting in its own."""
    return {key: _copied(value) if isinstance(value, Mapping) else value for key, value in counts.items()}
