"""The titles at hand: those seen before and those on the sender's list, indexed apart from the long lists.

In a list of a million titles "ha" begins far more names than can be looked at; among the few thousand that a
shop has handled it begins a few dozen. So these are searched on their own, wholly, and put first.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.hit import Context
from benchtui.titles.piece import Piece
from benchtui.titles.rank import Known

BATCH = 128
"""Titles indexed between two breaths: about 4 ms."""
LINE = "\x00line "
"""Begins the id under which a list line with no title of its own is found; it never leaves this package."""


class Near:
    """Grows with what is picked; pieces of like size are merged, so that there are only a few."""

    def __init__(self, by_id: Callable[[str], Title | None]) -> None:
        self._by_id = by_id
        self._ids: set[str] = set()
        self._pieces: list[Piece] = []
        self._lines: Piece | None = None
        self._lines_of: tuple[tuple[str, ...], ...] = ()

    @property
    def pieces(self) -> list[Piece]:
        """All that is to be searched before the long lists."""
        return self._pieces + ([self._lines] if self._lines is not None else [])

    def learn(self, known: Known) -> Iterator[None]:
        """Indexes what the context names and is not indexed yet, in steps of about 4 ms, the most seen
        first.
        """
        self._read_lines(known.context)
        fresh = iter(known.best_first(None, self._ids))
        while batch := list(islice(fresh, BATCH)):
            titles = [title for one in batch if (title := self._by_id(one)) is not None]
            self._ids.update(title.id for title in titles)
            if titles:
                self._pieces.append(build_piece(titles))
            yield
            while len(self._pieces) > 1 and len(self._pieces[-2]) <= len(self._pieces[-1]) < 16 * BATCH:
                small, large = self._pieces.pop(), self._pieces.pop()
                self._pieces.append(build_piece([*large.titles(), *small.titles()]))
                yield

    def replace(self, title: Title) -> None:
        """A title has changed: its old form must not be found here any more."""
        for no, piece in enumerate(self._pieces):
            if piece.doc_of(title.id) is not None:
                self._pieces[no] = build_piece(title if one.id == title.id else one for one in piece.titles())

    def _read_lines(self, context: Context) -> None:
        lines = tuple(
            tuple(str(one.get(name, "")) for name in ("line", "artist", "title", "catalogue"))
            for one in context.unticked
        )
        if lines == self._lines_of:
            return
        self._lines_of = lines
        named = [
            Title(f"{LINE}{no}", artist, title or line, catalogue)
            for no, (line, artist, title, catalogue) in enumerate(lines)
        ]
        self._lines = build_piece(named) if named else None


def is_line(title: Title) -> bool:
    """Whether the title is known from the sender's list only."""
    return title.id.startswith(LINE)


def without_line_id(title: Title) -> Title:
    """A title known from the sender's list only goes out without an id."""
    return replace(title, id="") if is_line(title) else title
