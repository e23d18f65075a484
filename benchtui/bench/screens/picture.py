"""A photograph over the page that lists it, as large as the window."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Container
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static


class PictureScreen(Screen[None]):
    """One picture and a line of words. Its keys are the app's (see app.py)."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = []
    DEFAULT_CSS = """
    PictureScreen { background: $background; color: $foreground; overflow: hidden; }
    PictureScreen Container { height: 1fr; align: center middle; overflow: hidden; }
    PictureScreen Container > Widget { width: auto; height: auto; }
    PictureScreen Static { height: 1; padding: 0 1; background: $panel; }
    """

    def __init__(self, picture: Widget, words: str) -> None:
        super().__init__()
        self.picture = picture
        self.words = Static(words, markup=False)

    def compose(self) -> ComposeResult:
        with Container():
            yield self.picture
        yield self.words
