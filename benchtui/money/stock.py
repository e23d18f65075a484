"""The stock book: one line a stock number, unbroken, purchase side and sale side.

What stands in it is what the British tax authority names for a margin scheme stock book (VAT Notice 718):
stock number in unbroken order, date and invoice of purchase, price, seller, description; date and invoice of
sale, price or how else it left, buyer; margin and VAT due. Consigned goods are not the shop's stock (IFRS 15,
B77-B78): their numbers stand there so that no number is missing, without a price.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import BookColumn, Parcels, bought_on, consignor, description, sender_name, stock_key
from benchtui.money.charges import landed, own_terms
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Policy, policy_of
from benchtui.money.scheme import eligibility, item_margin
from benchtui.money.spreading import Share, spread
from benchtui.money.standings import Standing, require_currency, standing

COLUMNS = (
    BookColumn("stock_number", about="in order without gaps, a series for each bench letter"),
    BookColumn("bought_on", about="day"),
    BookColumn("purchase_invoice", about="number"),
    BookColumn(
        "purchase_price", "number", "this record's part of what was paid to the seller, and no other cost"
    ),
    BookColumn("seller", about="name"),
    BookColumn("description", about="artist, title, catalogue number, size"),
    BookColumn("sold_on", about="day"),
    BookColumn("sales_invoice", about="number"),
    BookColumn("selling_price", "number", "what the buyer paid, part refunds taken off"),
    BookColumn(
        "left_how", about="sold, handed back, scrapped, withdrawn, set apart, not used; empty: in the shop"
    ),
    BookColumn("buyer", about="name"),
    BookColumn("margin", "number", "selling price less purchase price"),
    BookColumn("vat_due", "number", "VAT on the margin; empty where it is not due item by item"),
    BookColumn("scheme", about="item by item, by period, outside, to be asked, none, consigned"),
    BookColumn("currency", about="ISO 4217"),
    BookColumn("remark", about="returns, corrections, what is missing"),
    BookColumn("basis", about="that these figures are an estimate, or what they rest on"),
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One number of the stock book. Amounts are None where there is nothing to say."""

    stock: str
    left_how: str = ""
    scheme: str = ""
    purchase: Money | None = None
    selling: Money | None = None
    margin: Money | None = None
    vat: Money | None = None
    words: dict[str, str] = field(default_factory=dict)

    def row(self, currency: str) -> dict[str, str]:
        """The line as cells by column name."""
        amounts = {
            "purchase_price": self.purchase,
            "selling_price": self.selling,
            "margin": self.margin,
            "vat_due": self.vat,
        }
        cells = {"stock_number": self.stock, "left_how": self.left_how, "scheme": self.scheme}
        cells |= {name: money.plain() if money else "" for name, money in amounts.items()}
        return (
            {column.name: "" for column in COLUMNS}
            | cells
            | self.words
            | {"currency": currency, "basis": ESTIMATE}
        )


def stockbook(
    parcels: Parcels,
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    as_of: str | None = None,
) -> list[Entry]:
    """Every stock number from 1 to the last used of each series, as things stand (or stood on a day).

    BenchError where two records bear one number, naming both.
    """
    policy = policy_of(settings)
    entries: dict[str, Entry] = {}
    found: dict[str, str] = {}
    for head, records in parcels:
        shares = spread(head, landed(head, policy.currency, policy.conversion), records).by_record()
        for record in records:
            if stock := record["stock"]:
                place = f"parcel {head['id']}, record {record['no']}"
                if stock in found:
                    raise BenchError(f"stock number {stock} is there twice: also {found[stock]}", place)
                found[stock] = place
                entries[stock] = _entry(head, record, shares.get(record["id"]), senders, policy, as_of)
    return _unbroken(entries)


def stockbook_rows(entries: list[Entry], settings: Mapping[str, Any]) -> list[dict[str, str]]:
    """The lines as cells by column name, for the CSV; columns are ``COLUMNS``."""
    currency = policy_of(settings).currency
    return [entry.row(currency) for entry in entries]


def _entry(
    head: HeadDoc,
    record: RecordDoc,
    share: Share | None,
    senders: Mapping[str, Mapping[str, Any]],
    policy: Policy,
    as_of: str | None,
) -> Entry:
    """One record's line. What is withdrawn or set apart keeps its number and shows nothing else."""
    require_currency(record, policy.currency)
    stock, now = str(record["stock"]), standing(record, as_of)
    if record["state"] == "withdrawn":
        return Entry(stock, "withdrawn")
    if record["set_apart"] and now.what == "in the shop":
        return Entry(stock, "set apart")
    words = {"description": description(record), "remark": remarks(record, now)} | _sale_words(now)
    left_how = "" if now.what == "in the shop" else now.what
    if own_terms(head, record) == "consigned":
        return Entry(
            stock,
            left_how,
            "consigned",
            words=words | {"seller": sender_name(senders, consignor(head, record))},
        )
    if head["state"] != "closed":
        words["remark"] = "; ".join(filter(None, (words["remark"], "parcel open: purchase price may change")))
    words |= {
        "bought_on": bought_on(head),
        "purchase_invoice": head.get("purchase_invoice") or "",
        "seller": sender_name(senders, head["sender"]),
    }
    purchase = share.margin_purchase_price if share else Money(0, policy.currency)
    scheme = scheme_of(head, record, purchase, policy)
    return _with_sale(Entry(stock, left_how, scheme, purchase, words=words), now, policy)


def scheme_of(head: HeadDoc, record: RecordDoc, purchase: Money, policy: Policy) -> str:
    """How this record's VAT is reckoned: by the shop's scheme, if the dealer said it is eligible."""
    if policy.scheme == "none":
        return "none"
    answer = eligibility(record, head).answer
    if answer is not True:
        return "to be asked" if answer is None else "outside"
    over = policy.period_limit is not None and purchase.minor > policy.period_limit
    return "item by item" if policy.scheme == "item" or over else "by period"


def remarks(record: RecordDoc, now: Standing) -> str:
    """What a reader of the line has to know: returns by buyers, corrections, how it left."""
    said = [f"returned by a buyer {now.returns} time{'s' * (now.returns > 1)}"] if now.returns else []
    for event in record["life"]:
        if event["what"] == "corrected":
            said.append(f"event {event['of']} corrected on {event['at']}: {event['why']}")
        elif event["what"] == "refunded":
            said.append(f"part refund on {event['at']}")
    if now.what in ("handed back", "scrapped"):
        said.append(f"{now.what} on {now.since}")
    return "; ".join(said)


def _sale_words(now: Standing) -> dict[str, str]:
    if now.sale is None:
        return {}
    return {
        "sold_on": now.sale["at"],
        "sales_invoice": now.sale.get("invoice") or "",
        "buyer": now.sale.get("buyer") or "",
    }


def _with_sale(entry: Entry, now: Standing, policy: Policy) -> Entry:
    """The sale side: selling price, margin, and the VAT in it where it is reckoned item by item."""
    if now.price is None or entry.purchase is None:
        return entry
    vat, words = None, dict(entry.words)
    if entry.scheme == "item by item":
        if policy.vat_rate is None:
            words["remark"] = "; ".join(filter(None, (words["remark"], "no VAT rate is set")))
        else:
            vat = item_margin(entry.purchase, now.price, policy.vat_rate, policy.vat_rounding).vat
    margin = now.price - entry.purchase
    return replace(entry, selling=now.price, margin=margin, vat=vat, words=words)


def _unbroken(entries: Mapping[str, Entry]) -> list[Entry]:
    """In the order of the series, with a line for every number below the last that no record bears."""
    last: dict[str, int] = {}
    for stock in entries:
        letters, number = stock_key(stock)
        last[letters] = max(last.get(letters, 0), number)
    wanted = [f"{letters}{number:05}" for letters in sorted(last) for number in range(1, last[letters] + 1)]
    regular = set(wanted)
    odd = [stock for stock in entries if stock not in regular]
    return [entries.get(stock) or Entry(stock, "not used") for stock in wanted] + [
        entries[stock] for stock in odd
    ]
