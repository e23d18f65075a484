"""Period accounting over the shop's parcels: purchases when bought, takings and refunds when they happen."""

from collections.abc import Iterator, Mapping
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on
from benchtui.money.charges import landed, own_terms
from benchtui.money.policy import Policy, policy_of
from benchtui.money.scheme import Period, period_of, periods
from benchtui.money.spreading import spread
from benchtui.money.standings import flows, require_currency, standing
from benchtui.money.stock import scheme_of

Totals = dict[str, list[int]]


def period_accounts(
    parcels: Parcels, settings: Mapping[str, Any], carried_in: Money | None = None, until: str = ""
) -> list[Period]:
    """Each period from the first movement to the last, or to that of the day ``until``, none left out.

    Only records reckoned "by period" (see ``scheme_of``). A record scrapped or handed back to its seller
    takes its purchase price out again in the period in which it left: the careful reading, since a purchase
    never sold would lower the tax for good (compare VATMARG03400 on goods that leave the scheme).
    BenchError without a VAT rate, or for a parcel without a day of purchase.
    """
    policy = policy_of(settings)
    if policy.vat_rate is None:
        raise BenchError(
            "no VAT rate is set", "setting vat_rate", "enter the rate that your tax authority gives"
        )
    totals: Totals = {}
    for head, records in parcels:
        for record, price in _by_period(head, records, policy):
            _count(totals, head, record, price, policy)
    if until:
        totals.setdefault(period_of(until, policy.vat_period), [0, 0])
    rows = [
        (name, *(Money(minor, policy.currency) for minor in totals.get(name, [0, 0])))
        for name in _all_between(sorted(totals))
    ]
    return periods(rows, policy.vat_rate, policy.vat_rounding, carried_in)  # type: ignore[arg-type]


def _by_period(head: HeadDoc, records: Any, policy: Policy) -> Iterator[tuple[RecordDoc, int]]:
    shares = spread(head, landed(head, policy.currency, policy.conversion), records).by_record()
    for record in records:
        share = shares.get(record["id"])
        if share is None or own_terms(head, record) != "bought" or record["state"] == "withdrawn":
            continue
        apart = record["set_apart"] and standing(record).what == "in the shop"
        price = share.margin_purchase_price
        if not apart and scheme_of(head, record, price, policy) == "by period":
            yield record, price.minor


def _count(totals: Totals, head: HeadDoc, record: RecordDoc, price: int, policy: Policy) -> None:
    """Add the record's purchase and its takings to the periods they belong to ([purchases, sales])."""

    def add(on: str, column: int, minor: int) -> None:
        totals.setdefault(period_of(on, policy.vat_period), [0, 0])[column] += minor

    require_currency(record, policy.currency)
    bought = bought_on(head)
    if not bought:
        raise BenchError(
            "it has no day of purchase",
            f"parcel {head['id']}",
            "enter the day it was bought, or the day it came",
        )
    add(bought, 0, price)
    for flow in flows(record):
        add(flow.at, 1, flow.minor)
    now = standing(record)
    if now.what in ("handed back", "scrapped"):
        add(now.since, 0, -price)


def _all_between(names: list[str]) -> list[str]:
    """Every period from the first to the last: a month, a quarter or a year after another."""
    if not names:
        return []
    wanted, name = [names[0]], names[0]
    while name != names[-1]:
        name = _next(name)
        wanted.append(name)
    return wanted


def _next(name: str) -> str:
    year, _, part = name.partition("-")
    if not part:
        return f"{int(year) + 1:04}"
    quarter = part.startswith("Q")
    number, last = int(part.lstrip("Q")), 4 if quarter else 12
    year, number = (f"{int(year) + 1:04}", 1) if number == last else (year, number + 1)
    return f"{year}-Q{number}" if quarter else f"{year}-{number:02}"
