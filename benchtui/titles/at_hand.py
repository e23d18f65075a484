"""The titles at hand: those seen before and those on the sender's list, indexed apart from the long lists.

In a list of a million titles "ha" begins far more names than can be looked at; among the few thousand that a
shop has handled it begins a few dozen. So these are searched on their own, wholly, and put first.
"""

from collections.abc import Callable, Generator, Iterator
from itertools import islice

from benchtui.model.title import Title
from benchtui.titles.build import build_piece, build_steps
from benchtui.titles.meant import Meant
from benchtui.titles.piece import Piece
from benchtui.titles.rank import LINE, TitleContext, line_title

BATCH = 96
"""Titles indexed at once: about 4 ms."""
FEW = 8
"""Titles added at once to as many that are there already."""
DONE = object()


class AtHand:
    """A large piece of what has long been known, and a small one of what came since; from time to time the
    large one is made anew of both, in steps.
    """

    def __init__(self, by_id: Callable[[str], Title | None], search: Callable[[str], list[Title]]) -> None:
        self._by_id = by_id
        self._meant = Meant(search)
        self._ids: set[str] = set()
        self._lost: set[str] = set()
        """Titles picked once that stand in no list (any more): not looked for at every line again."""
        self._large = self._small = build_piece(())
        self._rated: TitleContext | None = None
        self._rating: Iterator[None] = iter(())
        self._noted: TitleContext | None = None
        self._work: Iterator[None] | None = None
        self._learnt: TitleContext | None = None

    @property
    def pieces(self) -> list[Piece]:
        """All that is to be searched before the long lists."""
        return [self._large, self._small]

    def step(self, known: TitleContext) -> bool:
        """Some 4 ms of indexing what the context names and is not indexed yet, the most seen first; False
        when there is nothing left to do.
        """
        if known is not self._noted:
            if self._rated is not known:
                self._rated, self._rating = known, known.rating(self._ids | self._lost)
            if next(self._rating, DONE) is DONE:
                self._rated = None
                self._note(known)
            return True
        if self._work is None:
            if known is self._learnt:
                return False
            self._work = self._learn(known)
        if next(self._work, DONE) is DONE:
            self._work = None
        return True

    def is_done(self, known: TitleContext) -> bool:
        """Whether ``step`` has nothing left to do."""
        return known is self._noted and self._work is None and known is self._learnt

    def forget(self, title_id: str) -> None:
        """A title has changed: its new form is to be learnt (its old one is passed over by whoever asks
        ``by_id``).
        """
        self._ids.discard(title_id)
        self._lost.discard(title_id)
        self._noted = self._learnt = None

    def lists_changed(self) -> None:
        """Other lists are there: what a line of the sender's means is to be looked for again."""
        self._meant.forget()
        self._lost = set()
        self._noted = self._learnt = None

    def _note(self, known: TitleContext) -> None:
        """Indexes the first few at once, so that the lines on top are right from the first key on."""
        self._noted = known
        self._meant.lend(known)
        self._add(list(islice(self._fresh(known), max(FEW, BATCH - len(self._small)))))

    def _add(self, batch: list[Title]) -> None:
        if batch:
            self._small = build_piece([*self._small.titles(), *batch])
            self._ids.update(title.id for title in batch)

    def _learn(self, known: TitleContext) -> Iterator[None]:
        fresh: list[Title] = []
        for title in self._fresh(known):
            fresh.append(title)
            if len(fresh) % BATCH == 0:
                yield
        small = self._small
        if fresh or len(small) > 2 * BATCH:
            steps = build_steps(
                title for one in (self._large.titles(), small.titles(), fresh) for title in one
            )
            while (piece := next_or_value(steps)) is None:
                yield
            self._ids.update(title.id for title in fresh)
            newer = [title for title in self._small.titles() if small.doc_of(title.id) is None]
            self._large, self._small = piece, build_piece(newer)
        found: list[Title] = []
        for meant in self._meant.find(known):
            if meant is not None and meant.id not in self._ids:
                found.append(meant)
            if len(found) == FEW:
                self._add(found)
                found = []
            yield
        self._add(found)
        self._learnt = known

    def _fresh(self, known: TitleContext) -> Iterator[Title]:
        for line in known.context.unticked:
            title = line_title(line)
            if title.id not in self._ids:
                yield title
        for title_id in known.best_first(None, self._ids | self._lost):
            if (found := self._by_id(title_id)) is not None:
                yield found
            else:
                self._lost.add(title_id)


def next_or_value(steps: Generator[float, None, Piece]) -> Piece | None:
    """One step of building; the piece once it is there."""
    try:
        next(steps)
    except StopIteration as done:
        piece: Piece = done.value
        return piece
    return None


def is_line(title: Title) -> bool:
    """Whether the title is known from the sender's list only."""
    return title.id.startswith(LINE)


def without_line_id(title: Title) -> Title:
    """A title known from the sender's list only goes out without an id."""
    return title._replace(id="") if is_line(title) else title
