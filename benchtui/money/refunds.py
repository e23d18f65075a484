"""What is given back of a sale, in the currency the buyer paid in and at the rate of that sale.

A refund undoes part of a sale, so it counts at the sale's own rate. What it costs to pay it back on its day
is another figure; the difference of the two is an exchange difference (IAS 21, paragraph 28).
"""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, minor_units
from benchtui.model.record import RecordDoc
from benchtui.money.deal import FEES, ON_INVOICE, extra, percent_of
from benchtui.money.rounding import Rule, rate_of, to_int, to_money
from benchtui.money.standings import effective, left_to_refund, place_of, standing, taken

Fields = dict[str, Any]


def taken_back_in(
    record: RecordDoc, sale: dict[str, Any], event: Mapping[str, Any], after: int, given: int
) -> tuple[int, str] | None:
    """(minor units, currency) that a refund took of what was paid in another currency; None for a sale in the
    shop's own. ``after``: refunded with this one, in the shop's; ``given``: before it, in the other.

    A refund that does not say it takes its share; the last one of all takes what is left.
    """
    paid_in = sale.get("paid_in") or {}
    if "bank" not in paid_in:  # sales of older versions
        return None
    if own := event.get("paid_in"):
        return int(own["minor"]), str(own["currency"])
    whole = taken(record, sale, with_tax=True) - extra(sale, "traded")
    if whole <= 0:
        return None
    share = to_int(paid_in["minor"] * min(Fraction(1), Fraction(after, whole)))
    return max(0, share - given), str(paid_in["currency"])


def refund_of(
    record: RecordDoc, asked: Money | None, rate: str = "", rule: Rule = "half-up", *, whole: bool = False
) -> tuple[Money, Fields]:
    """What a refund is in the shop's currency, and the fields that keep what it was in the sale's.

    ``asked`` may be in either; None is what is left of the price, with postage and tax where ``whole``.
    ``rate``: of the day it is paid back, "" to leave the day's difference out. BenchError for another
    currency, a rate that is none, and more than was paid.
    """
    left, where = left_to_refund(record), place_of(record)
    now = standing(record)
    sale = now.sale or {}
    paid_in = sale.get("paid_in") or {}
    wanted = asked or (left if whole else now.price or left)
    if "bank" not in paid_in:
        if wanted.currency != left.currency or rate:
            right = f"enter the amount in {left.currency}, with no rate"
            raise BenchError(f"it was sold in {left.currency}", where, right)
        return wanted, {}
    own, code = _given_so_far(record), str(paid_in["currency"])
    left_in = Money(max(0, int(paid_in["minor"]) - own), code)
    if wanted.currency not in (code, left.currency):
        raise BenchError(f"it was sold in {code}", where, f"enter the amount in {code} or {left.currency}")
    if wanted.currency == code:
        if wanted.minor > left_in.minor:
            raise BenchError(f"a refund of {wanted.show()}", where, f"enter at most {left_in.show()}")
        back, shop = wanted, _at(wanted, str(paid_in["rate"]), left, rule)
        if wanted == left_in and not extra(sale, "traded"):
            shop = left
    else:
        after = taken(record, sale, with_tax=True) - left.minor + wanted.minor
        back, shop = Money((taken_back_in(record, sale, {}, after, own) or (0, ""))[0], code), wanted
    kept: Fields = {"minor": back.minor, "currency": code, "rate": paid_in["rate"]}
    if rate:
        day = _at(back, rate, None, rule, left.currency)
        kept |= {"day_rate": rate, "day_minor": day.minor}
    return shop, {"paid_in": kept}


def corrected_amount(event: Mapping[str, Any], money: Money, rule: Rule = "half-up") -> Fields:
    """The fields of an event that change with its amount, which may be in the currency it was paid in.

    Of a sale what came to the bank changes with the price. BenchError for any other currency.
    """
    paid_in, shop = event.get("paid_in") or {}, str(event["currency"])
    codes = [shop, *([str(paid_in["currency"])] if paid_in else [])]
    if money.currency not in codes:
        said = f"{money.show()} is not in {' or '.join(codes)}"
        raise BenchError(said, "correction", "type the amount in it")
    if not paid_in:
        return {"minor": money.minor}
    code, rate = codes[1], str(paid_in["rate"])
    now = money if money.currency == shop else _at(money, rate, None, rule, shop)
    own = money.minor if money.currency == code else paid_abroad(now.minor, paid_in, shop).minor
    if event["what"] == "sold":
        return {"minor": now.minor, "paid_in": _with_more(paid_in, own - price_on_invoice(event, shop))}
    kept = {**paid_in, "minor": own}
    if day := paid_in.get("day_rate"):
        kept["day_minor"] = _at(Money(own, code), str(day), None, rule, shop).minor
    return {"minor": now.minor, "paid_in": kept}


def corrected_price(event: Mapping[str, Any], money: Money, rule: Rule = "half-up") -> Fields:
    """The same for the price of a sale, which stands before its discount as in the line of a sale; the
    discount stays as it was said, a share of the price or an amount.

    BenchError as there, and for a discount above the price.
    """
    share, shop = str(event.get("percent_off") or ""), str(event["currency"])
    if not (share or extra(event, "discount")):
        return corrected_amount(event, money, rule)
    code = str((event.get("paid_in") or {}).get("currency") or shop)
    off = Money(on_invoice(event, "discount", shop), code)
    made = corrected_extra(event, "discount", Money(0, code), rule)
    made |= corrected_amount({**event, **made}, money, rule)
    bare = {**event, **made}
    again = corrected_percent(bare, share, rule) if share else corrected_extra(bare, "discount", off, rule)
    return made | again


def corrected_percent(event: Mapping[str, Any], share: str, rule: Rule = "half-up") -> Fields:
    """The fields of a sale that change with a discount of so many per cent of its price."""
    shop = str(event["currency"])
    listed = price_on_invoice(event, shop) + on_invoice(event, "discount", shop)
    code = str((event.get("paid_in") or {}).get("currency") or shop)
    off = Money(percent_of(listed, share), code)
    return corrected_extra(event, "discount", off, rule) | {"percent_off": share}


def _with_more(paid_in: Mapping[str, Any], more: int) -> Fields:
    """What was paid in another currency, and what of it came to the bank, so much more."""
    banked = {"bank": paid_in["bank"] + more} if "bank" in paid_in else {}
    return {**paid_in, "minor": paid_in["minor"] + more, **banked}


def corrected_extra(event: Mapping[str, Any], name: str, money: Money, rule: Rule = "half-up") -> Fields:
    """The fields of a sale that change with a fee, or with what stands on its invoice beside the price: the
    price with a discount; in another currency what was paid and came to the bank, but for a fee the shop paid
    in its own money.

    BenchError for any other currency, a discount above the price, more in exchange than is to be paid.
    """
    paid_in, shop = event.get("paid_in") or {}, str(event["currency"])
    code = str(paid_in.get("currency") or shop)
    if money.currency not in (shop, code):
        raise BenchError(f"{money.show()} is not in {shop}", "correction", f"type the amount in {shop}")
    now = money if money.currency == shop else _at(money, str(paid_in["rate"]), None, rule, shop)
    own = money.minor if money.currency == code else paid_abroad(now.minor, paid_in, shop).minor
    if name in FEES:
        return {name: now.minor} | _corrected_fee(event, name, own, apart=money.currency == shop != code)
    _must_fit(event, name, now)
    made: Fields = {name: now.minor}
    if name == "discount":
        listed = price_on_invoice(event, shop) + on_invoice(event, name, shop)
        made |= corrected_amount(event, Money(listed - own, code), rule)
    elif paid_in:
        more = own - on_invoice(event, name, shop)
        made["paid_in"] = _with_more(paid_in, -more if name == "traded" else more)
    if paid_in:
        made["paid_in"]["of"] = {**(paid_in.get("of") or {}), name: own}
    return made


def _must_fit(event: Mapping[str, Any], name: str, now: Money) -> None:
    """BenchError where the sale would be of less than nothing."""
    price, more = int(event["minor"]), {one: extra(event, one) for one in ON_INVOICE} | {name: now.minor}
    if name == "discount" and price + extra(event, name) < now.minor:
        raise BenchError(f"a discount of {now.show()}", "correction", "enter a smaller discount")
    if name != "discount" and more["traded"] > price + more["postage"] + more["tax"]:
        said = f"{Money(more['traded'], now.currency).show()} taken in exchange"
        raise BenchError(said, "correction", "enter no more than is to be paid")


def _corrected_fee(event: Mapping[str, Any], name: str, own: int, *, apart: bool) -> Fields:
    """What came to the bank of a sale in another currency; ``apart``: the fee was paid in the shop's own."""
    paid_in, shop = event.get("paid_in") or {}, str(event["currency"])
    if not paid_in:
        return {}
    before = 0 if name in paid_in.get("own", ()) else paid_abroad(extra(event, name), paid_in, shop).minor
    kept = {**paid_in, "own": [one for one in paid_in.get("own", ()) if one != name] + [name] * apart}
    banked = {"bank": paid_in["bank"] + before - (0 if apart else own)} if "bank" in paid_in else {}
    return {"paid_in": kept | banked}


def on_invoice(sale: Mapping[str, Any], name: str, shop: str) -> int:
    """An amount of `deal.ON_INVOICE` in the currency of the sale, in minor units. Sales of older versions
    keep it in the shop's only: it is worked back at their rate."""
    paid_in = sale.get("paid_in") or {}
    if not paid_in:
        return extra(sale, name)
    kept = (paid_in.get("of") or {}).get(name)
    return paid_abroad(extra(sale, name), paid_in, shop).minor if kept is None else int(kept)


def price_on_invoice(sale: Mapping[str, Any], shop: str) -> int:
    """The price after any discount in the currency of the sale, in minor units: of what was paid the rest."""
    paid_in = sale.get("paid_in") or {}
    if not paid_in:
        return int(sale["minor"])
    post, tax, traded = (on_invoice(sale, name, shop) for name in ("postage", "tax", "traded"))
    return int(paid_in["minor"]) - post - tax + traded


def paid_abroad(minor: int, paid_in: Mapping[str, Any], shop: str) -> Money:
    """An amount of the shop's currency in that of a sale, at the sale's rate."""
    code = str(paid_in["currency"])
    shift = Fraction(10) ** (minor_units(shop) - minor_units(code))
    return Money(to_int(minor / (rate_of(str(paid_in["rate"]), "sale") * shift)), code)


def price_left(record: RecordDoc) -> Money:
    """What is left of the price, without postage and tax, in the currency it was paid in."""
    shop, more = refund_of(record, None)
    own = more.get("paid_in")
    return Money(int(own["minor"]), str(own["currency"])) if own else shop


def left_in(record: RecordDoc) -> Money | None:
    """What of a sale in another currency is not given back yet, in it; None for one in the shop's own."""
    paid_in = (standing(record).sale or {}).get("paid_in") or {}
    if "bank" not in paid_in:
        return None
    return Money(max(0, int(paid_in["minor"]) - _given_so_far(record)), str(paid_in["currency"]))


def _at(amount: Money, rate: str, most: Money | None, rule: Rule, currency: str = "") -> Money:
    """The amount at that rate, in the shop's currency, at most what is left."""
    code = most.currency if most else currency
    shift = Fraction(10) ** (minor_units(code) - minor_units(amount.currency))
    made = to_money(amount.minor * rate_of(rate, "refund") * shift, code, rule)
    return min(made, most, key=lambda one: one.minor) if most else made


def _given_so_far(record: RecordDoc) -> int:
    sale: dict[str, Any] = {}
    refunded = given = 0
    for event in effective(record):
        if event["what"] == "sold":
            sale, refunded, given = event, 0, 0
        elif event["what"] == "refunded" and sale:
            refunded += int(event["minor"])
            given += (taken_back_in(record, sale, event, refunded, given) or (0, ""))[0]
    return given
