"""Amounts as they stand in documents, shown and read without ever stopping the bench."""

import re
from collections.abc import Mapping
from typing import Any

from benchtui.model.money import Money, parse_money

_SHORT = re.compile(r"([A-Za-z]) ?0*(\d{1,5})", re.ASCII)


def shown(doc: Any) -> str:
    """``24.00 GBP``; one that cannot be an amount is shown as it stands, since it is only drawn here."""
    if not doc:
        return ""
    try:
        return Money(doc["minor"], doc["currency"]).show()
    except (KeyError, TypeError, ValueError):
        as_text = f"{doc.get('minor')} {doc.get('currency')}" if isinstance(doc, Mapping) else str(doc)
        return f"{as_text} (no amount)"


def whole_number(typed: str) -> str:
    """``A00012`` for ``a12``: a stock number without its noughts; any other text as it is."""
    short = _SHORT.fullmatch(typed)
    return f"{short[1].upper()}{int(short[2]):05}" if short else typed


def read_amount(text: str, currency: str) -> Money:
    """An amount of 0 or more in the shop's own currency. ValueError saying what would be right."""
    money = parse_money(text, currency)
    if money.currency != currency:
        raise ValueError(f"{money.show()} is not in {currency}: type the amount in it")
    return money
