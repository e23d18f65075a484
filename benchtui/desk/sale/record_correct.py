"""Correcting an event of a record's life: by an entry of its own day, both stay readable."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core.closed_books import booked_into
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.lives import enter_event, parcel_for
from benchtui.desk.core.needs import unless
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, left_empty, open_line
from benchtui.desk.sale.on_paper import corrected_on_paper
from benchtui.desk.sale.packing_work import settle_packing
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money, parse_money
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.charges import own_terms
from benchtui.money.deal import AMOUNTS, FEES, ON_INVOICE
from benchtui.money.policy import policy_of
from benchtui.money.refunds import corrected_amount, corrected_extra, corrected_percent, corrected_price
from benchtui.money.standings import effective

ABOUT = "number of the event; why; the right entry (day 2026-11-20, price 22, sent 4.10 ...), or void"
_FIELDS = {
    "day": "at",
    "price": "minor",
    "amount": "minor",
    "refund": "minor",
    "buyer": "buyer",
    "invoice": "invoice",
    "place": "place",
    "who": "who",
    "until": "until",
    "note": "note",
    "reference": "reference",
    "discount": "discount",
    "post": "postage",
    "fee": "selling_fee",
    "payment": "payment_fee",
    "sent": "postage_paid",
    "packing": "packing",
    "tax": "tax",
    "traded": "traded",
}
_OF_SALE = (*ON_INVOICE, *FEES)
"""What any sale may have been without."""


_ALSO = ("amount", "refund")


def _happened(desk: Desk) -> str:
    happened = any(event.get("what") != "corrected" for event in desk.record["life"])
    return unless(happened, "nothing has happened to this record yet that could be corrected")


@command(
    "record-correct",
    "page",
    "correct an earlier event by an entry of today",
    short="correct",
    also="mistake fix wrong number life event void cancel never happened",
    needs=[_happened],
    on=("record",),
    order=1170,
)
def correct(desk: Desk) -> None:
    record = desk.record
    sales = [_event(record, one["n"]) for one in record["life"] if one.get("what") == "sold"]
    about = " ".join(
        [*(_of_sale(sales[-1]) if sales else ()), ABOUT.replace("why", _read_by(desk, sales), 1)]
    )
    open_line(desk, "life-correct", "correct event", "", about, parcel=desk.parcel.id, record=record["id"])


def _of_sale(sale: Mapping[str, Any]) -> Iterator[str]:
    """What to know of the amounts of a sale, whose standing may be what is to be put right."""
    if sale.get("discount"):
        yield "a price is that before the discount."
    if paid_in := sale.get("paid_in"):
        yield f"an amount of the sale is in {paid_in['currency']}."
    if sale.get("invoice") and any(sale.get(name) for name in _OF_SALE if name != "discount"):
        parts = "" if sale.get("paid_in") else _parts(sale)
        yield f"post, sent and fees are this record's part of invoice {sale['invoice']}{parts}."


def _parts(sale: Mapping[str, Any]) -> str:
    """`` (now post 1.20, sent 1.48)``: what a whole bill is not to be typed over."""
    fields = [(word, name) for word, name in _FIELDS.items() if name in _OF_SALE and name != "discount"]
    said = [
        f"{word} {Money(sale[name], sale['currency']).plain()}" for word, name in fields if sale.get(name)
    ]
    return f" (now {', '.join(said)})"


def _read_by(desk: Desk, sales: Sequence[Mapping[str, Any]]) -> str:
    """``why (buyer and sender read it)``: those of them on whose paper it stands."""
    head = desk.parcel.head
    readers = ["buyer"] if any(sale.get("invoice") for sale in sales) else []
    readers += ["sender"] if sales and own_terms(head, desk.record) == "consigned" else []
    verb = "read" if len(readers) > 1 else "reads"
    return f"why ({' and '.join(readers)} {verb} it)" if readers else "why"


def read_correction(
    text: str, record: RecordDoc, currency: str, today: date
) -> tuple[int, str, dict[str, Any] | None]:
    """The event's number, why, and its right fields, an amount as money; None for one that never happened.

    ``2; the price was misread; price 22; day 2026-11-20``. An amount that names no currency is in the one in
    which the event was entered. ValueError saying what would be right.
    """
    number, why, *rest = [*(cell.strip() for cell in text.split(";")), "", ""]
    rest = [cell for cell in rest if cell]
    if not number.isascii() or not number.isdigit():
        raise ValueError(f"'{number}' is not the number of an event: {ABOUT}")
    if not why:
        raise ValueError(f"say why it is corrected: {ABOUT}")
    if not rest:
        raise ValueError(f"say what the right entry is: {ABOUT}")
    if rest == ["void"]:
        return int(number), why, None
    old = _event(record, int(number))
    return int(number), why, dict(_field(cell, old, currency, today) for cell in rest)


def _event(record: RecordDoc, of: int) -> dict[str, Any]:
    """The event as it counts now, else as it was entered; empty for one that there is not."""
    return next((one for one in [*_counting(record), *record["life"]] if one["n"] == of), {})


def _counting(record: RecordDoc) -> list[dict[str, Any]]:
    """The events as they count now; as they were entered where one of them is of a kind nobody knows here."""
    try:
        return effective(record)
    except BenchError:
        return [event for event in record["life"] if event.get("what") != "corrected"]


def _field(cell: str, old: Mapping[str, Any], currency: str, today: date) -> tuple[str, Any]:
    word, _, value = cell.partition(" ")
    name, value = _FIELDS.get(word.casefold()), value.strip()
    if name is None:
        raise ValueError(f"'{word}' is not one of {', '.join(_FIELDS)}, void")
    if name == "discount" and value.endswith("%"):
        return name, value.removesuffix("%").strip()
    if name in ("minor", *_OF_SALE):
        paid_in = old.get("paid_in") or {}
        own = name in paid_in.get("own", ())
        return name, parse_money(value, currency if own else str(paid_in.get("currency") or currency))
    if name in ("at", "until"):
        return name, read_day(value, today).isoformat()
    return name, value


def fits(record: RecordDoc, of: int, now: Mapping[str, Any] | None) -> None:
    """BenchError where there is no such event, or it has no such field: a shelf place has no price."""
    old = next((event for event in record["life"] if event.get("n") == of), None)
    if old is None:
        raise BenchError(f"there is no event {of}", "", "use the number of an event of this record")
    for name in now or {}:
        if name not in old and not (name in _OF_SALE and old["what"] == "sold"):
            word = next(word for word, field in _FIELDS.items() if field == name)
            has = [word for word, field in _FIELDS.items() if field in old and word not in _ALSO]
            raise BenchError(f"event {of} ({old['what']}) has no {word}", "", f"it has {', '.join(has)}")


def _must_change(record: RecordDoc, of: int, right: Mapping[str, Any] | None) -> None:
    """BenchError where it is so already: the same correction entered twice."""
    stands = {event["n"]: event for event in _counting(record)}
    if right is None and of not in stands and any(event["n"] == of for event in record["life"]):
        raise BenchError(f"event {of} is void already", "", "nothing is left to correct")
    if right and of in stands and all(stands[of].get(name) == value for name, value in right.items()):
        raise BenchError(f"event {of} is already so", "", "type what is right, or Escape leaves")


def _with_amount(desk: Desk, record: RecordDoc, of: int, now: dict[str, Any] | None) -> dict[str, Any] | None:
    """The right fields with the amount as the event keeps it, in each currency that it was in."""
    if not now:
        return now
    old = _event(record, of)
    rule = policy_of(desk.settings, str(old.get("at", ""))[:10]).conversion
    amounts = {name: now[name] for name in ("minor", *_OF_SALE) if name in now}
    right = {name: value for name, value in now.items() if name not in amounts}
    if {"minor", "discount"} <= set(amounts):  # neither is held against what the other was
        right |= corrected_extra(old, "discount", Money(0, str(old["currency"])), rule)
    for name, value in sorted(amounts.items(), key=lambda one: one[0] != "minor"):
        event = old | right
        if isinstance(value, str):
            right |= corrected_percent(event, value, rule)
        elif name == "minor":
            right |= (corrected_price if old["what"] == "sold" else corrected_amount)(event, value, rule)
        else:
            right |= corrected_extra(event, name, value, rule)
            right |= {"percent_off": ""} if name == "discount" and old.get("percent_off") else {}
    return right


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    parcel_id, record_id = str(line.data["parcel"]), str(line.data["record"])
    with parcel_for(desk, parcel_id) as parcel:
        before = parcel.record(record_id)
    try:
        of, why, now = read_correction(line.text, before, desk.currency, desk.clock().astimezone().date())
    except ValueError as error:
        desk.refuse(str(error))
        return

    def make(head: Any, record: RecordDoc, when: Any) -> life.Event:
        fits(record, of, now)
        right = _with_amount(desk, record, of, now)
        _must_change(record, of, right)
        return life.correct(record, when, of, why, right)

    old = _event(before, of)
    said = f"event {of} is void: {why}" if now is None else f"event {of} corrected{_amounts(old, now)}: {why}"
    enter_event(desk, parcel_id, record_id, desk.today(), make, said, settle_packing)
    also = booked_into(desk.settings, desk.today(), str(old.get("at", "")))
    also += corrected_on_paper(old, now)
    also += _in_exchange(desk, old) if "traded" in (now or {}) else ""
    desk.say(f"{desk.open.message}{also}", "done")
    leave_line(desk)


_CALLED = {"sold": "price", "returned": "refund", "refunded": "refund"}


def _amounts(old: Mapping[str, Any], now: Mapping[str, Any] | None) -> str:
    """``, price 22.00 EUR``: as they were read."""
    read, own = {**(now or {})}, _CALLED.get(str(old.get("what")), "amount")
    amounts = {name: value.show() for name, value in read.items() if isinstance(value, Money)}
    amounts |= {"discount": f"{read['discount']} %"} if isinstance(read.get("discount"), str) else {}
    return "".join(f", {AMOUNTS.get(name, own)} {said}" for name, said in amounts.items())


def _in_exchange(desk: Desk, sale: Mapping[str, Any]) -> str:
    """The parcel of what came in exchange keeps its own price: say which it is."""
    parcels, deal = all_parcels(desk), sale.get("deal")
    mates = [
        one["id"]
        for _, records in parcels
        for one in records
        if deal and any(event.get("deal") == deal for event in one["life"] if event.get("what") == "sold")
    ]
    came = [head["id"] for head, _ in parcels if (head.get("traded") or ["", ""])[1] in mates]
    return (
        f"; what came in exchange is parcel {came[0]}: correct its price too"
        if came
        else ("; enter what came in exchange as a parcel")
    )


LINES["life-correct"] = LineKind(_take)
