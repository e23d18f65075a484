"""A table of a page: Textual's own, holding only the rows near what is in sight, however long it is."""

from typing import cast

from rich.text import Text as Cells
from textual import events
from textual.coordinate import Coordinate
from textual.widgets import DataTable

from benchtui.bench.page_lines import GAP, MARK, cells_of, natural_widths, widths_of
from benchtui.bench.pieces import Glyphs, Line, cut, plain
from benchtui.bench.widgets.rows import Dressed, Rows
from benchtui.desk.core.page_parts import LazyRows, Row, Table, can_be_marked

CHUNK = 40
"""A long table holds the rows in sight, and so many or more above and below them."""


class Listed(DataTable[Cells], can_focus=False):
    """A table of a page. The desk marks its rows; a click marks one and opens it."""

    DEFAULT_CSS = """
    Listed { height: auto; max-height: 1000000; background: $background; overflow: hidden;
        & > .datatable--header { background: $background; color: $bench-dim; text-style: none; }
        & > .datatable--cursor { background: $bench-field; color: $foreground; text-style: none; }
        & > .datatable--hover { background: $background; }
    }
    """

    def __init__(self) -> None:
        super().__init__(cursor_type="row", show_cursor=False, cell_padding=0)
        self._widths: list[int] = []
        self._natural: list[tuple[Row, tuple[int, ...]]] = []
        self._held: list[tuple[Line, ...]] = []
        self._numbers: list[int] = []
        self._start = 0

    def show(self, table: Table, in_sight: range, first: int, width: int, signs: Glyphs) -> None:
        """The rows in sight and those about them; blank cells stand for the others, so that each row is where
        it would be. ``first``: the place of the table's first row among those of the page that can be marked.
        """
        start, stop = held(len(table.rows), in_sight)
        rows = table.rows[start:stop]
        lazy = isinstance(table.rows, LazyRows)  # its columns are as wide as the rows held want them
        natural = list(map(natural_widths, rows)) if lazy else self._measured(table)
        widths = widths_of(table.columns, natural, width - MARK)
        wanted = [self._cells(row, table, widths, signs) for row in rows]
        if widths != self._widths or start != self._start or len(wanted) != len(self._held):
            self._fill(table, widths, wanted)
        else:
            for at, (new, old) in enumerate(zip(wanted, self._held, strict=True)):
                for n, cell in enumerate(new):
                    if cell != old[n]:
                        self.update_cell_at(Coordinate(at, n), self._dressed(cell))
        self._widths, self._held, self._start = widths, wanted, start
        above_below = (start, 0, len(table.rows) - stop, 0)
        if tuple(self.styles.padding) != above_below:
            self.styles.padding = above_below
        at = next((n for n, row in enumerate(rows) if row.marked), -1)
        self.show_cursor = at >= 0
        if at >= 0:
            self.move_cursor(row=at, scroll=False)
        places = iter(range(first + can_be_marked(table.rows, start), first + len(table.rows)))
        self._numbers = [next(places) if row.markable else -1 for row in rows]

    def holds(self, count: int, in_sight: range) -> bool:
        """Whether these rows are held already."""
        stop = self._start + len(self._held)
        return self._start <= max(0, in_sight.start) and min(count, in_sight.stop) <= stop

    def _measured(self, table: Table) -> list[tuple[int, ...]]:
        """Cells that each row would take; one that is still the same row is not measured again."""
        known = self._natural
        self._natural = [
            known[n] if n < len(known) and known[n][0] is row else (row, natural_widths(row))
            for n, row in enumerate(table.rows)
        ]
        return [cells for _, cells in self._natural]

    def _cells(self, row: Row, table: Table, widths: list[int], signs: Glyphs) -> tuple[Line, ...]:
        mark: Line = [(signs.here if row.marked else " ", "accent bold")]
        return (mark, *cells_of(row.cells, table.columns, widths, signs))

    def _fill(self, table: Table, widths: list[int], rows: list[tuple[Line, ...]]) -> None:
        self.clear(columns=True)
        self.show_header = any(column.words for column in table.columns)
        self.add_column("", width=MARK)
        last = max((n for n, cells in enumerate(widths) if cells), default=0)
        for n, (column, cells) in enumerate(zip(table.columns, widths, strict=True)):
            if cells:
                named = cut([(column.words, "dim")], cells)
                text = "".join(part for part, _ in named)
                self.add_column(
                    Cells(text.rjust(cells) if column.right else text), width=cells + (GAP if n < last else 0)
                )
        for row in rows:
            self.add_row(*map(self._dressed, row))

    def _dressed(self, cell: Line) -> Cells:
        dressed = cast(Dressed, self.app)
        made = [
            (plain(text) if dressed.plain else text, dressed.styles_now.get(style)) for text, style in cell
        ]
        return Cells.assemble(*made, no_wrap=True, end="")

    def on_click(self, event: events.Click) -> None:
        """The n-th row of those that can be marked; a table whose cursor is hidden selects none by itself."""
        row = event.style.meta.get("row", -1)
        if 0 <= row < len(self._numbers) and (place := self._numbers[row]) >= 0:
            self.post_message(Rows.Clicked(self, f"row:{place}", 0))

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._held = []  # the next show fills it anew, in the theme's colours


def held(count: int, in_sight: range) -> tuple[int, int]:
    """The first of so many rows that a table holds, and the one after the last: in whole chunks, so that few
    steps change them.
    """
    chunk = max(CHUNK, len(in_sight))
    if count <= 3 * chunk:
        return 0, count
    start = max(0, in_sight.start // chunk - 1) * chunk
    return min(start, max(0, count - 1)), min(count, (in_sight.stop // chunk + 2) * chunk)
