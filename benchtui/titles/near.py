"""The titles at hand: those seen before and those on the sender's list, indexed apart from the long lists.

In a list of a million titles "ha" begins far more names than can be looked at; among the few thousand that a
shop has handled it begins a few dozen. So these are searched on their own, wholly, and put first.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from itertools import islice
from typing import Any

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.piece import Piece
from benchtui.titles.rank import Known, line_fields

BATCH = 96
"""Titles indexed between two breaths: about 4 ms."""
MERGED = 4 * BATCH
"""Pieces are merged up to this size, so that no merging takes long; a shop of 5,000 titles has some dozen."""
LINE = "\x00line "
"""Begins the id under which a list line with no title of its own is found; it never leaves this package."""


class Near:
    """Grows with what is picked and with the lines of the list."""

    def __init__(self, by_id: Callable[[str], Title | None]) -> None:
        self._by_id = by_id
        self._ids: set[str] = set()
        self._pieces: list[Piece] = []
        self._learnt: Known | None = None

    @property
    def pieces(self) -> list[Piece]:
        """All that is to be searched before the long lists."""
        return self._pieces

    def learn(self, known: Known) -> Iterator[None]:
        """Indexes what the context names and is not indexed yet, in steps of about 4 ms, the most seen
        first.
        """
        if known is self._learnt:
            return
        fresh = self._fresh(known)
        while batch := list(islice(fresh, BATCH)):
            self._pieces.append(build_piece(batch))
            self._ids.update(title.id for title in batch)
            yield
            while len(self._pieces) > 1 and len(self._pieces[-2]) + len(self._pieces[-1]) <= MERGED:
                small, large = self._pieces.pop(), self._pieces.pop()
                self._pieces.append(build_piece([*large.titles(), *small.titles()]))
                yield
        self._learnt = known

    def forget(self, title_id: str) -> None:
        """A title has changed: its old form must not be found here any more; its new one may be learnt."""
        for no, piece in enumerate(self._pieces):
            if piece.doc_of(title_id) is not None:
                self._pieces[no] = build_piece(one for one in piece.titles() if one.id != title_id)
        self._ids.discard(title_id)
        self._learnt = None

    def _fresh(self, known: Known) -> Iterator[Title]:
        for line in known.context.unticked:
            title = line_title(line)
            if title.id not in self._ids:
                yield title
        for title_id in known.best_first(None, self._ids):
            if (found := self._by_id(title_id)) is not None:
                yield found


def line_title(line: Mapping[str, Any]) -> Title:
    """The title that a list line names by itself."""
    artist, title, catalogue = line_fields(line)
    return Title(f"{LINE}{artist}\n{title}\n{catalogue}", artist, title, catalogue)


def is_line(title: Title) -> bool:
    """Whether the title is known from the sender's list only."""
    return title.id.startswith(LINE)


def without_line_id(title: Title) -> Title:
    """A title known from the sender's list only goes out without an id."""
    return replace(title, id="") if is_line(title) else title
