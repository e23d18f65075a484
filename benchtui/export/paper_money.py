"""The currency of an invoice or a credit note: that of the sale, with the shop's beside it.

An invoice may be in any currency if the VAT is also in the shop's own, at a rate that it names (Directive
2006/112/EC, article 230). A credit note of an older version that does not say it is in the shop's.
"""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.export.paper_vat import Taxed
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.deal import extra
from benchtui.money.policy import Rates
from benchtui.money.refunds import on_invoice, paid_abroad, price_on_invoice
from benchtui.money.scheme import vat_in
from benchtui.money.standings import effective

Event = Mapping[str, Any]


class PaperMoney(NamedTuple):
    """In which currency the amounts of one paper are. ``paid_in``: what its sale says of another currency,
    None where the paper is in the shop's own; ``sold_on`` the day of the sale."""

    shop: str
    sold_on: str
    paid_in: Mapping[str, Any] | None = None

    @property
    def currency(self) -> str:
        return str(self.paid_in["currency"]) if self.paid_in else self.shop

    def price(self, sale: Event) -> int:
        """What the record itself costs, after any discount, in minor units."""
        return price_on_invoice(sale, self.shop) if self.paid_in else int(sale["minor"])

    def amount(self, sale: Event, name: str) -> int:
        """Its part of the discount, postage, tax or what came in exchange, in minor units."""
        return on_invoice(sale, name, self.shop) if self.paid_in else extra(sale, name)

    def credited(self, sale: Event) -> int:
        """What of it is paid with a record that came back, in minor units."""
        back = sale.get("instead") or {}
        return (
            int((back.get("paid_in") or back)["minor"])
            if self.paid_in and back
            else int(back.get("minor", 0))
        )

    def given(self, event: Event) -> int:
        """What was given back, in minor units."""
        return int(event["paid_in"]["minor"]) if self.paid_in else int(event["minor"])

    def given_parts(self, record: RecordDoc, sale: Event, event: Event) -> tuple[int, int, int]:
        """What was given back of price, postage and tax, in minor units: a refund lowers the price first."""
        before = 0
        for one in effective(record):
            if one["n"] == event["n"]:
                break
            before = before + self._given_before(one) if one["what"] == "refunded" else before
            before = 0 if one["what"] == "sold" else before
        price, postage = self.price(sale), self.amount(sale, "postage")

        def split(minor: int) -> tuple[int, int, int]:
            of_price, of_postage = min(minor, price), min(max(minor - price, 0), postage)
            return of_price, of_postage, minor - of_price - of_postage

        first, second, third = split(before + self.given(event))
        was = split(before)
        return first - was[0], second - was[1], third - was[2]

    def _given_before(self, event: Event) -> int:
        if self.paid_in and "paid_in" not in event:
            return paid_abroad(int(event["minor"]), self.paid_in, self.shop).minor
        return self.given(event)

    def of_sale(self, vat: Taxed, sale: Event, rates: Rates) -> Taxed:
        """The VAT of a sale in the paper's currency."""
        price, postage = self.price(sale), self.amount(sale, "postage")
        minor = int(sale["minor"])
        return self._at(vat, {minor: price, minor + extra(sale, "postage"): price + postage}, rates)

    def of_given(self, vat: Taxed, event: Event, rates: Rates) -> Taxed:
        """The VAT of what was given back in the paper's currency."""
        return self._at(vat, {int(event["minor"]): self.given(event)}, rates)

    def _at(self, vat: Taxed, known: Mapping[int, int], rates: Rates) -> Taxed:
        """``known``: amounts of the shop's currency that stand on the paper in its own."""
        if self.paid_in is None or not vat.kind:
            return vat
        gross = known.get(vat.gross)
        gross = paid_abroad(vat.gross, self.paid_in, self.shop).minor if gross is None else gross
        rounding = rates.on(vat.sold_on).vat_rounding
        shown = vat.ordinary and vat.rate is not None
        part = vat_in(Money(gross, self.currency), vat.rate, rounding).minor if shown and vat.rate else 0
        return vat._replace(gross=gross, vat=part)

    def rate_words(self) -> str:
        """``in GBP, at the rate 0.86 of 2026-02-03``; "" in the shop's own currency."""
        if self.paid_in is None:
            return ""
        on = self.paid_in.get("rate_date") or self.sold_on
        source = f" ({self.paid_in['rate_from']})" if self.paid_in.get("rate_from") else ""
        return f"in {self.shop}, at the rate {self.paid_in['rate']} of {on}{source}"


def paper_money(sales: Sequence[Event], shop: str, given: Sequence[Event] = ()) -> PaperMoney:
    """Of the sales of one paper, with what was ``given`` back of them: the shop's own currency where not all
    is kept in one other."""
    own = [one.get("paid_in") or {} for one in sales]
    kept = all(own) and len({(one["currency"], one["rate"]) for one in own}) == 1
    back = all("paid_in" in one for one in given)
    return PaperMoney(shop, str(sales[0]["at"])[:10], own[0] if kept and back else None)
