"""The candidates of a title: its pressings and "none of these", with priors, times and tables."""

from collections.abc import Hashable, Mapping
from datetime import date
from typing import Any

from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.evidence.cells import YEAR, Grid, ends, grid
from benchtui.evidence.cuts import CutTable, cut_table
from benchtui.evidence.settings import Counts, ModelSettings
from benchtui.evidence.tables import ClueTable, clue_table
from benchtui.evidence.word_weights import Row, fill, learnt, unknown, weights
from benchtui.model.span import Span

LAGGED = frozenset({"cover", "box", "inner"})
_KEPT = 48
_cache: dict[tuple[str, str, ModelSettings], "Candidates"] = {}


class Candidates:
    """Pressings h = 0..n-1 and, last, "none of these"; likelihood tables are made when first asked for."""

    def __init__(self, title: BookTitle | None, first: Span, counts: Counts, settings: ModelSettings) -> None:
        self.title = title
        self.first = first
        self.settings = settings
        self.pressings: tuple[Pressing, ...] = title.pressings if title else ()
        self.size = len(self.pressings) + 1
        self.counts = relevant(counts, self.pressings)
        self._each: list[Mapping[str, Any]] = [self.counts.get(p.id, {}) for p in self.pressings]
        self.prior = self._prior()
        self._grids: dict[bool, list[Grid]] = {}
        self._tables: dict[tuple[str, bool], tuple[Clue, ClueTable]] = {}
        self._cuts: tuple[Clue | None, CutTable | None] | None = None
        self.kept: dict[Hashable, object] = {}

    def _prior(self) -> Row:
        """pi(h) proportional to 10 share(h) + N(h); pi(none of these) = .03."""
        if not self.pressings:
            return [1.0]
        raw = [
            self.settings.share_weight * p.share + count.get("n", 0)
            for p, count in zip(self.pressings, self._each, strict=True)
        ]
        total = sum(raw)
        raw = raw if total > 0 else [1.0] * len(raw)
        known = (1 - self.settings.none) / sum(raw)
        return [value * known for value in raw] + [self.settings.none]

    def grids(self, lagged: bool) -> list[Grid]:
        """When each candidate was made, cell by cell; covers and inners (``lagged``) somewhat earlier."""
        if lagged not in self._grids:
            spans = [ends(p.period, self.settings, self.first) for p in self.pressings]
            spans.append(self._unknown_period(spans))
            self._grids[lagged] = [grid(low, high, self.settings, lagged) for low, high in spans]
        return self._grids[lagged]

    def _unknown_period(self, spans: list[tuple[float, float]]) -> tuple[float, float]:
        """ "None of these" may have been made at any time from the title's first date."""
        starts = [low for low, _ in spans]
        if self.first.earliest:
            low = float(self.first.earliest.toordinal())
        elif starts:
            low = min(starts)
        else:  # nothing known at all: since there have been long-playing records
            low = float(date(1948, 6, 1).toordinal())
        high = low + self.settings.none_years * YEAR
        return low, max([high, *(end for _, end in spans)])

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
        ids = [answer.id for answer in clue.answers if not answer.neutral]
        usual = weights(clue.expect, ids)
        rows = fill([weights(p.expect.get(clue.id, {}), ids) for p in self.pressings], len(ids), usual)
        theta = []
        for row, count in zip(rows, self._each, strict=True):
            seen = count.get("clues", {}).get(clue.id, {})
            theta.append(learnt(row, [seen.get(answer, 0) for answer in ids], self.settings.strength))
        theta.append(unknown(theta, self.prior[:-1], len(ids), usual))
        return theta

    def cuts(self, clue: Clue | None) -> CutTable | None:
        """The table of the two sides' cuts; ``clue`` is the book's own of form ``cut``, where it has one."""
        if self._cuts is None or (self._cuts[0] is not clue and self._cuts[0] != clue):
            table = cut_table(self.pressings, clue, self.prior[:-1], self._each, self.settings)
            self.kept.clear()
            self._cuts = (clue, table)
        elif self._cuts[0] is not clue:
            self._cuts = (clue, self._cuts[1])
        return self._cuts[1]


def relevant(counts: Counts, pressings: tuple[Pressing, ...]) -> dict[str, Any]:
    """The shop's counts of these pressings alone."""
    return {p.id: counts[p.id] for p in pressings if p.id in counts}


def candidates(title: BookTitle | None, first: Span, counts: Counts, settings: ModelSettings) -> Candidates:
    """The title's candidates, from the last few kept where title, counts and settings are the same."""
    pressings = title.pressings if title else ()
    key = (title.book, title.id, settings) if title else ("", first.edtf(), settings)
    kept = _cache.get(key)
    same = kept is not None and (kept.title is title or kept.title == title) and kept.first == first
    if kept is not None and same and kept.counts == relevant(counts, pressings):
        kept.title = title
    else:
        kept = Candidates(title, first, _copied(relevant(counts, pressings)), settings)
        _cache.pop(key, None)
        while len(_cache) >= _KEPT:
            _cache.pop(next(iter(_cache)), None)
        _cache[key] = kept
    return kept


def _copied(counts: Mapping[str, Any]) -> dict[str, Any]:
    """A deep copy: the caller may go on counting in its own."""
    return {key: _copied(value) if isinstance(value, Mapping) else value for key, value in counts.items()}
