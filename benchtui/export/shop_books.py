"""Sales, stock on a day, VAT of a period and the journal: what follows from the shop's entries."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.gather import Progress, sender_name
from benchtui.export.table import Column, Table, table_of
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on, consignor
from benchtui.money.charges import own_terms
from benchtui.money.closing import read_closed
from benchtui.money.entries import Closed, Entry
from benchtui.money.figures import SaleRow, grouped, sale_rows, vat_lines
from benchtui.money.journal import journal
from benchtui.money.ledger import shop_entries
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.standings import standing
from benchtui.store.shop import Shop

_BASIS = Column("basis", "text", "that these figures are an estimate")
_CURRENCY = Column("currency", "text", "ISO 4217")


class Books(NamedTuple):
    """The shop's parcels and entries, read once for an export."""

    parcels: Parcels
    entries: list[Entry]
    closed: list[Closed]
    rates: Rates


def read_books(shop: Shop, until: str, progress: Progress | None = None, parcel: str | None = None) -> Books:
    """Every parcel and what follows from it. BenchError for one that cannot be read: figures with a parcel
    left out in silence would be worse than none."""
    parcels = list(each_parcel(shop, progress, parcel))
    settings = shop.settings
    closed = read_closed(shop.closings())
    entries = shop_entries(parcels, shop.senders, settings, closed, until)
    return Books(parcels, entries, closed, Rates(settings))


def each_parcel(
    shop: Shop, progress: Progress | None = None, parcel: str | None = None
) -> Iterator[tuple[HeadDoc, list[RecordDoc]]]:
    """Every parcel, read when it is wanted. BenchError where ``parcel`` is none of them."""
    ids = shop.parcel_ids()
    if parcel is not None and parcel not in ids:
        raise BenchError(f"there is no parcel {parcel}", "--parcel", "name one of this shop's parcels")
    for no, parcel_id in enumerate(ids):
        if progress is not None:
            progress(no / len(ids))
        yield shop.read_parcel(parcel_id)


# -- sales ---------------------------------------------------------------------------------------------------

_WORDS = (
    Column("day", "text", "day of the sale, return, refund, later cost or correction"),
    Column("what", "text", "sold, returned, refunded, late cost, part moved, correction"),
    Column("invoice", "text", "number of the sales invoice"),
    Column("credit_note", "text", "number of the credit note, where something was given back"),
    Column("stock_number", "text", "the shop's stock number"),
    Column("parcel", "text", "the parcel it came with"),
    Column("sender", "text", "who the parcel, or the consigned record, came from"),
    Column("description", "text", "artist, title, catalogue number, size"),
    Column("buyer", "text", "name"),
    Column("where", "text", "where it was sold"),
)
_FIGURES = (
    Column("price", "number", "what the buyer pays for the record; below 0 for what was given back", True),
    Column("postage_charged", "number", "postage the buyer paid", True),
    Column("tax_collected", "number", "tax taken for an authority and passed on", True),
    Column("fees", "number", "selling and payment fees", True),
    Column("postage_and_packing", "number", "what sending it cost", True),
    Column("owed_to_sender", "number", "of a consigned record: the consignor's part", True),
    Column("cost", "number", "the record's share of the cost to get here (landed)", True),
    Column("vat", "number", "VAT known with the sale; by period it is in the period's figures", True),
    Column("exchange", "number", "what paying back in another currency cost more on its day", True),
    Column("profit", "number", "what is left to the shop of this", True),
)

SALES = (*_WORDS, *_FIGURES, _CURRENCY, _BASIS)


def sales_table(shop: Shop, books: Books, ask: Ask) -> Table:
    """A row for each sale, return, refund and later cost, or added up by month, parcel, sender or record."""
    rows = [row for row in sale_rows(books.entries, ask.first, ask.last) if ask.parcel in (None, row.parcel)]
    names = _senders(shop, books.parcels)
    also = {"currency": books.rates.currency, "basis": ESTIMATE}
    if ask.by:
        columns = (Column(ask.by, "text", "what is added up"), Column("sales", "number", "how many", True))
        made = [
            {ask.by: name, "sales": str(count)} | _figures(row, books.rates.currency) | also
            for name, count, row in grouped(rows, ask.by, lambda row: _sender_of(row, names))
        ]
        return table_of((*columns, *_FIGURES, _CURRENCY, _BASIS), made)
    said = [_said(row, names) | _figures(row, books.rates.currency) | also for row in rows]
    return table_of(SALES, said)


def _said(row: SaleRow, names: dict[str, str]) -> dict[str, str]:
    words = {
        name: str(row.words.get(name, ""))
        for name in ("invoice", "credit_note", "description", "buyer", "where")
    }
    return {
        "day": row.day, "what": row.what, "stock_number": row.stock, "parcel": row.parcel,
        "sender": _sender_of(row, names), **words,
    }  # fmt: skip


def _senders(shop: Shop, parcels: Parcels) -> dict[str, str]:
    """Who a parcel (its id) is from, a consigned record is of, an account is of."""
    known = {key: sender_name(shop, key) for key in shop.senders}
    found = dict(known)
    for head, records in parcels:
        found[head["id"]] = known.get(head["sender"] or "", "")
        theirs = ((one["id"], consignor(head, one)) for one in records if own_terms(head, one) == "consigned")
        found |= {record: known[whose] for record, whose in theirs if whose in known}
    return found


def _sender_of(row: SaleRow, names: Mapping[str, str]) -> str:
    """As closed books have it where it is nobody's any more."""
    known = names.get(row.record) or names.get(row.account)
    return known or str(row.words.get("seller") or names.get(row.parcel, ""))


def _figures(row: SaleRow, currency: str) -> dict[str, str]:
    amounts = (row.price, row.postage, row.tax, row.fees, row.sent, row.owed, row.cost, row.vat,
               row.exchange, row.profit)  # fmt: skip
    return {
        column.name: Money(minor, currency).plain() for column, minor in zip(_FIGURES, amounts, strict=True)
    }


# -- stock on a day ------------------------------------------------------------------------------------------

STOCK = (
    Column("parcel", "text", "the parcel"),
    Column("bought_on", "text", "day"),
    Column("sender", "text", "who it came from"),
    Column("in_stock", "number", "bought records in the shop at the end of the day", True),
    Column("consigned", "number", "consigned records there, which are nobody's cost", True),
    Column("cost", "number", "cost to get here (landed) of the bought ones in stock", True),
    Column("not_shared_out", "number", "cost that no record bears yet, or one still in its box", True),
    _CURRENCY,
    Column("as_of", "text", "day"),
    _BASIS,
)


def stock_table(shop: Shop, books: Books, ask: Ask) -> Table:
    """The value of the stock by parcel at the end of a day, at cost."""
    cost, loose = (
        _by_parcel(books.entries, ask.last, "stock"),
        _by_parcel(books.entries, ask.last, "arriving"),
    )
    unopened = {one["id"] for _, records in books.parcels for one in records if one["state"] == "empty"}
    in_box = _by_parcel((one for one in books.entries if one.record in unopened), ask.last, "stock")
    rows = []
    for head, records in books.parcels:
        parcel = head["id"]
        here = [one for one in records if _is_here(head, one, ask.last)]
        boxed = in_box.get(parcel, 0)
        mine = cost.get(parcel, 0) - boxed, loose.get(parcel, 0) + boxed
        if ask.parcel not in (None, parcel) or not (here or any(mine)):
            continue
        bought = sum(own_terms(head, one) == "bought" for one in here)
        rows.append(
            {
                "parcel": parcel,
                "bought_on": bought_on(head),
                "sender": sender_name(shop, head["sender"]),
                "in_stock": str(bought),
                "consigned": str(len(here) - bought),
                "cost": Money(mine[0], books.rates.currency).plain(),
                "not_shared_out": Money(mine[1], books.rates.currency).plain(),
                "currency": books.rates.currency,
                "as_of": ask.last,
                "basis": ESTIMATE,
            }
        )
    return table_of(STOCK, rows)


def _by_parcel(entries: Iterable[Entry], on: str, role: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for entry in entries:
        if entry.day <= on and (minor := entry.sum_of(role)):
            found[entry.parcel] = found.get(entry.parcel, 0) + minor
    return found


def _is_here(head: HeadDoc, record: RecordDoc, on: str) -> bool:
    if record["state"] in ("withdrawn", "empty") or bought_on(head) > on:
        return False
    return standing(record, on).what == "in the shop"


# -- VAT and journal -----------------------------------------------------------------------------------------

VAT = (
    Column("figure", "text", "what it is"),
    Column("amount", "number", "in the shop's currency"),
    _CURRENCY,
    Column("rule", "text", "how it is worked out"),
    Column("source", "text", "where the rule is published"),
    Column("from", "text", "first day"),
    Column("to", "text", "last day"),
    _BASIS,
)


def vat_table(books: Books, ask: Ask) -> Table:
    """The figures of a return, each with its rule. BenchError where the days have no beginning."""
    if not ask.first:
        raise BenchError("a VAT return is for a period", "vat", "add --period 2026-Q1, or --from and --to")
    lines = vat_lines(books.entries, books.rates, books.closed, ask.first, ask.last)
    rows = [
        {
            "figure": line.name,
            "amount": line.amount.plain(),
            "currency": line.amount.currency,
            "rule": line.rule,
            "source": line.source,
            "from": ask.first,
            "to": ask.last,
            "basis": ESTIMATE,
        }
        for line in lines
    ]
    return table_of(VAT, rows)


def journal_text(shop: Shop, books: Books, ask: Ask) -> tuple[str, int]:
    """The journal's text and how many entries it has."""
    chosen: Sequence[Entry] = [
        entry
        for entry in books.entries
        if ask.first <= entry.day <= ask.last and ask.parcel in (None, entry.parcel)
    ]
    lines = journal(chosen, shop.settings, books.rates.currency, str(shop.settings.get("name") or ""))
    return "\n".join(lines) + "\n", sum(bool(entry.legs) for entry in chosen)
