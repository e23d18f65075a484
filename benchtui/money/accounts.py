"""The figures of each period from the shop's entries, and of a closed one as they were written down."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.money.entries import Closed, Entry
from benchtui.money.policy import Policy, Rates
from benchtui.money.scheme import Period, next_period, period_end, period_of, periods

Totals = dict[str, list[int]]


def must_have_rate(policy: Policy) -> None:
    """BenchError where no VAT rate is set for that day: none is shipped."""
    if policy.vat_rate is None:
        raise BenchError(
            "no VAT rate is set", "setting vat_rate", "enter the rate that your tax authority gives"
        )


def periods_of(
    entries: Iterable[Entry],
    rates: Rates,
    until: str = "",
    closed: Sequence[Closed] = (),
    carried_in: Money | None = None,
) -> list[Period]:
    """The periods of these entries; of a closed one what was written down, whatever is known now.

    The rate, and the rule of rounding, are those of the period's last day.
    """
    totals: Totals = {}
    for entry in entries:
        for name, column in (("period purchases", 0), ("period takings", 1)):
            if minor := entry.memo_of(name):
                totals.setdefault(period_of(entry.day, rates.on(entry.day).vat_period), [0, 0])[column] += (
                    minor
                )
    if until and (totals or rates.on(until).scheme == "period"):
        totals.setdefault(period_of(until, rates.on(until).vat_period), [0, 0])
    written = {str(row["name"]): row for one in closed for row in one.figures.get("periods", ())}
    done: list[Period] = []
    for name in _all_between(sorted({*totals, *written})):
        if name in written:
            done.append(period_from(written[name], rates.currency))
            continue
        policy = rates.on(period_end(name))
        must_have_rate(policy)
        row = (name, *(Money(minor, policy.currency) for minor in totals.get(name, [0, 0])))
        carried = done[-1].carried_on if done else carried_in or rates.opening_margin
        done += periods([row], policy.vat_rate, policy.vat_rounding, carried)  # type: ignore[list-item, arg-type]
    return done


_AMOUNTS = ("purchases", "sales", "carried_in", "margin", "vat", "carried_on")


def period_doc(period: Period) -> dict[str, Any]:
    """As a closed period keeps it: minor units by name."""
    return {"name": period.name} | {name: getattr(period, name).minor for name in _AMOUNTS}


def period_from(doc: Mapping[str, Any], currency: str) -> Period:
    """Back from a closed period."""
    return Period(str(doc["name"]), *(Money(doc[name], currency) for name in _AMOUNTS))


def _all_between(names: list[str]) -> list[str]:
    """Every period from the first to the last: a month, a quarter or a year after another."""
    if not names:
        return []
    wanted, name = [names[0]], names[0]
    while name < names[-1]:
        name = next_period(name)
        wanted.append(name)
    return wanted
