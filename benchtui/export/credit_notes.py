"""Credit notes to print: each return or price reduction of a sale that has an invoice.

A document that amends an invoice refers to it (Directive 2006/112/EC, article 219). Its number is of a series
of its own, taken as the return is entered; one entered before numbers were given has none, and says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.page import page, shown, tag
from benchtui.export.papers import STYLE, Sold, cells, head_rows, margin_words, paper_row, purchases
from benchtui.export.shop_books import Parcels
from benchtui.model.money import Money
from benchtui.money.book import description
from benchtui.money.policy import Rates
from benchtui.money.standings import effective

WHAT = {"returned": "returned", "refunded": "price reduced"}


@dataclass(frozen=True, slots=True)
class Given:
    """What was given back, and the sale it was paid in."""

    event: Mapping[str, Any]
    sold: Sold


def credit_notes(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable page of every credit note of the days, and how many they are. BenchError for none."""
    found = given_back(parcels, ask)
    if not found:
        said = "no return or price reduction of an invoiced sale in these days"
        raise BenchError(said, "credit-notes", "name other days: --day, or --from and --to")
    rates = Rates(settings)
    paid = purchases(parcels, [one.sold for one in found], rates)
    body = "\n".join(tag("section", "".join(_note(one, settings, rates, paid))) for one in found)
    return page("Credit notes", body, STYLE), len(found)


def given_back(parcels: Parcels, ask: Ask) -> list[Given]:
    """The returns and refunds of the days whose sale has an invoice, by day and number."""
    found = [
        one
        for head, records in parcels
        if ask.parcel in (None, head["id"])
        for record in records
        for one in _of_record(head, record)
        if ask.first <= one.event["at"][:10] <= ask.last
    ]
    return sorted(found, key=lambda one: (one.event["at"][:10], str(one.event.get("credit_note") or "")))


def _of_record(head: Any, record: Any) -> Iterator[Given]:
    sale = None
    for event in effective(record):
        if event["what"] == "sold":
            sale = event
        elif event["what"] in WHAT and event["minor"] and sale is not None and sale.get("invoice"):
            yield Given(event, (head, record, sale))


def _note(one: Given, settings: Mapping[str, Any], rates: Rates, paid: Mapping[str, int]) -> Iterator[str]:
    _, record, sale = one.sold
    number = one.event.get("credit_note")
    yield tag("h1", shown(f"Credit note {number}" if number else "Credit note without a number"))
    to = (("date", one.event["at"][:10]), ("to", str(sale.get("buyer") or "")))
    yield head_rows(settings, (*to, ("for invoice", f"{sale['invoice']} of {sale['at'][:10]}"), *_why(one)))
    amount = Money(int(one.event["minor"]), rates.currency)
    what = f"{description(record)} ({WHAT[one.event['what']]})"
    lines: Sequence[str] = (
        paper_row(what, record["stock"] or "", amount.plain()),
        tag("tr", cells("given back", "", amount.show()), "sum"),
    )
    yield tag("table", "".join(lines))
    yield "".join(tag("p", shown(said)) for said in margin_words([one.sold], settings, rates, paid))


def _why(one: Given) -> tuple[tuple[str, str], ...]:
    return (("reason", str(one.event["note"])),) if one.event.get("note") else ()
