"""What a hand-out makes of each record's listing: online there, another price, taken down."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from contextlib import AbstractContextManager
from typing import Any, cast

from benchtui.base.errors import BenchError
from benchtui.export.items import Item
from benchtui.model.chores import finish_all
from benchtui.model.listing import ListingDoc, change_at
from benchtui.model.record import TAKE_DOWN, RecordDoc
from benchtui.money.standings import LEFT, standing
from benchtui.store import Change

Listings = Mapping[str, Mapping[str, ListingDoc]]
"""Parcel -> record -> what is to be noted of it."""
Open = Callable[[str, str], AbstractContextManager[Change]]
"""A parcel by its id, open for one action or correction in these words."""


def listings(items: Iterable[Item], handed: Collection[str], place: str, day: str) -> Listings:
    """What a hand-out with these stock numbers changes, by what each record says of itself."""
    found: dict[str, dict[str, ListingDoc]] = defaultdict(dict)
    for item in items:
        there = item.stock in handed and standing(item.record).what not in LEFT
        now = _as_listed(item.record, place, day) if there else None
        event = change_at(item.record.get("listing", []), now, place, day)
        if event is not None:
            found[item.head["id"]][item.record["id"]] = event
    return found


def _as_listed(record: RecordDoc, place: str, day: str) -> ListingDoc:
    price: Any = record["price"] or {}
    asked = {name: price[name] for name in ("minor", "currency") if name in price}
    return cast(ListingDoc, {"at": day, "what": "online", "place": place, **asked})


def keep_listings(found: Listings, place: str, open_parcel: Open) -> list[str]:
    """Writes it down with the records, a write a parcel. Why not, for each parcel where it could not be."""
    missed = []
    for parcel_id, events in found.items():
        try:
            with open_parcel(parcel_id, f"handed out to {place}") as change:
                for record_id, event in events.items():
                    note_listing(change.record(record_id), event)
        except BenchError as error:
            missed.append(error.one_line())
    return missed


def note_listing(record: RecordDoc, event: ListingDoc) -> None:
    """One more event of its listing; what is down there needs no more taking down."""
    record["listing"] = [*record.get("listing", []), event]
    if event["what"] == "down":
        finish_all(record, TAKE_DOWN, event["at"], event["place"])
