"""Exact figures in, one rounding out, by a rule that has a name."""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, get_args

from benchtui.base.errors import BenchError
from benchtui.model.money import ABSURD_MINOR, Money, minor_units

Rule = Literal["half-up", "half-even", "down", "whole half-up", "whole down"]
RULES: tuple[Rule, ...] = get_args(Rule)
"""Authorities differ: halves up, halves to even, the rest cut off; ``whole`` goes to whole pounds."""

_DECIMAL = re.compile(r"\d{1,12}(?:[.,]\d{1,12})?", re.ASCII)


def rule_named(name: object, where: str = "rounding") -> Rule:
    """The rule of that name. BenchError with the list of them otherwise."""
    for rule in RULES:
        if rule == name:
            return rule
    raise BenchError(f"there is no rounding rule {name!r}", where, "use one of " + ", ".join(RULES))


def to_int(value: Fraction, rule: Rule = "half-up") -> int:
    """The whole number next to ``value``; halves away from zero, to even, or all cut off."""
    size = abs(value)
    whole, rest = divmod(size.numerator, size.denominator)
    twice = 2 * rest
    if rule.endswith("half-up"):
        up = twice >= size.denominator
    elif rule == "half-even":
        up = twice > size.denominator or (twice == size.denominator and whole % 2 == 1)
    else:
        up = False
    return (whole + up) * (-1 if value < 0 else 1)


def to_money(minor: Fraction, currency: str, rule: Rule = "half-up") -> Money:
    """An exact number of minor units as money, rounded once; ``whole`` rules end on a major unit."""
    unit = 10 ** minor_units(currency) if rule.startswith("whole") else 1
    return Money(to_int(minor / unit, rule) * unit, currency)


def exact(text: object, what: str, where: str = "") -> Fraction:
    """A number of 0 or more written in decimals ("0.8553", "19"), exactly. BenchError for anything else.

    Whole numbers, ``Fraction`` and ``Decimal`` pass; a float does not, since it no longer is what was typed.
    """
    if isinstance(text, int | Fraction | Decimal) and not isinstance(text, bool):
        value = Fraction(text)
    elif isinstance(text, str) and _DECIMAL.fullmatch(text.strip()):
        value = Fraction(text.strip().replace(",", "."))
    else:
        raise BenchError(f"{what} is {text!r}", where, "write a plain number such as 0.8553 or 20, as text")
    if value < 0:
        raise BenchError(f"{what} is below zero: {text}", where, "enter 0 or more")
    return value


def rate_of(text: object, where: str = "") -> Fraction:
    """A rate of exchange: how much of ours one of theirs is, "0.8553"; or, as authorities that quote theirs
    for one of ours print it, "1/1.1692". Exact either way. BenchError for 0 and anything else.
    """
    over = isinstance(text, str) and text.replace(" ", "").startswith("1/")
    rate = exact(str(text).split("/", 1)[1] if over else text, "the rate", where)
    if not rate:
        raise BenchError("the rate is 0", where, "enter more than 0")
    return 1 / rate if over else rate


def percent(text: object, what: str, where: str = "") -> Fraction:
    """A percentage as a share of one; BenchError below 0 or over 100 %."""
    value = exact(text, what, where)
    if value > 100:
        raise BenchError(f"{what} is {text} %", where, "enter 0 to 100 %")
    return value / 100


def money_of(doc: Mapping[str, Any] | None, where: str, currency: str | None = None) -> Money:
    """The money in a document, checked: whole minor units, a known currency, not below zero, not absurd.

    With ``currency`` it also has to be in that one. BenchError says where and what is wrong.
    """
    try:
        money = Money((doc or {})["minor"], (doc or {})["currency"])
    except KeyError as missing:
        raise BenchError(f"the amount has no {missing}", where, "give minor units and a currency") from None
    except (TypeError, ValueError) as wrong:
        raise BenchError(str(wrong), where) from None
    if money.minor < 0:
        raise BenchError(f"{money.show()} is below zero", where, "enter an amount of 0 or more")
    if money.minor >= ABSURD_MINOR:
        raise BenchError(f"{money.show()} is too large", where, f"enter less than {ABSURD_MINOR} minor units")
    if currency is not None and money.currency != currency:
        raise BenchError(f"{money.show()} is not in {currency}", where, f"enter an amount in {currency}")
    return money
