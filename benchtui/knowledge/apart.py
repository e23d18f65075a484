"""How well a title's clues tell its pressings apart, by what the books expect: what the coach goes by.

Of two pressings the overlap is the product over all clues (and the pairs of cuts) of the sum over the answers
of sqrt(P(answer | one) P(answer | other)), the Bhattacharyya coefficient: 1 where nothing differs, 0 where
one answer decides. Whoever has looked at everything and calls the likelier of two equally common pressings is
wrong in at least (1 - sqrt(1 - overlap^2)) / 2 of the copies and at most in half the overlap (Kailath 1967,
IEEE Transactions on Communication Technology 15:52).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from math import prod, sqrt
from operator import mul

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

    @cached_property
    def _roots(self) -> list[list[float]]:
        """sqrt(P(answer | pressing)): a row a pressing."""
        return [[sqrt(max(0.0, p)) for p in column] for column in zip(*self.rows, strict=True)]

    @cached_property
    def overlaps(self) -> list[float]:
        """That of every two pressings, in the order of ``Apart.pairs``."""
        return [sum(map(mul, one, other)) for one, other in combinations(self._roots, 2)]

    def overlap(self, a: int, b: int) -> float:
        """Between two pressings, of this clue alone."""
        return float(sum(map(mul, self._roots[a], self._roots[b])))


def least_wrong(overlap: float) -> float:
    """The share of copies that is called wrong at least, however well they are looked at."""
    return (1 - sqrt(max(0.0, 1 - overlap * overlap))) / 2


class Apart:
    """A title's pressings and every clue that is asked of its parts and does not say the same of them all."""

    def __init__(self, title: BookTitle, row: Title, library: Library, *, at_once: bool = True) -> None:
        """``at_once``: False where somebody goes on with ``reading``, a step at a time."""
        self.title = title
        self.size = len(title.pressings)
        self.tellings: list[Telling] = []
        self.cuts: Telling | None = None
        self._found = Candidates(title, title.first, {}, SETTINGS)
        shares = [pressing.share for pressing in title.pressings]
        total = sum(shares)
        self.prior = [share / total if total else 1 / self.size for share in shares]
        for _ in self.reading(row, library) if at_once else ():
            pass

    def reading(self, row: Title, library: Library) -> Iterator[None]:
        """Makes the tables of its clues, one a step."""
        for clue, kind in _asked(self.title, row, library):
            if (one := self._telling(self._found, clue, kind)) is not None:
                self.tellings.append(one)
            yield
        cuts = self._cuts(library)
        self.cuts = Telling(_NONE, "disc", cuts) if cuts else None

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

    def overlap(self, a: int, b: int) -> float:
        """Of two pressings by all clues together."""
        found = prod(one.overlap(a, b) for one in self.tellings)
        return found * self.cuts.overlap(a, b) if self.cuts else found

    def pairs(self) -> Iterator[tuple[int, int]]:
        """Every two pressings."""
        return combinations(range(self.size), 2)

    def _close(self, without: Telling) -> list[float]:
        """Each pair's share of wrong calls, at most, by all clues together but one."""
        found = [sqrt(self.prior[a] * self.prior[b]) for a, b in self.pairs()]
        for one in (*self.tellings, self.cuts):
            if one is not None and one is not without:
                found = list(map(mul, found, one.overlaps))
        return found

    def worths(self, telling: Telling, empty: Sequence[int]) -> Iterator[float]:
        """Wrong calls in a hundred copies that knowing each of these cells would save on average."""
        rest = self._close(telling)
        now = sum(map(mul, rest, telling.overlaps))
        for h in empty:
            then = sum(chance * sum(map(mul, rest, one.overlaps)) for chance, one in self.fills(telling, h))
            yield max(0.0, 100 * (now - then))

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

    def empty_cells(self) -> Iterator[tuple[Telling, list[int]]]:
        """Clues that the book says of some of the pressings, each with those of which it is silent."""
        for telling in self.tellings:
            said = [bool(one.expect.get(telling.clue.id)) for one in self.title.pressings]
            if any(said) and not all(said):
                yield telling, [no for no, one in enumerate(said) if not one]


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
