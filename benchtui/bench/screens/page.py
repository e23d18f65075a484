"""The screen of every page of the desk: one widget that draws what the page holds."""

from collections.abc import Callable

from textual.app import ComposeResult

from benchtui.bench.pieces import Glyphs
from benchtui.bench.room import Room
from benchtui.bench.screens.base import DeskScreen
from benchtui.bench.widgets.page import Page, Scrolled
from benchtui.bench.widgets.strip import strip_rows
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pages import view_now
from benchtui.desk.keyboard.typing import Typing


class PageScreen(DeskScreen):
    """A page over the record."""

    ON_PAGE = True

    def __init__(self, desk: Desk, typing: Typing, signs: Glyphs, show_again: Callable[[], None]) -> None:
        super().__init__(desk, typing, signs, show_again)
        self.page = Page()
        self._about = ""

    def compose(self) -> ComposeResult:
        yield from (self.strip, self.page, self.explained, self.foot, self.too_small)

    def show_desk(self, room: Room, foot: int) -> int:
        """The page above the foot."""
        desk, view = self.desk, view_now(self.desk)
        page = desk.open.page
        if view is None or page is None:
            return 0
        self.strip.show(strip_rows(desk, room.width - 2, 1, self.signs))
        height = room.height - 1 - foot
        if self.page.styles.height is None or self.page.styles.height.value != height:
            self.page.styles.height = height
        at = Scrolled(page.top, str(page.data.get("wanted", "")), page.reads_below)
        return self.page.show(view, room.width - 4, height - 2, self.signs, at)
