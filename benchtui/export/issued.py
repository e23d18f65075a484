"""Invoices as they were issued, and each correction since as a paper of its own.

An invoice that left the shop is not changed: a document that amends and refers specifically and unambiguously
to the initial invoice is treated as an invoice (Directive 2006/112/EC, article 219). The paper is of the day
on which the correction was entered. It names invoice, record and which correction of that record it is, so
that no later one changes its number.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from typing import Any, NamedTuple

from benchtui.export.ask import Ask
from benchtui.export.page import aside, shown, tag
from benchtui.export.paper_money import PaperMoney, paper_money
from benchtui.export.paper_vat import Facts, Steps, Taxed, booked_vat_steps, taxed, vat_words
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, description
from benchtui.money.consign import percent_words
from benchtui.money.entries import Entry
from benchtui.money.notice import TAX_ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.standings import effective

Event = Mapping[str, Any]
_WORDS = {"at": "day of the sale", "buyer": "to", "invoice": "invoice"}
_NAMES = ("discount", "postage", "tax", "traded")


class Step(NamedTuple):
    """What one correction made of a sale that has an invoice; ``now`` is None where it never happened."""

    head: HeadDoc
    record: RecordDoc
    issued: Event
    number: int
    before: int
    correction: Event
    was: Event | None
    now: Event | None

    @property
    def on(self) -> str:
        return str(self.correction["at"])[:10]

    @property
    def name(self) -> str:
        number = f" {self.number}" if self.number > 1 else ""
        of = f"Correction{number} of invoice {self.issued['invoice']}, {self.record['stock']}"
        return f"{of}: void" if self.now is None else of


def issued_sales(record: RecordDoc) -> Iterator[dict[str, Any]]:
    """Each sale as its invoice was issued; without an invoice as it counts now."""
    issued = _issued(record)
    yield from (sale for sale, _ in issued.values())
    yield from (one for one in effective(record) if one["what"] == "sold" and one["n"] not in issued)


def _issued(record: RecordDoc) -> dict[int, tuple[dict[str, Any], int]]:
    """Number of a sale -> the sale when it first had an invoice, and the number of the event that gave it."""
    stood: dict[int, dict[str, Any]] = {}
    found: dict[int, tuple[dict[str, Any], int]] = {}
    for event in record["life"]:
        of = int(event["of"] if event["what"] == "corrected" else event["n"])
        if event["what"] == "sold":
            stood[of] = event
        elif event["what"] == "corrected" and of in stood and event.get("now"):
            stood[of] = stood[of] | event["now"]
        if of in stood and of not in found and stood[of].get("invoice"):
            found[of] = stood[of], int(event["n"])
    return found


def issued_facts(parcels: Parcels, entries: Sequence[Entry]) -> Facts:
    """Figures for VAT of each sale as its invoice was issued."""
    steps = booked_vat_steps(entries)
    return {
        f"{record['id']}:{of}": _vat_until(steps, record, of, by)
        for _, records in parcels
        for record in records
        for of, (_, by) in _issued(record).items()
    }


def _vat_until(steps: Steps, record: RecordDoc, of: int, by: int) -> dict[str, int]:
    """The figures with all corrections up to event ``by``."""
    found: dict[str, int] = {}
    for number, figures in steps.get(f"{record['id']}:{of}", {}).items():
        if number <= by:
            for name, minor in figures.items():
                found[name] = found.get(name, 0) + minor
    return found


def corrections(parcels: Parcels, ask: Ask) -> list[Step]:
    """Those entered in the days asked for, of which something stands on the invoice."""
    return [
        step
        for head, records in parcels
        for record in records
        for of, (sale, by) in _issued(record).items()
        for step in _steps(head, record, of, sale, by)
        if ask.first <= step.on <= ask.last and ask.parcel in (None, head["id"])
    ]


def _steps(head: HeadDoc, record: RecordDoc, of: int, issued: dict[str, Any], by: int) -> Iterator[Step]:
    was: dict[str, Any] | None = issued
    numbers, before = count(1), by
    for event in record["life"]:
        if event["what"] != "corrected" or event.get("of") != of or event["n"] <= by:
            continue
        now = None if event.get("now") is None else (was or issued) | event["now"]
        if _printed(was) != _printed(now):
            yield Step(head, record, issued, next(numbers), before, event, was, now)
        was, before = now, int(event["n"])


def _printed(sale: Event | None) -> Any:
    """What of a sale stands on its invoice."""
    names = (*_WORDS, "minor", *_NAMES)
    paid_in = (sale or {}).get("paid_in") or {}
    return None if sale is None else ([sale.get(name) or "" for name in names], paid_in.get("of"))


class CorrectionPaper:
    """A correction's amounts: as they were, as they are, and the difference, with the VAT of both."""

    def __init__(self, step: Step, entries: Sequence[Entry], rates: Rates) -> None:
        self.step = step
        sales = [one for one in (step.was, step.now) if one is not None]
        self.money: PaperMoney = paper_money(sales, rates.currency)
        steps = booked_vat_steps(entries)
        self.vat = (
            self._taxed(step.was, step.before, steps, rates),
            self._taxed(step.now, int(step.correction["n"]), steps, rates),
        )

    def _taxed(self, sale: Event | None, by: int, steps: Steps, rates: Rates) -> Taxed | None:
        if sale is None:
            return None
        record = self.step.record
        facts = {f"{record['id']}:{sale['n']}": _vat_until(steps, record, int(sale["n"]), by)}
        found = taxed(record, sale, str(sale["at"])[:10], facts, rates)
        return self.money.of_sale(found, sale, rates)

    def html(self, heads: str, settings: Mapping[str, Any]) -> Iterator[str]:
        """``heads``: the rows of shop, day and buyer."""
        record = self.step.record
        yield tag("h1", shown(self.step.name)) + heads
        if any(one is not None and one.ordinary for one in self.vat):
            yield aside(TAX_ESTIMATE)
        cells = ("correction", "was", "is", "difference")
        rows = [_row(*cells, css="head"), *self._words(), *self._amounts(), *self._tax()]
        yield tag("p", shown(f"{record['stock']}  {description(record)}"))
        yield tag("table", "".join(rows), "lines")
        if self.step.now is None:
            yield tag("p", "The sale of this record is void: nothing of it is to pay.")
        known = [one for one in self.vat if one is not None]
        yield "".join(tag("p", shown(said)) for said in vat_words(known[-1:], settings))

    def _words(self) -> Iterator[str]:
        was, now = self.step.was or {}, self.step.now or {}
        for name, label in _WORDS.items():
            if was and now and was.get(name) != now.get(name):
                yield _row(label, str(was.get(name) or "-"), str(now.get(name) or "-"), "")

    def _amounts(self) -> Iterator[str]:
        was, now = (self._of(sale) for sale in (self.step.was, self.step.now))
        for label in was:
            if label == "to pay" or was[label] or now[label]:
                yield self._figures(label, was[label], now[label], "sum" if label == "to pay" else "")

    def _of(self, sale: Event | None) -> dict[str, int]:
        """Label -> amount in minor units; what is taken off is below 0."""
        own = {name: self.money.amount(sale, name) if sale else 0 for name in _NAMES}
        price = self.money.price(sale) if sale else 0
        return {
            "price": price + own["discount"],
            "discount": -own["discount"],
            "postage and packing": own["postage"],
            "tax collected": own["tax"],
            "taken in exchange": -own["traded"],
            "to pay": price + own["postage"] + own["tax"] - own["traded"],
        }

    def _tax(self) -> Iterator[str]:
        """Net and VAT, where the invoice showed VAT or would now."""
        if not any(one is not None and one.ordinary for one in self.vat):
            return
        rates = {one.rate for one in self.vat if one is not None and one.rate is not None}
        each = f" {percent_words(next(iter(rates)))} %" if len(rates) == 1 else ""
        was, now = (one if one is not None and one.ordinary else Taxed("", "") for one in self.vat)
        yield self._figures("without VAT", was.gross - was.vat, now.gross - now.vat)
        yield self._figures(f"VAT{each}", was.vat, now.vat)

    def _figures(self, label: str, was: int, now: int, css: str = "") -> str:
        code = self.money.currency
        last = Money(now - was, code).show() if css else Money(now - was, code).plain()
        return _row(label, Money(was, code).plain(), Money(now, code).plain(), last, css=css)


def _row(what: str, *cells: str, css: str = "") -> str:
    return tag(
        "tr", tag("td", shown(what), "what") + "".join(tag("td", shown(one), "num") for one in cells), css
    )
