"""How well a document answers what was typed, before anything is known of the shop."""

from enum import IntEnum
from typing import NamedTuple


class Reading(IntEnum):
    """The ways to read what was typed, the surest first."""

    NUMBER = 0
    TITLE = 1
    NUMBER_BEGUN = 2
    ARTIST = 3
    WORDS = 4
    JOINED = 5
    TITLE_ARTICLE = 6
    ARTIST_ARTICLE = 7
    INITIALS = 8
    SIDE = 9
    LONGER_INITIALS = 10
    SLIP = 11

    @property
    def tier(self) -> str:
        """How the letters that matched are marked (``marks.mark``)."""
        return _TIERS[self]


_TIERS = (
    *("number", "start", "number", "start", "words", "start"),
    *("start", "start", "initials", "weak", "weak", "slip"),
)


class Match(NamedTuple):
    """``left`` orders within a reading: letters not yet typed, unlikeliness, or what the slips cost; less
    is better.
    """

    reading: Reading
    left: float

    @property
    def order(self) -> tuple[int, float]:
        """Smaller is better."""
        return self.reading, self.left


Found = dict[int, Match]


def keep_best(found: Found, more: Found) -> None:
    """Adds the better match of each document."""
    if not found:
        found.update(more)
        return
    for doc, match in more.items():
        old = found.get(doc)
        if old is None or match.order < old.order:
            found[doc] = match
