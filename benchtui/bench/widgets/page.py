"""Any page of the desk: title in the frame, facts, tables and texts to be scrolled, a foot."""

from dataclasses import dataclass, field
from typing import NamedTuple

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widget import Widget

from benchtui.bench.page_lines import line_of, paragraph
from benchtui.bench.pieces import Glyphs, Line, cut, shed
from benchtui.bench.side_by_side import set_out
from benchtui.bench.widgets.listed import Listed
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.core.page_parts import IN_SECTION, PageView, Para, Section, Table, can_be_marked, marked_in


@dataclass
class _Part:
    """A widget of the page's body and its rows. ``head``: rows of a table before its first; ``first``: how
    many rows that can be marked stand before it on the page; ``marked``: which row is the marked one.
    """

    widget: Rows | Listed
    section: Section
    rows: int
    gap: int = 0
    head: int = 0
    first: int = 0
    marked: int = -1
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
        self._parts: list[_Part] = []
        self._room: tuple[int, int, Glyphs] | None = None

    def show_lines(self, lines: list[Line]) -> int:
        """One block of lines; how many there are."""
        self._prepare(("text",))
        block = self._widgets[0]
        assert isinstance(block, Rows)
        self._parts = []
        _size(block, len(lines), 0)
        block.show(lines)
        return len(lines)

    def place(self, sections: tuple[Section, ...], width: int) -> list[_Part]:
        """Where each section stands at that width."""
        self._prepare(tuple(kind for one in sections for kind in _kinds(one)))
        widgets = iter(self._widgets)
        self._parts = []
        first = 0
        for n, section in enumerate(sections):
            for kind in _kinds(section):
                part = _part(next(widgets), section, kind, width)
                part.first = first
                part.gap = 1 if n and kind == _kinds(section)[0] else 0
                self._parts.append(part)
            first += can_be_marked(section.rows) if isinstance(section, Table) else 0
        return self._parts

    def show(self, top: int, width: int, height: int, signs: Glyphs) -> None:
        """What was placed, scrolled to that row; of long tables only what is in sight is held."""
        self._room = (width, height, signs)
        for part, in_sight in self._in_sight(top, height):
            _size(part.widget, part.rows, part.gap)
            if isinstance(part.widget, Rows):
                part.widget.show(part.lines)
            elif isinstance(part.section, Table):
                part.widget.show(part.section, in_sight, part.first, width, signs)

    def _in_sight(self, top: int, height: int) -> list[tuple[_Part, range]]:
        """Each part with those of its table's rows that are in sight."""
        found, at = [], -top
        for part in self._parts:
            at += part.gap
            inside = at + part.head
            found.append((part, range(max(0, -inside), max(0, height - inside))))
            at += part.rows
        return found

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """The wheel, too, brings rows into sight that were not held."""
        super().watch_scroll_y(old_value, new_value)
        if self._room is None:
            return
        width, height, signs = self._room
        for part, in_sight in self._in_sight(round(new_value), height):
            table = part.section
            if not isinstance(part.widget, Listed) or not isinstance(table, Table):
                continue
            if not part.widget.holds(len(table.rows), in_sight):
                part.widget.show(table, in_sight, part.first, width, signs)

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


def _part(widget: Rows | Listed, section: Section, kind: str, width: int) -> _Part:
    if isinstance(widget, Rows) or not isinstance(section, Table):
        lines = _lines(section, kind, width)
        return _Part(widget, section, len(lines), lines=lines)
    head = 1 if any(column.words for column in section.columns) else 0
    at = marked_in(section.rows)
    marked = at + head if at >= 0 else -1
    return _Part(widget, section, len(section.rows) + head, head=head, marked=marked)


def _size(widget: Widget, rows: int, gap: int) -> None:
    height = widget.styles.height
    if height is None or height.value != rows or widget.styles.margin.top != gap:
        widget.styles.height = rows
        widget.styles.margin = (gap, 0, 0, 0)


class Scrolled(NamedTuple):
    """How far down a page is: its text scrolled to ``top``, or to the section of the name ``wanted``;
    ``below``: what stands below its last row is read, and the marked row may be out of sight.
    """

    top: int = 0
    wanted: str = ""
    below: bool = False


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

    def show(self, view: PageView, width: int, height: int, signs: Glyphs, at: Scrolled) -> int:
        """The page in so many rows inside its frame; the topmost row now shown."""
        top = at.top
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
            parts = self.body.place(view.sections, inner)
            whole = sum(part.gap + part.rows for part in parts)
            marked = _place(parts)
            top = _start(parts, at.wanted, inner) if at.wanted else top
        if marked >= 0 and not at.below:
            now = round(self.body.scroll_y)
            top = min(now, marked - 1) if marked <= now else max(now, marked - room + 2)
        top = max(0, min(top, whole - room))
        self.body.show(top, inner, room, signs)
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


def _start(parts: list[_Part], wanted: str, width: int) -> int:
    """The row at which a section begins, or that of its lines which is wanted."""
    name, _, line = wanted.partition(IN_SECTION)
    at = 0
    for part in parts:
        heads = isinstance(part.section, Table) and bool(part.lines)  # its rows are the next part
        if part.section.name == name and not (line and heads):
            return at + (_above(part, int(line), width) if line else 0)
        at += part.gap + part.rows
    return 0


def _above(part: _Part, line: int, width: int) -> int:
    """How many rows of a section stand above its line of that number."""
    if isinstance(part.section, Table):
        return part.gap + part.head + line
    return part.gap + len(_lines(part.section._replace(lines=part.section.lines[:line]), "text", width))
