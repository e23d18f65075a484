"""Whether this terminal can show a photograph, and with what; where it cannot, the system's viewer does.

What draws is an optional library, imported when the first picture is to be shown and not before.
"""

from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.widget import Widget

from benchtui.bench.raw import TERMINAL
from benchtui.export.pictures import upright

if TYPE_CHECKING:
    from PIL.Image import Image

MOST = 2000
"""Pixels of a shown picture's longer side: more than a window of a terminal has room for."""
Draw = Callable[["Image"], Widget]


def worth_asking(installed: bool, plain: bool, can_stop: bool) -> bool:
    """Whether the terminal is asked what it can draw: not a plain or dumb one, nor where nothing would draw
    or the bench cannot stop reading keys until the terminal has answered.
    """
    return installed and not plain and can_stop


def can_draw(protocol: str) -> bool:
    """Whether what the library chose for this terminal draws pictures; else it makes blocks of coloured
    letters, on which no mark can be read.
    """
    return protocol in ("sixel", "tgp")


def drawer(app: App[int], plain: bool) -> Draw | None:
    """What makes a picture a part of the screen; None where this terminal shows none."""
    installed = find_spec("textual_image") is not None
    if not worth_asking(installed, plain, not app.is_headless and not app.is_web):
        return None
    with app.suspend():  # the library asks the terminal as it is imported, and reads the answer itself
        TERMINAL.take()  # without echo all the same
        try:
            from textual_image.renderable import Image as Chosen
            from textual_image.widget import Image as Shown
        except ImportError:
            return None
    return Shown if can_draw(Chosen.__module__.rpartition(".")[2]) else None


class Pictures:
    """The bench's way to show a photograph, asked for at the first one."""

    def __init__(self, app: App[int], plain: bool) -> None:
        self._app, self._plain = app, plain
        self._draw: Draw | None = None
        self._asked = False

    def widget(self, path: Path) -> Widget | None:
        """The picture for the screen; None where it cannot be shown there."""
        picture = upright(path, MOST)
        if picture is None:
            return None
        if not self._asked:
            self._asked, self._draw = True, drawer(self._app, self._plain)
        return self._draw(picture) if self._draw is not None else None
