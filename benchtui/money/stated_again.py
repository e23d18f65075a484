"""Closed stock books and statements worked out again from the facts as they were known at the closing.

What was entered since is left out, and what was changed since is as it was (see `money.known`). Where an
older version changed a fact and kept no earlier value, a correction noted since on the parcel, or on the
sender's terms, says why a line may differ now. Any other difference is told: the file was changed, or the
facts were.
Names and descriptions are not compared: titles are put right and persons forgotten for good reasons.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.money.book import Parcels
from benchtui.money.book_after import AMOUNTS
from benchtui.money.closing import Book, kept_of_all
from benchtui.money.entries import Closed, Entry
from benchtui.money.given_back import GIVEN
from benchtui.money.known import booked, known_doc, known_parcels
from benchtui.money.ledger import shop_entries
from benchtui.money.since import Entered, Senders
from benchtui.money.stated_rows import Row, closed_beside, closed_rows

_OF_SALE = ("bought_on", "sold_on", "sales_invoice", "selling_price", "left_how", "kept")
_OF_COST = ("purchase_price", "margin", "vat_due", "scheme")
_OF_LINE = ("state", "came_in", "sold_on", "price", "commission", "vat", "paid_out")
_MINORS = ("price", "commission", "charges", "vat", "paid_out")
RIGHT = "look at what was changed outside the program, or put the closing back from a backup"
Steps = Sequence[Sequence[Any]]


def stated_faults(
    parcels: Parcels, senders: Senders, settings: Mapping[str, Any], closed: Sequence[Closed]
) -> Iterator[BenchError]:
    """One fault for each line of a closed stock book or statement that does not follow from the facts, with
    the first day on which it does not. Closings of an older version hold no lines by day: passed over.
    """
    for n, one in enumerate(closed):
        if one.days is None or one.statements is None or (n and one.beside is None):
            continue
        again = _Again(parcels, senders, settings, closed[: n + 1])
        yield from again.of_stock_book()
        yield from again.of_statements()
        yield from again.of_entries()


class _Again:
    """One closing, the last of ``closed``, beside what the facts of then make of it."""

    def __init__(
        self, parcels: Parcels, senders: Senders, settings: Mapping[str, Any], closed: Sequence[Closed]
    ) -> None:
        self._one, self._before = closed[-1], closed[:-1]
        self._told: set[str] = set()
        self._at, self._all = self._one.closed_at, senders
        self._parcels = known_parcels(parcels, self._at, Entered(closed).has_event)
        terms = {name: known_doc(doc, self._at) for name, doc in senders.items()}
        self._known = self._parcels, terms, known_doc(settings, self._at)
        self._bears = {one["stock"]: head for head, mine in parcels for one in mine if one["stock"]}
        self._of = {one["id"]: (head, one["stock"] or "") for head, mine in parcels for one in mine}

    def _since(self, noted: Any) -> bool:
        """Whether it tells of a change since of which the value before is not kept."""
        return isinstance(noted, Mapping) and str(noted.get("at")) >= self._at and not noted.get("kept")

    def _explained(self, head: HeadDoc | None) -> bool:
        """Whether something was entered about the parcel since, of which the value before is not kept; or, in
        one of an older version, a bill on the very day, which came before the closing or after it."""
        if head is None:
            return False
        bills = () if head.get("begun") else (booked(one, "on") for one in head.get("late") or ())
        return any(map(self._since, head.get("corrections") or ())) or local_day(self._at) in bills

    def _settled(self, head: HeadDoc | None) -> bool:
        """Whether the shares of then are known: those of an open parcel go on with its records, of which an
        older version kept no earlier prices."""
        if head and head.get("begun"):
            return True
        return bool(head and head["state"] == "closed" and (head.get("closed_at") or "") <= self._at)

    def of_stock_book(self) -> Iterator[BenchError]:
        """Row by row."""
        one = self._one
        book = Book(*self._known, self._before, one.through, one.by_day, one.returns)
        facts = book.rows()
        before, written = closed_rows(self._before), closed_rows([*self._before, one])
        steps, beside = book.days(facts, before)
        known = closed_beside(self._before)
        for stock in dict.fromkeys([*written, *facts]):
            head = self._bears.get(stock)
            if self._explained(head) or (stock not in written and not self._settled(head)):
                continue
            names = (*_OF_SALE, *_OF_COST) if self._settled(head) else _OF_SALE
            pair = [
                _days((one.days or {}).get(stock, ()), written.get(stock), one.through),
                _days(steps.get(stock, ()), facts.get(stock), one.through),
            ]
            noted = [(one.beside or {}).get(stock, ()), beside.get(stock, ())]
            said = _first(noted, known.get(stock), _corrections)
            if said := said or _first(pair, before.get(stock), lambda row, names=names: _cells(row, names)):
                yield self._fault(f"the stock book's line {stock}", said, head)

    def of_statements(self) -> Iterator[BenchError]:
        """Sender by sender, line by line."""
        one, stated = self._one, self._one.statements or {}
        facts = kept_of_all(*self._known, self._before, one.through, one.by_day)
        for sender in dict.fromkeys([*stated, *facts]):
            doc = self._all.get(sender, {})
            if self._since(doc.get("noted")):
                continue
            mine, again = stated.get(sender) or {}, facts.get(sender) or {}
            for key in dict.fromkeys([*mine, *again]):
                head, stock = self._of.get(key, (None, key))
                if self._explained(head):
                    continue
                names = (*_OF_LINE, "charges") if self._settled(head) else _OF_LINE
                pair = [list(mine.get(key, ())), list(again.get(key, ()))]
                said = _first(
                    pair,
                    self._stated(sender, key),
                    lambda lines, names=names: _lines(lines, names, one.currency),
                )
                if said:
                    yield self._fault(f"{stock} on the statement of {doc.get('name') or sender}", said, head)

    def of_entries(self) -> Iterator[BenchError]:
        """Entry by entry, of parcels of which all earlier values are kept and no line was told of yet."""
        one = self._one
        after = self._before[-1].through if self._before else ""
        made = shop_entries(*self._known, self._before, one.through, one.by_day)
        written, again = ({entry.key: entry for entry in side if after < entry.day <= one.through}
                          for side in (one.entries, made))  # fmt: skip
        heads = {head["id"]: head for head, _ in self._parcels if head.get("begun")}
        for key in dict.fromkeys([*written, *again]):
            pair = written.get(key), again.get(key)
            about = pair[0] or pair[1]
            head = heads.get(about.parcel) if about else None
            if head is None or head["id"] in self._told or self._explained(head):
                continue
            stood, now = (_legs(each, one.currency) for each in pair)
            if stood != now:
                kind = about.kind if about else ""
                on = min(each.day for each in pair if each)
                yield self._fault(f"the entry {key} ({kind})", (on, *_differ(stood, now)), head)
                self._told.add(head["id"])

    def _stated(self, sender: str, key: str) -> Any:
        """The lines as they stood before this closing."""
        found: Any = ()
        for one in self._before:
            if steps := ((one.statements or {}).get(sender) or {}).get(key):
                found = steps[-1][1]
        return found

    def _fault(self, what: str, said: tuple[str, str, str], head: HeadDoc | None) -> BenchError:
        on, written, now = said
        if head:
            self._told.add(head["id"])
        where = f"books closed to {self._one.through}" + (f", parcel {head['id']}" if head else "")
        return BenchError(f"{what}, {on}: {written} written down, but {now} worked out again", where, RIGHT)


def _days(steps: Steps, end: Row | None, through: str) -> list[tuple[str, Any]]:
    """(day, row from there), the row of the end for the last."""
    return [*((str(on), row if row is not None else end) for on, row in steps), (through, end)]


def _first(pair: Sequence[Sequence[Any]], before: Any, seen: Any) -> tuple[str, str, str] | None:
    """The first day on which both differ, with what differs on each side."""
    now = [seen(before), seen(before)]
    for on in sorted({str(step[0]) for steps in pair for step in steps}):
        for side, steps in enumerate(pair):
            for each, value in steps:
                if each == on:
                    now[side] = seen(value)
        if now[0] != now[1]:
            return on, *_differ(*now)
    return None


def _differ(written: dict[str, str], again: dict[str, str]) -> tuple[str, str]:
    names = [name for name in {**written, **again} if written.get(name, "") != again.get(name, "")]
    told = (
        ", ".join(f"{name.replace('_', ' ')} {side.get(name) or 'empty'}" for name in names)
        for side in (written, again)
    )
    return next(told), next(told)


def _cells(row: Row | None, names: Sequence[str]) -> dict[str, str]:
    return {name: row[name] for name in names if row and row.get(name)}


def _corrections(rows: Sequence[Row] | None) -> dict[str, str]:
    """What stands before the row: stated and corrected."""
    names = ("sold_on", *AMOUNTS)
    return {
        f"{row['left_how']} {n} {name}": row[name]
        for n, row in enumerate(rows or (), 1)
        for name in names
        if row.get(name)
    }


def _legs(entry: Entry | None, currency: str) -> dict[str, str]:
    if entry is None:
        return {}
    amounts = {leg.role: Money(entry.sum_of(leg.role), currency).plain() for leg in entry.legs}
    foreign = {f"{leg.role} in {leg.foreign[1]}": str(leg.foreign[0]) for leg in entry.legs if leg.foreign}
    return {"day": entry.day, **amounts, **foreign, **{name: str(minor) for name, minor in entry.memo}}


def _lines(lines: Sequence[Mapping[str, Any]] | None, names: Sequence[str], currency: str) -> dict[str, str]:
    """Corrections as they stand, all others together: older versions put what was given back into the sale's
    line, and the record's last line says where it stands."""
    corrected = [line for line in lines or () if line.get("state") == "correction"]
    others = [line for line in lines or () if line.get("state") != "correction"]
    last: Mapping[str, Any] = next((line for line in reversed(others) if line.get("state") not in GIVEN), {})
    whole = dict(last) | {name: sum(line.get(name, 0) for line in others) for name in _MINORS}
    found = {}
    for n, line in enumerate([whole, *corrected], 1):
        for name in names:
            if value := line.get(name):
                shown = Money(value, currency).plain() if name in _MINORS else str(value)
                found[f"line {n} {name}" if n > 1 else name] = shown
    return found
