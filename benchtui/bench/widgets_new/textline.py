"""The bench's one text line: it shows the text and the cursor that the desk holds."""

from dataclasses import dataclass

from textual import events
from textual.message import Message

from benchtui.bench.widgets_new.rows import Rows


class TextLine(Rows):
    """One row. A click puts the cursor; keys and pastes come to the app, never here."""

    DEFAULT_CSS = """
    TextLine { height: 1; width: 1fr; }
    """

    @dataclass
    class Placed(Message):
        """The mouse went down so many cells from the left."""

        cells: int

    def on_mouse_down(self, event: events.MouseDown) -> None:
        self.post_message(self.Placed(event.x))
