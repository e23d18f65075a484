"""How well a title's clues tell its pressings apart, by what the books expect: what the coach goes by.

Of two pressings the overlap is the product over all clues (and the pairs of cuts) of the sum over the answers
of sqrt(P(answer | one) P(answer | other)), the Bhattacharyya coefficient: 1 where nothing differs, 0 where
one answer decides. Whoever has looked at everything and calls the likelier of two equally common pressings is
wrong in at least (1 - sqrt(1 - overlap^2)) / 2 of the copies and at most in half the overlap (Kailath 1967,
IEEE Transactions on Communication Technology 15:52).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import prod, sqrt

from benchtui.books.library import Library
from benchtui.books.shape import BookTitle, Clue
from benchtui.evidence.candidates import LAGGED, Candidates
from benchtui.evidence.command import record_of
from benchtui.evidence.settings import ModelSettings
from benchtui.model.title import Title

Rows = list[list[float]]
"""P(answer | pressing): a row an answer, a column a pressing."""
SETTINGS = ModelSettings()
INSEPARABLE = 0.5
"""Overlap from which two pressings count as not told apart: wrong in at least 7 of 100 copies."""


@dataclass(frozen=True)
class Telling:
    """One clue on one kind of part, and what it says of each pressing."""

    clue: Clue
    kind: str
    rows: Rows
    _overlaps: dict[tuple[int, int], float] = field(default_factory=dict, compare=False)

    def overlap(self, a: int, b: int) -> float:
        """Between two pressings, of this clue alone."""
        if (a, b) not in self._overlaps:
            self._overlaps[a, b] = sum(sqrt(max(0.0, row[a] * row[b])) for row in self.rows)
        return self._overlaps[a, b]


def least_wrong(overlap: float) -> float:
    """The share of copies that is called wrong at least, however well they are looked at."""
    return (1 - sqrt(max(0.0, 1 - overlap * overlap))) / 2


class Apart:
    """A title's pressings and every clue that is asked of its parts and does not say the same of them all."""

    def __init__(self, title: BookTitle, row: Title, library: Library) -> None:
        self.title = title
        self.size = len(title.pressings)
        self._found = Candidates(title, title.first, {}, SETTINGS)
        several = [self._telling(self._found, clue, kind) for clue, kind in _asked(title, row, library)]
        self.tellings = [one for one in several if one is not None]
        cuts = self._cuts(library)
        self.cuts = Telling(_NONE, "disc", cuts) if cuts else None
        shares = [pressing.share for pressing in title.pressings]
        total = sum(shares)
        self.prior = [share / total if total else 1 / self.size for share in shares]

    def _telling(self, found: Candidates, clue: Clue, kind: str) -> Telling | None:
        table = found.table(clue, kind)
        if not table.speaks:
            return None
        rows = table.expected(found.grids(kind in LAGGED))
        return Telling(clue, kind, [list(row[: self.size]) for row in rows])

    def _cuts(self, library: Library) -> Rows:
        own = (one for one in library.clues() if one.form == "cut" and self.title.company in one.companies)
        table = self._found.cuts(next(own, None))
        return [row[: self.size] for several in table.pair for row in several] if table else []

    def overlap(self, a: int, b: int, without: Telling | None = None) -> float:
        """Of two pressings by all clues together (but one)."""
        found = prod(one.overlap(a, b) for one in self.tellings if one is not without)
        return found * self.cuts.overlap(a, b) if self.cuts else found

    def pairs(self) -> Iterator[tuple[int, int]]:
        """Every two pressings."""
        return combinations(range(self.size), 2)

    def wrong(self) -> float:
        """Wrong calls in a hundred copies, at most: the union bound over all pairs."""
        return 100 * sum(sqrt(self.prior[a] * self.prior[b]) * self.overlap(a, b) for a, b in self.pairs())

    def wrong_with(self, telling: Telling, fills: Sequence[tuple[float, Telling]]) -> float:
        """The same on average once one clue says one of these instead, each with its chance."""
        total = 0.0
        for a, b in self.pairs():
            rest = sqrt(self.prior[a] * self.prior[b]) * self.overlap(a, b, telling)
            total += rest * sum(chance * one.overlap(a, b) for chance, one in fills)
        return 100 * total

    def fills(self, telling: Telling, h: int) -> list[tuple[float, Telling]]:
        """What the clue would say if the book said that pressing ``h`` always shows one answer: for each
        answer, with the chance the bench gives it now.
        """
        answers = [answer for answer in telling.clue.answers if not answer.neutral]
        found = []
        for answer, row in zip(answers, telling.rows, strict=True):
            pressing = self.title.pressings[h]
            filled = replace(pressing, expect={**pressing.expect, telling.clue.id: {answer.id: "always"}})
            pressings = tuple(filled if no == h else one for no, one in enumerate(self.title.pressings))
            title = replace(self.title, pressings=pressings)
            made = self._telling(Candidates(title, title.first, {}, SETTINGS), telling.clue, telling.kind)
            found.append((row[h], made or telling))
        return found

    def worth(self, telling: Telling, h: int) -> float:
        """Wrong calls in a hundred copies that knowing this cell would save on average."""
        return max(0.0, self.wrong() - self.wrong_with(telling, self.fills(telling, h)))

    def empty_cells(self) -> Iterator[tuple[Telling, int]]:
        """Clues that the book says of some of the pressings, with each pressing of which it is silent."""
        for telling in self.tellings:
            said = [bool(one.expect.get(telling.clue.id)) for one in self.title.pressings]
            if any(said):
                yield from ((telling, no) for no, one in enumerate(said) if not one)


_NONE = Clue("", "", "disc", "runout", ())


def _asked(title: BookTitle, row: Title, library: Library) -> list[tuple[Clue, str]]:
    """Every clue that is asked of a copy, once for each kind of part; those of form cut are in the pairs."""
    record = record_of(row, title)
    found: dict[tuple[str, str], tuple[Clue, str]] = {}
    for part in record["parts"]:
        for clue in library.clues_for(record, part):
            if clue.form != "cut" and sum(not answer.neutral for answer in clue.answers) > 1:
                found.setdefault((clue.id, part["kind"]), (clue, part["kind"]))
    return list(found.values())
