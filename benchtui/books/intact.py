"""Words for what is intact or complete where such parts seldom are, each said by one key.

Common practice, no source. None of it raises a grade; a fault noted later of the same place contradicts it,
and it is for the dealer to take it back.
"""

from typing import NamedTuple


class Sound(NamedTuple):
    """One thing worth saying. ``digit``: its key in the list of faults; ``parts``: kinds it is said of."""

    id: str
    digit: int
    text: str
    parts: tuple[str, ...]


_PRINTED = ("cover", "box", "inner", "wrap", "extra")
SOUND = (
    Sound("complete", 1, "complete", _PRINTED),
    Sound("unrestored", 2, "unrestored", ("cover", "box", "extra")),
    Sound("seams", 3, "seams sound", ("cover", "inner")),
    Sound("spine", 4, "spine sound and legible", ("cover",)),
    Sound("corners", 5, "corners sharp", ("cover", "box", "inner")),
    Sound("lamination", 6, "lamination whole", ("cover",)),
    Sound("unmarked", 7, "not written on, no stickers", _PRINTED),
    Sound("labels", 1, "labels clean, not written on", ("disc",)),
    Sound("hole", 2, "no spindle marks", ("disc",)),
    Sound("edge", 3, "edge sound", ("disc",)),
    Sound("flat", 4, "flat", ("disc",)),
)
BY_ID = {one.id: one for one in SOUND}


def sound_of(kind: str) -> tuple[Sound, ...]:
    """What may be said of that kind of part, in the order of its digits."""
    return tuple(one for one in SOUND if kind in one.parts)
