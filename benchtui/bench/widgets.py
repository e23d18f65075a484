"""Two widgets: a block of styled lines of which only what changed is painted, and the one text line."""

from collections.abc import Callable

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from benchtui.base.signs import visible
from benchtui.bench.pieces import Line, plain
from benchtui.bench.themes import style_for
from benchtui.desk.editor import Editor


class Lines(Widget, can_focus=False):
    """Styled lines. A style may end in ``@target``: a click on that piece posts ``Clicked(target)``."""

    class Clicked(Message):
        """A piece with a target was clicked."""

        def __init__(self, target: str) -> None:
            super().__init__()
            self.target = target

    def __init__(self, *, id: str) -> None:  # noqa: A002  (Textual's own name)
        super().__init__(id=id)
        self.lines: list[Line] = []
        self.stale: set[int] = set()
        """Rows that have changed since they were painted."""
        self.styles_by_name: dict[str, str] = {}
        self._compiled: dict[str, Style] = {}
        self._base: Style | None = None
        self._strips: dict[int, tuple[Line, Strip]] = {}
        self.plain = False
        """Whether only ASCII is drawn of our own signs."""

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._forget()

    def wear(self, styles: dict[str, str]) -> None:
        """Take the colours of a theme."""
        if styles is not self.styles_by_name:
            self.styles_by_name = styles
            self._forget()
            self.refresh()

    def _forget(self) -> None:
        self._compiled, self._base, self._strips = {}, None, {}

    def show(self, lines: list[Line]) -> None:
        """Show these lines from the next paint on; only rows that differ are painted again."""
        old, self.lines = self.lines, lines
        common = min(len(old), len(lines))
        self.stale.update(y for y in range(common) if old[y] != lines[y])
        self.stale.update(range(common, max(len(old), len(lines))))

    def leave_to_textual(self) -> None:
        """Have Textual paint what is stale, at its own time."""
        if self.stale:
            rows = [y for y in self.stale if y < self.size.height]
            self.refresh(*(Region(0, y, self.size.width, 1) for y in rows))
            self.stale = set()

    def render_lines(self, crop: Region) -> list[Strip]:
        """Straight from the lines: there is no border, margin or tint that Textual would have to add."""
        strips = [self.strip(y, crop.right) for y in range(crop.y, crop.bottom)]
        return [strip.crop(crop.x, crop.right) for strip in strips] if crop.x else strips

    def painted(self, y: int) -> Strip | None:
        """The row as it was made last, which is how it stands on the screen; None where that is not known."""
        known = self._strips.get(y)
        return known[1] if known else None

    def strip(self, y: int, width: int) -> Strip:
        """The row as it is now, in exactly so many cells."""
        line = self.lines[y] if y < len(self.lines) else []
        known = self._strips.get(y)
        if known is None or known[0] is not line or known[1].cell_length != width:
            style_of, as_is = self._style_of, not self.plain
            pieces = [
                Segment(visible(text) if as_is else plain(visible(text)), style_of(name))
                for text, name in line
                if text
            ]
            known = (line, Strip(pieces).adjust_cell_length(width, style_of("")))
            self._strips[y] = known
        return known[1]

    def _style_of(self, name: str) -> Style:
        """What a piece of that style looks like on this block, the app's filters included."""
        style = self._compiled.get(name)
        if style is None:
            if self._base is None:  # what the stylesheet gives is asked once a theme, not once a row
                self._base = self.rich_style
            style = self._base + Style.parse(style_for(name.partition("@")[0], self.styles_by_name))
            for each in self.get_line_filters():
                style = each.apply([Segment("x", style)], self.background_colors[1])[0].style or style
            if len(self._compiled) > _MOST_STYLES:  # targets of clicks make many names
                self._compiled = {}
            self._compiled[name] = style
        return style

    def on_click(self, event: events.Click) -> None:
        if event.y >= len(self.lines):
            return
        at = 0
        for text, style in self.lines[event.y]:
            at += cell_len(text)
            if event.x < at:
                target = style.partition("@")[2]
                if target:
                    self.post_message(self.Clicked(target))
                return


_MOST_STYLES = 2000


class TextLine(Lines):
    """The bench's one text line. The keymap's line keys go to the bench, the rest is typing.

    ``typed`` is called with the whole text after every change, before anything is painted, so that
    what is seen is already kept; ``moved`` where only the cursor moved. It never has Textual's focus: the
    app hands it its keys. A paste of several lines is not cut short: see ``joined``.
    """

    def __init__(
        self,
        *,
        press: Callable[[str], bool],
        typed: Callable[[str], None],
        moved: Callable[[], None],
        pasted: Callable[[str], bool],
        empty_backspace: Callable[[], bool],
    ) -> None:
        super().__init__(id="text")
        self._press, self._typed, self._moved = press, typed, moved
        self._pasted, self._empty_backspace = pasted, empty_backspace
        self._editor = Editor()
        self.is_open = False

    @property
    def value(self) -> str:
        """The text that stands in the line."""
        return self._editor.value

    @property
    def cursor_position(self) -> int:
        """The cursor stands before the letter of that place."""
        return self._editor.at

    def put(self, text: str, whole: bool = False) -> None:
        """Set the text without telling anybody; ``whole``: marked, so that typing replaces it."""
        self._editor.put(text, whole)

    def show_text(self) -> None:
        """Show what stands in the line, or nothing where none is open."""
        width = self.size.width or self.app.size.width
        self.show([self._editor.shown(width)] if self.is_open else [])

    def take(self, event: events.Key) -> None:
        """A key while the line is open: the bench's own keys first, then what the editor does with it."""
        taken = event.key == "backspace" and not self.value and self._empty_backspace()
        if taken or self._press(event.key):
            return
        before = self.value
        if event.is_printable and event.character is not None:
            self._editor.replace(event.character, *self._editor.marked())
        elif not self._editor.press(event.key):
            return
        self._tell(before)

    def paste(self, text: str) -> None:
        """What was pasted while the line is open."""
        if not text or self._pasted(text):
            return
        before = self.value
        self._editor.replace(joined(text), *self._editor.marked())
        self._tell(before)

    def on_resize(self) -> None:
        """How much of a long text is shown depends on the cells there are."""
        self._moved()

    def _tell(self, before: str) -> None:
        if self.value != before:
            self._typed(self.value)
        else:
            self._moved()

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if self.is_open:
            self._editor.place_at(event.x)
            self._moved()


def joined(text: str) -> str:
    """Pasted lines as one: breaks become `` / `` so that nothing is lost and nothing is submitted."""
    return " / ".join(line.strip() for line in text.splitlines() if line.strip())
