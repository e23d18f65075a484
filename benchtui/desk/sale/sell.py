"""A sale in one line, from anywhere: number, day, price, buyer, invoice."""

import re
from contextlib import ExitStack
from typing import Any

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.keys import shown
from benchtui.desk.core.lives import changing, parcel_for, to_take_down, when_on, with_reserve
from benchtui.desk.core.page_parts import Column, Words, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.amount_typed import whole_number
from benchtui.desk.line.lines import (
    LINES,
    LineKind,
    left_empty,
    marked_pick,
    open_line,
    refresh,
    refuse_unfound,
)
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.chores import add_chore, must_come_down
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import PACK, RecordDoc, new_id
from benchtui.money import life
from benchtui.money.book import bought_on
from benchtui.money.charges import own_terms
from benchtui.money.deal import Extras, deal_fields, is_place
from benchtui.money.policy import policy_of
from benchtui.money.saleline import SaleLine, read_sale_line
from benchtui.money.scheme import eligibility
from benchtui.money.standings import standing
from benchtui.store import Found

ABOUT = (
    "letters find the number, Enter takes it; then number; day; price; buyer; invoice (# the next); {}: all "
    "words (discount, post, sent, rate ...); a12 + a13; ; 24 + free; post 4.50; fee 3"
)
_AFTER_NUMBER = re.compile(r"[;/]")


@command(
    "sell",
    "bench",
    "sell in one line: number, day, price, buyer",
    short="sell",
    group="Record",
    also="sold sale buyer invoice",
    changes="nothing",
    order=370,
)
@command(
    "record-sell",
    "page",
    "sell a record in one line, from any page",
    short="sell",
    also="sold sale buyer invoice",
    changes="nothing",
    on=("record",),
    offered=70,
    order=1070,
)
def open_sell(desk: Desk) -> None:
    """Open the line; on the page of a record that can be sold, with that record in it."""
    record = desk.work.record
    on_page = desk.open.page is not None and desk.open.page.name == "record"
    text = _line_for(desk, record) if on_page and record and record["stock"] else ""
    keys = desk.references.keymap.keys.get("line-help", ())
    open_line(desk, "sell", "sell", text, ABOUT.format(shown(keys[-1]) if keys else "help"))


def _line_for(desk: Desk, record: RecordDoc) -> str:
    """``A00012; 2026-11-25; 24.00; ``: what is known of the sale, the buyer to be typed."""
    price = record["price"]
    asked = Money(price["minor"], price["currency"]).plain() if price else ""
    return f"{record['stock']}; {desk.today()}; {asked}; "


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = line.text.strip()
    if not typed or _AFTER_NUMBER.search(typed):
        return []
    found = [
        one for one in desk.shop.find(whole_number(typed), limit=40) if one.stock and one.state == "taken-in"
    ]
    return [pick_of(found_cells(one), one) for one in found[:8]]


COLUMNS = (
    Column(key="stock"),
    Column(key="artist", rank=1, least=14),
    Column(key="title", rank=2, least=14),
    Column(key="number", rank=3, least=0),
    Column(key="parcel"),
)


def found_cells(one: Found) -> tuple[Words, ...]:
    return (
        words(one.stock or "", "bold"),
        words(one.artist),
        words(one.title),
        words(one.catalogue, "dim"),
        words(f"parcel {one.parcel}", "dim"),
    )


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    text = line.text.strip()
    if _AFTER_NUMBER.search(text):
        _sell(desk, text)
    else:
        _complete(desk, line, text)


def _complete(desk: Desk, line: OpenLine, text: str) -> None:
    """The marked record's number, today and its price into the line; nothing is sold yet."""
    pick = marked_pick(line)
    if pick is None:
        refuse_unfound(desk, f"no record with a stock number fits '{text}'")
        return
    record = read_found(desk, pick.value)
    now = standing(record)
    if now.what != "in the shop":
        desk.refuse(f"{record['stock']} cannot be sold: it was {now.what} on {now.since}")
        return
    line.text = _line_for(desk, record)
    refresh(desk)
    title = record["title"]
    held = f", held for {now.held_for}" if now.held_for else ""
    desk.say(f"{title['artist']}, {title['title']}{held}: the buyer, then Enter sells it" if title else "")
    desk.place()


def read_found(desk: Desk, found: Found) -> RecordDoc:
    if desk.work.parcel is not None and desk.work.parcel.id == found.parcel:
        return desk.work.parcel.record(found.record)
    parcel = desk.shop.open_parcel(found.parcel, read_only=True)
    try:
        return parcel.record(found.record)
    finally:
        parcel.close()


def _sell(desk: Desk, text: str) -> None:
    """Read the line and enter the sale: one invoice, one or several records, in whichever parcels they are.

    BenchError says what is wrong; nothing is entered then and the line keeps its text.
    """
    sale = read_sale_line(text, desk.currency, desk.clock().astimezone().date())
    found = [stock_found(desk, stock) for stock, _ in sale.records]
    missing = [stock for (stock, _), one in zip(sale.records, found, strict=True) if one is None]
    if missing:
        desk.refuse(f"there is no stock number {missing[0]} in this shop")
        return
    deal = new_id("d")
    number = desk.shop.take_invoice(sale.invoice, deal, known_numbers(desk)) if sale.invoice else ""
    try:
        said, down = _enter(desk, sale, [one for one in found if one is not None], deal, number)
    except BaseException:
        if number:
            desk.shop.free_invoice(number, deal)
        raise
    traded = trade_in(desk, sale, found[0], said) if sale.extras.traded and found[0] else ""
    desk.say(f"{said}{traded}{to_take_down(down)}", "done")
    desk.watch_trouble()
    leave_line(desk)


def stock_found(desk: Desk, stock: str) -> Found | None:
    """The record of that whole number, or None."""
    return next((one for one in desk.shop.find(stock, whole=True) if one.stock == stock), None)


def known_numbers(desk: Desk) -> dict[str, str]:
    """Invoice number -> the sale that bears it, of all that was sold before numbers were kept apart."""
    if desk.shop.invoices():
        return {}
    sold = [
        event
        for _, records in all_parcels(desk)
        for record in records
        for event in record["life"]
        if event.get("what") == "sold" and event.get("invoice")
    ]
    in_order = sorted(sold, key=lambda event: str(event.get("at")))
    return {str(event["invoice"]): str(event.get("deal") or event["invoice"]) for event in in_order}


def _enter(desk: Desk, sale: SaleLine, found: list[Found], deal: str, number: str) -> tuple[str, list[str]]:
    """Every parcel is held, and every event made, before the first is written to. Gives what to say, and
    where it must be taken down.
    """
    rule = policy_of(desk.settings, sale.on).conversion
    fields = deal_fields([price for _, price in sale.records], sale.extras, desk.currency, deal, rule)
    plain = len(fields) == 1 and sale.extras == Extras() and not number
    with ExitStack() as held:
        parcels = {each: held.enter_context(parcel_for(desk, each)) for each in {one.parcel for one in found}}
        made = [
            life.sell(
                with_reserve(desk, parcels[one.parcel].head, parcels[one.parcel].record(one.record)),
                when_on(desk, sale.on),
                Money(own["minor"], own["currency"]),
                buyer=sale.buyer,
                invoice=number,
                bought_on=bought_on(parcels[one.parcel].head),
                agreed=sale.agreed,
                deal=None if plain else own,
            )
            for one, own in zip(found, fields, strict=True)
        ]
        say, down = _said(desk, sale, made, number), list[str]()
        for parcel_id, parcel in parcels.items():
            with changing(desk, parcel, say) as change:
                for one, event in zip(found, made, strict=True):
                    if one.parcel == parcel_id:
                        copy = change.record(one.record)
                        copy["life"].append(event)
                        down += must_come_down(copy, desk.now(), desk.today(), sale.extras.where)
                        if sale.extras.postage and not sale.extras.postage_paid and event is made[0]:
                            add_chore(copy, PACK, desk.now(), f"invoice {number}" if number else "")
        sold = [(parcels[one.parcel].head, parcels[one.parcel].record(one.record)) for one in found]
        say += _taken_in_since(sale.on, [record for _, record in sold]) + not_answered(desk, sale.on, sold)
    return say, down


def _taken_in_since(on: str, records: list[RecordDoc]) -> str:
    """What was taken in only after the day of the sale: likely a slip of the day."""
    came = {str(one["stock"]): local_day(str(one.get("taken_in_at") or "")) for one in records}
    late = [(stock, day) for stock, day in came.items() if day > on]
    return "".join(f"; {stock} was taken in only on {day}: is the day right?" for stock, day in late)


def not_answered(desk: Desk, on: str, sold: list[tuple[HeadDoc, RecordDoc]]) -> str:
    """Which bought records still need the answer about the margin scheme: no VAT is reckoned without."""
    if policy_of(desk.settings, on).scheme == "none":
        return ""
    asked = [
        str(record["stock"])
        for head, record in sold
        if own_terms(head, record) == "bought" and eligibility(record, head).answer is None
    ]
    how = f"{desk.key('record-eligible')} on the record's page answers"
    said = f"no VAT yet for {', '.join(asked)}: may the margin scheme be used? {how}"
    return f"; {said}" if asked else ""


def _said(desk: Desk, sale: SaleLine, made: list[dict[str, Any]], number: str) -> str:
    """``A00012, A00013 sold for 42.00 GBP to M. Larch on 2026-11-25, invoice 0043``."""
    stocks = ", ".join(stock for stock, _ in sale.records)
    whole = Money(sum(event["minor"] for event in made), desk.currency)
    buyer = f" to {sale.buyer}" if sale.buyer else ""
    paid = sum(int(event.get(name) or 0) for event in made for name in ("postage", "tax"))
    paid -= sum(int(event.get("traded") or 0) for event in made)
    to_pay = f", {Money(whole.minor + paid, desk.currency).show()} to pay" if paid else ""
    if sale.price.currency != desk.currency:
        theirs = Money(sum(event["paid_in"]["minor"] for event in made), sale.price.currency)
        to_pay = f", {theirs.show()} to pay"
    counted = f", invoice {number}" if number and (number != sale.invoice or len(made) > 1) else ""
    return f"{stocks} sold for {whole.show()}{buyer} on {sale.on}{counted}{to_pay}"


def trade_in(desk: Desk, sale: SaleLine, found: Found, say: str) -> str:
    """A record taken in exchange: a parcel of its own with one place, paid for by the sale. What to say."""
    price = {"what": "price", "minor": sale.extras.traded, "currency": sale.price.currency}
    rate = {"rate": sale.extras.rate or None, "rate_date": "", "rate_from": ""}
    fields = {
        "sender": _their_sender(desk, sale.buyer),
        "came_as": "traded in",
        "traded": [found.parcel, found.record],
        "charges": [price | rate],
        "delivered": sale.on,
        "opened": desk.today(),
        "note": say,
    }
    parcel = desk.shop.new_parcel(fields, expected=1)
    try:
        return f"; what came in exchange is parcel {parcel.id}"
    finally:
        parcel.close()


def _their_sender(desk: Desk, buyer: str) -> str | None:
    """The buyer as the sender of what they gave in exchange, made if new; None for nobody, or a counter."""
    name = buyer.strip()
    if not name or is_place(name):
        return None
    known = (
        one
        for one, doc in desk.shop.senders.items()
        if str(doc.get("name", "")).casefold() == name.casefold()
    )
    return next(known, None) or desk.shop.add_sender(name)


LINES["sell"] = LineKind(_take, _suggest, columns=COLUMNS)
