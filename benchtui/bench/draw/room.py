"""How many rows each block of the screen gets at a size: a small one sheds by rank.

What is asked, typed and said comes first, then the record, then the queue and the keys.
"""

from dataclasses import dataclass

TALL = 18
"""From so many rows on every block has all it wants."""
LOW = 13
"""Below these the message and the text line share a row, and the keys have one."""
LOWEST = 7
"""Below these the queue has no row."""
NARROW = 60
"""Below so many columns the evidence has no room beside the record."""
LABEL = 22
"""Cells of the text line's label where there are enough."""


@dataclass(frozen=True)
class Room:
    """Rows of the queue's strip, the middle and the legend, cells of the label.

    ``shared``: one row for the message and the text line; while a line is open what is said stands at the
    foot of the middle.
    """

    strip: int
    middle: int
    legend: int
    label: int
    shared: bool


def room_at(width: int, height: int) -> Room:
    """The rows of a screen of that size; none depends on what is drawn, so that no key moves a block."""
    shared = height < LOW
    strip = 3 if height >= TALL else 1 if height >= LOWEST else 0
    legend = 1 if shared else 2
    label = LABEL if width >= NARROW else max(4, min(LABEL, width * 2 // 5))
    middle = max(1, height - strip - legend - (1 if shared else 2))
    return Room(strip, middle, legend, label, shared)
