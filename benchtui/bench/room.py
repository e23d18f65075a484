"""How many cells each part of the screen gets at a size.

Nothing here depends on what is drawn, so that no key moves a divider.
"""

from typing import NamedTuple

LEAST_WIDTH, LEAST_HEIGHT = 60, 16
ALONE = 74
"""Below so many columns the evidence has no panel beside the record."""
KEPT_IN_SIGHT = 4
"""Rows of the record that stay in sight over the tallest prompt."""


class Room(NamedTuple):
    """Rows and columns, frames included where a part has one."""

    width: int
    height: int
    strip: int
    message: int
    keys: int
    prompt: int
    pressing: int

    @property
    def fits(self) -> bool:
        """Whether the bench can be worked at in this window."""
        return self.width >= LEAST_WIDTH and self.height >= LEAST_HEIGHT

    @property
    def below(self) -> int:
        """Rows of prompt, message and keys while nothing long is asked."""
        return self.prompt + self.message + self.keys

    @property
    def middle(self) -> int:
        return self.height - self.strip - self.below

    @property
    def stack(self) -> int:
        """Columns of the record's panel."""
        return self.width - self.pressing

    @property
    def tallest_prompt(self) -> int:
        return self.height - self.strip - self.message - self.keys - KEPT_IN_SIGHT


def room_at(width: int, height: int) -> Room:
    """The parts of a window of that size."""
    strip = 1 if height < 20 else 2 if height < 30 else 3
    lines = 1 if height < 28 else 2
    prompt = 2 + (3 if height < 20 else 4 if height < 24 else 5 if height < 28 else 6 if height < 36 else 8)
    pressing = 0 if width < ALONE else 27 if width < 100 else 36 if width < 120 else 40
    return Room(width, height, strip, lines, lines, prompt, pressing)
