"""What the index keeps of each record: enough for look-ups, the work list and what is in stock."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from benchtui.model.money import Money
from benchtui.model.naming import grades_of, part_name
from benchtui.model.record import RecordDoc, part_of, why_apart

LEFT = ("sold", "handed back", "scrapped")
"""Events of a record's life by which it left the shop; ``returned`` brings it back."""


class Found(NamedTuple):
    """One record that a look-up over all parcels found."""

    parcel: str
    record: str
    no: int
    stock: str
    artist: str
    title: str
    catalogue: str
    state: str
    sender: str = ""


class Waiting(NamedTuple):
    """One chore not done yet, and where it waits."""

    parcel: str
    record: str
    stock: str
    artist: str
    title: str
    chore: str
    what: str
    part: str
    note: str
    apart: str
    """Why the record is set apart, "" where it is not."""
    due: str = ""
    """The day it is wanted by, "" where none was named."""


@dataclass(slots=True)
class Row:
    """One record. ``held``: what it is in stock, in words (``A00012 VG+/VG 24.00``), "" where it is not;
    ``runouts``: of all discs, in full where that is known, else as typed; then what else finds it.

    ``taken_in``, ``apart`` (since when it is set apart) and ``chores`` are kept for the parcel as a whole.
    """

    id: str
    no: int
    stock: str
    artist: str
    title: str
    catalogue: str
    state: str
    title_id: str
    held: str
    runouts: str = ""
    taken_in: str = ""
    apart: str = ""
    chores: list[list[str]] = field(default_factory=list)

    def kept(self) -> list[Any]:
        """As the index file holds it."""
        return [getattr(self, name) for name in _KEPT]

    def text(self) -> str:
        """Stock number, artist, title, runouts and catalogue number, folded, with a tab between."""
        texts = (self.stock, self.artist, self.title, self.runouts, self.catalogue)
        return "\t".join(" ".join(one.casefold().split()) for one in texts)


_KEPT = Row.__slots__[:10]


class Had(NamedTuple):
    """A title as the shop's records have it; ``records`` of it, ``held`` of them in stock."""

    artist: str = ""
    title: str = ""
    catalogue: str = ""
    records: int = 0
    held: int = 0


def row_of(doc: RecordDoc) -> Row:
    """The row of a record; the fields of a document somebody else wrote are taken as text."""
    title = doc["title"] or {"id": "", "artist": "", "title": "", "catalogue": ""}
    return Row(
        id=doc["id"],
        no=doc["no"],
        stock=doc["stock"] or "",
        artist=str(title.get("artist", "")),
        title=str(title.get("title", "")),
        catalogue=str(title.get("catalogue", "")),
        state=doc["state"],
        taken_in=doc.get("taken_in_at") or "",
        title_id="".join(str(title.get("id", "")).split("\t")),
        held=_held(doc),
        runouts=_runouts(doc),
        apart=str(doc["set_apart"].get("at", "")) if doc["set_apart"] else "",
        chores=_chores(doc),
    )


def _runouts(doc: RecordDoc) -> str:
    sides = (side for part in doc["parts"] for side in part.get("sides", {}).values())
    return " ".join([*(str(side.get("full") or side.get("typed") or "") for side in sides), *_also(doc)])


def _also(doc: RecordDoc) -> Iterator[str]:
    """What else finds it: who bought it or asked about it, and the carrier's number."""
    yield from (str(event["buyer"]) for event in doc["life"] if event.get("buyer"))
    yield from (str(one.get("who", "")) for one in doc.get("questions", []))
    yield from (str(one["who"]) for one in doc.get("custody", []) if one.get("who"))
    yield from (str(step["tracking"]) for step in doc.get("post", []) if step.get("tracking"))


def _held(doc: RecordDoc) -> str:
    """Nothing for what is not taken in, set apart, sold, handed back or scrapped."""
    if doc["state"] != "taken-in" or not doc["stock"] or doc["set_apart"] is not None or is_gone(doc):
        return ""
    return " ".join(filter(None, (doc["stock"], grades_of(doc), _price(doc))))


def _price(doc: RecordDoc) -> str:
    price = doc["price"]
    try:
        return Money(price["minor"], price["currency"]).plain() if price else ""
    except ValueError:
        return ""


def is_gone(doc: RecordDoc) -> bool:
    """Whether the last event that moved it took it out of the shop; corrected events as corrected."""
    events: dict[Any, dict[str, Any] | None] = {}
    for event in doc["life"]:
        if event.get("what") != "corrected":
            events[event.get("n")] = event
        elif (of := event.get("of")) in events:
            old, now = events[of], event.get("now")
            events[of] = {**(old or {}), **now} if isinstance(now, dict) else None
    moved = [event["what"] for event in events.values() if event and event.get("what") in (*LEFT, "returned")]
    return bool(moved) and moved[-1] in LEFT


def _chores(doc: RecordDoc) -> list[list[str]]:
    if doc["state"] == "withdrawn":
        return []
    apart = str(why_apart(doc["set_apart"]))
    return [[str(one["id"]), str(one["what"]), _part(doc, one.get("part")), str(one.get("note", "")), apart,
             str(one.get("due") or "")]
            for one in doc["chores"] if not one.get("done")]  # fmt: skip


def _part(doc: RecordDoc, part_id: str | None) -> str:
    part = part_of(doc, part_id) if part_id else None
    return part_name(doc, part) if part else ""
