"""How well a document answers what was typed, before anything is known of the shop."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Match:
    """``tier`` names the reading (see hit.TIERS); ``grade`` orders readings of one class, 0 best; ``left``
    orders within a grade: letters not yet typed, or what the slip costs.
    """

    tier: str
    grade: int
    left: float

    @property
    def order(self) -> tuple[int, float]:
        """Smaller is better."""
        return self.grade, self.left


Found = dict[int, Match]


def keep_best(found: Found, more: Found) -> None:
    """Adds the better match of each document."""
    for doc, match in more.items():
        old = found.get(doc)
        if old is None or match.order < old.order:
            found[doc] = match
