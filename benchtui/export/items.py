"""One record on its way out, with all that is known around it; and which records may leave at all."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from benchtui.evidence.results import Weighing
from benchtui.export.wording import local_day
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import consignor


@dataclass(frozen=True, slots=True)
class Item:
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
    def may_leave(self) -> bool:
        """Taken in, numbered, and not set apart: what is set apart or withdrawn is in no outgoing file."""
        return self.record["state"] == "taken-in" and bool(self.stock) and self.record["set_apart"] is None


def leaving(items: Iterable[Item], day: date | None = None, parcel: str | None = None) -> list[Item]:
    """The items that may leave, of that day and that parcel where named, by stock number."""
    chosen = [item for item in items if item.may_leave]
    if day is not None:
        chosen = [item for item in chosen if item.taken_in == day]
    if parcel is not None:
        chosen = [item for item in chosen if item.head["id"] == parcel]
    return sorted(chosen, key=lambda item: item.stock)
