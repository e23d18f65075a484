"""A replacement: a buyer's record comes back and another one goes instead, in one line."""

from collections.abc import Mapping
from contextlib import ExitStack
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.lives import changing, parcel_for, to_take_down, when_on, with_reserve
from benchtui.desk.core.needs import is_sold
from benchtui.desk.line.amount_typed import whole_number
from benchtui.desk.line.lines import LINES, LineKind, left_empty, open_line
from benchtui.desk.sale.credit_note import CreditNote
from benchtui.desk.sale.record_life import leave_line, read_cells
from benchtui.desk.sale.sell import known_numbers, not_answered, stock_found
from benchtui.model.chores import add_chore, back_in_shop, must_come_down
from benchtui.model.money import Money, parse_money
from benchtui.model.record import PACK, RecordDoc, new_id
from benchtui.money import life
from benchtui.money.book import bought_on
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.policy import policy_of
from benchtui.money.refunds import paid_abroad, refund_of
from benchtui.money.standings import standing
from benchtui.store import Found, Parcel

ABOUT = "number of the one that goes; price, if another; why; day: a13; ; clicks on B2"


@command(
    "record-replace",
    "page",
    "the buyer brings it back and gets another one instead",
    short="replace",
    also="exchange swap instead replacement return",
    needs=[is_sold],
    on=("record",),
    order=1125,
)
def open_replace(desk: Desk) -> None:
    open_line(desk, "life-replace", "replaced by", "", ABOUT, parcel=desk.parcel.id, record=desk.record["id"])


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    """Both events are made before the first is written; refused in one sentence, the text stays."""
    today = desk.clock().astimezone().date()
    try:
        (number, price, why), on = read_cells(line.text, 3, ABOUT, today)
        asked = parse_money(price, desk.currency) if price else None
    except ValueError as error:
        desk.refuse(str(error))
        return
    stock = whole_number(number)
    other = stock_found(desk, stock)
    if other is None:
        desk.refuse(f"there is no stock number {stock} in this shop")
        return
    said = _replace(desk, (str(line.data["parcel"]), str(line.data["record"])), other, asked, why, on)
    leave_line(desk)
    desk.say(said, "done")
    desk.watch_trouble()


def _replace(desk: Desk, came: tuple[str, str], other: Found, asked: Money | None, why: str, on: str) -> str:
    """The return of all that was paid, and the sale of the other one to the same buyer."""
    with ExitStack() as held:
        parcels = {one: held.enter_context(parcel_for(desk, one)) for one in {came[0], other.parcel}}
        record = parcels[came[0]].record(came[1])
        sale, deal = standing(record).sale, new_id("d")
        if sale is None:
            raise BenchError("it is not sold", "", "sell the other one")
        old = str(sale.get("invoice") or "")
        number = desk.shop.take_invoice("#", deal, known_numbers(desk)) if old else ""
        note = CreditNote(desk)
        try:
            back, going = _events(desk, record, parcels[other.parcel], other, asked, (why, on, deal, number))
            back = note.put(record, back)
            events = back, going | {"instead": _instead(record, back)}
        except BaseException:
            note.free()
            if number:
                desk.shop.free_invoice(number, deal)
            raise
        say = f"{record['stock']} came back, {other.stock} went instead"
        down: list[str] = []
        for parcel_id, parcel in parcels.items():
            with changing(desk, parcel, say) as change:
                for (at, record_id), event in zip((came, (other.parcel, other.record)), events, strict=True):
                    if at == parcel_id:
                        down += _put(desk, change.record(record_id), event)
        going_with = parcels[other.parcel].head, parcels[other.parcel].record(other.record)
    at = f" at {Money(int(events[1]['minor']), desk.currency).show()}"
    said = say + at + _difference(events, number, desk.currency) + note.said
    return said + not_answered(desk, on, [going_with]) + to_take_down(down)


def _instead(record: RecordDoc, back: Mapping[str, Any]) -> dict[str, Any]:
    """What the sale of the other one keeps of the record that came back: its invoice tells it."""
    kept = {name: back[name] for name in ("minor", "currency", "credit_note", "paid_in") if back.get(name)}
    return {"stock": record["stock"], "minor": 0, **kept}


def _put(desk: Desk, copy: RecordDoc, event: dict[str, Any]) -> list[str]:
    """The event on its record, with the work that follows from it. Where it must be taken down."""
    copy["life"].append(event)
    if event["what"] == "returned":
        back_in_shop(copy)
        return []
    if event.get("postage"):
        add_chore(copy, PACK, desk.now(), f"invoice {event['invoice']}" if event["invoice"] else "")
    return must_come_down(copy, desk.now(), desk.today(), str(event.get("where") or ""))


def _events(
    desk: Desk,
    record: RecordDoc,
    parcel: Parcel,
    other: Found,
    asked: Money | None,
    said: tuple[str, str, str, str],
) -> tuple[dict[str, Any], dict[str, Any]]:
    why, on, deal, number = said
    now, when = standing(record), when_on(desk, on)
    assert now.sale is not None
    rule = policy_of(desk.settings, now.sale["at"]).conversion
    whole, more = refund_of(record, None, "", rule, whole=True)
    note = f"{why}; {other.stock} instead".removeprefix("; ")
    back = life.take_back(record, when, note, whole, **more)
    price, extras = _asked(record, whole, asked, more.get("paid_in"))
    (fields,) = deal_fields([price], extras, desk.currency, deal, rule)
    going = life.sell(
        with_reserve(desk, parcel.head, parcel.record(other.record)),
        when,
        Money(fields["minor"], fields["currency"]),
        buyer=str(now.sale.get("buyer") or ""),
        invoice=number,
        bought_on=bought_on(parcel.head),
        deal=fields | {"note": f"instead of {record['stock']}"},
    )
    return back, going


def _asked(
    record: RecordDoc, whole: Money, asked: Money | None, paid_in: Mapping[str, Any] | None
) -> tuple[Money, Extras]:
    """What the other one costs, with the same postage and tax; in the currency the buyer paid in."""
    now = standing(record)
    assert now.price is not None
    tax = max(0, whole.minor - now.price.minor - now.postage)
    where = str((now.sale or {}).get("where") or "")
    if paid_in is None:
        return asked or now.price, Extras(postage=now.postage, tax=tax, where=where)
    shop = whole.currency
    post, own_tax = (paid_abroad(minor, paid_in, shop).minor for minor in (now.postage, tax))
    price = Money(int(paid_in["minor"]) - post - own_tax, str(paid_in["currency"]))
    if asked is not None and asked.currency not in (shop, price.currency):
        right = f"type the price in {price.currency} or {shop}"
        raise BenchError(f"{asked.show()} is in neither currency of the sale", "replacement", right)
    if asked is not None:
        price = paid_abroad(asked.minor, paid_in, shop) if asked.currency == shop else asked
    return price, Extras(postage=post, tax=own_tax, where=where, rate=str(paid_in["rate"]))


def _difference(events: tuple[dict[str, Any], dict[str, Any]], number: str, currency: str) -> str:
    """``; 4.00 GBP to be paid; invoice 0043``."""
    back, going = events
    more = sum(int(going.get(name, 0)) for name in ("minor", "postage", "tax")) - int(back["minor"])
    amount = Money(abs(more), currency).show()
    paid = f"; the buyer pays {amount}" if more > 0 else f"; the buyer gets {amount}" if more else ""
    return paid + (f"; invoice {number}" if number else "")


LINES["life-replace"] = LineKind(_take)
