"""A sale in one line of the bench: number, date, price, buyer, invoice number."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, parse_money
from benchtui.money.days import day

_STOCK = re.compile(r"([A-Za-z]+) ?0*(\d{1,5})", re.ASCII)
_WHERE = "sale"


@dataclass(frozen=True, slots=True)
class SaleLine:
    """What the line says. ``stock`` is the whole number, ``on`` a day as text, ``agreed`` who agreed to less
    than the reserve."""

    stock: str
    on: str
    price: Money
    buyer: str
    invoice: str
    agreed: str = ""


def read_sale_line(text: str, currency: str, today: date) -> SaleLine:
    """``a12; 2026-11-20; 24.00; M. Larch; 0042``: semicolons (or slashes) between; the last two may lack.
    A sixth says who agreed to a price under the reserve.

    The number may be short (a12 is A00012). The day may be empty (today), ``-1`` (yesterday) or ``11-20``
    (the last 20 November that was). BenchError says which field is wrong.
    """
    cells = [cell.strip() for cell in text.split(";" if ";" in text else "/")]
    if not 3 <= len(cells) <= 6:
        right = "write number; day; price; buyer; invoice; who agreed to less than the reserve"
        raise BenchError("a sale has 3 to 6 fields", _WHERE, right)
    number, when, price, buyer, invoice, agreed = [*cells, "", "", ""][:6]
    stock = _STOCK.fullmatch(number)
    if stock is None:
        raise BenchError(
            f"{number!r} is not a stock number", _WHERE, "write a letter and digits, such as A00012"
        )
    try:
        money = parse_money(price, currency)
    except ValueError as wrong:
        raise BenchError(str(wrong), _WHERE) from None
    return SaleLine(f"{stock[1].upper()}{int(stock[2]):05}", _day(when, today), money, buyer, invoice, agreed)


def _day(text: str, today: date) -> str:
    if not text:
        return today.isoformat()
    if re.fullmatch(r"-\d{1,2}", text, re.ASCII):
        return (today - timedelta(days=int(text[1:]))).isoformat()
    if re.fullmatch(r"\d{2}-\d{2}", text, re.ASCII):
        this_year = f"{today.year}-{text}"
        if this_year <= today.isoformat():
            return day(this_year, "the day of sale", _WHERE).isoformat()
        return day(f"{today.year - 1}-{text}", "the day of sale", _WHERE).isoformat()
    return day(text, "the day of sale", _WHERE).isoformat()
