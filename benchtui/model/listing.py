"""Where a record is listed, as dated states; what must come down once it is gone."""

from collections.abc import Iterable
from typing import Literal, NotRequired, TypedDict

State = Literal["drafted", "online", "price", "down"]
SAID: dict[State, str] = {
    "drafted": "drafted for",
    "online": "online at",
    "price": "price changed at",
    "down": "taken down at",
}


class ListingDoc(TypedDict):
    """What happened on a day at a place where the record is listed; with the price asked there, if any."""

    at: str
    what: State
    place: str
    minor: NotRequired[int]
    currency: NotRequired[str]


def online_at(events: Iterable[ListingDoc]) -> dict[str, ListingDoc]:
    """Place -> the last event of the listing there, of those where it is online now."""
    now: dict[str, ListingDoc] = {}
    for event in events:
        if event["what"] in ("online", "price"):
            now[event["place"]] = event
        elif event["what"] == "down":
            now.pop(event["place"], None)
    return now


def same_place(one: str, other: str) -> bool:
    """Whether two names of places are one, whatever the capitals."""
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def change_at(
    events: Iterable[ListingDoc], now: ListingDoc | None, place: str, day: str
) -> ListingDoc | None:
    """What is to be noted so that the place stands at ``now`` (None: not listed there); None if it does."""
    before = online_at(events).get(place)
    if now is None:
        return {"at": day, "what": "down", "place": place} if before is not None else None
    if before is None:
        return {**now, "at": day, "what": "online"}
    price = (before.get("minor"), before.get("currency")) != (now.get("minor"), now.get("currency"))
    return {**now, "at": day, "what": "price"} if price else None
