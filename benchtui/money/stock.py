"""The stock book: one line a stock number, unbroken, purchase side and sale side.

What stands in it is what the British tax authority names for a margin scheme stock book (VAT Notice 718):
stock number in unbroken order, date and invoice of purchase, price, seller, description; date and invoice of
sale, price or how else it left, buyer; margin and VAT due. Consigned goods are not the shop's stock (IFRS 15,
B77-B78): their numbers stand there so that no number is missing, without a price.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.earlier import days_of, local_day
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import BookColumn, bought_on, consignor, description, sender_name, stock_key
from benchtui.money.charges import landed, own_terms
from benchtui.money.days import next_day
from benchtui.money.late import known_by, prices_paid
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Policy, Rates
from benchtui.money.scheme import item_margin, scheme_of, vat_in
from benchtui.money.spreading import Share, spread
from benchtui.money.standings import (
    Standing,
    effective,
    gives_all,
    money_of_event,
    must_be_told,
    require_currency,
    standing,
)

LATER = "bought later"
FREE = ("gift", "find", "bonus")
COLUMNS = (
    BookColumn("stock_number", about="in order without gaps, a series for each bench letter"),
    BookColumn("bought_on", about="day"),
    BookColumn("purchase_invoice", about="number"),
    BookColumn(
        "purchase_price",
        "number",
        "this record's part of what was paid to the seller, and no other cost",
        True,
    ),
    BookColumn("seller", about="name"),
    BookColumn("description", about="artist, title, catalogue number, size"),
    BookColumn("sold_on", about="day"),
    BookColumn("sales_invoice", about="number"),
    BookColumn("selling_price", "number", "what the buyer paid, with postage, part refunds taken off", True),
    BookColumn(
        "left_how",
        about="sold, handed back, scrapped, withdrawn, set apart, bought later, not used; empty: in the shop;"
        " of the rows beside: correction, returned",
    ),
    BookColumn("buyer", about="name"),
    BookColumn("margin", "number", "selling price less purchase price", True),
    BookColumn(
        "vat_due", "number", "VAT on the margin and in what was kept; empty where not item by item", True
    ),
    BookColumn(
        "kept", "number", "what was not refunded of sales that came back: takings without goods", True
    ),
    BookColumn("scheme", about="item by item, by period, outside, to be asked, none, consigned"),
    BookColumn("currency", about="ISO 4217"),
    BookColumn("remark", about="refunds, returns, corrections, what is missing"),
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
    kept: Money | None = None
    words: dict[str, str] = field(default_factory=dict)
    over: "tuple[Over, ...]" = ()

    def row(self, currency: str) -> dict[str, str]:
        """The line as cells by column name."""
        amounts = {
            "purchase_price": self.purchase,
            "selling_price": self.selling,
            "margin": self.margin,
            "vat_due": self.vat,
            "kept": self.kept,
        }
        cells = {"stock_number": self.stock, "left_how": self.left_how, "scheme": self.scheme}
        cells |= {name: money.plain() if money else "" for name, money in amounts.items()}
        return (
            {column.name: "" for column in COLUMNS}
            | cells
            | self.words
            | {"currency": currency, "basis": ESTIMATE}
        )


class Over(NamedTuple):
    """A sale that came back on the day ``on``: the number as it stood before that and after it. ``refunds``:
    (day, words) of what was given back before; ``said``: the words of the return."""

    on: str
    sale: Entry
    back: Entry
    refunds: tuple[tuple[str, str], ...]
    said: str


def stockbook(
    parcels: Iterable[tuple[HeadDoc, Sequence[RecordDoc]]],
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    as_of: str | None = None,
) -> list[Entry]:
    """Every stock number from 1 to the last used of each series, as things stand (or stood on a day).

    BenchError where two records bear one number, naming both.
    """
    rates = Rates(settings)
    once = Once()
    found = {
        entry.stock: entry
        for head, records in parcels
        for entry in parcel_lines(head, records, senders, rates, as_of, once)
    }
    wanted = unbroken({stock: entry.left_how for stock, entry in found.items()})
    return [found.get(stock) or Entry(stock, "not used") for stock in wanted]


class Once:
    """Sees that no number is borne twice."""

    def __init__(self) -> None:
        self._found: dict[str, str] = {}

    def note(self, stock: str, place: str) -> None:
        """BenchError where another record has the number, naming both."""
        if self._found.setdefault(stock, place) != place:
            raise BenchError(f"stock number {stock} is used twice: also {self._found[stock]}", place)


def parcel_lines(
    head: HeadDoc,
    records: Sequence[RecordDoc],
    senders: Mapping[str, Mapping[str, Any]],
    rates: Rates,
    as_of: str | None,
    once: Once,
) -> Iterator[Entry]:
    """One parcel's lines, in its own order: a large book is written without holding every parcel at once."""
    must_be_told(head, records)
    shares = shares_as_of(head, records, rates, as_of)
    later = as_of is not None and bought_on(head) > as_of
    for record in records:
        if stock := record["stock"]:
            once.note(stock, f"parcel {head['id']}, record {record['no']}")
            yield (
                Entry(stock, LATER)
                if later
                else entry_as_of(head, record, shares.get(record["id"]), senders, rates, as_of)
            )


def shares_as_of(
    head: HeadDoc, records: Sequence[RecordDoc], rates: Rates, as_of: str | None
) -> dict[str, Share]:
    policy, known = rates.on(bought_on(head)), known_by(head, as_of)
    return spread(known, landed(known, policy.currency, policy.conversion), records).by_record()


def day_lines(
    head: HeadDoc,
    records: Sequence[RecordDoc],
    senders: Mapping[str, Mapping[str, Any]],
    rates: Rates,
    after: str,
    through: str,
    also: Iterable[str] = (),
    as_before: Collection[str] = (),
) -> Iterator[tuple[RecordDoc, str, Entry]]:
    """(record, day, line) for each day in a period on which a line of the parcel may have changed, in
    their order: bought, something happened to the record, a late bill, another rule of the shop's, a
    correction of closed days (on the first day after them where nothing says why), or one of ``also``.
    ``as_before``: stock numbers whose line ends as it began: without another day they have none."""
    came = bought_on(head) or "0001-01-01"
    bills = {str(bill.get(name, ""))[:10] for bill in head.get("late") or () for name in ("on", "booked")}
    if after:
        bills |= {local_day(str(one.get("at", ""))) for one in head.get("corrections") or ()} | days_of(head)
        bills |= {*also}
    days: dict[str, list[RecordDoc]] = {}
    for record in records:
        if record["stock"]:
            events = {str(event["at"])[:10] for event in record["life"]}
            mine = {came, *events, *bills, *rates.starts, *(days_of(record) if after else ())}
            mine = {on for on in mine if after < on <= through and on >= came}
            first = next_day(after) if after and (mine or record["stock"] not in as_before) else ""
            for on in mine | ({first} if came <= first <= through else set()):
                days.setdefault(on, []).append(record)
    shares: dict[int, dict[str, Share]] = {}
    for on in sorted(days):
        known = len(known_by(head, on).get("late") or ())
        if known not in shares:
            shares[known] = shares_as_of(head, records, rates, on)
        for record in days[on]:
            entry = entry_as_of(head, record, shares[known].get(record["id"]), senders, rates, on)
            yield record, on, entry


def entry_as_of(
    head: HeadDoc,
    record: RecordDoc,
    share: Share | None,
    senders: Mapping[str, Mapping[str, Any]],
    rates: Rates,
    as_of: str | None,
) -> Entry:
    """One record's line, and the sales that came back by then."""

    def known(until: int) -> Entry:
        life = [one for one in record["life"] if of_event(one) < until]
        return _entry(head, {**record, "life": life}, share, senders, rates, as_of)

    events = effective(record, as_of) if record["life"] else []
    over = [
        Over(str(one["at"])[:10], known(one["n"]), known(one["n"] + 1), *_given_back(record, one, as_of))
        for one in events
        if one["what"] == "returned"
    ]
    return replace(_entry(head, record, share, senders, rates, as_of), over=tuple(over))


def _entry(
    head: HeadDoc,
    record: RecordDoc,
    share: Share | None,
    senders: Mapping[str, Mapping[str, Any]],
    rates: Rates,
    as_of: str | None,
) -> Entry:
    """What is withdrawn keeps its number and shows nothing else, unless it was sold; what is set apart shows
    what was paid for it, so that the column adds up, and not what it is."""
    require_currency(record, rates.currency)
    stock, now = str(record["stock"]), standing(record, as_of)
    if record["state"] == "withdrawn" and now.what == "in the shop":
        return Entry(stock, "withdrawn")
    apart = bool(record["set_apart"]) and now.what == "in the shop"
    consigned = own_terms(head, record) == "consigned"
    if apart and consigned:
        return Entry(stock, "set apart")
    words = {"description": "" if apart else description(record), "remark": remarks(record, now, as_of)}
    words |= _sale_words(now)
    left_how = "set apart" if apart else "" if now.what == "in the shop" else now.what
    if consigned:
        seller = sender_name(senders, consignor(head, record))
        return Entry(stock, left_how, "consigned", words=words | {"seller": seller})
    words = _bought_words(
        head, record, senders, words, apart, prices_paid(head, record["id"], rates.currency, as_of)
    )
    purchase = share.margin_purchase_price if share else Money(0, rates.currency)
    on = now.sale["at"] if now.sale else as_of or date.today().isoformat()
    scheme = scheme_of(head, record, purchase, rates.on(on))
    return _with_sale(Entry(stock, left_how, scheme, purchase, words=words), now, rates, on)


def _bought_words(
    head: HeadDoc,
    record: RecordDoc,
    senders: Mapping[str, Mapping[str, Any]],
    words: Mapping[str, str],
    apart: bool,
    prices: Sequence[str],
) -> dict[str, str]:
    free = record.get("free") or (head.get("came_as") if head.get("came_as") in FREE else "")
    said = [
        words["remark"],
        "parcel open: purchase price may change" if head["state"] != "closed" else "",
        f"{free}: cost nothing" if free else "",
        head.get("came_as") if head.get("came_as") in ("traded in", "opening stock") else "",
        *prices,
    ]
    seller = str((head.get("seller") or {}).get("name") or "") or sender_name(senders, head["sender"])
    return {
        **words,
        "remark": "; ".join(filter(None, said)),
        "bought_on": bought_on(head),
        "purchase_invoice": head.get("purchase_invoice") or "",
        "seller": "" if apart else seller,
    }


def remarks(record: RecordDoc, now: Standing, as_of: str | None = None) -> str:
    """What a reader of the line has to know of what happened since it last came back: refunds, corrections,
    how it left."""
    said, after = [], _last_return(record, as_of)
    for event in record["life"]:
        if of_event(event) <= after or (as_of is not None and str(event.get("at", ""))[:10] > as_of):
            continue
        if event["what"] == "corrected":
            said.append(correction_words(record, event))
        elif event["what"] == "refunded":
            said.append(_refund(record, event))
    if now.what in ("handed back", "scrapped"):
        said.append(f"{now.what} on {now.since}")
    return "; ".join(said)


def of_event(event: Mapping[str, Any]) -> int:
    """The number of the event, of a correction that of the event it is of."""
    return int(event["of"] if event["what"] == "corrected" else event["n"])


def _last_return(record: RecordDoc, as_of: str | None, before: int | None = None) -> int:
    """The number of the last return by that day (of those before an event), 0 for none."""
    events = effective(record, as_of) if record["life"] else []
    found = (one["n"] for one in events if one["what"] == "returned")
    return max((n for n in found if before is None or n < before), default=0)


def correction_words(record: RecordDoc, event: Mapping[str, Any]) -> str:
    """``sold: price 29.00, was 31.00 (corrected on 2026-12-05: misread)``."""
    return f"{corrected_words(record, event)} (corrected on {event['at']}: {event['why']})"


def _refund(record: RecordDoc, event: dict[str, Any]) -> str:
    """``part refund on 2026-11-14: 5.00, credit note C0002``."""
    what = "all refunded" if gives_all(record, event["n"]) else "part refund"
    return f"{what} on {event['at']}: {_amount(record, event)}"


def _amount(record: RecordDoc, event: dict[str, Any]) -> str:
    note = event.get("credit_note")
    minor = money_of_event(record, event)
    return Money(minor, event["currency"]).plain() + (f", credit note {note}" if note else "")


def _given_back(
    record: RecordDoc, event: dict[str, Any], as_of: str | None
) -> tuple[tuple[tuple[str, str], ...], str]:
    """(day, words) of each refund of the sale that came back with that event, and the words of the return."""
    after = _last_return(record, as_of, event["n"])
    refunds = tuple(
        (str(one["at"])[:10], _refund(record, one))
        for one in effective(record, as_of)
        if one["what"] == "refunded" and after < one["n"] < event["n"]
    )
    corrected = (
        correction_words(record, one)
        for one in record["life"]
        if one["what"] == "corrected" and one["of"] == event["n"] and str(one["at"])[:10] <= (as_of or "9999")
    )
    said = f"came back on {event['at']}, given back: {_amount(record, event)}"
    return refunds, "; ".join([said, *corrected])


_FIELDS = {
    "at": "day", "minor": "price", "postage": "postage charged", "postage_paid": "postage paid",
    "selling_fee": "selling fee", "payment_fee": "payment fee", "traded": "taken in exchange",
    "percent_off": "discount in per cent",
}  # fmt: skip
_AMOUNTS = ("minor", "discount", "postage", "tax", "traded", "selling_fee", "payment_fee", "postage_paid",
            "packing")  # fmt: skip
_OF_PERSONS = ("buyer", "who", "note")
"""What may name a person: the remark stays in closed books, a person may be forgotten."""


def corrected_words(record: RecordDoc, correction: Mapping[str, Any]) -> str:
    """From what to what: ``sold: price 29.00, was 31.00``, with a discount ``price 18.90 (21.00 less discount
    2.10), was ...``; ``sold on 2026-11-20 is void``."""
    was: dict[str, Any] = {}
    for event in record["life"]:
        if event is correction or event["n"] == correction["n"]:
            break
        if event["n"] == correction["of"] or event.get("of") == correction["of"]:
            was |= (event.get("now") or {}) if event["what"] == "corrected" else event
    if correction.get("now") is None:
        return f"{was.get('what', 'event')} on {was.get('at', '?')} is void"
    code, now = str(was.get("currency") or ""), was | correction["now"]

    def shown(name: str, event: Mapping[str, Any]) -> str:
        value = event.get(name)
        if not (name in _AMOUNTS and code):
            return str(value or "none")
        amount, off = Money(int(value or 0), code), Money(int(event.get("discount") or 0), code)
        less = (
            f" ({(amount + off).plain()} less discount {off.plain()})"
            if name == "minor" and off.minor
            else ""
        )
        return amount.plain() + less

    changed = [name for name in correction["now"] if name != "paid_in" and now[name] != was.get(name)]
    in_price = ("discount", "percent_off") if "minor" in changed else ()
    fields = _FIELDS | ({"minor": "given back"} if was.get("what") in ("returned", "refunded") else {})
    said = [
        name
        if name in _OF_PERSONS
        else f"{fields.get(name, name)} {shown(name, now)}, was {shown(name, was)}"
        for name in changed
        if name not in in_price
    ]
    return f"{was.get('what', 'event')}: {'; '.join(said) or 'as it was'}"


def _sale_words(now: Standing) -> dict[str, str]:
    if now.sale is None:
        return {}
    return {
        "sold_on": now.sale["at"],
        "sales_invoice": now.sale.get("invoice") or "",
        "buyer": now.sale.get("buyer") or "",
    }


def _with_sale(entry: Entry, now: Standing, rates: Rates, on: str) -> Entry:
    """The sale side: selling price, margin, and the VAT in it where it is reckoned item by item; in what was
    kept of sales that came back, at the rate of the day of each."""
    policy = rates.on(on)
    if entry.purchase is None or (now.price is None and not now.kept):
        return entry
    selling = margin = vat = None
    words = dict(entry.words)
    kept = Money(now.kept, policy.currency)
    if now.price is not None:
        selling = now.price + Money(now.postage if policy.postage_in_margin else 0, policy.currency)
        margin = selling - entry.purchase
    if entry.scheme == "item by item":
        if policy.vat_rate is None:
            words["remark"] = "; ".join(filter(None, (words["remark"], "no VAT rate is set")))
        else:
            vat = sum(
                (_vat_kept(rates.on(sold), minor) for sold, minor in now.kept_of), Money(0, kept.currency)
            )
            if selling is not None:
                vat += item_margin(entry.purchase, selling, policy.vat_rate, policy.vat_rounding).vat
    shown = kept if now.kept else None
    return replace(entry, selling=selling, margin=margin, vat=vat, kept=shown, words=words)


def _vat_kept(policy: Policy, minor: int) -> Money:
    kept = Money(minor, policy.currency)
    return vat_in(kept, policy.vat_rate, policy.vat_rounding) if policy.vat_rate else kept - kept


def unbroken(found: Mapping[str, str]) -> list[str]:
    """Every number of each series up to the last one, in order, then any that fit none.

    ``found``: stock number -> how it left; numbers only known to be bought later end no series.
    """
    last: dict[str, int] = {}
    for stock, left_how in found.items():
        if left_how != LATER:
            letters, number = stock_key(stock)
            last[letters] = max(last.get(letters, 0), number)
    wanted = [f"{letters}{number:05}" for letters in sorted(last) for number in range(1, last[letters] + 1)]
    regular = set(wanted)
    odd = [stock for stock, how in found.items() if stock not in regular and how != LATER]
    return wanted + odd
