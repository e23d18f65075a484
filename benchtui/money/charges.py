"""Landed cost: every charge of a parcel in the shop's currency, each converted and rounded once."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, minor_units
from benchtui.model.parcel import CHARGE_KINDS, ChargeDoc, HeadDoc
from benchtui.money.days import day
from benchtui.money.rounding import Rule, money_of, rate_of, to_money

GET_HERE = "cost to get here"
"""What the landed cost is called where a person reads it."""


class LandedCharge(NamedTuple):
    """One charge, and what it is in the shop's currency. ``rate``: shop currency for one unit of it."""

    what: str
    charged: Money
    rate: str
    rate_date: str
    rate_from: str
    landed: Money
    reclaimed: bool = False
    on: str = ""


class Landed(NamedTuple):
    """The whole cost. ``paid`` is what went to the seller only: the margin scheme's purchase price.

    ``carriage`` is all the rest: postage, duty, tax, fees. ``paid + carriage == total``, always. Tax that the
    authority gives back (``reclaimed`` on its charge) was paid too, and is no cost: it stands apart.
    """

    charges: tuple[LandedCharge, ...]
    paid: Money
    carriage: Money
    total: Money
    rule: Rule
    reclaimed: Money


def landed(head: HeadDoc, shop_currency: str, rule: Rule = "half-up") -> Landed:
    """The parcel's charges in the shop's currency.

    BenchError: a currency nobody knows, a foreign charge without its rate, a rate for the shop's own
    currency, an amount below zero or absurd, a kind of charge there is not.
    """
    charges = tuple(
        landed_charge(charge, shop_currency, rule, f"charge {number} of parcel {head['id']}")
        for number, charge in enumerate(head["charges"], 1)
    )
    nothing = Money(0, shop_currency)
    cost = [one for one in charges if not one.reclaimed]
    paid = sum((one.landed for one in cost if one.what == "price"), nothing)
    carriage = sum((one.landed for one in cost if one.what != "price"), nothing)
    reclaimed = sum((one.landed for one in charges if one.reclaimed), nothing)
    return Landed(charges, paid, carriage, paid + carriage, rule, reclaimed)


def landed_charge(charge: ChargeDoc, shop_currency: str, rule: Rule, where: str) -> LandedCharge:
    """One charge in the shop's currency, converted and rounded once. BenchError as ``landed``."""
    if charge["what"] not in CHARGE_KINDS:
        raise BenchError(
            f"there is no charge {charge['what']!r}", where, "use one of " + ", ".join(CHARGE_KINDS)
        )
    charged = money_of(charge, where)
    rate = _rate(charge, charged, shop_currency, where)
    shift = Fraction(10) ** (minor_units(shop_currency) - minor_units(charged.currency))
    into = (
        charged
        if charged.currency == shop_currency
        else to_money(charged.minor * rate * shift, shop_currency, rule)
    )
    money_of(into.to_doc(), where)
    return LandedCharge(
        charge["what"],
        charged,
        str(charge.get("rate") or "1"),
        charge.get("rate_date") or "",
        charge.get("rate_from") or "",
        into,
        bool(charge.get("reclaimed")),
        day(charge["on"], "its day", where).isoformat() if charge.get("on") else "",
    )


def _rate(charge: ChargeDoc, charged: Money, shop_currency: str, where: str) -> Fraction:
    """The rate, exactly; 1 for the shop's own currency, which needs none."""
    text = charge.get("rate")
    if charge.get("rate_date"):
        day(charge["rate_date"], "the day of the rate", where)
    if charged.currency == shop_currency:
        if text not in (None, "") and rate_of(text, where) != 1:
            raise BenchError(
                f"a rate of {text} for the shop's own currency", where, "leave the rate out, or write 1"
            )
        return Fraction(1)
    if text in (None, ""):
        right = (
            f"enter how much {shop_currency} one {charged.currency} is, the day, and where the rate is from"
        )
        raise BenchError(f"{charged.show()} has no rate", where, right)
    return rate_of(text, where)


def own_terms(head: Mapping[str, object], record: Mapping[str, object]) -> str:
    """``bought`` or ``consigned``: the record's own terms, else the parcel's."""
    return str(record.get("terms") or head.get("terms") or "bought")
