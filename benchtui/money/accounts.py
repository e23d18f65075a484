"""The figures of each period from the shop's entries, and of a closed one as they were written down."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.money.days import next_day
from benchtui.money.entries import Closed, Entry
from benchtui.money.policy import Policy, Rates
from benchtui.money.scheme import Period, period_bounds, period_end, period_of, periods

Totals = dict[str, list[int]]


def must_have_rate(policy: Policy) -> None:
    """BenchError where no VAT rate is set for that day: none is shipped."""
    if policy.vat_rate is None:
        raise BenchError(
            "no VAT rate is set", "setting vat_rate", "enter the rate that your tax authority gives"
        )


def are_by_period(entries: Iterable[Entry], rates: Rates, on: str) -> bool:
    """Whether the shop has accounts by period: by its scheme of that day, or from one that it had."""
    return rates.on(on).scheme == "period" or any(map(counts_by_period, entries))


def counts_by_period(entry: Entry) -> bool:
    return bool(entry.memo_of("period takings") or entry.memo_of("period purchases"))


def periods_of(
    entries: Iterable[Entry],
    rates: Rates,
    until: str = "",
    closed: Sequence[Closed] = (),
) -> list[Period]:
    """The periods of these entries; of a closed one what was written down, whatever is known now.

    The rate, and the rule of rounding, are those of the period's last day; its length is that of its first.
    """
    by_day: Totals = {}
    for entry in entries:
        for name, column in (("period purchases", 0), ("period takings", 1)):
            if minor := entry.memo_of(name):
                by_day.setdefault(entry.day, [0, 0])[column] += minor
    if until and (by_day or rates.on(until).scheme == "period"):
        by_day.setdefault(until, [0, 0])
    written = {str(row["name"]): row for one in closed for row in one.figures.get("periods", ())}
    done = [period_from(row, rates.currency) for row in written.values()]
    after = period_end(done[-1].name) if done else ""
    for name, amounts in _by_period(by_day, after, rates):
        policy = rates.on(period_end(name))
        must_have_rate(policy)
        row = (name, *(Money(minor, policy.currency) for minor in amounts))
        carried = done[-1].carried_on if done else rates.opening_margin
        done += periods([row], policy.vat_rate, policy.vat_rounding, carried)  # type: ignore[list-item, arg-type]
    return done


_AMOUNTS = ("purchases", "sales", "carried_in", "margin", "vat", "carried_on")


def period_doc(period: Period) -> dict[str, Any]:
    """As a closed period keeps it: minor units by name."""
    return {"name": period.name} | {name: getattr(period, name).minor for name in _AMOUNTS}


def period_from(doc: Mapping[str, Any], currency: str) -> Period:
    """Back from a closed period."""
    return Period(str(doc["name"]), *(Money(doc[name], currency) for name in _AMOUNTS))


def _by_period(by_day: Mapping[str, Sequence[int]], after: str, rates: Rates) -> list[tuple[str, list[int]]]:
    """Every period from the first of these days (that come after a closed one) to the last, with its sums.

    Where another length holds from a day on, it is that of the periods which begin then or later; months
    lead from an odd day to the next period of a new length.
    """
    days = sorted(on for on in by_day if on > after)
    if not days:
        return []
    start = next_day(after) if after else f"{days[0][:4]}-01-01"
    found: list[tuple[str, list[int]]] = []
    while start <= days[-1]:
        name = period_of(start, rates.on(start).vat_period)
        if period_bounds(name)[0] != start:
            name = period_of(start, "month")
        end = period_end(name)
        mine = [by_day[on] for on in days if start <= on <= end]
        if mine or found or after:
            found.append((name, [sum(column) for column in zip([0, 0], *mine, strict=True)]))
        start = next_day(end)
    return found
