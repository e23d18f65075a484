"""The stock book of a day after a closing: rows that were handed in stay, and what of them is no longer so
is a row of its own, on the day it was entered.

A row still open on its sale side (unsold) goes on: its purchase side stays as it was stated. A sale that was
stated and is no longer so (voided, another price on another day) stays too, and what holds now is a row after
it. What moves no amount of the book (a day alone, an invoice's number, a consigned sale, which has no price
in it) is told by the remark of the number's own row. Each sale that came back is a row, stated or not, with
its return as a row below. The rows of a number add up to the facts, always.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from decimal import Decimal
from functools import cached_property
from typing import Any, cast

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.causes import ALL, OTHER, PAID, UNSAID, VAT, Moves, booked_since
from benchtui.money.days import next_day
from benchtui.money.entries import EACH, Closed, Returns
from benchtui.money.known import life_known_by
from benchtui.money.late import price_since, without_told
from benchtui.money.policy import Rates
from benchtui.money.since import Senders, Since, end_of_day, facts_of
from benchtui.money.spreading import Share
from benchtui.money.stated_rows import Row, closed_beside, closed_rows
from benchtui.money.stock import LATER, Entry, Over, correction_words, entry_as_of, shares_as_of

CORRECTION, RETURNED = "correction", "returned"
_KINDS = {"purchase_price": PAID, "selling_price": OTHER, "vat_due": VAT, "kept": OTHER}
"""Column -> the kind of figure it is; a margin is what selling and purchase price make it."""
AMOUNTS = ("purchase_price", "selling_price", "margin", "vat_due", "kept")
Lines = tuple[list[Row], Row]
"""The rows of a number that stand before its own, and its own."""


class StatedBook:
    """What closings have of the stock book. ``by_day``: `since.Since`; ``returns``: `entries.EACH`."""

    def __init__(
        self,
        closed: Sequence[Closed],
        senders: Senders,
        settings: Mapping[str, Any],
        by_day: bool = True,
        returns: Returns = EACH,
    ) -> None:
        self.returns = returns
        self.rows, self.beside = closed_rows(closed), closed_beside(closed)
        self.last, self.through = closed[-1], closed[-1].through
        self.first = next_day(self.through)
        self.senders, self.settings, self.rates = senders, settings, Rates(settings)
        self.since = Since(senders, settings, closed, by_day)
        self._closed = closed

    def first_with(self, base: Row) -> Closed | None:
        """The first closing that has the row with this sale, or unsold."""
        stock = base["stock_number"]
        having = (one for one in self._closed if stock in one.rows)
        return next((one for one in having if one.rows[stock]["sold_on"] == base["sold_on"]), None)

    def parcel(self, head: HeadDoc, records: Sequence[RecordDoc]) -> "StatedParcel":
        return StatedParcel(self, head, records)


def stated_of(
    closed: Sequence[Closed],
    senders: Senders,
    settings: Mapping[str, Any],
    by_day: bool = True,
    returns: Returns = EACH,
) -> StatedBook | None:
    """None where nothing is closed. ``returns``: see `entries.EACH`."""
    return StatedBook(closed, senders, settings, by_day, returns) if closed else None


class _Facts:
    """A parcel as it was known at the end of a day ("": as it is today), its shares worked out once."""

    def __init__(
        self,
        book: StatedBook,
        head: HeadDoc,
        records: Sequence[RecordDoc],
        rates: Rates,
        rules: Sequence[Mapping[str, Any]],
        day: str = "",
        before: str = "",
    ) -> None:
        self.head, self.rules, self.day, self.before = head, rules, day, before
        self.records = {record["id"]: record for record in records}
        self._book, self._rates = book, rates
        self._shares: dict[str, dict[str, Share]] = {}

    def row(self, record: RecordDoc, as_of: str, was_sold: bool) -> Row:
        """The row of the closed days as their facts are known on a later one. Of what was sold in them a
        price that came since changes the purchase."""
        through = self._book.through
        known = life_known_by(record, through, as_of)
        share = self._shares_of((self.day or as_of) if was_sold else through).get(record["id"])
        entry = entry_as_of(self.head, known, share, self._book.senders, self._rates, through)
        return entry.row(self._rates.currency)

    def _shares_of(self, until: str) -> dict[str, Share]:
        through = self._book.through
        since = price_since(self.head, through, until) if until > through else []
        known = until if since else ""
        if known not in self._shares:
            late = [
                bill if bill not in since else {**bill, "on": through} for bill in self.head.get("late") or ()
            ]
            head = self.head if not since else cast("HeadDoc", {**self.head, "late": late})
            self._shares[known] = shares_as_of(head, list(self.records.values()), self._rates, through)
        return self._shares[known]


class StatedParcel:
    """The rows of one parcel, its shares worked out once for each day of which they are asked."""

    def __init__(self, book: StatedBook, head: HeadDoc, records: Sequence[RecordDoc]) -> None:
        self._book, self.days = book, sorted(book.since.of_parcel(head, records, with_lives=True))
        self._parcel = head, records
        self._stood: dict[str, list[tuple[str, list[Row], Row]]] = {}
        self._late: dict[tuple[str, str], _Facts] = {}

    @cached_property
    def _today(self) -> _Facts:
        book, last = self._book, self.days[-1] if self.days else ""
        return _Facts(book, *self._parcel, book.rates, [book.settings, *book.senders.values()], before=last)

    @cached_property
    def _each_day(self) -> list[_Facts]:
        """The parcel on each day since the closing on which something was entered or changed that closed days
        go by. What could not be reckoned with then waits for the next."""
        found, before = list[_Facts](), ""
        for on in self.days:
            with suppress(BenchError):
                for facts in self._facts_of(on, end_of_day(on), before):
                    found.append(facts)
                    before = on
        return found

    def _facts_of(self, on: str, moment: str, before: str) -> Iterator[_Facts]:
        """The parcel, if it was there, by what was known at the moment, and the day before of this kind."""
        since = self._book.since
        rules = [since.settings(moment), *since.senders(moment).values()]
        for head, records in since.parcels([self._parcel], on, moment):
            yield _Facts(self._book, head, records, since.rates(moment), rules, on, before)

    def _stated_by(self, facts: _Facts, base: Row) -> _Facts:
        """Those of that day that the row goes by, see `since.facts_of`; worked out once for all records."""
        moment = facts_of(facts.day, self._book.first_with(base))
        if moment == end_of_day(facts.day):
            return facts
        if (facts.day, moment) not in self._late:
            found = self._facts_of(facts.day, moment, facts.before)
            self._late[facts.day, moment] = next(found, facts)
        return self._late[facts.day, moment]

    def lines(self, record: RecordDoc, entry: Entry, as_of: str) -> Lines:
        """The rows of a number on a day after the last closing; ``entry``: the facts of that day."""
        book, stock, now = self._book, str(record["stock"]), entry.row(self._book.rates.currency)
        base, beside = book.rows.get(stock), book.beside.get(stock, [])
        over = [one for one in entry.over if one.on > book.through] if book.returns else []
        if base is None or base["left_how"] in (LATER, "not used"):
            return with_sales(beside, over if book.returns == EACH else (), now)
        for on, above, own in self._corrected(record, beside, base):
            if on <= as_of:
                beside, base = above, own
        if now["left_how"] == LATER:
            return beside, base
        then = self._today.row(record, as_of, bool(base["sold_on"]))
        is_last = as_of >= max(self.days, default="")
        corrected = self._correction(self._today, record, then, base, beside, is_last)
        pending = corrected is not None and (not is_last or corrected["sold_on"] > as_of)
        if base["sold_on"] and _sale(then) == _sale(base) and over:
            stood = [*beside, base, *([corrected] if corrected is not None and not pending else [])]
            off = [_paid_only(corrected)] if corrected is not None and pending else []
            first = _came_back(over[0], stood, base, book.through)
            since = over[1:] if book.returns == EACH else ()
            return with_sales([*stood, first], since, now, base, off)
        over = over if book.returns == EACH else []
        if corrected is not None and pending:
            return with_sales(beside, over, now, base, [corrected])
        stood, _ = _with(now, then, corrected, beside, base)
        return with_sales(stood, over, _without_told(now, record, stood), base)

    def _corrected(self, record: RecordDoc, beside: list[Row], base: Row) -> list[tuple[str, list[Row], Row]]:
        """(day, the rows before its own from there, its own as it stands) for each day since the closing on
        which something of it was corrected, as if the books had been closed again to the same day."""
        stock = str(record["stock"])
        if stock not in self._stood:
            found = self._stood[stock] = []
            for each in self._each_day:
                with suppress(BenchError):
                    facts = self._stated_by(each, base)
                    if (known := facts.records.get(record["id"])) is None:
                        continue
                    then = facts.row(known, facts.day, bool(base["sold_on"]))
                    if corrected := self._correction(facts, known, then, base, beside):
                        beside, base = _with(then, then, corrected, beside, base)
                        found.append((facts.day, beside, base))
        return self._stood[stock]

    def _correction(
        self,
        facts: _Facts,
        record: RecordDoc,
        then: Row,
        base: Row,
        beside: Sequence[Row],
        is_shown: bool = True,
    ) -> Row | None:
        """The difference between the facts of the closed days and what was stated; None for none. Of one that
        is not shown yet nobody asks why."""
        off = {name: _sum([then], name) - _sum([*beside, base], name) for name in AMOUNTS}
        stated = _stated_words(base, beside)
        words = {name: then[name] for name, was in stated.items() if then[name] != was}
        if not any(off.values()) and not words:
            return None
        moved = frozenset(_KINDS[name] for name, value in off.items() if value and name in _KINDS)
        moved |= {VAT} if "scheme" in words else frozenset()
        on, why = "", ""
        if is_shown:
            on, why = self._when(facts, record, moved or ALL, self._book.first_with(base))
        kept = {name: base[name] for name in ("stock_number", "description", "seller", "currency", "basis")}
        amounts = {name: format(value, "f") for name, value in off.items() if value}
        said = {"left_how": CORRECTION, "sold_on": max(self._book.first, on), "scheme": then["scheme"]}
        remark = _with_figures(record, on, why) if is_shown else ""
        return dict.fromkeys(base, "") | kept | amounts | words | said | {"remark": remark or UNSAID}

    def _when(self, facts: _Facts, record: RecordDoc, moved: Moves, stated: Closed | None) -> tuple[str, str]:
        """The day and the words of what was entered since."""
        head = facts.head
        about = {head["id"]: (head, {**facts.records, record["id"]: record})}
        of = (head["id"], record["id"], self._book.last, about, facts.rules, moved, True, stated)
        on, why = booked_since(*of, facts.before)
        if facts.before and not facts.day and not why:
            return booked_since(*of)
        return facts.day or on, why


def with_sales(
    stood: Sequence[Row], over: Iterable[Over], now: Row, base: Row | None = None, off: Sequence[Row] = ()
) -> Lines:
    """The rows that stand, of each sale that came back since a row and one of its return, and the row of now.
    ``base``: what was stated last; ``off``: what will be a row of a later day."""
    rows, base = [*stood], base or dict.fromkeys(now, "")
    for one in over:
        sale = _less(one.sale.row(now["currency"]), [*rows, *off], base)
        rows.append(sale)
        rows.append(_came_back(one, [*rows, *off], sale))
    return rows, _less(now, [*rows, *off], base)


def _came_back(over: Over, stood: Sequence[Row], sale: Row, through: str = "9999") -> Row:
    """The row that takes a sale back: what the facts were once it had come back, less the rows above. What
    was paid for the record stays with its sale; so do the words of refunds, but those after a closed day."""
    after = over.back.row(sale["currency"])
    off = {name: _sum([after], name) - _sum(stood, name) for name in AMOUNTS if name != "purchase_price"}
    said = [words for on, words in over.refunds if on > through]
    kept = ("stock_number", "description", "seller", "currency", "basis", "sales_invoice", "scheme")
    amounts = {name: format(value, "f") for name, value in off.items() if value}
    words = {"left_how": RETURNED, "sold_on": over.on, "remark": "; ".join([*said, over.said])}
    return dict.fromkeys(sale, "") | {name: sale[name] for name in kept} | amounts | words


def _with(now: Row, then: Row, corrected: Row | None, beside: list[Row], base: Row) -> Lines:
    """The rows with that correction, below the sale that was stated where it is no longer so."""
    if corrected is None:
        return beside, _less(now, beside, base)
    is_sale = bool(base["sold_on"]) and _sale(then) != _sale(base)
    stood = [*beside, *([base] if is_sale else ()), corrected]
    return stood, _less(now, stood, base)


def _with_figures(record: RecordDoc, on: str, why: str) -> str:
    """The reason, with what was corrected on that day from what to what: ``sold: price 29.00, was 31.00
    (corrected on 2026-12-05: misread)``."""
    for event in record["life"]:
        if event["what"] == "corrected" and event["at"] == on:
            why = why.replace(event["why"], correction_words(record, event), 1)
    return why


def _without_told(now: Row, record: RecordDoc, stood: Iterable[Row]) -> Row:
    """Without the corrections that have a row of their own."""
    said = now["remark"]
    for told in (one["remark"] for one in stood if one["left_how"] == CORRECTION):
        for event in record["life"]:
            if event["what"] == "corrected" and (words := correction_words(record, event)) in told:
                said = said.replace(words, "")
    return now | {"remark": "; ".join(filter(None, said.split("; ")))}


def _paid_only(corrected: Row) -> Row:
    """What of a correction that comes later is left once the sale came back: what was paid for the record."""
    return corrected | {name: "" for name in AMOUNTS if name != "purchase_price"}


def _again(now: Row) -> Row:
    """The row after a return: what it has of its own, and where its purchase price stands."""
    own = ("selling_price", "margin", "vat_due") if now["left_how"] == "sold" else ()
    made = now | {name: "" for name in AMOUNTS if now[name] and not Decimal(now[name]) and name not in own}
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
    is_stated = bool(base["sold_on"]) and _sale(now) == _sale(base)
    stated = base["remark"] if is_stated else None
    made = now | {"remark": without_told(now["remark"], [row["remark"] for row in others], stated)}
    for name in AMOUNTS:
        off = _sum(others, name)
        if off:
            made[name] = format(Decimal(now[name] or 0) - off, "f")
    if base["bought_on"] and now["bought_on"]:
        made["bought_on"] = base["bought_on"]
    if is_stated:
        made["scheme"] = base["scheme"]
    return _again(made) if any(row["left_how"] == RETURNED for row in others) else made
