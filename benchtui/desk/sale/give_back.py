"""A credit note in one line, from anywhere: what is given back of one invoice, of one record or several."""

from contextlib import ExitStack
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.lives import changing, parcel_for, when_on
from benchtui.desk.core.needs import is_sold
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
from benchtui.desk.sale.credit_note import CreditNote
from benchtui.desk.sale.packing_work import settle_packing
from benchtui.desk.sale.record_life import give_back, leave_line
from benchtui.desk.sale.sell import COLUMNS, found_cells, read_found, stock_found
from benchtui.export.packing import sold_with
from benchtui.export.papers import Sold, sale_name
from benchtui.model.chores import back_in_shop
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.creditline import Back, CreditLine, read_credit_line, shared_out
from benchtui.money.refunds import left_in, price_left
from benchtui.money.standings import gives_all, left_to_refund, standing

ABOUT = (
    "records or the invoice; day; amounts; why: a12 + a13; ; 24 + 4 off; clicks. off: the buyer keeps it; "
    "all: with postage and tax; one amount is shared out"
)


@command(
    "credit-note",
    "bench",
    "give money back in one line: records of one invoice, one credit note",
    short="credit note",
    group="Record",
    also="return returned refund several records invoice came back money off",
    changes="nothing",
    order=372,
)
@command(
    "record-credit-note",
    "page",
    "give money back in one line: records of one invoice, one credit note",
    short="credit note",
    also="return returned refund several records invoice came back money off",
    changes="nothing",
    on=("record", "parcel", "parcels", "result", "sender", "year"),
    order=1132,
)
def open_credit_note(desk: Desk) -> None:
    """Open the line; on the page of a record that was sold, with all of its invoice in it."""
    mine: list[Sold] = []
    on_record = desk.open.page is not None and desk.open.page.name == "record"
    if on_record and not is_sold(desk) and desk.work.record is not None and desk.work.parcel is not None:
        mine = sold_with(desk.work.record, all_parcels(desk))
    open_line(desk, "credit-note", "credit note", _line_for(desk, mine), ABOUT)


def _line_for(desk: Desk, mine: list[Sold]) -> str:
    """``A00012 + A00013; 2026-11-25; 24.00 + 18.00; ``: all of the invoice; what is kept is taken out."""
    if not mine:
        return ""
    stocks = " + ".join(str(record["stock"]) for _, record, _ in mine)
    left = [price_left(record) for _, record, _ in mine]
    amounts = [one.plain() if one.currency == desk.currency else one.show() for one in left]
    return f"{stocks}; {desk.today()}; {' + '.join(amounts)}; "


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = line.text.strip()
    if not typed or ";" in typed:
        return []
    found = [one for one in desk.shop.find(whole_number(typed), limit=40) if one.stock]
    if typed in desk.shop.invoices():  # all that Enter writes into the line
        of = (
            stock_found(desk, str(record["stock"])) for _, record, _ in _of_invoice(all_parcels(desk), typed)
        )
        found = [one for one in of if one is not None] or found
    return [pick_of(found_cells(one), one) for one in found[:8]]


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    text = line.text.strip()
    if ";" in text:
        line_of = read_credit_line(text, _currency_of(desk, text), desk.clock().astimezone().date())
        said = _enter(desk, line_of)
        desk.say(said, "done")
        desk.watch_trouble()
        leave_line(desk)
    else:
        _complete(desk, line, text)


def _complete(desk: Desk, line: OpenLine, text: str) -> None:
    """All of an invoice into the line, by its number or by one of its records; nothing is given back yet."""
    parcels, pick = all_parcels(desk), marked_pick(line)
    mine = _of_invoice(parcels, text)
    if not mine and pick is not None:
        record = next(one for _, records in parcels for one in records if one["id"] == pick.value.record)
        mine = sold_with(record, parcels)
    if not mine:
        refuse_unfound(desk, f"no sold record and no invoice fits '{text}'")
        return
    line.text = _line_for(desk, mine)
    refresh(desk)
    sale = mine[0][2]
    to = f" to {sale['buyer']}" if sale.get("buyer") else ""
    on = f"invoice {sale['invoice']}" if sale.get("invoice") else "no invoice"
    desk.say(f"{on}, sold on {sale['at'][:10]}{to}: take out what stays sold; why; Enter gives it back")
    desk.place()


def _of_invoice(parcels: Any, number: str) -> list[Sold]:
    """All that is sold with that number, in the order of the parcels."""
    return [
        (head, record, sale)
        for head, records in parcels
        for record in records
        if (sale := standing(record).sale) is not None and sale.get("invoice") == number.strip()
    ]


def _currency_of(desk: Desk, text: str) -> str:
    """That of the sale the line begins with, which a bare amount is in; the shop's where there is none."""
    number = text.partition(";")[0].partition("+")[0].strip()
    found = stock_found(desk, whole_number(number))
    mine = (
        [read_found(desk, found)] if found else [one for _, one, _ in _of_invoice(all_parcels(desk), number)]
    )
    other = left_in(mine[0]) if mine else None
    return other.currency if other else desk.currency


def _places(desk: Desk, line: CreditLine) -> list[tuple[str, str]]:
    """(parcel, record) of all that the line names. BenchError for a number that there is not."""
    found = [stock_found(desk, whole_number(number)) for number in line.numbers]
    if found == [None] and (mine := _of_invoice(all_parcels(desk), line.numbers[0])):
        return [(head["id"], record["id"]) for head, record, _ in mine]
    missing = [number for number, one in zip(line.numbers, found, strict=True) if one is None]
    if missing:
        if any(_was_on(record, missing[0].strip()) for _, records in all_parcels(desk) for record in records):
            said = f"nothing that was sold on invoice {missing[0].strip()} is left to be given back"
            raise BenchError(said, "credit note", "its records' pages say what was")
        said = f"there is no stock number and no invoice {whole_number(missing[0])} in this shop"
        raise BenchError(said, "credit note", "write a number of yours")
    return [(one.parcel, one.record) for one in found if one is not None]


def _was_on(record: RecordDoc, number: str) -> bool:
    """Whether a sale of the record, one that came back too, had that invoice number."""
    return any(event.get("invoice") == number for event in record["life"])


def _enter(desk: Desk, line: CreditLine) -> str:
    """Every event is made before the first is written; what to say of it. BenchError, and nothing is entered,
    where the records are not of one sale or one of them cannot be given back."""
    places = _places(desk, line)
    note = CreditNote(desk)
    with ExitStack() as held:
        parcels = {one: held.enter_context(parcel_for(desk, one)) for one in dict(places)}
        records = [parcels[parcel].record(record) for parcel, record in places]
        _of_one_sale(records)
        backs = shared_out(line.backs, [left_in(one) or left_to_refund(one) for one in records])
        every = list(zip(places, records, backs, strict=True))
        given = [one for one in every if not _is_nothing(one[2])] or every
        mine, when = [record for _, record, _ in given], when_on(desk, line.on)
        events = [give_back(desk, one, when, back, line.why, line.rate) for _, one, back in given]
        written: list[str] = []
        try:
            events = note.put_all(mine, events)
            after = {one["id"]: _after(one, event) for one, event in zip(mine, events, strict=True)}
            said = _said(desk, mine, events) + note.said
            for parcel_id, parcel in parcels.items():
                with changing(desk, parcel, said) as change:
                    for ((at, record_id), _, _), event in zip(given, events, strict=True):
                        if at == parcel_id:
                            _append(change.record(record_id), event)
                    settle_packing(desk, change, parcel_id, after)
                written.append(parcel_id)
        except BaseException:
            if not written:
                note.free()
            raise
    return said


def _after(record: RecordDoc, event: dict[str, Any]) -> RecordDoc:
    return {**record, "life": [*record["life"], event]}


def _append(record: RecordDoc, event: dict[str, Any]) -> None:
    record["life"].append(event)
    if event["what"] == "returned":
        back_in_shop(record)


def _is_nothing(back: Back) -> bool:
    """A share of a price reduction that came to nothing: of a record thrown in for free."""
    return back.off and back.money is not None and not back.money.minor


def _of_one_sale(records: list[RecordDoc]) -> None:
    sales: dict[str, str] = {}
    for record in records:
        sale = standing(record).sale
        if sale is None:
            raise BenchError(f"{record['stock']} is not sold", "credit note", "take it out of the line")
        sales.setdefault(
            sale_name(record, sale), f"{record['stock']} on {sale.get('invoice') or 'no invoice'}"
        )
    if len(sales) > 1:
        said = f"these were not sold together: {', '.join(sales.values())}"
        raise BenchError(said, "credit note", "enter a credit note for each sale")


def _said(desk: Desk, records: list[RecordDoc], events: list[dict[str, Any]]) -> str:
    """``A00012 came back, A00013 at a lower price: 28.00 GBP to M. Larch``."""
    stocks: dict[str, list[str]] = {}
    for record, event in zip(records, events, strict=True):
        kind = "all" if gives_all(_after(record, event), event["n"]) else event["what"]
        stocks.setdefault(kind, []).append(str(record["stock"]))
    words = {"returned": "came back", "refunded": "at a lower price", "all": "refunded in full"}
    what = ", ".join(f"{', '.join(mine)} {words[kind]}" for kind, mine in stocks.items())
    paid = [event["paid_in"] for event in events if "paid_in" in event]
    given = Money(sum(event["minor"] for event in events), desk.currency)
    if len(paid) == len(events):
        given = Money(sum(one["minor"] for one in paid), paid[0]["currency"])
    buyer = (standing(records[0]).sale or {}).get("buyer")
    return f"{what}: {given.show()} back{f' to {buyer}' if buyer else ''}"


LINES["credit-note"] = LineKind(_take, _suggest, columns=COLUMNS)
