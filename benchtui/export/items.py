"""One record on its way out, with all that is known around it; and which records may leave at all."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from benchtui.evidence.results import Weighing
from benchtui.export.wording import local_day
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc, why_apart
from benchtui.money.book import consignor
from benchtui.money.standings import LEFT, life_fault, standing


class Item(NamedTuple):
    """A record with its parcel's head, the sender's name and, where the caller weighed it, the evidence."""

    head: HeadDoc
    record: RecordDoc
    sender: str = ""
    weighed: Weighing | None = None

    @property
    def terms(self) -> str:
        """``bought`` or ``consigned``: the record's own, else the parcel's."""
        return self.record["terms"] or self.head["terms"]

    @property
    def consignor(self) -> str | None:
        """Whose it is where it is consigned; a neighbour may send one along in somebody else's parcel."""
        return consignor(self.head, self.record)

    @property
    def stock(self) -> str:
        """The stock number, "" before the record is taken in."""
        return self.record["stock"] or ""

    @property
    def taken_in(self) -> date | None:
        """The day on the dealer's clock when it was taken in."""
        return local_day(self.record.get("taken_in_at"))

    @property
    def apart_on(self) -> date | None:
        """The day on the dealer's clock when it was set apart, while it is."""
        apart = self.record["set_apart"]
        return local_day(apart["at"]) if apart else None

    @property
    def name(self) -> str:
        """``The Lantern Quire: Moths at Noon``, "" without a title."""
        title = dict(self.record["title"] or {})
        return ": ".join(str(title[key]) for key in ("artist", "title") if title.get(key))

    @property
    def may_leave(self) -> bool:
        """Taken in, numbered, and not set apart: what is set apart or withdrawn is in no outgoing file."""
        return self.record["state"] == "taken-in" and bool(self.stock) and self.record["set_apart"] is None

    @property
    def in_stock(self) -> bool:
        """May leave, and has not; False too where nobody can say what happened to it."""
        here = self.may_leave and life_fault(self.head, self.record) is None
        return here and standing(self.record).what not in LEFT


def leaving(items: Iterable[Item], day: date | None = None, parcel: str | None = None) -> list[Item]:
    """The items that may leave, of that day and that parcel where named, by stock number."""
    chosen = [item for item in items if item.may_leave]
    if day is not None:
        chosen = [item for item in chosen if item.taken_in == day]
    if parcel is not None:
        chosen = [item for item in chosen if item.head["id"] == parcel]
    return sorted(chosen, key=lambda item: item.stock)


class LeftOut(NamedTuple):
    """A record that is not in a day's intake though it came up that day, and why."""

    parcel: str
    no: int
    stock: str
    title: str
    why: str

    @property
    def say(self) -> str:
        """``A00007 The Lantern Quire: Moths at Noon (mould)``; its place where it has no number."""
        return f"{self.stock or f'record {self.no}'}{' ' if self.title else ''}{self.title} ({self.why})"


def left_out(items: Iterable[Item], day: date) -> list[LeftOut]:
    """What was taken in or set apart on that day and may not leave, by parcel and place.

    A record that was withdrawn before it was taken in, and never set apart, came up on no day that is known.
    """
    apart = [item for item in items if not item.may_leave and day in (item.taken_in, item.apart_on)]
    return [
        LeftOut(item.head["id"], item.record["no"], item.stock, item.name, _why(item))
        for item in sorted(apart, key=lambda item: (item.head["id"], item.record["no"]))
    ]


def _why(item: Item) -> str:
    apart = item.record["set_apart"]
    if apart is not None:
        return why_apart(apart) + (f": {apart['note']}" if apart["note"] else "")
    if item.record["state"] == "withdrawn":
        return "taken out of the parcel"
    return "no stock number" if item.record["state"] == "taken-in" else "not taken in"
