"""Closing a period: its figures are written down with a digest, and read from there ever after.

A closing holds the period's entries, what the accounts stood at on its last day, the VAT periods that ended
in it, the stock by parcel, and the rows of the stock book that changed. Each names the digest of the one
before, so that none can be changed or taken out unseen.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import minor_units
from benchtui.model.record import RecordDoc
from benchtui.money.accounts import period_doc, periods_of
from benchtui.money.book import Parcels
from benchtui.money.book_after import AMOUNTS, Lines, StatedParcel, stated_of, with_sales
from benchtui.money.days import day
from benchtui.money.entries import EACH, Closed, Entry, Returns, balances, entry_of
from benchtui.money.handed_in import Kept, kept_statements
from benchtui.money.ledger import bought_day, shop_entries
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.scheme import period_end
from benchtui.money.since import Senders
from benchtui.money.standings import standing
from benchtui.money.stated_rows import Row, closed_rows
from benchtui.money.statements import consignors
from benchtui.money.stock import COLUMNS, day_lines, stockbook
from benchtui.money.stock import Entry as StockEntry

BY_DAY = "each on the day of its cause"
"""What a closing says of its corrections; those of older versions say nothing, see `since.Since`."""


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
    book = Book(parcels, senders, settings, closed, through)
    known = closed_rows(closed) if closed else {}
    facts = book.rows()
    days, beside = book.days(facts, known)
    rows = {stock: row for stock, row in facts.items() if stock in days or known.get(stock) != row}
    doc = {
        "through": through,
        "closed_at": closed_at,
        "currency": rates.currency,
        "note": ESTIMATE,
        "before": last.digest if last else "",
        "entries": [entry.doc() for entry in mine],
        "figures": figures(entries, rates, closed, through),
        "rows": rows,
        "days": days,
        "beside": beside,
        "returns": EACH,
        "statements": kept_of_all(parcels, senders, settings, closed, through),
        "corrections": BY_DAY,
    }
    return doc | {"digest": digest_of(doc)}


def kept_of_all(
    parcels: Parcels,
    senders: Senders,
    settings: Mapping[str, Any],
    closed: Sequence[Closed],
    through: str,
    by_day: bool = True,
) -> dict[str, Kept]:
    """The statements of whoever consigns and has agreed to terms; `check` names those who have not."""
    known = (one for one in consignors(parcels) if one in senders)
    agreed = [one for one in known if senders[one].get("commission") or senders[one].get("bands")]
    return kept_statements(parcels, senders, settings, closed, through, agreed, by_day)


def still_open(parcels: Parcels, through: str) -> list[tuple[str, int]]:
    """Parcels that came by that day and are not closed: (parcel, how many of its records stand as sold by
    then, whose shares of its cost or its postage may still move)."""
    return [
        (head["id"], sum(standing(one, through).what == "sold" for one in records))
        for head, records in parcels
        if head["state"] != "closed" and bought_day(head) <= through
    ]


class Book:
    """The stock book of a period that is being closed: its rows at the end, and as they changed by day."""

    def __init__(
        self,
        parcels: Parcels,
        senders: Senders,
        settings: Mapping[str, Any],
        closed: Sequence[Closed],
        through: str,
        by_day: bool = True,
        returns: Returns = EACH,
    ) -> None:
        self._parcels, self._senders, self._settings, self._through = parcels, senders, settings, through
        self._rates, self._after = Rates(settings), closed[-1].through if closed else ""
        self._stated, self._each = stated_of(closed, senders, settings, by_day, returns), returns == EACH
        self._lines: dict[str, Lines] = {}

    def rows(self) -> dict[str, Row]:
        """Stock number -> its row at the end, in order of the book."""
        book = stockbook(self._parcels, self._senders, self._settings, self._through)
        facts = {entry.stock: entry for entry in book}
        now = {stock: entry.row(self._rates.currency) for stock, entry in facts.items()}
        for head, records in self._parcels:
            of_parcel = self._stated.parcel(head, records) if self._stated else None
            for record in records:
                entry = facts.get(record["stock"] or "")
                if entry and (of_parcel or entry.over):
                    told = self._lines[entry.stock] = self._told(of_parcel, record, entry, self._through)
                    now[entry.stock] = told[1]
        return now

    def _told(self, of_parcel: StatedParcel | None, record: RecordDoc, entry: StockEntry, on: str) -> Lines:
        if of_parcel:
            return of_parcel.lines(record, entry, on)
        return with_sales([], entry.over if self._each else (), entry.row(self._rates.currency))

    def _before(self, stock: str) -> tuple[list[Row], Row | None]:
        """The rows of a number as the last closing has them."""
        stated = self._stated
        return (stated.beside.get(stock, []), stated.rows.get(stock)) if stated else ([], None)

    def days(
        self, rows: Mapping[str, Row], known: Mapping[str, Row]
    ) -> tuple[dict[str, list[list[Any]]], dict[str, list[list[Any]]]]:
        """Stock number -> [day, row from there] where it changed within the period (``known``: as they
        were before it), None for the last, which is in ``rows``; and -> [day, rows beside it from there],
        where what was stated was corrected."""
        found: dict[str, list[list[Any]]] = {}
        beside: dict[str, list[list[Any]]] = {}
        for stock, on, (frozen, row) in self._by_day():
            if stock in found or row != known.get(stock):
                _step(found.setdefault(stock, []), on, row)
            stood = (self._stated.beside.get(stock) if self._stated else None) or []
            if (frozen and frozen != stood) or (self._each and stock in beside):
                _step(beside.setdefault(stock, []), on, frozen)
        for stock, steps in found.items():
            if steps[-1][1] == rows.get(stock):
                steps[-1][1] = None
        return found, beside

    def _by_day(self) -> Iterator[tuple[str, str, Lines]]:
        as_before = {stock for stock, lines in self._lines.items() if lines == self._before(stock)}
        for head, records in self._parcels:
            of_parcel = self._stated.parcel(head, records) if self._stated else None
            also = of_parcel.days if of_parcel else ()
            for record, on, entry in day_lines(
                head, records, self._senders, self._rates, self._after, self._through, also, as_before
            ):
                yield entry.stock, on, self._told(of_parcel, record, entry, on)
        for stock, lines in self._lines.items():
            yield stock, self._through, lines


def _step(steps: list[list[Any]], on: str, value: Any) -> None:
    if not steps or steps[-1][1] != value:
        steps.append([on, value])


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
    """SHA-256 of the document without its own digest, as one canonical text made piece by piece."""
    made = hashlib.sha256()
    for piece in _canonical({name: value for name, value in doc.items() if name != "digest"}):
        made.update(piece.encode("ascii"))
    return made.hexdigest()


_ENCODER = json.JSONEncoder(ensure_ascii=True, allow_nan=False, separators=(",", ":"), sort_keys=True)


def _canonical(value: Any, deep: int = 2) -> Iterator[str]:
    """The text of a value: of the first two levels piece by piece, entry by entry and row by row."""
    if deep and isinstance(value, dict):
        yield "{"
        for n, name in enumerate(sorted(value)):
            yield f"{',' if n else ''}{_ENCODER.encode(name)}:"
            yield from _canonical(value[name], deep - 1)
        yield "}"
    elif deep and isinstance(value, list):
        yield "["
        for n, each in enumerate(value):
            yield from ("," if n else "", *_canonical(each, deep - 1))
        yield "]"
    else:
        yield _ENCODER.encode(value)


def read_closed(docs: Sequence[Mapping[str, Any]]) -> list[Closed]:
    """The closings, oldest first. BenchError for one that cannot be read; see ``proved``."""
    return [_read(doc) for doc in sorted(docs, key=lambda doc: str(doc.get("through")))]


def _read(doc: Mapping[str, Any]) -> Closed:
    where = f"books closed to {doc.get('through')}"
    day(doc.get("through"), "its last day", where)
    try:
        _whole(doc)
        return Closed(
            str(doc["through"]),
            str(doc["closed_at"]),
            tuple(entry_of(entry) for entry in doc["entries"]),
            dict(doc["figures"]),
            dict(doc["rows"]),
            str(doc["digest"]),
            str(doc["before"]),
            str(doc["currency"]),
            None if doc.get("days") is None else dict(doc["days"]),
            None if doc.get("statements") is None else dict(doc["statements"]),
            None if doc.get("beside") is None else dict(doc["beside"]),
            _RETURNS.get(doc.get("returns"), ""),
            doc.get("corrections") == BY_DAY,
        )
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
        raise BenchError(f"cannot be read ({error})", where, "put it back from a backup") from error


_RETURNS: dict[Any, Returns] = {True: "stated", EACH: EACH}
_CELLS = frozenset(column.name for column in COLUMNS)


def _whole(doc: Mapping[str, Any]) -> None:
    """Raises one of the errors above where a row, a line or a step is not what it must be."""
    minor_units(str(doc["currency"]))
    of_days = [row for steps in (doc.get("days") or {}).values() for _, row in steps if row is not None]
    beside = [row for steps in (doc.get("beside") or {}).values() for _, rows in steps for row in rows]
    for row in (*doc["rows"].values(), *of_days, *beside):
        if lacking := _CELLS.difference(row):
            raise ValueError(f"a row has no {min(lacking)}")
        for name in AMOUNTS:
            if row[name]:
                Decimal(row[name])
    for kept in (doc.get("statements") or {}).values():
        for _, lines in (step for steps in kept.values() for step in steps):
            for line in lines:
                line.get("state")


def proved(docs: Sequence[Mapping[str, Any]]) -> tuple[list[BenchError], list[Closed]]:
    """What is wrong with the closings: changed since, one missing, or figures that do not follow from their
    entries (each is worked out again from what was booked by then); and the closings that can be read, since
    a large one is read once.
    """
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
    return faults, known


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
