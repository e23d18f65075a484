"""What stands at the foot of every screen: the prompt, the message, the keys. It lies over what is above, so
that a long list covers some rows of it and moves none.
"""

from textual.app import ComposeResult
from textual.containers import Vertical

from benchtui.bench.pieces import Glyphs
from benchtui.bench.room import Room
from benchtui.bench.widgets.keyline import KeyLine, draw_legend
from benchtui.bench.widgets.message import Message, message_rows
from benchtui.bench.widgets.prompt import Asking, Prompt, set_out
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.state import Sight
from benchtui.desk.line.editor import Editor


class Foot(Vertical, can_focus=False):
    """Docked below, on a layer of its own."""

    DEFAULT_CSS = """
    Foot { dock: bottom; layer: over; height: auto; }
    """

    def __init__(self) -> None:
        super().__init__(id="foot")
        self.prompt, self.message, self.keys = Prompt(id="prompt"), Message(id="message"), KeyLine(id="keys")
        self._grown = 0
        self._grown_for: OpenLine | None = None

    def compose(self) -> ComposeResult:
        yield from (self.prompt, self.message, self.keys)

    def show(
        self, desk: Desk, editor: Editor, room: Room, signs: Glyphs, on_page: bool = False
    ) -> tuple[int, Asking]:
        """Everything as the desk is now; how many rows it takes, and what the prompt shows."""
        inner, line = room.width - 4, desk.open.line
        grown = self._grown if line is not None and self._grown_for is line else room.prompt - 2
        rows, asked = set_out(desk, editor.shown, inner, grown, room.tallest_prompt - 2, signs)
        self._grown, self._grown_for = rows, line  # a list that becomes shorter moves nothing
        wanted = line is not None or desk.open.menu is not None or not on_page
        said = message_rows(desk, room.width - 2, signs)
        over = max(0, len(said) - room.message)
        taken, edge = given_up(over, rows - len(asked.lines))
        self.prompt.set_class(edge, "-open")
        _height(self.prompt, rows + 2 - taken)
        _height(self.message, room.message + over)
        _height(self.keys, room.keys)
        if self.prompt.display != wanted:
            self.prompt.display = wanted
        self.prompt.show_asked(asked)
        self.message.show(said)
        self.keys.show(draw_legend(desk, room.width, room.keys))
        return (rows + 2 - taken if wanted else 0) + room.message + over + room.keys, asked


def given_up(over: int, free: int) -> tuple[int, bool]:
    """Rows that the prompt gives up to a message with so many too many, so that it stays where it is; and
    whether its lower edge is among them. ``free``: rows inside its frame with nothing in them.
    """
    taken = min(over, free + 1)
    return taken, taken > free


def sight_of(desk: Desk, asked: Asking, explained: bool = False, top: int = 0) -> Sight:
    """What can be read of the prompt and the page. ``explained``: the help shows every answer with its
    digit.
    """
    menu = desk.open.menu
    shown = (menu, asked.shown) if menu is not None and asked.shown is not None else None
    return Sight(asked.whole or explained, shown, top)


def _height(widget: Rows, rows: int) -> None:
    """Set only where it differs: a style that is set lays the screen out again."""
    height = widget.styles.height
    if height is None or height.value != rows:
        widget.styles.height = rows
