"""Closing a period: its figures are written down with a digest, and read from there ever after.

A closing holds the period's entries, what the accounts stood at on its last day, the VAT periods that ended
in it, the stock by parcel, and the rows of the stock book that changed. Each names the digest of the one
before, so that none can be changed or taken out unseen.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.money.accounts import period_doc, periods_of
from benchtui.money.book import Parcels, stock_key
from benchtui.money.days import day
from benchtui.money.entries import Closed, Entry, balances, entry_of
from benchtui.money.handed_in import Kept, kept_statements
from benchtui.money.ledger import Senders, shop_entries
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.scheme import period_end
from benchtui.money.statements import consignors
from benchtui.money.stock import LATER, day_lines, stockbook, stockbook_rows

Row = dict[str, str]


def close_books(
    parcels: Parcels,
    senders: Senders,
    settings: Mapping[str, Any],
    closed: Sequence[Closed],
    through: str,
    closed_at: str,
) -> dict[str, Any]:
    """The document of a new closing up to a day. BenchError where that day is closed, or money is wrong."""
    day(through, "the last day to close", "books closed to")
    last = closed[-1] if closed else None
    if last and through <= last.through:
        right = f"enter a day after {last.through}; what was wrong is corrected by an entry of today"
        raise BenchError(f"the books are closed to {last.through}", "books closed to", right)
    rates = Rates(settings)
    entries = shop_entries(parcels, senders, settings, closed, through)
    mine = [entry for entry in entries if entry.day <= through and (last is None or entry.day > last.through)]
    book = stockbook_rows(stockbook(parcels, senders, settings, through), settings)
    known = closed_rows(closed) if closed else {}
    rows = {row["stock_number"]: row for row in book if known.get(row["stock_number"]) != row}
    doc = {
        "through": through,
        "closed_at": closed_at,
        "currency": rates.currency,
        "note": ESTIMATE,
        "before": last.digest if last else "",
        "entries": [entry.doc() for entry in mine],
        "figures": figures(entries, rates, closed, through),
        "rows": rows,
        "days": day_rows(parcels, senders, rates, rows, last.through if last else "", through),
        "statements": kept_of_all(parcels, senders, settings, closed, through),
    }
    return doc | {"digest": digest_of(doc)}


def kept_of_all(
    parcels: Parcels, senders: Senders, settings: Mapping[str, Any], closed: Sequence[Closed], through: str
) -> dict[str, Kept]:
    """The statements of whoever consigns and has agreed to terms; `check` names those who have not."""
    known = (one for one in consignors(parcels) if one in senders)
    agreed = [one for one in known if senders[one].get("commission") or senders[one].get("bands")]
    return kept_statements(parcels, senders, settings, closed, through, agreed)


def day_rows(
    parcels: Parcels, senders: Senders, rates: Rates, rows: Mapping[str, Row], after: str, through: str
) -> dict[str, list[list[Any]]]:
    """Stock number -> [day, row from there] of the rows that changed within the period, None for the last."""
    found: dict[str, list[list[Any]]] = {}
    for head, records in parcels:
        for stock, on, entry in day_lines(head, records, senders, rates, after, through):
            if stock in rows:
                row, steps = entry.row(rates.currency), found.setdefault(stock, [])
                if not steps or steps[-1][1] != row:
                    steps.append([on, row])
    for stock, steps in found.items():
        if steps[-1][1] == rows[stock]:
            steps[-1][1] = None
    return found


def figures(entries: Sequence[Entry], rates: Rates, closed: Sequence[Closed], through: str) -> dict[str, Any]:
    """Accounts and stock by parcel as they stood on the day, and the VAT periods that ended by then."""
    handed_in = {str(row["name"]) for one in closed for row in one.figures.get("periods", ())}
    ended = [
        period_doc(one)
        for one in periods_of(entries, rates, "", closed)
        if period_end(one.name) <= through and one.name not in handed_in
    ]
    return {
        "accounts": dict(sorted(balances(entries, through).items())),
        "stock": dict(sorted(stock_by_parcel(entries, through).items())),
        "periods": ended,
    }


def stock_by_parcel(entries: Sequence[Entry], on: str) -> dict[str, int]:
    """Parcel -> cost of what was in stock at the end of that day, in minor units; nothing for none."""
    found: dict[str, int] = {}
    for entry in entries:
        if entry.day <= on and (minor := entry.sum_of("stock", "arriving")):
            found[entry.parcel] = found.get(entry.parcel, 0) + minor
    return {parcel: minor for parcel, minor in found.items() if minor}


def digest_of(doc: Mapping[str, Any]) -> str:
    """SHA-256 of the document without its own digest, as one canonical text."""
    bare = {name: value for name, value in doc.items() if name != "digest"}
    text = json.dumps(bare, ensure_ascii=True, allow_nan=False, separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def read_closed(docs: Sequence[Mapping[str, Any]]) -> list[Closed]:
    """The closings, oldest first. BenchError for one that cannot be read; see ``closing_faults``."""
    return [_read(doc) for doc in sorted(docs, key=lambda doc: str(doc.get("through")))]


def _read(doc: Mapping[str, Any]) -> Closed:
    where = f"books closed to {doc.get('through')}"
    day(doc.get("through"), "its last day", where)
    try:
        return Closed(
            str(doc["through"]),
            str(doc["closed_at"]),
            tuple(entry_of(entry) for entry in doc["entries"]),
            dict(doc["figures"]),
            {str(stock): dict(row) for stock, row in doc["rows"].items()},
            str(doc["digest"]),
            str(doc["before"]),
            str(doc["currency"]),
            None if doc.get("days") is None else dict(doc["days"]),
            None if doc.get("statements") is None else dict(doc["statements"]),
        )
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise BenchError(f"cannot be read ({error})", where, "put it back from a backup") from error


def closing_faults(docs: Sequence[Mapping[str, Any]]) -> list[BenchError]:
    """What is wrong with the closings: changed since, one missing, or figures that do not follow from their
    entries (each is worked out again from what was booked by then)."""
    faults: list[BenchError] = []
    before = ""
    known: list[Closed] = []
    for doc in sorted(docs, key=lambda doc: str(doc.get("through"))):
        where, right = f"books closed to {doc.get('through')}", "put it back from a backup"
        if digest_of(doc) != doc.get("digest"):
            faults.append(BenchError("changed since it was written down", where, right))
        if doc.get("before") != before:
            faults.append(BenchError("the closing before it is another one, or missing", where, right))
        before = str(doc.get("digest"))
        try:
            one = _read(doc)
        except BenchError as fault:
            faults.append(fault)
            continue
        faults += _worked_out_again([*known, one], where)
        known.append(one)
    return faults


def _worked_out_again(known: Sequence[Closed], where: str) -> list[BenchError]:
    one = known[-1]
    entries = [entry for each in known for entry in each.entries]
    faults = [
        BenchError(f"the entry {entry.key} is out of balance", where)
        for entry in one.entries
        if sum(leg.minor for leg in entry.legs)
    ]
    for name, found in (
        ("accounts", dict(sorted(balances(entries, one.through).items()))),
        ("stock", dict(sorted(stock_by_parcel(entries, one.through).items()))),
    ):
        if found != one.figures.get(name):
            faults.append(BenchError(f"the figures of {name} do not follow from its entries", where))
    return faults


def closed_rows(closed: Sequence[Closed], as_of: str = "9999") -> dict[str, Row]:
    """Stock number -> its row of the stock book as it was written down, for a closed day.

    Of a day within a period the rows of that day; where an older version closed it, those of its end without
    what was bought, sold or otherwise gone later.
    """
    found: dict[str, Row] = {}
    for one in closed:
        if one.days is None:
            found |= {stock: _as_of(dict(row), as_of) for stock, row in one.rows.items()}
        elif one.through <= as_of:
            found |= {stock: dict(row) for stock, row in one.rows.items()}
        else:
            found |= {stock: _within(one, stock, found.get(stock), as_of) for stock in one.rows}
        if one.through >= as_of:
            break
    return found


def _within(one: Closed, stock: str, before: Row | None, as_of: str) -> Row:
    """The row of a day in that period: of the last change by then, else as it was before the period."""
    steps = [row for on, row in (one.days or {}).get(stock, ()) if on <= as_of]
    if steps:
        return dict(steps[-1] or one.rows[stock])
    return before or _bought_later(one.rows[stock])


def _bought_later(row: Mapping[str, str]) -> Row:
    return dict.fromkeys(row, "") | {"stock_number": row["stock_number"], "left_how": LATER}


_SALE = ("sold_on", "sales_invoice", "selling_price", "left_how", "buyer", "margin", "vat_due")


def _as_of(row: Row, as_of: str) -> Row:
    if row.get("bought_on", "") > as_of:
        return _bought_later(row)
    if row.get("sold_on", "") > as_of:
        return row | dict.fromkeys(_SALE, "")
    return row


def in_book_order(rows: Mapping[str, Row]) -> list[Row]:
    """By series and number."""
    return [rows[stock] for stock in sorted(rows, key=stock_key)]
