"""How a copy is, as far as a price goes by it, and what was asked for a copy that was so.

Both are plain text, so that what copies taught (the counts of a shop) can hold them.
"""

from typing import NamedTuple

from benchtui.model.naming import side_grades
from benchtui.model.record import PartDoc, RecordDoc, parts_of

NOT_THERE = "-"
FIELDS, GRADES = "\n", "\t"
"""What parts the fields and the grades: a shop's own scale may have a grade called "very good"."""


class Wear(NamedTuple):
    """``disc`` and ``cover``: the grades that hold, of all discs, covers and sides, each ``scale:grade``,
    `GRADES` between them; "" where none is given or none was issued, `NOT_THERE` where one is lost.
    ``missing`` extras and ``swapped`` parts are counts.
    """

    disc: str
    cover: str
    missing: int = 0
    swapped: int = 0


class Asked(NamedTuple):
    """What the dealer asked by hand for a copy that was so, and the day it was taken in."""

    day: str
    minor: int
    currency: str
    wear: Wear


def wear_of(record: RecordDoc) -> Wear:
    """The record's as it is now.

    Only a 7-inch disc of which no cover was ever entered, not even as missing, is taken to have been sold
    without (common practice, no source).
    """
    discs, covers = parts_of(record, "disc"), parts_of(record, "cover") + parts_of(record, "box")
    lost = [part for part in record["parts"] if part.get("state") == "missing" and not part.get("gone")]
    bare = record["size_in"] == 7 and not any(part["kind"] in ("cover", "box") for part in lost)
    return Wear(
        disc=_grades(discs) if discs else NOT_THERE,
        cover=_grades(covers) if covers or bare else NOT_THERE,
        missing=sum(part["kind"] in ("extra", "wrap") for part in lost),
        swapped=sum(ruling == "swapped" for ruling in record["rulings"].values()),
    )


def _grades(parts: list[PartDoc]) -> str:
    given = (event for part in parts for event in side_grades(part).values())
    return GRADES.join(f"{event['scale']}:{event['grade']}{event['shade']}" for event in given)


def asked_for(record: RecordDoc) -> str:
    """What was asked by hand for a record taken in, as one line; "" where nothing was."""
    price, day = record["price"], (record.get("taken_in_at") or "")[:10]
    if price is None or price["how"] != "hand" or record["state"] != "taken-in" or not day:
        return ""
    return FIELDS.join(map(str, (day, price["minor"], price["currency"], *wear_of(record))))


def read_asked(line: str) -> Asked:
    """The line read back. ValueError where it is none."""
    day, minor, currency, disc, cover, missing, swapped = line.split(FIELDS)
    return Asked(day, int(minor), currency, Wear(disc, cover, int(missing), int(swapped)))
