"""Credit notes to print: each return or price reduction of a sale that has an invoice.

A document that amends an invoice refers to it (Directive 2006/112/EC, article 219). Its number is of a series
of its own, taken as the return is entered; all that was entered with one number is one note. One entered
before numbers were given has none, and says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.page import aside, page, shown, tag
from benchtui.export.paper_money import paper_money
from benchtui.export.paper_vat import Facts, Taxed, booked_vat, marks, taxed, vat_table, vat_words
from benchtui.export.papers import (
    STYLE,
    Paper,
    Sold,
    cells,
    head_rows,
    in_order,
    line_heads,
    owners_words,
    paper_row,
    to_row,
)
from benchtui.export.shop_books import Books, Parcels
from benchtui.model.money import Money
from benchtui.money.book import description
from benchtui.money.notice import TAX_ESTIMATE
from benchtui.money.standings import effective, voided

WHAT = {"returned": "returned", "refunded": "price reduced"}


class Given(NamedTuple):
    """What was given back of one record, and the sale it was paid in."""

    event: Mapping[str, Any]
    sold: Sold

    @property
    def on(self) -> str:
        return str(self.event["at"])[:10]

    @property
    def note(self) -> str:
        """What is the same of all of one credit note."""
        number = self.event.get("credit_note")
        return str(number or f"{self.sold[1]['id']}:{self.event['n']}")


def credit_notes(books: Books, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable page of every credit note of the days, and how many they are. BenchError for none."""
    found = given_back(books.parcels, ask)
    void = void_pages(books.parcels, settings, ask)
    if not found and not void:
        said = "no return or price reduction of an invoiced sale in these days"
        raise BenchError(said, "credit-notes", "name other days: --day, or --from and --to")
    facts = booked_vat(books.entries)
    made = [
        (
            (mine[0].on, str(mine[0].event.get("credit_note") or "")),
            "".join(_Note(mine, books, facts).html(settings)),
        )
        for mine in found
    ]
    return page("Credit notes", in_order(made, void), STYLE), len(found) + len(void)


def given_back(parcels: Parcels, ask: Ask) -> list[list[Given]]:
    """The returns and refunds of the days whose sale has an invoice, those of one note together, by day."""
    found: dict[tuple[str, str, str], list[Given]] = {}
    for head, records in parcels:
        for record in records:
            for one in _of_record(head, record):
                if ask.first <= one.on <= ask.last:
                    number = str(one.event.get("credit_note") or "")
                    found.setdefault((one.on, number, one.note), []).append(one)
    chosen = (found[key] for key in sorted(found))
    return [
        mine for mine in chosen if ask.parcel is None or any(one.sold[0]["id"] == ask.parcel for one in mine)
    ]


def _of_record(head: Any, record: Any) -> Iterator[Given]:
    sale = None
    for event in effective(record):
        if event["what"] == "sold":
            sale = event
        elif event["what"] not in WHAT or sale is None or not sale.get("invoice"):
            continue
        elif event["minor"] or event.get("credit_note"):
            yield Given(event, (head, record, sale))


def void_pages(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> list[Paper]:
    """A page for each number of the days that only voided events bear, so that the series shows no gap."""
    void: dict[str, tuple[str, str]] = {}
    used: set[str] = set()
    for head, records in parcels:
        for record in records:
            used |= {str(event["credit_note"]) for event in effective(record) if event.get("credit_note")}
            for event, why in voided(record):
                mine = ask.parcel in (None, head["id"]) and ask.first <= event["at"][:10] <= ask.last
                if mine and event["what"] in WHAT and event.get("credit_note"):
                    void.setdefault(str(event["credit_note"]), (event["at"][:10], why))
    return [
        (
            (on, number),
            tag("h1", shown(f"Credit note {number}: void"))
            + head_rows(settings, (("date", on), ("reason", why))),
        )
        for number, (on, why) in void.items()
        if number not in used
    ]


class _Note:
    """One credit note: its records, in the currency the sale was paid in."""

    def __init__(self, mine: Sequence[Given], books: Books, facts: Facts) -> None:
        self.mine, rates = mine, books.rates
        self.booked = [taxed(one.sold[1], one.event, one.sold[2]["at"][:10], facts, rates) for one in mine]
        self.money = paper_money([one.sold[2] for one in mine], rates.currency, [one.event for one in mine])
        pairs = zip(mine, self.booked, strict=True)
        self.vat = [self.money.of_given(vat, one.event, rates) for one, vat in pairs]

    def html(self, settings: Mapping[str, Any]) -> Iterator[str]:
        first, money = self.mine[0], self.money
        number, sale = first.event.get("credit_note"), first.sold[2]
        yield tag("h1", shown(f"Credit note {number}" if number else "Credit note without a number"))
        why = dict.fromkeys(str(one.event["note"]) for one in self.mine if one.event.get("note"))
        rows = (("date", first.on), to_row(str(sale.get("buyer") or "")),
                ("for invoice", f"{sale['invoice']} of {sale['at'][:10]}"),
                ("reason", "; ".join(why)))  # fmt: skip
        yield head_rows(settings, rows)
        lines = [self._line(*each) for each in zip(self.mine, self.vat, marks(self.vat), strict=True)]
        whole = sum(money.given(one.event) for one in self.mine)
        yield tag("table", "".join((line_heads(self.vat), *lines, *self._sums(whole))), "lines")
        yield vat_table(self.vat, whole, money.currency, self.booked if money.paid_in else (), money.shop)
        if any(one.ordinary for one in self.vat):
            yield aside(TAX_ESTIMATE)
        yield "".join(tag("p", shown(said)) for said in vat_words(self.vat, settings))
        yield "".join(tag("p", shown(said)) for said in owners_words(one.sold for one in self.mine))

    def _line(self, one: Given, vat: Taxed, mark: str) -> str:
        record, code = one.sold[1], self.money.currency
        what = f"{description(record)} ({WHAT[one.event['what']]})"
        net = Money(vat.gross - vat.vat, code).plain() if vat.ordinary else ""
        return paper_row(
            what, record["stock"] or "", Money(self.money.given(one.event), code).plain(), net, mark
        )

    def _sums(self, whole: int) -> Iterator[str]:
        """What is given back, and where it was paid in another currency what that is at the sale's rate."""
        yield tag("tr", cells("given back", "", Money(whole, self.money.currency).show()), "sum")
        if words := self.money.rate_words():
            own = sum(int(one.event["minor"]) for one in self.mine)
            yield paper_row(f"{words}, the rate of the sale", "", Money(own, self.money.shop).show())
