"""Margin scheme: VAT on the margin only, item by item or by period. An estimate, never advice.

Sources: Council Directive 2006/112/EC, articles 312-325 (the margin is the selling price less the purchase
price and holds its own VAT); the VAT (Special Provisions) Order 1995, SI 1995/1268, articles 12 and 13, as
quoted in the British tax authority's manual VATMARG03050 (period accounting).
"""

import re
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.money.days import day
from benchtui.money.policy import Policy
from benchtui.money.rounding import Rule, to_money

_PERIOD = re.compile(r"[1-9]\d{3}(?:-Q[1-4]|-(?:0[1-9]|1[0-2]))?", re.ASCII)


class Margin(NamedTuple):
    """One item's margin (below zero on a loss) and the VAT in it (then nothing)."""

    margin: Money
    vat: Money


class Period(NamedTuple):
    """One period: its totals, what was carried into it, and what is carried on (both 0 or more).

    ``margin`` is sales less purchases less ``carried_in``; VAT is due where it is above 0, else the shortfall
    is ``carried_on``.
    """

    name: str
    purchases: Money
    sales: Money
    carried_in: Money
    margin: Money
    vat: Money
    carried_on: Money


def vat_in(amount: Money, rate: Fraction, rule: Rule = "half-up") -> Money:
    """The VAT that an amount holds: the fraction r/(100+r), rounded once. ``rate`` is a share of one."""
    return to_money(amount.minor * rate / (1 + rate), amount.currency, rule)


def item_margin(purchase: Money, selling: Money, rate: Fraction, rule: Rule = "half-up") -> Margin:
    """Item by item: no VAT on a loss, and a loss is not set against another item's profit."""
    margin = selling - purchase
    return Margin(margin, vat_in(margin, rate, rule) if margin.minor > 0 else Money(0, margin.currency))


def periods(
    totals: Iterable[tuple[str, Money, Money]],
    rate: Fraction,
    rule: Rule = "half-up",
    carried_in: Money | None = None,
) -> list[Period]:
    """(name, purchases, sales) of each period in order. VAT is never below zero; a shortfall is carried on.

    ``carried_in`` is what an earlier period left over, or the value of the stock at the start, 0 or more.
    Sales below zero (more refunded than sold) are what they are: they lower the margin.
    """
    done: list[Period] = []
    for name, purchases, sales in totals:
        carried = done[-1].carried_on if done else carried_in or Money(0, sales.currency)
        if carried.minor < 0:
            raise BenchError(f"{carried.show()} carried in", "period accounting", "enter 0 or more")
        margin = sales - purchases - carried
        nothing = Money(0, margin.currency)
        vat, on = (vat_in(margin, rate, rule), nothing) if margin.minor > 0 else (nothing, -margin)
        done.append(Period(name, purchases, sales, carried, margin, vat, on))
    return done


def period_of(text: str, length: str) -> str:
    """The period a day falls in: ``2026-11``, ``2026-Q4`` or ``2026``. Calendar periods only."""
    when = day(text, "the day")
    if length == "month":
        return f"{when.year:04}-{when.month:02}"
    return f"{when.year:04}-Q{(when.month + 2) // 3}" if length == "quarter" else f"{when.year:04}"


def period_bounds(name: str) -> tuple[str, str]:
    """First and last day of a period by its name. BenchError for what is none."""
    if not _PERIOD.fullmatch(name):
        raise BenchError(
            f"there is no period {name!r}", "--period", "write one such as 2026-Q1, 2026-03 or 2026"
        )
    year, _, part = name.partition("-")
    month = 1 if not part else int(part[1:]) * 3 - 2 if part.startswith("Q") else int(part)
    return f"{year}-{month:02}-01", period_end(name)


def period_end(name: str) -> str:
    """Its last day: ``2026-Q1`` ends on 2026-03-31."""
    year, _, part = name.partition("-")
    month = 12 if not part else int(part[1:]) * 3 if part.startswith("Q") else int(part)
    after = date(int(year) + month // 12, month % 12 + 1, 1)
    return (after - timedelta(days=1)).isoformat()


class Eligibility(NamedTuple):
    """Whether a record may be sold under the scheme: the dealer's answer, or what there is to ask."""

    answer: bool | None
    why: str
    ask: tuple[str, ...]


def scheme_of(head: Mapping[str, Any], record: Mapping[str, Any], purchase: Money, policy: Policy) -> str:
    """How this record's VAT is reckoned: by the shop's scheme, if the dealer said it is eligible."""
    if policy.scheme == "none":
        return "none"
    answer = eligibility(record, head).answer
    if answer is not True:
        return "to be asked" if answer is None else "outside"
    over = policy.period_limit is not None and purchase.minor > policy.period_limit
    return "item by item" if policy.scheme == "item" or over else "by period"


def eligibility(record: Mapping[str, Any], head: Mapping[str, Any]) -> Eligibility:
    """The record's own answer, else the parcel's, never decided here; unanswered, what there is to ask."""
    for doc in (record, head):
        if (answer := doc.get("margin_eligible")) is not None:
            return Eligibility(bool(answer), str(doc.get("margin_why") or ""), ())
    kinds = {charge["what"] for charge in head.get("charges", [])}
    ask = ["does the purchase invoice show VAT?"]
    if head.get("customs") or kinds & {"duty", "tax"}:
        ask.append("it came through customs: did the shop import it itself?")
    return Eligibility(None, "", tuple(ask))
