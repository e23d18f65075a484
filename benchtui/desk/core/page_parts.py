"""What a page holds, as data: no widths, no colours, no screen.

A ``Piece`` is a text and the name of its style ("" plain, "dim", "bold", "accent", "accent bold",
"good", "warn", "clash", "key"); ``Words`` are pieces one after the other. Texts may hold what a
person typed: whoever draws them shows them literally. Signs are those of the full look ("✓", "!");
the plain look translates them when it draws. A page is drawn in this order: title, facts, sections,
foot; title, facts and foot stay in sight while the sections are scrolled.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, overload

Piece = tuple[str, str]
Words = tuple[Piece, ...]
SIGNS = {"done": "✓", "begun": "…", "empty": "·", "apart": "!", "open": "?"}
"""The signs that pages use in their cells, by what they say of a record or a chore."""


def words(text: str, style: str = "") -> Words:
    """One piece; no piece at all of no text."""
    return ((text, style),) if text else ()


class Column(NamedTuple):
    """One column. ``rank`` 0: never cut (prices, grades, counts, keys); of the others the one with the
    highest rank is cut first, with a sign, down to ``least`` cells; where that is not enough it is left
    out whole. ``least`` 0: all of it or none.
    """

    words: str = ""
    right: bool = False
    """Figures stand at the right of their column."""
    rank: int = 0
    least: int = 6
    key: str = ""
    """A name for tests and for whoever keeps widths."""
    bar: bool = False
    """The column takes what room is left, and its cells are bars."""


@dataclass(frozen=True)
class Bar:
    """Stretches of a bar one after the other: share of the column's width (0 to 1), kind ("full", "half",
    "rest"), style. Something that is not nothing is at least one cell. ``words`` stand instead of a bar.
    """

    stretches: tuple[tuple[float, str, str], ...] = ()
    words: Words = ()


Cell = Words | Bar


class Row(NamedTuple):
    """``key`` says what the row is about ("record:r-7f3a", "field:price") while the page is open."""

    key: str
    cells: tuple[Cell, ...]
    markable: bool = True
    marked: bool = False
    brief: tuple[Cell, ...] = ()
    """Its cells in fewer words, for a page whose rows do not all fit (``PageView.columns``)."""


class LazyRows(Sequence[Row]):
    """Rows that are made when they are in sight; each can be marked, and the one at ``marked`` is.

    ``told``: what is looked through for a row, quicker than making it.
    """

    def __init__(
        self, count: int, marked: int, make: Callable[[int], Row], told: Callable[[int], Words]
    ) -> None:
        self._count, self.marked, self._make, self.told = count, marked, make, told

    def __len__(self) -> int:
        return self._count

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> list[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | list[Row]:
        if isinstance(at, slice):
            return [self._make(one) for one in range(*at.indices(self._count))]
        return self._make(range(self._count)[at])


def marked_in(rows: Sequence[Row]) -> int:
    """The place of the marked row; -1 where none is."""
    if isinstance(rows, LazyRows):
        return rows.marked if len(rows) else -1
    return next((n for n, row in enumerate(rows) if row.marked), -1)


def can_be_marked(rows: Sequence[Row], before: int | None = None) -> int:
    """How many of the rows (of those before that place) can be marked."""
    if isinstance(rows, LazyRows):
        return len(rows) if before is None else before
    return sum(row.markable for row in rows[:before])


@dataclass(frozen=True)
class Table:
    """Rows in columns that line up. Of ``LazyRows`` only those in sight are asked for.

    ``empty``: what is said where there are no rows.
    """

    columns: tuple[Column, ...]
    rows: Sequence[Row]
    heading: Words = ()
    empty: Words = ()
    name: str = ""


class Para(NamedTuple):
    """Words to be wrapped at the width there is. ``indent``: cells before every line of it; ``hang``:
    cells more before every line but the first; ``lead``: stands before the first line, not the indent.
    """

    words: Words = ()
    indent: int = 0
    hang: int = 0
    lead: Words = ()
    ruled: str = ""
    """What stands before every line of it: a text that goes out."""


class Text(NamedTuple):
    """Styled lines. An empty ``Para`` is an empty line. ``name``: where a command wants the page to stand."""

    lines: tuple[Para, ...]
    heading: Words = ()
    name: str = ""


Section = Table | Text
IN_SECTION = "\t"


def line_wanted(section: str, line: int) -> str:
    """What is wanted in sight: the row or paragraph of that number in the section of that name."""
    return f"{section}{IN_SECTION}{line}"


@dataclass(frozen=True)
class PageView:
    """A page as it stands now. Where a table has markable rows one of them is marked and Enter opens
    it; a page without any is read: the arrows scroll it.
    """

    title: Words
    facts: tuple[Para, ...] = ()
    sections: tuple[Section, ...] = ()
    foot: tuple[Para, ...] = field(default=())
    columns: bool = False
    """The sections may stand side by side, with every row in sight: in full where that fits, else brief."""


def told_of(view: PageView) -> list[Words]:
    """The words of each row that can be marked, from top to bottom: the desk marks the n-th of these."""
    tables = [section for section in view.sections if isinstance(section, Table)]
    return [told for table in tables for told in _told(table.rows)]


def _told(rows: Sequence[Row]) -> Iterator[Words]:
    if isinstance(rows, LazyRows):
        yield from map(rows.told, range(len(rows)))
        return
    for row in rows:
        if row.markable:
            cells = [cell.words if isinstance(cell, Bar) else cell for cell in row.cells]
            yield tuple(piece for cell in cells if cell for piece in (*cell, ("  ", "")))


def says(text: str, style: str = "", indent: int = 0, hang: int = 0) -> Para:
    """One piece as a paragraph."""
    return Para(words(text, style), indent, hang)
