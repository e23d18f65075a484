"""A sale in one line of the bench: number, date, price, buyer, invoice number, and what else stood on it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, parse_money
from benchtui.money.days import day
from benchtui.money.deal import FEES, Extras, percent_of
from benchtui.money.rounding import rate_of

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
    more: tuple[tuple[str, Money], ...] = ()
    """The other records of the sale with their prices."""
    extras: Extras = field(default_factory=Extras)

    @property
    def records(self) -> tuple[tuple[str, Money], ...]:
        """Every stock number sold, with its price."""
        return ((self.stock, self.price), *self.more)


def read_sale_line(text: str, currency: str, today: date) -> SaleLine:
    """``a12; 2026-11-20; 24.00; M. Larch; 0042``: semicolons (or slashes) between; the last two may lack.
    A sixth says who agreed to a price under the reserve. ``#`` for the invoice is the next number.

    Several records on one invoice: ``a12 + a13; ; 24 + 18; M. Larch``. Cells of a word and an amount may
    stand anywhere after the price: ``post 4.50``, ``discount 2`` or ``discount 10 %``, ``tax 1.20``
    (collected for an authority), ``fee 3.10``, ``payment 0.90``, ``sent 3.85``, ``packing 0.40``, ``traded
    10``; also ``where fair`` and, for a price in another currency, ``rate 0.86``. Amounts are in the currency
    of the price; what the shop paid in its own says so: ``sent 8.10 GBP``.

    ``free`` for a price is 0: given away, or thrown in with others.

    The number may be short (a12 is A00012). The day may be empty (today), ``-1`` (yesterday) or ``11-20``
    (the last 20 November that was). BenchError says which field is wrong.
    """
    cells = [cell.strip() for cell in text.split(";" if ";" in text else "/")]
    said = [cell for cell in cells[3:] if not _KEYED.fullmatch(cell)]
    if len(cells) < 3 or len(said) > 3:
        right = "write number; day; price; buyer; invoice; who agreed to less than the reserve"
        raise BenchError("a sale has 3 to 6 fields", _WHERE, right)
    number, when, price = cells[:3]
    buyer, invoice, agreed = [*said, "", "", ""][:3]
    stocks = [_stock(one) for one in number.split("+")]
    prices = [_price(one, currency) for one in price.split("+")]
    if len(stocks) != len(prices) or len(set(stocks)) != len(stocks):
        right = "write each record once, with its price: a12 + a13; ; 24 + 18"
        raise BenchError(f"{len(stocks)} records and {len(prices)} prices", _WHERE, right)
    (first, money), *more = zip(stocks, prices, strict=True)
    keyed = [cell for cell in cells[3:] if _KEYED.fullmatch(cell)]
    extras = _extras(keyed, Money(sum(one.minor for one in prices), money.currency), currency)
    return SaleLine(first, read_when(when, today), money, buyer, invoice, agreed, tuple(more), extras)


_WORDS = {
    "discount": "discount", "post": "postage", "tax": "tax", "fee": "selling_fee", "payment": "payment_fee",
    "sent": "postage_paid", "packing": "packing", "traded": "traded",
}  # fmt: skip
_KEYED = re.compile(
    rf"(?:(?P<word>{'|'.join(_WORDS)}) +(?P<amount>[^a-z]*\d.*)|where +(?P<where>.+)|rate +(?P<rate>.+))"
)


def _stock(text: str) -> str:
    found = _STOCK.fullmatch(text.strip())
    if found is None:
        raise BenchError(
            f"{text.strip()!r} is not a stock number", _WHERE, "write a letter and digits, such as A00012"
        )
    return f"{found[1].upper()}{int(found[2]):05}"


def _price(text: str, currency: str) -> Money:
    if text.strip().casefold() == "free":
        return Money(0, currency)
    try:
        return parse_money(text, currency)
    except ValueError as wrong:
        raise BenchError(str(wrong), _WHERE) from None


def _extras(cells: Sequence[str], prices: Money, shop: str) -> Extras:
    """Amounts by their words, in the currency of the prices; of fees in the shop's too. A discount may be a
    share of them."""
    currency, amounts = prices.currency, dict[str, int]()
    own: list[str] = []
    where = rate = share = ""
    for cell in cells:
        found = _KEYED.fullmatch(cell)
        assert found is not None
        if found["word"] == "discount" and found["amount"].endswith("%"):
            share = found["amount"].removesuffix("%").strip()
            amounts["discount"] = percent_of(prices.minor, share)
        elif found["word"]:
            money = _price(found["amount"], currency)
            name = _WORDS[found["word"]]
            if money.currency == shop != currency and name in FEES:
                own.append(name)
            elif money.currency != currency:
                raise BenchError(
                    f"{cell!r} is not in {currency}", _WHERE, "use one currency for the whole sale"
                )
            amounts[name] = money.minor
        elif found["rate"]:
            rate = found["rate"].strip()
            rate_of(rate, _WHERE)
        else:
            where = found["where"].strip()
    return Extras(**amounts, where=where, rate=rate, own=tuple(own), percent_off=share)  # type: ignore[arg-type]


def read_when(text: str, today: date, where: str = _WHERE) -> str:
    """The day of a line as ISO text: empty is today, ``-1`` yesterday, ``11-20`` the last that was."""
    if not text:
        return today.isoformat()
    if re.fullmatch(r"-\d{1,2}", text, re.ASCII):
        return (today - timedelta(days=int(text[1:]))).isoformat()
    if re.fullmatch(r"\d{2}-\d{2}", text, re.ASCII):
        this_year = f"{today.year}-{text}"
        if this_year <= today.isoformat():
            return day(this_year, "the day", where).isoformat()
        return day(f"{today.year - 1}-{text}", "the day", where).isoformat()
    return day(text, "the day", where).isoformat()
