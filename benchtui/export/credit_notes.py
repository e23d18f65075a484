"""Credit notes to print: each return or price reduction of a sale that has an invoice.

A document that amends an invoice refers to it (Directive 2006/112/EC, article 219). Its number is of a series
of its own, taken as the return is entered; all that was entered with one number is one note. One entered
before numbers were given has none, and says so. A note stays as it was issued; what is corrected since, or
void, is a paper of its own (`issued`), so the series shows no gap.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.issued import corrections, invoice_words, noted
from benchtui.export.page import aside, page, shown, tag
from benchtui.export.paper_money import paper_money
from benchtui.export.paper_then import Shown, Then
from benchtui.export.paper_vat import Taxed, marks, net_of, vat_cautions, vat_table, vat_words
from benchtui.export.papers import (
    STYLE,
    beside_rows,
    correction,
    head_rows,
    in_order,
    line_heads,
    owners_words,
    paper_row,
    sum_row,
    to_row,
)
from benchtui.model.money import Money
from benchtui.money.book import Parcels, description
from benchtui.money.policy import Rates
from benchtui.money.standings import gives_all

WHAT = {"returned": "returned", "refunded": "price reduced"}
WHOLE = "refunded in full"


class Given(NamedTuple):
    """What was given back of one record as the note said it, and the invoice of the sale."""

    shown: Shown
    invoice: str

    @property
    def on(self) -> str:
        return str(self.shown.event["at"])[:10]

    @property
    def note(self) -> str:
        """What is the same of all of one credit note."""
        event = self.shown.event
        return str(event.get("credit_note") or f"{self.shown.record['id']}:{event['n']}")


def credit_notes(parcels: Parcels, settings: Mapping[str, Any], ask: Ask) -> tuple[bytes, int]:
    """A printable page of every credit note of the days, and how many they are. BenchError for none."""
    then = Then(settings)
    found, steps = given_back(parcels, then, ask), corrections(parcels, then, ask, "credit note")
    if not found and not steps:
        said = "no return or price reduction of an invoiced sale in these days"
        raise BenchError(said, "credit-notes", "name other days: --day, or --from and --to")
    since = [((one.on, one.name), correction(one, settings)) for one in steps]
    made = [
        (
            (mine[0].on, str(mine[0].shown.event.get("credit_note") or "")),
            "".join(_Note(mine, Rates(settings).currency).html(settings)),
        )
        for mine in found
    ]
    return page("Credit notes", in_order(made, since), STYLE), len(found) + len(since)


def given_back(parcels: Parcels, then: Then, ask: Ask) -> list[list[Given]]:
    """The returns and refunds of the days whose sale has an invoice, those of one note together, by day."""
    found: dict[tuple[str, str, str], list[Given]] = {}
    for head, records in parcels:
        for record in records:
            for of in noted(record):
                one = then.issued(head, record, of, of)
                if one is None:
                    continue
                given = Given(one, invoice_words(record, one.sale))
                if ask.first <= given.on <= ask.last:
                    number = str(one.event.get("credit_note") or "")
                    found.setdefault((given.on, number, given.note), []).append(given)
    chosen = (found[key] for key in sorted(found))
    wanted = ask.parcel
    return [mine for mine in chosen if not wanted or any(one.shown.head["id"] == wanted for one in mine)]


class _Note:
    """One credit note: its records, in the currency the sale was paid in."""

    def __init__(self, mine: Sequence[Given], own: str) -> None:
        self.invoice, self.mine = mine[0].invoice, [one.shown for one in mine]
        self.money = paper_money([one.sale for one in self.mine], own, [one.event for one in self.mine])
        self.vat = [self.money.of_given(one.vat, one.event, one.rates) for one in self.mine]

    def html(self, settings: Mapping[str, Any]) -> Iterator[str]:
        first, money = self.mine[0], self.money
        number = first.event.get("credit_note")
        yield tag("h1", shown(f"Credit note {number}" if number else "Credit note without a number"))
        why = dict.fromkeys(str(one.event["note"]) for one in self.mine if one.event.get("note"))
        rows = (("date", str(first.event["at"])[:10]), to_row(str(first.sale.get("buyer") or "")),
                ("for invoice", self.invoice), ("reason", "; ".join(why)))  # fmt: skip
        yield head_rows(settings, rows)
        parts = [money.given_parts(one.record, one.sale, one.event) for one in self.mine]
        lines = [
            self._line(*each)
            for each in zip(
                self.mine, self.vat, marks(self.vat), (price for price, _, _ in parts), strict=True
            )
        ]
        back = [Money(price, money.currency) for price, _, _ in parts]
        postage = ("postage and packing", [each for _, each, _ in parts])
        lines += beside_rows(self.vat, self.mine[0].rates, back, [postage])
        if tax := sum(each for _, _, each in parts):
            lines.append(paper_row("tax collected", "", Money(tax, money.currency).plain()))
        whole = sum(money.given(one.event) for one in self.mine)
        yield tag("table", "".join((line_heads(self.vat, "given back"), *lines, *self._sums(whole))), "lines")
        own = [one.vat for one in self.mine] if money.paid_in else ()
        yield vat_table(self.vat, whole, money.currency, own, money.shop)
        yield "".join(map(aside, vat_cautions(self.vat)))
        yield "".join(tag("p", shown(said)) for said in vat_words(self.vat, settings))
        yield "".join(tag("p", shown(said)) for said in owners_words(self.mine))

    def _line(self, one: Shown, vat: Taxed, mark: str, price: int) -> str:
        record, back = one.record, Money(price, self.money.currency)
        said = WHOLE if gives_all(record, one.event["n"]) else WHAT[one.event["what"]]
        net = net_of(back, vat, one.rates)
        words = f"{description(record)} ({said})"
        return paper_row(
            words, record["stock"] or "", back.plain(), net.plain() if net is not None else "", mark
        )

    def _sums(self, whole: int) -> Iterator[str]:
        """What is given back, and where it was paid in another currency what that is at the sale's rate."""
        yield sum_row("given back", Money(whole, self.money.currency))
        if words := self.money.rate_words():
            own = sum(int(one.event["minor"]) for one in self.mine)
            yield paper_row(f"{words}, as in the sale", "", Money(own, self.money.shop).plain())
