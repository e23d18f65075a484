"""The screen of the record: the queue on top, the record and its evidence, and below the prompt."""

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Horizontal

from benchtui.bench.pieces import Glyphs, cut
from benchtui.bench.room import Room
from benchtui.bench.screens.base import DeskScreen
from benchtui.bench.widgets.pressing import Pressing, pressing_foot, pressing_rows, pressing_title
from benchtui.bench.widgets.stack import Stack, stack_rows, stack_title
from benchtui.bench.widgets.still_to_come import is_empty, still_to_come
from benchtui.bench.widgets.strip import strip_rows
from benchtui.desk.core.desk import Desk
from benchtui.desk.keyboard.typing import Typing


class RecordScreen(DeskScreen):
    """One record, as the stack it is."""

    def __init__(self, desk: Desk, typing: Typing, signs: Glyphs, show_again: Callable[[], None]) -> None:
        super().__init__(desk, typing, signs, show_again)
        self.stack, self.pressing = Stack(id="stack"), Pressing(id="pressing")
        self.middle = Horizontal(self.stack, self.pressing, id="middle")
        self._room: Room | None = None

    def compose(self) -> ComposeResult:
        yield from (self.strip, self.middle, self.explained, self.foot, self.too_small)

    def show_desk(self, room: Room, foot: int) -> int:
        desk, signs = self.desk, self.signs
        if room != self._room:
            self._lay_out(room)
        self.strip.show(strip_rows(desk, room.width - 2, room.strip, signs))
        inner, rows = room.stack - 4, room.middle - 2
        self.stack.show_titles(stack_title(desk, inner - 2), self._short_odds(room))
        seen = room.height - room.strip - foot - (1 if foot > room.below else 2)
        self.stack.show(
            still_to_come(desk, inner, seen, signs, beside=room.pressing > 0)
            if is_empty(desk)
            else stack_rows(desk, inner, rows, signs)
        )
        if room.pressing:
            self.pressing.show_titles(pressing_title(desk), pressing_foot(desk))
            self.pressing.show(pressing_rows(desk, room.pressing - 4, rows, signs))
        return 0

    def _lay_out(self, room: Room) -> None:
        self._room = room
        self.strip.styles.height = room.strip
        self.middle.styles.height = room.middle
        self.pressing.styles.width = room.pressing
        self.pressing.display = room.pressing > 0

    def _short_odds(self, room: Room) -> list[tuple[str, str]]:
        """The leader in the record's own frame, where the evidence has no panel."""
        if room.pressing or is_empty(self.desk):
            return []
        first = next(iter(pressing_rows(self.desk, room.stack, 1, self.signs)), [])
        return cut([*pressing_title(self.desk), *([(" ", ""), *first] if first else [])], room.stack - 6)
