"""Styled rows on the screen, of which only those that changed are painted again."""

from dataclasses import dataclass
from typing import Protocol, cast

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.content import Content
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.style import Style as Visual
from textual.widget import Widget

from benchtui.base.signs import visible
from benchtui.bench.looks import Styles
from benchtui.bench.pieces import Line, plain


class Dressed(Protocol):
    """What rows ask of the app they are in."""

    styles_now: Styles
    plain: bool


class Rows(Widget, can_focus=False):
    """Rows of pieces. A piece's style may end in ``@target``: a click on it posts ``Clicked(target)``."""

    DEFAULT_CSS = """
    Rows { height: 1fr; width: 1fr; }
    """

    @dataclass
    class Clicked(Message):
        """A piece with a target was clicked, or a table's row."""

        rows: Widget
        target: str
        x: int
        """The cell from the left."""

        @property
        def control(self) -> Widget:
            return self.rows

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002  (Textual's name)
        super().__init__(id=id, classes=classes)
        self.lines: list[Line] = []
        self._titles: tuple[Line, Line] = ([], [])
        self._strips: dict[int, tuple[Line, int, Strip]] = {}
        self._base: Style | None = None

    def show(self, lines: list[Line]) -> None:
        """Show these rows; nothing else on the screen is laid out or painted again."""
        old = self.lines
        longer = max(len(old), len(lines))
        changed = [y for y in range(longer) if y >= len(old) or y >= len(lines) or old[y] != lines[y]]
        # an equal row stays the one that a strip was made of: Textual asks for it whenever the title changes
        self.lines = [old[y] if y < len(old) and old[y] == line else line for y, line in enumerate(lines)]
        if changed:
            width = self.content_size.width
            self.refresh(*(Region(0, first, width, last + 1 - first) for first, last in _runs(changed)))

    def show_titles(self, title: Line, foot: Line) -> None:
        """What stands in the upper and in the lower edge of the frame."""
        if (title, foot) == self._titles:
            return
        self._titles = (title, foot)
        self._dress_titles()

    def _dress_titles(self) -> None:
        self.border_title = self.content_of(self._titles[0]) if self._titles[0] else None
        self.border_subtitle = self.content_of(self._titles[1]) if self._titles[1] else None

    def content_of(self, line: Line) -> Content:
        """The pieces as Textual's content, with nothing in them read as markup."""
        dressed = cast(Dressed, self.app)
        made = [
            (
                plain(visible(text)) if dressed.plain else visible(text),
                Visual.from_rich_style(dressed.styles_now.get(style)),
            )
            for text, style in line
            if text
        ]
        return Content.assemble(*made)

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._strips, self._base = {}, None
        if self.is_mounted:
            self._dress_titles()

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        line = self.lines[y] if y < len(self.lines) else []
        known = self._strips.get(y)
        if known is None or known[0] is not line or known[1] != width:
            known = (line, width, self._made(line, width))
            self._strips[y] = known
        return known[2]

    def _made(self, line: Line, width: int) -> Strip:
        dressed = cast(Dressed, self.app)
        if self._base is None:  # what the stylesheet gives is asked once a theme, not once a row
            self._base = self.rich_style
        base = self._base
        pieces = [
            Segment(plain(text) if dressed.plain else text, self._style(base, style, dressed.styles_now))
            for text, style in ((visible(text), style) for text, style in line)
            if text
        ]
        return Strip(pieces).adjust_cell_length(width, base)

    def _style(self, base: Style, name: str, styles: Styles) -> Style:
        named = name.partition("@")[0]
        return base + styles.get(named) if named else base

    def on_click(self, event: events.Click) -> None:
        at = event.get_content_offset(self)
        if at is not None and at.y < len(self.lines) and (target := target_at(self.lines[at.y], at.x)):
            event.stop()
            self.post_message(self.Clicked(self, target, at.x))


def _runs(numbers: list[int]) -> list[tuple[int, int]]:
    """First and last of each run of numbers that follow one another."""
    found: list[tuple[int, int]] = []
    for n in numbers:
        if found and found[-1][1] == n - 1:
            found[-1] = (found[-1][0], n)
        else:
            found.append((n, n))
    return found


def target_at(line: Line, x: int) -> str:
    """The target of the piece in that cell; "" where it has none."""
    at = 0
    for text, style in line:
        at += cell_len(text)
        if x < at:
            return style.partition("@")[2]
    return ""
