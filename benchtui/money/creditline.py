"""What is given back of one invoice, in one line of the bench: records, day, amounts, why."""

import re
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money, parse_money
from benchtui.money.apportion import largest_remainder
from benchtui.money.rounding import rate_of
from benchtui.money.saleline import read_when

_WHERE = "credit note"
_RATE = re.compile(r"rate +(\d\S*)")
ORDER = "write records; day; amounts; why: a12 + a13; ; 24 + 4 off; clicks"


class Back(NamedTuple):
    """What is given back of one record. ``money`` None: what is left of its price, ``whole`` with postage and
    tax. ``off``: the buyer keeps the record."""

    money: Money | None = None
    whole: bool = False
    off: bool = False


class CreditLine(NamedTuple):
    """What the line says. ``numbers`` are stock numbers as typed, or one invoice's; ``on`` a day as text;
    ``rate`` that of the day, "" for none."""

    numbers: tuple[str, ...]
    on: str
    backs: tuple[Back, ...]
    why: str = ""
    rate: str = ""


def read_credit_line(text: str, currency: str, today: date) -> CreditLine:
    """``a12 + a13; -1; 24 + 4 off; clicks on B2``, ``26-0353; ; all; came back``.

    ``off`` after an amount: the buyer keeps the record. No amount is the price of each, ``all`` with postage
    and tax; one amount for several records is shared out over them. ``rate 0.88`` in a cell of its own is the
    day's rate of a sale in another currency. BenchError says which cell is wrong.
    """
    text, rate = split_rate(text)
    cells = [cell.strip() for cell in text.split(";")]
    if not cells[0] or len(cells) > 4:
        raise BenchError("a credit note has 1 to 4 fields", _WHERE, ORDER)
    number, when, amounts, why = [*cells, "", "", ""][:4]
    numbers = tuple(one.strip() for one in number.split("+"))
    backs = tuple(_back(one.strip(), currency) for one in amounts.split("+"))
    if len(backs) not in (1, len(numbers)) or len(set(numbers)) != len(numbers):
        said = f"{len(numbers)} records and {len(backs)} amounts"
        raise BenchError(said, _WHERE, "write each record once, with its amount or one for all")
    return CreditLine(numbers, read_when(when, today, _WHERE), backs, why, rate)


def split_rate(text: str) -> tuple[str, str]:
    """The line without its cell ``rate 0.88``, and that rate. BenchError for a rate that is none."""
    kept, rate = [], ""
    for cell in text.split(";"):
        if found := _RATE.fullmatch(cell.strip()):
            rate = found[1]
            rate_of(rate, _WHERE)
        else:
            kept.append(cell)
    return ";".join(kept), rate


def shared_out(backs: Sequence[Back], left: Sequence[Money]) -> list[Back]:
    """An amount for each record: one for all is shared out by what is left of each (``left``)."""
    if len(backs) == len(left):
        return list(backs)
    (back,) = backs
    if back.money is None:
        return [back] * len(left)
    parts = largest_remainder(back.money.minor, [one.minor for one in left])
    return [Back(Money(minor, back.money.currency), off=back.off) for minor in parts]


def _back(text: str, currency: str) -> Back:
    off = f" {text}".casefold().endswith(" off")
    amount = text[:-3].strip() if off else text
    if amount.casefold() in ("", "all"):
        return Back(whole=bool(amount), off=off)
    try:
        return Back(parse_money(amount, currency), off=off)
    except ValueError as wrong:
        raise BenchError(str(wrong), _WHERE) from None
