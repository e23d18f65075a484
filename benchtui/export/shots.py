"""The shot list of a record: which photographs to take, in which order, under which file names.

The slip with the stock number comes first, so that every picture after it is that record's until the next
slip; wraps and stickers come before the cover, because they are photographed before anything is removed.
"""

import re
import unicodedata
from typing import NamedTuple

from benchtui.export.items import Item
from benchtui.export.wording import Wording, part_name
from benchtui.model.record import PartDoc, RecordDoc, half_words, is_here, sides_of

_ORDER = {"wrap": 0, "cover": 1, "box": 1, "inner": 2, "disc": 3, "extra": 4}


class Shot(NamedTuple):
    """``file`` is safe on every system; ``what`` says what is to be seen, of which ``part`` and ``side``."""

    file: str
    what: str
    part: str = ""
    side: str = ""


def shots(item: Item, words: Wording) -> tuple[Shot, ...]:
    """The list for one record; before it is taken in, its parcel and its id stand in for the number: its
    place in the queue may be another's tomorrow.
    """
    number = item.stock or f"{item.head['id']}-{_plain(item.record['id'])}"
    whats = {"number slip": ("", ""), **_views(item.record, words)}
    return tuple(
        Shot(f"{number}-{at:02}-{_plain(what)}.jpg", what, *of) for at, (what, of) in enumerate(whats.items())
    )


def _views(record: RecordDoc, words: Wording) -> dict[str, tuple[str, str]]:
    """Each view with the part and the side that it shows."""
    here = [part for part in record["parts"] if is_here(part)]
    views: dict[str, tuple[str, str]] = {}
    for part in sorted(here, key=lambda part: _ORDER[part["kind"]]):
        name = part_name(record, part)
        for view, side in _of_kind(part):
            views.setdefault(f"{name} {view}".strip(), (part["id"], side))
        for fault in part["faults"]:
            what = " ".join(filter(None, (name, words.fault_name(fault), half_words(fault["place"]))))
            views.setdefault(what, (part["id"], fault["place"]))
    return views


def _of_kind(part: PartDoc) -> tuple[tuple[str, str], ...]:
    if part["kind"] == "disc":
        sides = sides_of(part)
        return tuple((f"{view} {side}", side) for side in sides for view in ("label", "runout"))
    return (("front", ""), ("back", ""), ("spine", "")) if part["kind"] in ("cover", "box") else (("", ""),)


def _plain(what: str) -> str:
    """Letters, digits and hyphens only, since the name has to live on every system."""
    ascii_only = unicodedata.normalize("NFKD", what).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only.lower()).strip("-")[:60] or "view"
