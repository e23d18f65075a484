"""The stock book of a day after a closing: rows that were handed in stay, and what of them is no longer so
is a row of its own, on the day it was entered.

A row still open on its sale side (unsold) goes on: its purchase side stays as it was stated. A sale that was
stated and is no longer so (voided, another day) stays too, and what holds now is a row after it; so does one
that came back since, with its return as a row below. The rows of a number add up to the facts, always.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.causes import ALL, OTHER, PAID, UNSAID, VAT, booked_since
from benchtui.money.entries import Closed
from benchtui.money.handed_in import life_known_by
from benchtui.money.policy import Rates
from benchtui.money.standings import effective
from benchtui.money.stated_rows import Row, closed_beside, closed_rows
from benchtui.money.stock import LATER, entry_as_of, shares_as_of

CORRECTION, RETURNED = "correction", "returned"
_KINDS = {"purchase_price": PAID, "selling_price": OTHER, "vat_due": VAT, "kept": OTHER}
"""Column -> the kind of figure it is; a margin is what selling and purchase price make it."""
AMOUNTS = ("purchase_price", "selling_price", "margin", "vat_due", "kept")
Senders = Mapping[str, Mapping[str, Any]]
Lines = tuple[list[Row], Row]
"""The rows of a number that stand before its own, and its own."""


class StatedBook:
    """What closings have of the stock book."""

    def __init__(
        self, closed: Sequence[Closed], senders: Senders, settings: Mapping[str, Any], returns: bool = True
    ) -> None:
        self.returns = returns
        self.rows, self.beside = closed_rows(closed), closed_beside(closed)
        self.last, self.through = closed[-1], closed[-1].through
        self.senders, self.rates = senders, Rates(settings)
        self.shops = [settings, *senders.values()]
        self._closed = closed

    def first_with(self, base: Row) -> Closed | None:
        """The first closing that has the row with this sale, or unsold."""
        stock = base["stock_number"]
        having = (one for one in self._closed if stock in one.rows)
        return next((one for one in having if one.rows[stock]["sold_on"] == base["sold_on"]), None)

    def parcel(self, head: HeadDoc, records: Sequence[RecordDoc]) -> "StatedParcel":
        return StatedParcel(self, head, records)


def stated_of(
    closed: Sequence[Closed], senders: Senders, settings: Mapping[str, Any], returns: bool = True
) -> StatedBook | None:
    """None where nothing is closed. ``returns``: whether a return is a row of its own; a closing of an older
    version took it off the row of the sale."""
    return StatedBook(closed, senders, settings, returns) if closed else None


class StatedParcel:
    """The rows of one parcel, its shares worked out once."""

    def __init__(self, book: StatedBook, head: HeadDoc, records: Sequence[RecordDoc]) -> None:
        self._book, self._head = book, head
        self._shares = shares_as_of(head, records, book.rates, book.through)
        self._first = (date.fromisoformat(book.through) + timedelta(days=1)).isoformat()

    def lines(self, record: RecordDoc, now: Row, as_of: str) -> Lines:
        """The rows of a number on a day after the last closing; ``now``: its row by the facts of that day."""
        book, stock = self._book, str(record["stock"])
        base, beside = book.rows.get(stock), book.beside.get(stock, [])
        if base is None or base["left_how"] in (LATER, "not used"):
            return beside, now
        if now["left_how"] == LATER:
            return beside, base
        then = self._then(record, as_of)
        corrected = self._correction(record, then, base, beside)
        pending = corrected is not None and corrected["sold_on"] > as_of
        due = [] if corrected is None or pending else [corrected]
        if base["sold_on"] and _sale(then) == _sale(base) and (event := self._came_back(record, as_of)):
            stood = [*beside, base, *due]
            stood.append(self._return(record, event, stood, base))
            return stood, _less(now, stood, base)
        if due and base["sold_on"] and _sale(then) != _sale(base):
            stood = [*beside, base, *due]
            return stood, _less(now, stood, base)
        off = [corrected] if corrected is not None else []
        return [*beside, *due], _less(now, [*beside, *off], base)

    def _came_back(self, record: RecordDoc, as_of: str) -> Mapping[str, Any] | None:
        """The first return since the closed days; None where returns have no rows of their own."""
        events = effective(record, as_of) if self._book.returns else []
        found = (one for one in events if one["what"] == "returned" and one["at"][:10] > self._book.through)
        return next(found, None)

    def _return(self, record: RecordDoc, event: Mapping[str, Any], stood: Sequence[Row], base: Row) -> Row:
        """The row that takes a stated sale back: what the facts were once it had come back, less the rows
        above. What was paid for the record stays with its sale."""
        book, on = self._book, str(event["at"])[:10]
        lived = [one for one in effective(record, on) if one["n"] <= event["n"]]
        known: RecordDoc = {**record, "life": lived}
        share = self._shares.get(record["id"])
        after = entry_as_of(self._head, known, share, book.senders, book.rates, on).row(book.rates.currency)
        off = {name: _sum([after], name) - _sum(stood, name) for name in AMOUNTS if name != "purchase_price"}
        note = event.get("credit_note")
        said = f"came back on {on}{f', credit note {note}' if note else ''}"
        kept = ("stock_number", "description", "seller", "currency", "basis", "sales_invoice", "scheme")
        amounts = {name: format(value, "f") for name, value in off.items() if value}
        words = {"left_how": RETURNED, "sold_on": on, "remark": said}
        return dict.fromkeys(base, "") | {name: base[name] for name in kept} | amounts | words

    def _then(self, record: RecordDoc, as_of: str) -> Row:
        """The row of the closed days as their facts are known on a later one."""
        book = self._book
        known = life_known_by(record, book.through, as_of)
        share = self._shares.get(record["id"])
        entry = entry_as_of(self._head, known, share, book.senders, book.rates, book.through)
        return entry.row(book.rates.currency)

    def _correction(self, record: RecordDoc, then: Row, base: Row, beside: Sequence[Row]) -> Row | None:
        """The difference between the facts of the closed days and what was stated; None for none."""
        off = {name: _sum([then], name) - _sum([*beside, base], name) for name in AMOUNTS}
        stated = _stated_words(base, beside)
        words = {name: then[name] for name, was in stated.items() if then[name] != was}
        if not any(off.values()) and not words:
            return None
        facts = {self._head["id"]: (self._head, {record["id"]: record})}
        moved = frozenset(_KINDS[name] for name, value in off.items() if value and name in _KINDS)
        moved |= {VAT} if "scheme" in words else frozenset()
        on, why = booked_since(
            self._head["id"],
            record["id"],
            self._book.last,
            facts,
            self._book.shops,
            moved or ALL,
            stated=self._book.first_with(base),
        )
        kept = {name: base[name] for name in ("stock_number", "description", "seller", "currency", "basis")}
        amounts = {name: format(value, "f") for name, value in off.items() if value}
        said = {"left_how": CORRECTION, "sold_on": max(self._first, on), "scheme": then["scheme"]}
        return dict.fromkeys(base, "") | kept | amounts | words | said | {"remark": why or UNSAID}


def _again(now: Row) -> Row:
    """The row after a return: what it has of its own, and where its purchase price stands."""
    made = now | {name: "" for name in AMOUNTS if now[name] and not Decimal(now[name])}
    said = "" if made["left_how"] else "in the shop again"
    above = now["purchase_price"] and not made["purchase_price"]
    price = "purchase price in the row of the sale that came back" if above else ""
    return made | {"remark": "; ".join(filter(None, (said, price, now["remark"])))}


def _stated_words(base: Row, beside: Iterable[Row]) -> dict[str, str]:
    """Day bought, and of a sale its scheme, as they were stated last."""
    stated = {"bought_on": base["bought_on"]} | ({"scheme": base["scheme"]} if base["sold_on"] else {})
    for row in beside:
        if row["left_how"] == CORRECTION:
            stated |= {name: row[name] for name in stated if row[name]}
    return stated


def _sale(row: Row) -> tuple[str, str]:
    return row["sold_on"], row["sales_invoice"]


def _sum(rows: Iterable[Row], name: str) -> Decimal:
    return sum((Decimal(row[name]) for row in rows if row.get(name)), Decimal(0))


def _less(now: Row, others: Sequence[Row], base: Row) -> Row:
    """The row of now less what stands before it; the day bought and a sale's scheme stay as stated."""
    made = dict(now)
    for name in AMOUNTS:
        off = _sum(others, name)
        if off:
            made[name] = format(Decimal(now[name] or 0) - off, "f")
    if base["bought_on"] and now["bought_on"]:
        made["bought_on"] = base["bought_on"]
    if base["sold_on"] and _sale(now) == _sale(base):
        made["scheme"] = base["scheme"]
    return _again(made) if any(row["left_how"] == RETURNED for row in others) else made
