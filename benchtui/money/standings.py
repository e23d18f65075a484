"""Where a record stands now or stood on a day, and how its events moved money."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.days import day
from benchtui.money.deal import extra
from benchtui.money.rounding import money_of

LEFT = ("sold", "handed back", "scrapped")
WHATS = ("shelved", "held", "released", *LEFT, "returned", "refunded", "paid out", "corrected")


class Standing(NamedTuple):
    """``what``: in the shop, sold, handed back or scrapped, ``since`` a day ("" where nothing happened yet).

    ``sale`` is the event by which it is sold now, ``price`` what of it was not refunded. ``paid_out`` are the
    payouts to the sender so far, in minor units. ``returns`` counts the times a buyer brought it back,
    ``kept`` is what of those sales was not refunded, ``kept_of`` the same by day of sale. ``postage`` is what
    of the postage charged was not refunded: a refund lowers the price first. ``refunded`` is what of the sale
    was given back, ``all_refunded`` whether that is all the buyer paid.
    """

    what: str
    since: str
    shelf: str
    held_for: str
    held_until: str
    sale: dict[str, Any] | None
    price: Money | None
    paid_out: int
    returns: int
    kept: int = 0
    postage: int = 0
    kept_of: tuple[tuple[str, int], ...] = ()
    paid_on: str = ""
    refunded: int = 0
    all_refunded: bool = False


class Flow(NamedTuple):
    """What one event moved on its day: takings (below 0 for a refund), in minor units."""

    at: str
    what: str
    minor: int


def standing(record: RecordDoc, as_of: str | None = None) -> Standing:
    """Where the record stands after all its events, or after those dated up to ``as_of``."""
    now: dict[str, Any] = {
        "what": "in the shop",
        "since": "",
        "shelf": record.get("shelf") or "",
        "held": None,
    }
    sale, refunded, paid_out, paid_on, returns = None, 0, 0, "", 0
    kept: list[tuple[str, int]] = []
    for event in effective(record, as_of):
        what = event["what"]
        if what == "shelved":
            now["shelf"] = str(event.get("place", ""))
        elif what in ("held", "released"):
            now["held"] = event if what == "held" else None
        elif what == "paid out":
            paid_out, paid_on = paid_out + money_of_event(record, event), str(event["at"])[:10]
        elif what == "refunded":
            refunded += money_of_event(record, event)
        elif what in LEFT:
            now |= {"what": what, "since": event["at"], "held": None}
            sale, refunded = (event if what == "sold" else None), 0
        elif what == "returned":
            now |= {"what": "in the shop", "since": event["at"]}
            if sale and (left := taken(record, sale) - refunded - money_of_event(record, event)) > 0:
                kept.append((sale["at"], left))
            sale, refunded, returns = None, 0, returns + 1
    held = (
        now["held"] if now["held"] and (as_of is None or as_of <= str(now["held"].get("until", ""))) else {}
    )
    price = Money(max(0, money_of_event(record, sale) - refunded), sale["currency"]) if sale else None
    postage = max(0, taken(record, sale) - max(refunded, money_of_event(record, sale))) if sale else 0
    return Standing(
        now["what"],
        now["since"],
        now["shelf"],
        held.get("who", ""),
        held.get("until", ""),
        sale,
        price,
        paid_out,
        returns,
        sum(minor for _, minor in kept),
        postage,
        tuple(kept),
        paid_on,
        refunded if sale else 0,
        bool(sale and refunded and refunded >= taken(record, sale, with_tax=True)),
    )


def left_to_refund(record: RecordDoc) -> Money:
    """What of a sale's price, postage and tax was not refunded yet. BenchError where it is not sold."""
    now = standing(record)
    if now.what != "sold" or now.sale is None or now.price is None:
        raise BenchError("it is not sold", f"record {record['no']}", "choose a record that was sold")
    refunded = 0
    for event in effective(record):
        refunded = 0 if event["what"] == "sold" else refunded
        refunded += event["minor"] if event["what"] == "refunded" else 0
    return Money(taken(record, now.sale, with_tax=True) - refunded, now.price.currency)


def gives_all(record: RecordDoc, number: int) -> bool:
    """Whether with this refund all that the buyer paid in the sale was given back."""
    known = [event for event in effective(record) if event["n"] <= number]
    return (
        bool(known) and known[-1]["what"] == "refunded" and standing({**record, "life": known}).all_refunded
    )


def taken(record: RecordDoc, sale: dict[str, Any], with_tax: bool = False) -> int:
    """What the buyer paid in a sale: price and postage charged, and the tax collected where asked."""
    also = (extra(sale, name) for name in ("postage", *(("tax",) if with_tax else ())))
    return money_of_event(record, sale) + sum(also)


def known_life(record: RecordDoc) -> list[dict[str, Any]]:
    """The life without events of a kind that this version does not know where they were voided, whenever that
    was: nothing of them can be told for any day. One that is not voided stays, and is refused."""
    life, said = record["life"], dict[Any, bool]()
    for event in life:
        _must_be_whole(record, event)
    unknown = {event["n"] for event in life if event.get("what") not in WHATS and type(event.get("n")) is int}
    if not unknown:
        return life
    for event in life:
        if event.get("what") == "corrected" and event.get("of") in unknown:
            said[event["of"]] = event.get("now") is None
    void = {number for number, is_void in said.items() if is_void}
    return [
        one for one in life if (one.get("of") if one.get("what") == "corrected" else one.get("n")) not in void
    ]


def life_fault(head: HeadDoc, record: RecordDoc) -> BenchError | None:
    """Why nobody can say here what happened to the record: an event of a kind that this version does not
    know, or one that was spoilt, with the parcel that it is in; None for a life that can be read."""
    try:
        if record["life"]:
            standing(record), flows(record)
    except BenchError as fault:
        event, _, _ = fault.where.partition(" of record ")
        said = f"{event}: {fault.what}" if event.startswith("event ") else fault.what
        right = fault.right or "void it on the record's page: its number; why; void"
        return BenchError(said, f"parcel {head['id']}, {place_of(record)}", right)
    return None


def must_be_told(head: HeadDoc, records: Iterable[RecordDoc]) -> None:
    """BenchError as `life_fault` of the first life that cannot be read: sums without it would be wrong for
    any day, for what is not known may be a sale, or correct an earlier one."""
    for record in records:
        if fault := life_fault(head, record):
            raise fault


def effective(record: RecordDoc, as_of: str | None = None) -> list[dict[str, Any]]:
    """The events as corrected (by corrections dated up to ``as_of`` too), those voided left out."""
    if not record["life"]:
        return []
    known = [event for event in known_life(record) if _day(record, event) <= (as_of or "9999")]
    events: dict[int, dict[str, Any] | None] = {}
    for event in known:
        if event["what"] != "corrected":
            events[event["n"]] = event
        elif event.get("of") in events:
            old = events[event["of"]] or _original(record, event["of"])
            events[event["of"]] = None if event.get("now") is None else old | event["now"]
    return [event for event in events.values() if event is not None]


def flows(record: RecordDoc) -> list[Flow]:
    """Every movement of takings on its day; a correction moves the difference on the correction's day."""
    stood: dict[int, dict[str, Any]] = {}
    moved: list[Flow] = []
    for event in known_life(record):
        _day(record, event)
        if event["what"] in ("sold", "returned", "refunded"):
            stood[event["n"]] = event
            moved.append(Flow(event["at"], event["what"], _taking(record, event)))
        elif event["what"] == "corrected" and event.get("of") in stood:
            old = stood[event["of"]]
            now = old | {"minor": 0} if event.get("now") is None else old | event["now"]
            moved.append(Flow(event["at"], "corrected", _taking(record, now) - _taking(record, old)))
            stood[event["of"]] = now
    return [flow for flow in moved if flow.minor]


def require_currency(record: RecordDoc, currency: str) -> None:
    """BenchError where an event moved money of another currency: a shop's books are in one."""
    for event in record["life"]:
        if (other := event.get("currency")) and other != currency:
            where = f"event {event.get('n')} of record {record['no']}"
            raise BenchError(f"{other} in books that are in {currency}", where, "enter a correction")


def unsound(record: RecordDoc) -> str:
    """What cannot be in this life as corrected ("" where all holds): sold while gone, refunded too much."""
    left, price = "", 0
    for event in effective(record):
        what = event["what"]
        if what in LEFT and left:
            return f"it would be {what} on {event['at']} though it was {left}"
        if what in ("returned", "refunded"):
            price -= money_of_event(record, event)
            if left != "sold" or price < 0:
                return f"more would be refunded on {event['at']} than was taken"
        if what == "sold":
            price = taken(record, event, with_tax=True)
        left = what if what in LEFT else "" if what == "returned" else left
    return ""


def _taking(record: RecordDoc, event: dict[str, Any]) -> int:
    return money_of_event(record, event) * (1 if event["what"] == "sold" else -1)


def money_of_event(record: RecordDoc, event: dict[str, Any]) -> int:
    """The event's amount in minor units, checked. BenchError as ``money_of``."""
    return money_of(event, f"event {event['n']} of record {record['no']}").minor


def _original(record: RecordDoc, number: int) -> dict[str, Any]:
    for event in record["life"]:
        if event["n"] == number:
            return event
    raise BenchError(f"there is no event {number}", f"record {record['no']}")


def _must_be_whole(record: RecordDoc, event: Any) -> None:
    """BenchError for an event that was edited from outside until it is none."""
    whole = isinstance(event, dict) and isinstance(event.get("paid_in") or {}, dict)
    if whole and event.get("what") == "corrected":
        now = event.get("now")
        whole = type(event.get("of")) is int and "why" in event and (now is None or isinstance(now, dict))
        whole = whole and isinstance((now or {}).get("paid_in") or {}, dict)
    if not whole:
        right = "put the parcel back from a backup, or mend its file"
        raise BenchError(f"this is no event: {event!r}", place_of(record), right)


def _day(record: RecordDoc, event: dict[str, Any]) -> str:
    """The event's day; BenchError for an event that was edited from outside into something that cannot be."""
    if type(event.get("n")) is not int:
        raise BenchError(f"an event has the number {event.get('n')!r}", place_of(record), "write 1, 2 ...")
    if event.get("what") not in WHATS:
        said = f"this version does not know what event {event['n']}, {event.get('what')!r}, does to the money"
        right = (
            f"use the newer version that made it, or void it on the record's page: {event['n']}; why; void"
        )
        raise BenchError(said, place_of(record), right)
    return day(event.get("at"), f"the day of event {event.get('n')}", f"record {record['no']}").isoformat()


def place_of(record: RecordDoc) -> str:
    """``record 5 (A00005)``."""
    return f"record {record['no']}" + (f" ({record['stock']})" if record["stock"] else "")
