"""A sale as it happens: one invoice, one or several records, and what came and went with the price.

Every amount of the invoice is shared out over its records in proportion to their prices, to the penny, so
that each record's realised profit adds up to that of the invoice.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, minor_units
from benchtui.money.apportion import largest_remainder
from benchtui.money.rounding import Rule, percent, rate_of, to_int, to_money

AMOUNTS = {
    "discount": "discount",
    "postage": "postage charged",
    "tax": "tax collected",
    "selling_fee": "selling fee",
    "payment_fee": "payment fee",
    "postage_paid": "postage paid",
    "packing": "packing",
    "traded": "taken in exchange",
}
"""Field of the event -> what it is called."""
FEES = ("selling_fee", "payment_fee", "postage_paid", "packing")
"""What of them the seller pays."""
ON_INVOICE = ("discount", "postage", "tax", "traded")
"""What of them the buyer sees beside the price."""


class Extras(NamedTuple):
    """What stands on one invoice beside the prices, in minor units of the currency it was made out in.

    ``tax`` is collected for an authority and passed on (it is not VAT of the shop's own); ``traded`` what of
    the price was paid with records taken in exchange. ``rate``: shop currency for one unit, "" in its own.
    """

    discount: int = 0
    postage: int = 0
    tax: int = 0
    selling_fee: int = 0
    payment_fee: int = 0
    postage_paid: int = 0
    packing: int = 0
    traded: int = 0
    where: str = ""
    rate: str = ""
    rate_date: str = ""
    rate_from: str = ""
    own: tuple[str, ...] = ()
    """Which of the fees of a sale in another currency are amounts of the shop's own: what a carrier took."""
    percent_off: str = ""
    """The discount as it was said, where that was a share of the price: "10"."""


def deal_fields(
    prices: Sequence[Money], extras: Extras, currency: str, deal: str, rule: Rule = "half-up"
) -> list[dict[str, Any]]:
    """For each record sold the fields of its event: ``minor`` is its price after the discount.

    BenchError: prices in two currencies, another currency without its rate, a discount above the prices, or
    more taken in exchange than is to be paid.
    """
    _must_be_fair(prices, extras, currency)
    listed = [price.minor for price in prices]
    parts = {
        name: largest_remainder(getattr(extras, name), listed) for name in AMOUNTS if getattr(extras, name)
    }
    off = parts.get("discount", [0] * len(prices))
    found = []
    for at, price in enumerate(prices):
        own = {name: values[at] for name, values in parts.items()}
        made = _in_shop(own | {"minor": price.minor - off[at]}, price.currency, extras, currency, rule)
        words = {"where": extras.where, "percent_off": extras.percent_off, "deal": deal}
        found.append(made | {name: word for name, word in words.items() if word})
    return found


def percent_of(minor: int, share: str) -> int:
    """A discount of so many per cent, in minor units, halves up. BenchError over 100 %, or for no number."""
    return to_int(minor * percent(share, "the discount", "sale"))


def _must_be_fair(prices: Sequence[Money], extras: Extras, currency: str) -> None:
    if len({price.currency for price in prices}) != 1:
        raise BenchError(
            "a sale needs its prices, all in one currency", "sale", "enter one sale for each currency"
        )
    whole, code = sum(price.minor for price in prices), prices[0].currency
    if extras.discount > whole:
        said = f"a discount of {Money(extras.discount, code).show()} on {Money(whole, code).show()}"
        raise BenchError(said, "sale", "enter a smaller discount")
    to_pay = whole - extras.discount + extras.postage + extras.tax
    if extras.traded > to_pay:
        said = f"{Money(extras.traded, code).show()} taken in exchange for {Money(to_pay, code).show()}"
        raise BenchError(said, "sale", "enter no more than is to be paid")
    if code != currency and not extras.rate:
        right = f"add rate and how many {currency} one {code} is: rate 0.86"
        raise BenchError(f"a sale in {code} has no rate", "sale", right)


def _in_shop(own: Mapping[str, int], code: str, extras: Extras, currency: str, rule: Rule) -> dict[str, Any]:
    """The amounts in the shop's currency; beside them, from another one, what was paid in it, what of that
    stood beside the price (``of``), and what came to the bank once fees and postage were taken off."""
    if code == currency:
        return dict(own) | {"currency": currency}
    shift = Fraction(10) ** (minor_units(currency) - minor_units(code))
    rate = rate_of(extras.rate, "sale") * shift
    made: dict[str, Any] = {
        name: minor if name in extras.own else to_money(minor * rate, currency, rule).minor
        for name, minor in own.items()
    }
    gross = own["minor"] + own.get("postage", 0) + own.get("tax", 0) - own.get("traded", 0)
    banked = gross - sum(own.get(name, 0) for name in FEES if name not in extras.own)
    paid_in = {"minor": gross, "currency": code, "rate": extras.rate, "bank": banked}
    paid_in |= {"rate_date": extras.rate_date, "rate_from": extras.rate_from}
    paid_in["of"] = {name: own.get(name, 0) for name in ON_INVOICE}
    paid_in |= {"own": list(extras.own)} if extras.own else {}
    return made | {"currency": currency, "paid_in": paid_in}


def extra(event: Mapping[str, Any], name: str) -> int:
    """That amount of a sale's event, 0 where it has none. BenchError for anything but 0 or more."""
    value = event.get(name) or 0
    if type(value) is not int or value < 0:
        raise BenchError(
            f"{AMOUNTS.get(name, name)} is {value!r}", f"event {event.get('n')}", "enter 0 or more"
        )
    return value


def paid_apart(sale: Mapping[str, Any]) -> int:
    """What of a sale in another currency was paid in the shop's own: those of its fees, in minor units."""
    return sum(extra(sale, name) for name in (sale.get("paid_in") or {}).get("own", ()))


def is_place(buyer: str) -> bool:
    """Whether a buyer is only a place: "over the counter", "at the fair"."""
    return buyer.casefold().startswith(("over the ", "at the ", "in the "))
