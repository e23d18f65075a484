"""What every screen of the bench has: its desk, its room, its foot."""

from collections.abc import Callable
from typing import ClassVar

from textual.screen import Screen
from textual.widgets import Static

from benchtui.bench.pieces import Glyphs
from benchtui.bench.room import LEAST_HEIGHT, LEAST_WIDTH, Room, room_at
from benchtui.bench.widgets.explained import Drawn, draw_explained
from benchtui.bench.widgets.foot import Foot, sight_of
from benchtui.bench.widgets.prompt import Asking
from benchtui.bench.widgets.rows import Rows
from benchtui.bench.widgets.strip import Strip
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.state import Sight
from benchtui.desk.keyboard.typing import Typing

NOTHING = Asking([], [], whole=False, shown=range(0))
"""What a prompt shows that has no room at all."""
TOO_SMALL = f"benchtui needs a window of at least {LEAST_WIDTH} columns and {LEAST_HEIGHT} rows"


SCREENS: dict[bool, type["DeskScreen"]] = {}
"""The screen of the record and that of the pages, each once its file is learnt."""


class DeskScreen(Screen[None]):
    """A screen that shows the desk. It takes no focus and no keys: those go to the desk (see app.py)."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = []
    ON_PAGE = False

    def __init_subclass__(cls) -> None:
        super().__init_subclass__()
        SCREENS[cls.ON_PAGE] = cls

    def __init__(self, desk: Desk, typing: Typing, signs: Glyphs, show_again: Callable[[], None]) -> None:
        """``show_again`` has the app show everything: what is in sight then is noted by it."""
        super().__init__()
        self.show_again = show_again
        self.desk, self.typing, self.signs = desk, typing, signs
        self.can_focus = False
        self.strip, self.foot = Strip(id="strip"), Foot()
        self.explained = Rows(id="explained")
        self.too_small = Static(TOO_SMALL, id="small", markup=False)

    @property
    def room(self) -> Room:
        return room_at(*self.app.size)

    def show(self) -> Sight:
        """Everything as the desk is now; what of it is in sight."""
        self.set_class(not self.room.fits, "-small")
        if not self.room.fits:
            return sight_of(self.desk, NOTHING)
        covered, asked = self.foot.show(self.desk, self.typing.editor, self.room, self.signs, self.ON_PAGE)
        top = self.show_desk(self.room, covered)
        told = self._explain(self.room, covered)
        return sight_of(self.desk, asked, told.whole, top)._replace(help_end=told.end)

    def _explain(self, room: Room, foot: int) -> Drawn:
        """The words of the help key lie over what they do not explain: the question stays in sight below.
        Whether they name every answer, and how far they scroll.
        """
        help_shown = self.desk.open.explained
        self.explained.display = help_shown is not None
        if help_shown is not None:
            most = room.height - room.strip - foot - 2
            told = draw_explained(self.desk, room.width - 4, most, self.signs)
            self.explained.styles.height = len(told.lines) + 2
            self.explained.styles.offset = (0, room.strip)
            self.explained.show(told.lines)
            return told
        return Drawn([], False)

    def show_desk(self, room: Room, foot: int) -> int:
        """What the screen has above its foot, which takes so many rows; the topmost row of a page."""
        raise NotImplementedError

    def on_mount(self) -> None:
        self.show_again()

    def on_resize(self) -> None:
        self.call_after_refresh(self.show_again)
