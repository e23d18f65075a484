"""Of a title whose stems no book has, no cut is read: there the whole runouts speak where they are the same.

A copy that bears the very same inscription on both sides as one confirmed before is likeliest of that one's
pressing: SAME times as likely under the pressings of which such a copy was seen as under any other,
however many there were. An inscription that no copy showed says nothing.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.evidence.runout import EITHER, bare, segments_of
from benchtui.evidence.word_weights import Row
from benchtui.model.record import PartDoc

SAME = 4.0
"""Common practice, no source: the same plates were now and then kept through a change of label or cover."""


def whole_runout(disc: PartDoc) -> str:
    """The inscriptions of the first disc's sides, ``a|b`` in letters and figures alone; "" of another disc,
    where a side is not written or has no figure, where a cut was read out of it, and where it may be either
    of two.
    """
    sides = disc.get("sides", {})
    read = [sides[side] for side in sorted(sides) if sides[side].get("typed")]
    if disc.get("number", 1) != 1 or len(read) != 2:
        return ""
    if any(one.get("cut") or EITHER in one["typed"] for one in read):
        return ""
    both = [bare("".join(piece.text for piece in segments_of(one["typed"]))) for one in read]
    return EITHER.join(both) if all(any(sign.isdigit() for sign in one) for one in both) else ""


def same_row(whole: str, taught: Sequence[Mapping[str, Any]], candidates: int) -> Row | None:
    """L of it under each candidate, up to a factor; None where no confirmed copy bears it.

    ``taught``: the shop's counts of each pressing; the candidates beyond them are "none of these".
    """
    seen = [its.get("runouts", {}).get(whole, 0) > 0 for its in taught]
    if not any(seen):
        return None
    row = [1.0 if one else 1 / SAME for one in seen]
    return [*row, *[1 / SAME] * (candidates - len(row))]
