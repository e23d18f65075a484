"""The smallest Textual app that takes keys, one Static and one Input: the measure for the bench."""

from types import SimpleNamespace

from textual.app import App, ComposeResult
from textual.widgets import Input, Static

READY = "an empty app"
FOOT = "type here"


class EmptyApp(App[None]):
    """Nothing but the framework."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "Static { height: 1fr; }"
    desk = SimpleNamespace(
        background=SimpleNamespace(job=None, search=None, warming=None, foresight=SimpleNamespace(steps=None))
    )
    """No work waits between the keys: what benchtui.bench.play asks of a bench that is to be at rest."""

    def compose(self) -> ComposeResult:
        yield Static(READY)
        line = Input(placeholder=FOOT)
        line.cursor_blink = False
        yield line


if __name__ == "__main__":
    EmptyApp().run()
