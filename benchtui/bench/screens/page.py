"""Every page of the desk, drawn from what it is: title, facts, tables, text, foot."""

from textual.app import ComposeResult

from benchtui.bench.draw.over import draw_page
from benchtui.bench.pieces import Glyphs
from benchtui.bench.room import Room
from benchtui.bench.screens.base import DeskScreen
from benchtui.bench.widgets_new.rows import Rows
from benchtui.bench.widgets_new.strip import strip_rows
from benchtui.desk.core import Desk
from benchtui.desk.typing import Typing


class PageScreen(DeskScreen):
    """A page over the record."""

    CSS_PATH = "page.tcss"
    ON_PAGE = True

    def __init__(self, desk: Desk, typing: Typing, signs: Glyphs) -> None:
        super().__init__(desk, typing, signs)
        self.rows = Rows(id="page")

    def compose(self) -> ComposeResult:
        yield from (self.strip, self.rows, self.foot, self.too_small)

    def show_desk(self, room: Room) -> None:
        self.strip.show(strip_rows(self.desk, room.width - 2, 1, self.signs))
        self.rows.show(
            draw_page(self.desk, room.width - 4, room.height - 1 - room.message - room.keys - 2, self.signs)
        )
