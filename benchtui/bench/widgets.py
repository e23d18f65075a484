"""Two widgets: a block of styled lines that repaints only the rows that changed, and the one text line."""

from collections.abc import Callable

from rich.cells import cell_len
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input
from textual.widgets.input import Selection

from benchtui.bench.draw.sheet import Line, plain
from benchtui.bench.themes import style_for


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
        self.styles_by_name: dict[str, str] = {}
        self._compiled: dict[str, Style] = {}
        self._base: Style | None = None
        self.plain = False
        """Whether only ASCII is drawn of our own signs."""

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._base = None

    def wear(self, styles: dict[str, str]) -> None:
        """Take the colours of a theme."""
        if styles is not self.styles_by_name:
            self.styles_by_name, self._compiled, self._base = styles, {}, None
            self.refresh()

    def show(self, lines: list[Line]) -> None:
        """Show these lines; only rows that differ are painted again."""
        old, self.lines = self.lines, lines
        rows = max(len(old), len(lines))
        changed = [
            y
            for y in range(rows)
            if (old[y] if y < len(old) else None) != (lines[y] if y < len(lines) else None)
        ]
        if changed:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in changed if y < self.size.height))

    def render_line(self, y: int) -> Strip:
        if self._base is None:  # what the stylesheet gives is asked once a theme, not once a row
            self._base = self.rich_style
        width, base = self.size.width, self._base
        if y >= len(self.lines):
            return Strip.blank(width, base)
        pieces = [(plain(text) if self.plain else text, style) for text, style in self.lines[y]]
        segments = [Segment(text, base + self._style(style)) for text, style in pieces if text]
        return Strip(segments).adjust_cell_length(width, base)

    def _style(self, name: str) -> Style:
        name = name.partition("@")[0]
        if name not in self._compiled:
            self._compiled[name] = Style.parse(style_for(name, self.styles_by_name))
        return self._compiled[name]

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


class TextLine(Input):
    """The bench's one text line. The keymap's line keys go to the bench, the rest is typing.

    ``on_typed`` is called with the whole text after every change, before anything is painted, so that
    what is seen is already kept. A paste of several lines is not cut short: see ``joined``.
    """

    def __init__(
        self,
        *,
        press: Callable[[str], bool],
        typed: Callable[[str], None],
        pasted: Callable[[str], bool],
        empty_backspace: Callable[[], bool],
    ) -> None:
        super().__init__(id="text", compact=True, select_on_focus=False)
        self._press, self._typed, self._pasted, self._empty_backspace = press, typed, pasted, empty_backspace
        self.cursor_blink = False
        self.quiet = False
        self._put_while_typing = False

    def _watch_value(self, value: str) -> None:
        # The line has a fixed place: set beforehand, its text's width lays the screen out anew for no letter.
        self.set_reactive(TextLine.virtual_size, Size(self.content_width, 1))
        super()._watch_value(value)
        if not self.quiet:
            self._typed(value)

    def put(self, text: str, whole: bool = False) -> None:
        """Set the text without telling anybody; ``whole``: marked, so that typing replaces it."""
        self.quiet = self._put_while_typing = True
        try:
            if self.value != text:
                self.value = text
            self.cursor_position = len(text)
            if whole:
                self.selection = Selection(0, len(text))
        finally:
            self.quiet = False

    def replace(self, text: str, start: int, end: int) -> None:
        """Typing. Where the bench answers a key with its own text, the cursor goes to that text's end."""
        self._put_while_typing = False
        super().replace(text, start, end)
        if self._put_while_typing:
            self.cursor_position = len(self.value)

    async def take(self, event: events.Key) -> None:
        """A key while the line is open: the bench's own keys first, then what the editor does with it."""
        taken = event.key == "backspace" and not self.value and self._empty_backspace()
        if taken or self._press(event.key):
            return
        if event.is_printable:
            await super()._on_key(event)
            return
        for binding in self._bindings.key_to_bindings.get(event.key, ()):
            if await self.app.run_action(binding.action, self):
                return

    def paste(self, text: str) -> None:
        """What was pasted while the line is open."""
        if not text or self._pasted(text):
            return
        start, end = self.selection
        self.replace(joined(text), start, end)


def joined(text: str) -> str:
    """Pasted lines as one: breaks become `` / `` so that nothing is lost and nothing is submitted."""
    return " / ".join(line.strip() for line in text.splitlines() if line.strip())
