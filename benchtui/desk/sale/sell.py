"""A sale in one line, from anywhere: number, day, price, buyer, invoice."""

import re

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.lives import enter_event, with_reserve
from benchtui.desk.core.page_parts import Column, Words, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.amount_typed import whole_number
from benchtui.desk.line.lines import (
    LINES,
    LineKind,
    close_line,
    marked_pick,
    open_line,
    refresh,
    refuse_unfound,
)
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money import bought_on, life, read_sale_line, standing
from benchtui.store import Found

ABOUT = "letters find the number, Enter takes it; then number; day; price; buyer; invoice"
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
    open_line(desk, "sell", "sell", text, ABOUT)


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
    return [pick_of(_cells(one), one) for one in found[:8]]


COLUMNS = (
    Column(key="stock"),
    Column(key="artist", rank=1, least=14),
    Column(key="title", rank=2, least=14),
    Column(key="number", rank=3, least=0),
    Column(key="parcel"),
)


def _cells(one: Found) -> tuple[Words, ...]:
    return (
        words(one.stock or "", "bold"),
        words(one.artist),
        words(one.title),
        words(one.catalogue, "dim"),
        words(f"parcel {one.parcel}", "dim"),
    )


def _take(desk: Desk, line: OpenLine) -> None:
    text = line.text.strip()
    if not text:
        close_line(desk)
        desk.place()
    elif _AFTER_NUMBER.search(text):
        _sell(desk, text)
    else:
        _complete(desk, line, text)


def _complete(desk: Desk, line: OpenLine, text: str) -> None:
    """The marked record's number, today and its price into the line; nothing is sold yet."""
    pick = marked_pick(line)
    if pick is None:
        refuse_unfound(desk, f"no record with a stock number fits '{text}'")
        return
    record = _read(desk, pick.value)
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


def _read(desk: Desk, found: Found) -> RecordDoc:
    if desk.work.parcel is not None and desk.work.parcel.id == found.parcel:
        return desk.work.parcel.record(found.record)
    parcel = desk.shop.open_parcel(found.parcel, read_only=True)
    try:
        return parcel.record(found.record)
    finally:
        parcel.close()


def _sell(desk: Desk, text: str) -> None:
    """Read the line and enter the sale. BenchError says what is wrong; the line keeps its text."""
    sale = read_sale_line(text, desk.currency, desk.clock().astimezone().date())
    found = next((one for one in desk.shop.find(sale.stock, whole=True) if one.stock == sale.stock), None)
    if found is None:
        desk.refuse(f"there is no stock number {sale.stock} in this shop")
        return
    buyer = f" to {sale.buyer}" if sale.buyer else ""
    enter_event(
        desk,
        found.parcel,
        found.record,
        sale.on,
        lambda head, record, when: life.sell(
            with_reserve(desk, head, record),
            when,
            sale.price,
            buyer=sale.buyer,
            invoice=sale.invoice,
            bought_on=bought_on(head),
            agreed=sale.agreed,
        ),
        f"{sale.stock} sold for {sale.price.show()}{buyer} on {sale.on}",
    )
    said, tone = desk.open.message, desk.open.tone
    close_line(desk)
    desk.place()
    desk.say(said, tone)


LINES["sell"] = LineKind(_take, _suggest, columns=COLUMNS)
