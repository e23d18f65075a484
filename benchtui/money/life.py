"""A record's life after the bench: dated events, each made by a pure function and appended to ``life``.

An event is ``{"n": 1.., "at": day, "what": ..., ...}``. Nothing is ever taken back: a mistake is corrected
by an event of its own day, so that a closed day stays as it was handed in.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.days import day
from benchtui.money.rounding import money_of
from benchtui.money.standings import LEFT, effective, left_to_refund, place_of, standing, unsound

Event = dict[str, Any]


class When(NamedTuple):
    """The day of an event, the day it is entered, the last day whose books are closed ("" for none), and the
    shop's currency ("" where it is not to be checked).

    An event of a closed day is refused: it is entered on an open day, with what it corrects in its words.
    """

    on: str
    today: date
    closed_through: str = ""
    currency: str = ""


def shelve(record: RecordDoc, when: When, place: str) -> Event:
    """It stands at ``place`` from that day."""
    _in_the_shop(record, "shelved")
    return _event(record, when, "shelved", place=_named(place, "the shelf place"))


def hold(record: RecordDoc, when: When, who: str, until: str) -> Event:
    """Held for somebody until a day. BenchError when it is held for somebody else."""
    _in_the_shop(record, "held", who, when.on)
    event = _event(record, when, "held", who=_named(who, "for whom"), until=until)
    if day(until, "held until", place_of(record)) < day(when.on, "the day"):
        raise BenchError(f"held until {until}, before {when.on}", place_of(record), "enter that day or later")
    return event


def release(record: RecordDoc, when: When) -> Event:
    """No longer held."""
    if not standing(record, when.on).held_for:
        raise BenchError("it is not held", place_of(record), "choose a record that is held")
    return _event(record, when, "released")


def sell(
    record: RecordDoc,
    when: When,
    price: Money,
    *,
    buyer: str = "",
    invoice: str = "",
    bought_on: str = "",
    agreed: str = "",
    deal: Mapping[str, Any] | None = None,
) -> Event:
    """Sold at ``price`` (what the buyer pays for the record itself, after any discount).

    ``deal`` are the fields that ``deal.deal_fields`` makes of an invoice: postage, fees, discount ...

    BenchError: no stock number yet; set apart; sold, handed back or scrapped before; held for somebody else;
    dated before ``bought_on``, in the future or on a closed day; a price below zero or absurd; under the
    consignor's reserve without ``agreed`` (who agreed to it).
    """
    where = place_of(record)
    if record["state"] != "taken-in" or not record["stock"]:
        raise BenchError("it has no stock number yet", where, "take the record in first")
    if record["set_apart"]:
        raise BenchError("it is set apart, so it cannot be sold", where, "put it back to stock first")
    _in_the_shop(record, "sold", buyer, when.on)
    money_of(price.to_doc(), where)
    if bought_on and day(when.on, "the day of sale", where) < day(bought_on, "the day of purchase", where):
        right = f"enter {bought_on} or later; if it came earlier, enter its parcel's day delivered first"
        raise BenchError(f"sold on {when.on}, before it came on {bought_on}", where, right)
    reserve = record.get("reserve")
    if (
        reserve
        and price.minor < money_of(reserve, f"reserve of {where}", price.currency).minor
        and not agreed
    ):
        least = Money(reserve["minor"], reserve["currency"]).show()
        raise BenchError(
            f"{price.show()} is under the reserve", where, f"enter {least} or more, or who agreed to less"
        )
    extra: dict[str, Any] = {"agreed": agreed} if agreed else {}
    extra |= {name: value for name, value in (deal or {}).items() if name not in price.to_doc()}
    return _event(record, when, "sold", **price.to_doc(), buyer=buyer, invoice=invoice, **extra)


def take_back(
    record: RecordDoc, when: When, note: str = "", refund: Money | None = None, **more: Any
) -> Event:
    """The buyer returned it: back in the shop, and refunded what is left of the price, or less where a fee is
    kept. What is kept counts as takings in the accounts and stands in the stock book. ``more``: fields that
    ``refunds.refund_of`` makes."""
    left = _left_to_refund(record, when)
    money = refund or standing(record).price or left
    if money.minor > left.minor or money.currency != left.currency:
        raise BenchError(f"a refund of {money.show()}", place_of(record), f"enter at most {left.show()}")
    amount = money_of(money.to_doc(), place_of(record)).to_doc()
    return _event(record, when, "returned", **amount, note=note, **more)


def refund_part(record: RecordDoc, when: When, refund: Money, note: str = "", **more: Any) -> Event:
    """Money given back, part of it or all, and the record does not come back. ``more`` as in `take_back`."""
    left = _left_to_refund(record, when)
    if not 0 < refund.minor <= left.minor or refund.currency != left.currency:
        raise BenchError(f"a refund of {refund.show()}", place_of(record), f"enter at most {left.show()}")
    return _event(record, when, "refunded", **refund.to_doc(), note=note, **more)


def hand_back(record: RecordDoc, when: When, note: str = "") -> Event:
    """Given back to the sender unsold."""
    _in_the_shop(record, "handed back")
    return _event(record, when, "handed back", note=note)


def scrap(record: RecordDoc, when: When, why: str) -> Event:
    """Thrown away or given away: how else it left the stock."""
    _in_the_shop(record, "scrapped")
    return _event(record, when, "scrapped", why=_named(why, "why it left"))


def pay_out(record: RecordDoc, when: When, amount: Money, reference: str = "") -> Event:
    """Paid to the sender on account of this record."""
    if amount.minor <= 0:
        raise BenchError(f"a payout of {amount.show()}", place_of(record), "enter more than 0")
    money_of(amount.to_doc(), place_of(record))
    return _event(record, when, "paid out", **amount.to_doc(), reference=reference)


def correct(record: RecordDoc, when: When, of: int, why: str, now: Mapping[str, Any] | None) -> Event:
    """Event number ``of`` was wrong: from now on it counts as ``now`` (changed fields), or not at all.

    Both stay readable. What the mistake did to the money is undone on the day of the correction, whatever
    day it happened on, so that figures already handed in stay. BenchError where the rest of the life would
    no longer hold: sold twice, or refunded without a sale.
    """
    where = place_of(record)
    old = next((event for event in record["life"] if event["n"] == of and event["what"] != "corrected"), None)
    if old is None:
        raise BenchError(f"there is no event {of}", where, "use the number of an event of this record")
    if now is not None and {"n", "what", "currency"} & set(now):
        raise BenchError(
            "a correction cannot change what happened, or its currency",
            where,
            "void it and enter it again",
        )
    if now and "at" in now and day(now["at"], "the corrected day", where) > when.today:
        raise BenchError(f"{now['at']} has not come yet", where)
    if now and "minor" in now:
        money_of({"minor": now["minor"], "currency": now.get("currency", old.get("currency"))}, where)
    change = None if now is None else dict(now)
    event = _event(record, when, "corrected", of=of, now=change, why=_named(why, "why it is corrected"))
    after: RecordDoc = {**record, "life": [*record["life"], event]}
    if broken := unsound(after):
        raise BenchError(broken, where, "correct what followed from it first")
    return event


def _event(record: RecordDoc, when: When, what: str, **fields: Any) -> Event:
    """The event, its day checked: a real day, not in the future, not on a closed one."""
    where = place_of(record)
    on = day(when.on, "the day", where)
    if on > when.today:
        raise BenchError(f"{when.on} has not come yet", where, f"enter {when.today.isoformat()} or earlier")
    if when.closed_through and on <= day(when.closed_through, "the closed day", "setting closed_through"):
        raise BenchError(
            f"{when.on} is a closed day: the books are closed to {when.closed_through}",
            where,
            f"enter it on a later day than {when.closed_through}",
        )
    if when.currency and fields.get("currency", when.currency) != when.currency:
        raise BenchError(
            f"an amount in {fields['currency']}", where, f"use {when.currency}, the shop's currency"
        )
    booked = {"booked": when.today.isoformat()} if when.today != on else {}
    return {"n": len(record["life"]) + 1, "at": when.on, "what": what} | booked | fields


def may_be_taken_out(record: RecordDoc) -> None:
    """BenchError for a record that may not leave its parcel: sold, paid out, given away; or one whose cost
    came with a part of another record, which would be lost with it."""
    if {event["what"] for event in effective(record)} & {*LEFT, "returned", "refunded", "paid out"}:
        now = standing(record)
        said = (
            f"it was {now.what} on {now.since}" if now.what != "in the shop" else "its sale is in the books"
        )
        raise BenchError(
            f"{said}: it stays in its parcel", place_of(record), "enter a return or a correction"
        )
    came = sum(int(move.get("minor", 0)) for move in record.get("cost_moved") or () if "from" in move)
    went = sum(int(move.get("minor", 0)) for move in record.get("cost_moved") or () if "to" in move)
    if came > went:
        raise BenchError(
            "a part of another record is in it, with its cost", place_of(record), "move it back first"
        )


def _in_the_shop(record: RecordDoc, what: str, who: str = "", on: str | None = None) -> None:
    now = standing(record)
    if now.what != "in the shop":
        stock = record["stock"] or record["id"]
        raise BenchError(f"{stock} cannot be {what}: it was {now.what} on {now.since}", place_of(record))
    if on is not None and (holder := standing(record, on).held_for) and holder != who:
        raise BenchError(f"it is held for {holder}", place_of(record), "release it first")


def _left_to_refund(record: RecordDoc, when: When) -> Money:
    left, sale = left_to_refund(record), standing(record).sale or {"at": when.on}
    if day(when.on, "the day", place_of(record)) < day(sale["at"], "the day of sale"):
        raise BenchError(f"{when.on} is before it was sold", place_of(record), f"enter {sale['at']} or later")
    return left


def _named(text: str, what: str) -> str:
    if not text.strip():
        raise BenchError(f"{what} is missing")
    return text.strip()
