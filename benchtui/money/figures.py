"""What a shop's entries add up to: sales with their profit, the VAT of a period by rule, a year by month."""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from benchtui.model.money import Money
from benchtui.money.accounts import are_by_period, counts_by_period, periods_of
from benchtui.money.days import next_day
from benchtui.money.entries import OF_POSTAGE, PERIOD_VAT, Closed, Entry, balances, vat_of
from benchtui.money.ledger import GRADUATED
from benchtui.money.policy import Rates
from benchtui.money.scheme import Period, period_end

SALE_KINDS = ("sold", "returned", "refunded", GRADUATED)
_RESULT = (
    "sales", "refunds", "postage", "commission", "charges", "cost of sales", "vat in sales",
    "selling fees", "payment fees", "postage paid", "packing", "exchange",
)  # fmt: skip
"""Accounts of what a sale brings and costs; what is written off or expensed is no sale's."""


class SaleRow(NamedTuple):
    """One sale, return, refund or later cost, all in minor units and signed: a return takes off what the sale
    brought.

    ``price`` is what the buyer pays for the record; ``owed`` what of it is a consignor's; ``profit`` what is
    left to the shop of it all after the record's cost, fees and the VAT that is known by then; ``exchange``
    what a refund in another currency cost more on its day than at the sale's rate.
    """

    day: str
    what: str
    record: str
    stock: str
    parcel: str
    words: Mapping[str, str]
    price: int = 0
    postage: int = 0
    tax: int = 0
    fees: int = 0
    sent: int = 0
    owed: int = 0
    cost: int = 0
    vat: int = 0
    exchange: int = 0
    profit: int = 0
    account: str = ""
    """Whose account a commission over all sales is of: the sender's id."""


def sale_rows(entries: Iterable[Entry], first: str = "", last: str = "9999") -> list[SaleRow]:
    """Sales, returns, refunds and what corrected them, by day; and cost that came to a record (with a late
    bill, with a part) while it was sold: without it the column of cost is not what the journal has."""
    made = list(entries)
    kinds = {entry.key: entry.kind for entry in made}
    return [_sale(entry) for entry in made if first <= entry.day <= last and _is_of_sale(entry, kinds)]


def _is_of_sale(entry: Entry, kinds: Mapping[str, str]) -> bool:
    """Whether it is a sale, corrects one (also one that was entered for closed days, or a correction that a
    closing has already), or moves its cost or VAT."""
    key = (entry.corrects or entry.key).partition("+")[0]
    kind = kinds.get(key) or entry.words.get("of", "").rpartition(" of ")[0] or entry.kind
    return kind in SALE_KINDS or bool(entry.sum_of("cost of sales") or (kind != PERIOD_VAT and vat_of(entry)))


def _sale(entry: Entry) -> SaleRow:
    fees, sent = entry.sum_of("selling fees", "payment fees"), entry.sum_of("postage paid", "packing")
    told = entry.words.get(OF_POSTAGE, "")
    given = int(told) if told.isdecimal() and not entry.corrects else 0
    postage, tax = -entry.sum_of("postage") - given, -entry.sum_of("tax")
    exchange = entry.sum_of("exchange")
    gross = entry.sum_of("bank", "trade") + fees + sent + exchange
    return SaleRow(
        entry.day, entry.kind, entry.record, entry.stock, entry.parcel, entry.words,
        price=gross - postage - tax, postage=postage, tax=tax, fees=fees, sent=sent,
        owed=-entry.sum_of("consignors"), cost=entry.sum_of("cost of sales"),
        vat=vat_of(entry), exchange=exchange, profit=-entry.sum_of(*_RESULT),
        account="" if entry.parcel else (entry.corrects or entry.key).partition(":")[0],
    )  # fmt: skip


def grouped(
    rows: Sequence[SaleRow], by: str, sender: Callable[[SaleRow], str]
) -> list[tuple[str, int, SaleRow]]:
    """(name, how many sales, sums) by month, parcel, sender (who that is) or record."""
    found: dict[str, list[SaleRow]] = {}
    for row in rows:
        name = {
            "month": row.day[:7],
            "parcel": row.parcel,
            "sender": sender(row),
            "record": row.stock or row.record,
        }[by]
        name = name or row.what  # a commission over all sales is of no parcel and no record
        found.setdefault(name, []).append(row)
    return [(name, _sales_of(mine), _added(mine)) for name, mine in sorted(found.items())]


def _sales_of(rows: Sequence[SaleRow]) -> int:
    """How many sales, without those that corrections took back whole: they are void."""
    stands, count = dict[str, int](), 0
    for row in rows:
        if row.what == "sold":
            stands[row.record], count = row.price, count + 1
        elif row.what == "correction" and row.record in stands:
            stands[row.record] += row.price
            count -= bool(row.price and not stands[row.record])
    return count


_SUMMED = ("price", "postage", "tax", "fees", "sent", "owed", "cost", "vat", "exchange", "profit")


def _added(rows: Sequence[SaleRow]) -> SaleRow:
    return rows[0]._replace(**{name: sum(getattr(row, name) for row in rows) for name in _SUMMED})


class VatLine(NamedTuple):
    """One figure of a return, the rule it follows, and where that rule is published."""

    name: str
    amount: Money
    rule: str
    source: str


_DIRECTIVE = "Council Directive 2006/112/EC"


def vat_lines(
    entries: Sequence[Entry], rates: Rates, closed: Sequence[Closed], first: str, last: str
) -> list[VatLine]:
    """The figures of a return for these days. Period accounting is given for periods that end in them.

    No rate is shipped and nothing is decided here: what is not answered yet stands as a figure of its own.
    """
    mine = [entry for entry in entries if first <= entry.day <= last]

    def memo(name: str) -> int:
        return sum(entry.memo_of(name) for entry in mine)

    lines: list[VatLine] = []
    period_vat = 0
    for one in periods_of(entries, rates, last, closed) if are_by_period(entries, rates, last) else ():
        if first <= period_end(one.name) <= last:
            lines += _period_lines(one)
            period_vat += one.vat.minor
    item, full = memo("item by item VAT"), memo("outside VAT")
    commission = sum(_commission_vat(entry) for entry in mine)
    figures = (
        ("item by item: takings", memo("item by item takings"), "selling price with postage, item by item",
         f"{_DIRECTIVE}, articles 312 and 315"),
        ("item by item: VAT", item, "VAT in each margin, none on a loss", f"{_DIRECTIVE}, article 315"),
        ("outside the scheme: takings", memo("outside takings"), "goods not eligible: VAT in the whole price",
         f"{_DIRECTIVE}, articles 73 and 314"),
        ("outside the scheme: VAT", full, "VAT in the whole price", f"{_DIRECTIVE}, article 73"),
        ("commission: VAT", commission, "a service at the ordinary rate, as the shop's rule says",
         f"{_DIRECTIVE}, article 24"),
        ("not answered yet: takings", memo("to be asked takings"), "say whether the scheme may be used",
         "ask"),
        ("no scheme: takings", memo("none takings"), "the shop uses no margin scheme", "the shop's rule"),
        ("tax collected for others", -sum(one.sum_of("tax") for one in mine), "passed on, not the shop's",
         "the shop's entries"),
        ("tax to come back", sum(one.sum_of("reclaimed") for one in mine), "marked as reclaimed",
         f"{_DIRECTIVE}, articles 168 and 320"),
    )  # fmt: skip
    lines += [
        VatLine(name, Money(minor, rates.currency), rule, source)
        for name, minor, rule, source in figures
        if minor
    ]
    due = Money(period_vat + item + full + commission, rates.currency)
    return [*lines, VatLine("VAT on sales in all", due, "the VAT figures above added up", "sum")]


def _commission_vat(entry: Entry) -> int:
    """What of the VAT is that of a commission: all of it where the entry counts none for the goods. A
    correction may move nothing else, not even the commission."""
    goods = entry.memo_of("item by item VAT") + entry.memo_of("outside VAT")
    of_commission = entry.kind != PERIOD_VAT and (not goods or entry.sum_of("commission"))
    return vat_of(entry) - goods if of_commission else 0


def vat_disagreements(
    entries: Sequence[Entry], rates: Rates, closed: Sequence[Closed], until: str
) -> Iterator[str]:
    """Where the VAT of a return is not that of the sales (and of period accounting) and of the journal: one
    sentence for each closed period, and for what came after, up to a day."""
    kinds, first = {entry.key: entry.kind for entry in entries}, ""
    ends = [*(one.through for one in closed if one.through < until), until]
    parts: list[list[Entry]] = [[] for _ in ends]  # each entry is looked at once, however often one closed
    for entry in entries:
        if entry.day <= until:
            parts[bisect_left(ends, entry.day)].append(entry)
    ever = any(map(counts_by_period, entries))
    for last, mine in zip(ends, parts, strict=True):
        by_period = sum(vat_of(entry) for entry in mine if entry.kind == PERIOD_VAT)
        told = {
            "the VAT file": vat_lines(entries if ever else mine, rates, closed, first, last)[-1].amount.minor,
            "the sales": sum(vat_of(entry) for entry in mine if _is_of_sale(entry, kinds)) + by_period,
            "the journal": sum(vat_of(entry) for entry in mine),
        }
        if len(set(told.values())) > 1:
            said = ", ".join(
                f"{Money(minor, rates.currency).show()} in {name}" for name, minor in told.items()
            )
            yield f"VAT {f'from {first} ' if first else ''}to {last}: {said}"
        first = next_day(last)


def _period_lines(one: Period) -> Iterator[VatLine]:
    source = f"{_DIRECTIVE}, article 318; SI 1995/1268, article 13"
    for name, amount, rule in (
        ("purchases", one.purchases, "bought in the period for the scheme"),
        ("takings", one.sales, "sold in the period under the scheme, refunds taken off"),
        ("carried in", one.carried_in, "shortfall of the period before"),
        ("margin", one.margin, "takings less purchases less what was carried in"),
        ("VAT", one.vat, "VAT in the margin of the period, none on a shortfall"),
        ("carried on", one.carried_on, "shortfall for the next period"),
    ):
        yield VatLine(f"{one.name}: {name}", amount, rule, source)


class Month(NamedTuple):
    """A month of the shop in minor units: bought (landed, without the postage of consigned records), sold,
    profit realised, stock at cost at its end, what consignors are owed then, and two costs of the shop that
    no sale's profit has taken off: of what was bought the late bills that no record bears (``expensed``), and
    beside it the postage of consigned records that the shop bears (``inbound``)."""

    name: str
    bought: int
    sold: int
    realised: int
    stock: int
    owed: int
    expensed: int = 0
    inbound: int = 0


def _borne_by_sender(entry: Entry) -> int:
    """What of the postage paid a consignor bears: it is no cost of the shop's."""
    of_postage = bool(entry.record) and {leg.role for leg in entry.legs} == {"consignors", "arriving"}
    return entry.sum_of("consignors") if of_postage else 0


def months(entries: Sequence[Entry], year: str) -> list[Month]:
    """The twelve months of a year."""
    found = []
    stands = balances(entries, f"{int(year) - 1}-12-31")
    by_month: dict[str, list[Entry]] = {}
    for entry in entries:
        by_month.setdefault(entry.day[:7], []).append(entry)
    rows_of_month: dict[str, list[SaleRow]] = {}
    for row in sale_rows(entries, year):
        rows_of_month.setdefault(row.day[:7], []).append(row)
    for number in range(1, 13):
        name = f"{year}-{number:02}"
        mine = by_month.get(name, [])
        for role, minor in balances(mine).items():
            stands[role] = stands.get(role, 0) + minor
        bought = sum(entry.sum_of("arriving", "late cost") for entry in mine if not entry.record)
        bought -= sum(map(_borne_by_sender, mine)) + (inbound := balances(mine).get("inbound", 0))
        rows = rows_of_month.get(name, [])
        found.append(
            Month(
                name,
                bought,
                sum(row.price for row in rows),
                sum(row.profit for row in rows),
                stands.get("stock", 0) + stands.get("arriving", 0),
                -stands.get("consignors", 0),
                balances(mine).get("late cost", 0),
                inbound,
            )
        )
    return found
