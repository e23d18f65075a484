"""Money: integer minor units with an ISO 4217 code; never a float."""

import re
from dataclasses import dataclass
from typing import TypedDict

from benchtui.model.currencies import decimals_of

ABSURD_MINOR = 10**11
"""No amount a person types may reach this many minor units (a thousand million pounds)."""

_CODE = re.compile(r"[A-Za-z]{3}")
_PLAIN = re.compile(r"(?P<whole>\d+)(?:[.,](?P<decimals>\d+))?", re.ASCII)
_GROUPED = re.compile(
    r"(?P<whole>\d{1,3}(?P<by>[ ,.'\u00a0\u202f])\d{3}(?:(?P=by)\d{3})*)"
    r"(?:(?!(?P=by))[.,](?P<decimals>\d+))?",
    re.ASCII,
)
_SIGNS = {
    "£": ("GBP",),
    "€": ("EUR",),
    "¥": ("JPY", "CNY"),
    "\uffe5": ("JPY", "CNY"),
    "$": ("USD", "AUD", "CAD", "HKD", "MXN", "NZD", "SGD", "TWD"),
    "₩": ("KRW",),
    "₹": ("INR",),
    "₺": ("TRY",),
    "₴": ("UAH",),
    "₪": ("ILS",),
    "฿": ("THB",),
}
"""A sign that several currencies share is the shop's own where it is one of them, and refused elsewhere."""


class MoneyFields(TypedDict):
    """What a ``Money`` looks like in a document."""

    minor: int
    currency: str


def minor_units(code: str) -> int:
    """How many decimals the currency has: GBP 2, JPY 0, KWD 3.

    ValueError for any other text, and for a code whose decimals nobody gave yet: it says where to give them.
    """
    if (decimals := decimals_of(code)) is not None:
        return decimals
    raise ValueError(ask_decimals(code))


def ask_decimals(code: str, where: str = "under 'other currencies' in the shop's rules") -> str:
    """What is said of a currency that is not known: one sentence that says what to do, and where."""
    if not re.fullmatch("[A-Z]{3}", code):
        return f"{code!r} is not a currency: give a code of three capital letters such as GBP or EUR"
    ask = f"how many decimals has the currency {code}?"
    return f"{ask} Correct the code, or give its decimals {where}: {code} 2"


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units (pence, cents) of one currency.

    TypeError unless ``minor`` is a whole number (a float never enters); ValueError for a currency of
    unknown decimals.
    Sums and differences need the same currency: what is in two currencies has no sum without a rate.
    """

    minor: int
    currency: str

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise TypeError(f"money is whole minor units, never {type(self.minor).__name__}: {self.minor!r}")
        minor_units(self.currency)

    def __add__(self, other: "Money") -> "Money":
        return Money(self.minor + self._same(other), self.currency)

    def __sub__(self, other: "Money") -> "Money":
        return Money(self.minor - self._same(other), self.currency)

    def __neg__(self) -> "Money":
        return Money(-self.minor, self.currency)

    def _same(self, other: "Money") -> int:
        if other.currency != self.currency:
            raise ValueError(f"{self.show()} and {other.show()} are in two currencies; convert one first")
        return other.minor

    def plain(self) -> str:
        """``24.00``: a full stop, the currency's own number of decimals, no code and no grouping."""
        digits = minor_units(self.currency)
        sign, text = ("-" if self.minor < 0 else ""), str(abs(self.minor)).rjust(digits + 1, "0")
        return sign + (f"{text[:-digits]}.{text[-digits:]}" if digits else text)

    def show(self) -> str:
        """``24.00 GBP``."""
        return f"{self.plain()} {self.currency}"

    def to_doc(self) -> MoneyFields:
        """The document the store keeps."""
        return {"minor": self.minor, "currency": self.currency}


def parse_money(text: str, currency: str) -> Money:
    """What a person typed: ``24``, ``24.5``, ``24,50``, ``1,200.00``, ``24.50 EUR``, ``eur 24``, ``£24``.

    ``currency`` holds where none is typed. Exact: digits past the currency's own are refused, not rounded.
    ValueError with one clear sentence for anything else, also below zero or absurdly much.
    """
    typed = text.strip()
    number, code = _split(typed, currency)
    if not any(sign.isdigit() for sign in number) or any(sign.isalpha() for sign in number):
        raise ValueError(f"{typed!r} is not an amount; write for example {Money(2450, 'GBP').plain()}")
    digits = minor_units(code)
    if number.startswith(("-", "−", "(")):
        raise ValueError(f"{typed!r} is below zero; enter 0 or more")
    whole, decimals = _figures(number, digits, typed)
    if len(decimals) > digits:
        raise ValueError(f"{code} has {digits} decimals, {typed!r} has {len(decimals)}")
    figures = (whole + decimals.ljust(digits, "0")).lstrip("0")
    if len(figures) >= len(str(ABSURD_MINOR)):
        raise ValueError(f"{typed!r} is too large; enter less than {Money(ABSURD_MINOR, code).show()}")
    return Money(int(figures or 0), code)


def _split(typed: str, currency: str) -> tuple[str, str]:
    """The figure and the currency of what was typed: a code or a sign before or after, or neither."""
    if typed and typed[0] in _SIGNS:
        return typed[1:].strip(), _signed(typed[0], currency)
    if typed and typed[-1] in _SIGNS:
        return typed[:-1].strip(), _signed(typed[-1], currency)
    if _CODE.fullmatch(typed[:3]) and not typed[3:4].isalpha():
        return typed[3:].strip(), typed[:3].upper()
    if _CODE.fullmatch(typed[-3:]) and not typed[-4:-3].isalpha():
        return typed[:-3].strip(), typed[-3:].upper()
    return typed, currency


def _signed(sign: str, currency: str) -> str:
    codes = _SIGNS[sign]
    if currency in codes or len(codes) == 1:
        return currency if currency in codes else codes[0]
    raise ValueError(
        f"{sign} is the sign of {' and '.join(codes[:2])}; write the code, such as 24 {codes[0]}"
    )


def _figures(number: str, digits: int, typed: str) -> tuple[str, str]:
    """Digits before and after the point, thousands joined. ValueError for no figure, or two readings.

    A lone sign before three digits (``1,200``, ``1.234``) is read as the point by a currency of three
    decimals, as thousands by one of none, and refused by the others: a guess would be out by a thousand.
    """
    found = _PLAIN.fullmatch(number) or _GROUPED.fullmatch(number)
    if not found:
        raise ValueError(f"{typed!r} is not an amount; write for example {Money(2450, 'GBP').plain()}")
    whole, decimals = found["whole"], found["decimals"] or ""
    lone = found.re is _PLAIN and len(decimals) == 3 and len(whole) <= 3 and not whole.startswith("0")
    if lone and digits == 0:
        return whole + decimals, ""
    if lone and digits != 3:
        raise ValueError(
            f"{typed!r} can be read in two ways; write {whole}{decimals} or {whole}.{decimals[:2]}"
        )
    return re.sub(r"\D", "", whole), decimals
