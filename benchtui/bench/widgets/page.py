"""Any page of the desk: title in the frame, facts, tables and texts to be scrolled, a foot."""

from dataclasses import dataclass, field
from typing import cast

from rich.text import Text as Cells
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.coordinate import Coordinate
from textual.message import Message
from textual.widget import Widget
from textual.widgets import DataTable

from benchtui.bench.page_lines import GAP, MARK, cells_of, line_of, paragraph, widths_of
from benchtui.bench.pieces import Glyphs, Line, cut, plain, shed
from benchtui.bench.side_by_side import set_out
from benchtui.bench.widgets.rows import Dressed, Rows
from benchtui.desk.core.page_parts import PageView, Para, Row, Section, Table

CHUNK = 200
"""Rows of a long table are held in such chunks: that of the marked row and its neighbours."""


class Listed(DataTable[Cells], can_focus=False):
    """A table of a page. The desk marks its rows; a click marks one and opens it."""

    DEFAULT_CSS = """
    Listed { height: auto; background: $background; overflow: hidden;
        & > .datatable--header { background: $background; color: $bench-dim; text-style: none; }
        & > .datatable--cursor { background: $bench-field; color: $foreground; text-style: none; }
        & > .datatable--hover { background: $background; }
    }
    """

    @dataclass
    class Opened(Message):
        """A row was clicked: the n-th of those on the page that can be marked."""

        row: int

    def __init__(self) -> None:
        super().__init__(cursor_type="row", show_cursor=False, cell_padding=0)
        self._widths: list[int] = []
        self._held: list[tuple[Line, ...]] = []
        self._numbers: list[int] = []

    def show(self, table: Table, rows: list[Row], first: int, width: int, signs: Glyphs) -> None:
        """``first``: the place of the first of these rows among those of the page that can be marked."""
        widths = widths_of(table, width - MARK)
        wanted = [self._cells(row, table, widths, signs) for row in rows]
        if widths != self._widths or len(wanted) != len(self._held):
            self._fill(table, widths, wanted)
        else:
            for at, (new, old) in enumerate(zip(wanted, self._held, strict=True)):
                for n, cell in enumerate(new):
                    if cell != old[n]:
                        self.update_cell_at(Coordinate(at, n), self._dressed(cell))
        self._widths, self._held = widths, wanted
        at = next((n for n, row in enumerate(rows) if row.marked), -1)
        self.show_cursor = at >= 0
        if at >= 0:
            self.move_cursor(row=at, scroll=False)
        places = iter(range(first, first + len(rows)))
        self._numbers = [next(places) if row.markable else -1 for row in rows]

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

    def on_data_table_row_selected(self, event: DataTable.RowSelected) -> None:
        event.stop()
        if event.cursor_row < len(self._numbers) and (place := self._numbers[event.cursor_row]) >= 0:
            self.post_message(self.Opened(place))

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._held = []  # the next show fills it anew, in the theme's colours


@dataclass
class _Part:
    """A widget of the page's body and its rows; ``marked``: which of them is the marked one."""

    widget: Widget
    rows: int
    gap: int = 0
    marked: int = -1
    name: str = ""
    lines: list[Line] = field(default_factory=list)


class PageBody(VerticalScroll, can_focus=False):
    """The sections one under the other; or lines that were set out side by side."""

    DEFAULT_CSS = """
    PageBody {
        height: 1fr; background: $background; scrollbar-size-vertical: 1;
        scrollbar-color: $bench-dim; scrollbar-background: $background;
    }
    """

    def __init__(self) -> None:
        super().__init__(id="body")
        self._kinds: tuple[str, ...] = ()
        self._widgets: list[Rows | Listed] = []

    def show_lines(self, lines: list[Line]) -> int:
        """One block of lines; how many there are."""
        self._prepare(("text",))
        block = self._widgets[0]
        assert isinstance(block, Rows)
        _size(block, len(lines), 0)
        block.show(lines)
        return len(lines)

    def show(self, sections: tuple[Section, ...], width: int, signs: Glyphs) -> list[_Part]:
        """The sections at that width; where each of them stands."""
        self._prepare(tuple(kind for one in sections for kind in _kinds(one)))
        widgets = iter(self._widgets)
        parts: list[_Part] = []
        first = 0
        for n, section in enumerate(sections):
            for kind in _kinds(section):
                widget = next(widgets)
                part = self._part(widget, section, kind, first, width, signs)
                part.gap = 1 if n and kind == _kinds(section)[0] else 0
                _size(widget, part.rows, part.gap)
                parts.append(part)
            first += sum(row.markable for row in section.rows) if isinstance(section, Table) else 0
        return parts

    def _part(
        self, widget: Rows | Listed, section: Section, kind: str, first: int, width: int, signs: Glyphs
    ) -> _Part:
        if isinstance(widget, Rows):
            lines = _lines(section, kind, width)
            widget.show(lines)
            return _Part(widget, len(lines), name=section.name)
        assert isinstance(section, Table)
        rows, before = _near_mark(section)
        widget.show(section, rows, first + before, width, signs)
        header = 1 if any(column.words for column in section.columns) else 0
        at = next((n for n, row in enumerate(rows) if row.marked), -1)
        return _Part(widget, len(rows) + header, marked=at + header if at >= 0 else -1, name=section.name)

    def _prepare(self, kinds: tuple[str, ...]) -> None:
        """The widgets for these kinds of section; those of another page go."""
        if kinds == self._kinds and self._widgets:
            return
        self._kinds = kinds
        self._widgets = [Listed() if kind == "table" else Rows() for kind in kinds]
        if self.is_mounted:
            self._change()

    def compose(self) -> ComposeResult:
        yield from self._widgets

    def on_mount(self) -> None:
        if list(self.children) != self._widgets:  # another page was opened before this one was there
            self._change()

    def _change(self) -> None:
        self.remove_children()
        self.mount(*self._widgets)


def _kinds(section: Section) -> tuple[str, ...]:
    if isinstance(section, Table) and section.rows:
        return ("heading", "table") if section.heading else ("table",)
    return ("text",)


def _lines(section: Section, kind: str, width: int) -> list[Line]:
    heading = paragraph(Para(section.heading), width) if section.heading else []
    if kind == "heading":
        return heading
    if isinstance(section, Table):
        return heading + (paragraph(Para(section.empty, indent=2), width) if section.empty else [])
    return heading + [line for para in section.lines for line in paragraph(para, width)]


def _near_mark(table: Table) -> tuple[list[Row], int]:
    """The rows to be held, and how many of those that can be marked stand before them."""
    if len(table.rows) <= 3 * CHUNK:
        return list(table.rows), 0
    at = next((n for n, row in enumerate(table.rows) if row.marked), 0)
    start = max(0, at // CHUNK * CHUNK - CHUNK)
    return list(table.rows[start : start + 3 * CHUNK]), start


def _size(widget: Widget, rows: int, gap: int) -> None:
    height = widget.styles.height
    if height is None or height.value != rows or widget.styles.margin.top != gap:
        widget.styles.height = rows
        widget.styles.margin = (gap, 0, 0, 0)


class Page(Vertical, can_focus=False):
    """The page in its frame."""

    DEFAULT_CSS = """
    Page { border: round $bench-line; padding: 0 1; height: 1fr; background: $background;
        & > Rows { height: auto; }
    }
    """

    def __init__(self) -> None:
        super().__init__(id="page")
        self.facts, self.body, self.foot = Rows(id="facts"), PageBody(), Rows(id="page-foot")

    def compose(self) -> ComposeResult:
        yield from (self.facts, self.body, self.foot)

    def show(self, view: PageView, width: int, height: int, signs: Glyphs, top: int, wanted: str) -> int:
        """The page in so many rows inside its frame, its text scrolled to ``top``, or to the section of the
        name wanted; the topmost row now shown.
        """
        self.border_title = self.facts.content_of(cut(line_of(view.title), width - 2))
        facts = [line for para in view.facts for line in paragraph(para, width)]
        foot = shed(
            [line for para in view.foot for line in paragraph(para, width)], max(0, height - 4), width
        )
        facts = facts[: max(0, height - len(foot) - 3)]
        for widget, lines in ((self.facts, facts), (self.foot, foot)):
            _size(widget, len(lines), 0)
            widget.show(lines)
        room = max(1, height - len(facts) - len(foot))
        inner = width - 1  # the scroll bar's
        if view.columns:
            whole, marked = self.body.show_lines(set_out(view, inner, room)), -1
        else:
            parts = self.body.show(view.sections, inner, signs)
            whole = sum(part.gap + part.rows for part in parts)
            marked = _place(parts)
            top = _start(parts, wanted) if wanted else top
        if marked >= 0:
            now = round(self.body.scroll_y)
            top = min(now, marked - 1) if marked <= now else max(now, marked - room + 2)
        top = max(0, min(top, whole - room))
        self.border_subtitle = self.facts.content_of(_beyond(top, whole - room - top))
        if round(self.body.scroll_y) != top:
            self.body.scroll_to(y=top, animate=False, force=True)
        return top


def _beyond(above: int, below: int) -> Line:
    """How many rows there are out of sight, in words."""
    said = ", ".join([f"{above} above"] * (above > 0) + [f"{below} below"] * (below > 0))
    return [(f"… {said}", "dim")] if said else []


def _place(parts: list[_Part]) -> int:
    """The row of the page that is marked; -1 where none is."""
    at = 0
    for part in parts:
        at += part.gap
        if part.marked >= 0:
            return at + part.marked
        at += part.rows
    return -1


def _start(parts: list[_Part], name: str) -> int:
    at = 0
    for part in parts:
        if part.name == name:
            return at
        at += part.gap + part.rows
    return 0
