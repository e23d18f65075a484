"""Invoices and credit notes as they were issued, and each correction since as a paper of its own.

A paper that left the shop is not changed: a document that amends and refers specifically and unambiguously
to the initial invoice is treated as an invoice (Directive 2006/112/EC, article 219). So is one that amends a
credit note. It is of the day on which the correction was entered: of an event, or of what its VAT follows
from (the answer about the margin scheme, the rate). It names paper, record and which correction of that
record it is, so that no later one changes its number.
"""

from collections.abc import Iterator, Mapping
from itertools import count
from typing import Any, Literal, NamedTuple

from benchtui.export.ask import Ask
from benchtui.export.page import aside, shown, tag
from benchtui.export.paper_money import PaperMoney, paper_money
from benchtui.export.paper_then import Point, Shown, Then, put_right
from benchtui.export.paper_vat import Taxed, vat_cautions, vat_words
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, description
from benchtui.money.consign import percent_words
from benchtui.money.standings import effective

Event = Mapping[str, Any]
Kind = Literal["invoice", "credit note"]
GIVEN = ("returned", "refunded")
_WORDS: Mapping[Kind, Mapping[str, str]] = {
    "invoice": {"at": "day of the sale", "buyer": "to", "invoice": "invoice"},
    "credit note": {"at": "day", "note": "reason"},
}
_NAMES = ("discount", "postage", "tax", "traded")
_VAT_SHOWN = {"margin": "margin scheme", "to be asked": "not shown", "": "none"}


class Step(NamedTuple):
    """What one correction made of what a paper says of a record; ``now`` is None where it never happened."""

    kind: Kind
    issued: Shown
    number: int
    point: Point
    was: Shown | None
    now: Shown | None

    @property
    def on(self) -> str:
        return self.point.on

    @property
    def paper(self) -> str:
        """``invoice 26-0353``, ``credit note C0001``."""
        if self.kind == "invoice":
            return f"invoice {self.issued.event['invoice']}"
        number = self.issued.event.get("credit_note")
        return f"credit note {number}" if number else "credit note without a number"

    @property
    def name(self) -> str:
        number = f" {self.number}" if self.number > 1 else ""
        of = f"Correction{number} of {self.paper}, {self.issued.record['stock']}"
        return f"{of}: void" if self.now is None else of


def issued_sales(record: RecordDoc) -> Iterator[dict[str, Any]]:
    """Each sale as its invoice was issued; without an invoice as it counts now."""
    issued = invoiced(record)
    yield from (sale for sale, _ in issued.values())
    yield from (one for one in effective(record) if one["what"] == "sold" and one["n"] not in issued)


def invoiced(record: RecordDoc) -> dict[int, tuple[dict[str, Any], int]]:
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


def noted(record: RecordDoc) -> Iterator[int]:
    """Numbers of the events that a credit note was issued for: something given back of an invoiced sale."""
    sales, sale = invoiced(record), 0
    for event in record["life"]:
        if event["what"] == "sold":
            sale = int(event["n"])
        elif event["what"] in GIVEN and sale in sales and (event["minor"] or event.get("credit_note")):
            yield int(event["n"])


def invoice_words(record: RecordDoc, sale: Event) -> str:
    """Number and day of the invoice of a sale, also where it got its number later."""
    first, _ = invoiced(record).get(int(sale["n"]), (sale, 0))
    return f"{first.get('invoice') or 'without a number'} of {str(first['at'])[:10]}"


def corrections(parcels: Parcels, then: Then, ask: Ask, kind: Kind) -> list[Step]:
    """Those entered in the days asked for, of which something stands on the paper."""
    return [
        step
        for head, records in parcels
        if ask.parcel in (None, head["id"])
        for record in records
        for of, by in _papers(record, kind)
        for step in _steps(then, head, record, kind, of, by)
        if ask.first <= step.on <= ask.last
    ]


def _papers(record: RecordDoc, kind: Kind) -> Iterator[tuple[int, int]]:
    """(event, the one that made a paper of it)."""
    if kind == "invoice":
        yield from ((of, by) for of, (_, by) in invoiced(record).items())
    else:
        yield from ((of, of) for of in noted(record))


def _steps(then: Then, head: Any, record: RecordDoc, kind: Kind, of: int, by: int) -> Iterator[Step]:
    was = issued = then.issued(head, record, of, by)
    if issued is None:
        return
    numbers = count(1)
    for point in then.points(head, record, by):
        now = then.at(head, record, of, point.moment, point.upto)
        if _printed(was, kind) != _printed(now, kind):
            why = "; ".join(filter(None, (point.why, put_right(was, now))))
            yield Step(kind, issued, next(numbers), point._replace(why=why), was, now)
        was = now


def _printed(one: Shown | None, kind: Kind) -> Any:
    """What of it stands on its paper."""
    if one is None:
        return None
    names = (*_WORDS[kind], "minor", *_NAMES)
    paid_in, vat = one.event.get("paid_in") or {}, one.vat
    of_vat = (vat.kind, vat.rate, vat.gross, vat.vat) if vat.ordinary else vat.kind
    return [one.event.get(name) or "" for name in names], paid_in.get("of"), of_vat, one.consigned


class CorrectionPaper:
    """A correction's amounts: as they were, as they are, and the difference, with the VAT of both."""

    def __init__(self, step: Step, currency: str) -> None:
        self.step = step
        both = [one for one in (step.was, step.now) if one is not None]
        given = [] if step.kind == "invoice" else [one.event for one in both]
        self.money: PaperMoney = paper_money([one.sale for one in both], currency, given)
        self.vat = self._taxed(step.was), self._taxed(step.now)

    def _taxed(self, one: Shown | None) -> Taxed | None:
        if one is None:
            return None
        of = self.money.of_sale if self.step.kind == "invoice" else self.money.of_given
        return of(one.vat, one.event, one.rates)

    def html(self, heads: str, settings: Mapping[str, Any]) -> Iterator[str]:
        """``heads``: the rows of shop, day and buyer."""
        record = self.step.issued.record
        yield tag("h1", shown(self.step.name)) + heads
        known = [one for one in self.vat if one is not None]
        shows_vat = [one for one in known[:-1] if one.ordinary]
        yield "".join(map(aside, vat_cautions([*shows_vat, *known[-1:]])))
        cells = ("correction", "was", "is", "difference")
        rows = [_row(*cells, css="head"), *self._words(), *self._amounts(), *self._tax()]
        yield tag("p", shown(f"{record['stock']}  {description(record)}"))
        yield tag("table", "".join(rows), "lines change")
        if self.step.now is None:
            yield tag("p", _VOID[self.step.kind])
        yield "".join(tag("p", shown(said)) for said in self._who_gets())
        yield "".join(tag("p", shown(said)) for said in vat_words(known[-1:], settings))

    def _words(self) -> Iterator[str]:
        was, now = self.step.was, self.step.now
        if was is None or now is None:
            return
        for name, label in _WORDS[self.step.kind].items():
            if was.event.get(name) != now.event.get(name):
                yield _row(label, str(was.event.get(name) or "-"), str(now.event.get(name) or "-"), "")
        if was.consigned != now.consigned:
            yield _row("sold for", *("the owner" if one.consigned else "the shop" for one in (was, now)), "")
        before, after = (_vat_shown(one.vat) for one in (was, now))
        if before != after:
            yield _row("VAT", before, after, "")

    def _amounts(self) -> Iterator[str]:
        was, now = (self._of(one) for one in (self.step.was, self.step.now))
        for label in was:
            if label in _SUMS or was[label] or now[label]:
                yield self._figures(label, was[label], now[label], "sum" if label in _SUMS else "")

    def _of(self, one: Shown | None) -> dict[str, int]:
        """Label -> amount in minor units; what is taken off is below 0."""
        if self.step.kind == "credit note":
            return {"given back": self.money.given(one.event) if one else 0}
        own = {name: self.money.amount(one.event, name) if one else 0 for name in _NAMES}
        price = self.money.price(one.event) if one else 0
        back = self.money.credited(one.event) if one else 0
        return {
            "price": price + own["discount"],
            "discount": -own["discount"],
            "postage and packing": own["postage"],
            "tax collected": own["tax"],
            "taken in exchange": -own["traded"],
            "credited for what came back": -back,
            "to pay": price + own["postage"] + own["tax"] - own["traded"] - back,
        }

    def _who_gets(self) -> Iterator[str]:
        """Who gets the difference. Of what is void nothing is known to have been paid."""
        was, now = self.step.was, self.step.now
        if was is None or now is None:
            return
        name = "given back" if self.step.kind == "credit note" else "to pay"
        off = self._of(now)[name] - self._of(was)[name]
        amount = Money(abs(off), self.money.currency).show()
        if off and name == "to pay":
            yield f"The buyer gets {amount} back." if off < 0 else f"The buyer has {amount} more to pay."
        elif off:
            yield f"The buyer gets {amount} {'less' if off < 0 else 'more'} back."

    def _tax(self) -> Iterator[str]:
        """Net and VAT, where the paper showed VAT or would now."""
        if not any(one is not None and one.ordinary for one in self.vat):
            return
        rates = {one.rate for one in self.vat if one is not None and one.ordinary and one.rate is not None}
        each = f" {percent_words(next(iter(rates)))} %" if len(rates) == 1 else ""
        was, now = (one if one is not None else Taxed("", "") for one in self.vat)
        if all(one is None or one.ordinary for one in self.vat):
            yield self._figures("without VAT", was.gross - was.vat, now.gross - now.vat)
        else:
            yield _row("without VAT", *(self._net(one) for one in (was, now)), "-")
        yield self._figures(f"VAT{each}", was.vat, now.vat)

    def _net(self, one: Taxed) -> str:
        """What is left without VAT, where VAT is shown."""
        return Money(one.gross - one.vat, self.money.currency).plain() if one.ordinary else "-"

    def _figures(self, label: str, was: int, now: int, css: str = "") -> str:
        code = self.money.currency
        figures = (Money(minor, code).plain() for minor in (was, now, now - was))
        return _row(f"{label}, in {code}" if css else label, *figures, css=css)


_SUMS = ("to pay", "given back")
_VOID: Mapping[Kind, str] = {
    "invoice": "The sale of this record is void: nothing of it is to pay.",
    "credit note": "For this record the credit note is void: nothing was given back.",
}


def _vat_shown(one: Taxed) -> str:
    """What a paper says of VAT in a word or two."""
    if one.kind == "ordinary":
        return f"{percent_words(one.rate)} %" if one.rate is not None else "no rate set"
    return _VAT_SHOWN[one.kind]


def _row(what: str, *cells: str, css: str = "") -> str:
    return tag(
        "tr", tag("td", shown(what), "what") + "".join(tag("td", shown(one), "num") for one in cells), css
    )
