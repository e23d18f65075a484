"""Proof that nothing is lost: what was paid is found again, currency by currency and as a whole.

Cost in stock (shared out or not) + cost of sales + written off + handed back + what was expensed is what was
paid for goods. What was paid is taken from the parcels' bills, not from the entries.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from benchtui.model.money import Money
from benchtui.money.book import Parcels
from benchtui.money.charges import landed
from benchtui.money.entries import COST_ROLES, Entry, balances
from benchtui.money.late import late_bills
from benchtui.money.ledger import paid_from
from benchtui.money.policy import Rates


def paid_by_currency(parcels: Parcels, settings: Mapping[str, Any]) -> dict[str, tuple[int, int]]:
    """Currency of a bill -> (minor units of it that the bank paid, of the shop's currency in all), credits
    taken off; tax that comes back is no cost and left out."""
    rates = Rates(settings)
    found: dict[str, list[int]] = {}
    for head, _ in parcels:
        charges = landed(head, rates.currency, rates.on("").conversion).charges
        bills = [(one, one.landed.minor, paid_from(head, one.what)) for one in charges]
        bills += [
            (one.charge, one.amount.minor, "bank")
            for one in late_bills(head, rates.currency)
            if not one.reclaimed
        ]
        for charge, minor, source in bills:
            if charge.reclaimed:
                continue
            pair = found.setdefault(charge.charged.currency, [0, 0])
            if source == "bank":
                pair[0] += charge.charged.minor * (-1 if minor < 0 else 1)
            pair[1] += minor
    return {code: (own, shops) for code, (own, shops) in found.items()}


def proof(entries: Iterable[Entry], parcels: Parcels, settings: Mapping[str, Any]) -> Iterator[str]:
    """What does not hold, a sentence each."""
    made = list(entries)
    currency = Rates(settings).currency
    for entry in made:
        if off := sum(leg.minor for leg in entry.legs):
            yield f"the entry {entry.key} of {entry.day} is out of balance by {Money(off, currency).show()}"
    paid = paid_by_currency(parcels, settings)
    stands = balances(made)
    cost = sum(stands.get(role, 0) for role in COST_ROLES)
    cost -= _borne_by_senders(made)
    whole = sum(shops for _, shops in paid.values())
    if cost != whole:
        said = f"stock, cost of sales, written off and handed back are {Money(cost, currency).show()}"
        yield f"{said}, but {Money(whole, currency).show()} was paid"
    if moved := stands.get("moved", 0):
        yield f"cost of {Money(moved, currency).show()} left a record with a part and came to none"
    yield from _foreign(made, paid, currency)


def _borne_by_senders(entries: Iterable[Entry]) -> int:
    """Inbound postage that consignors bear went from the cost to their account: added back, below 0."""
    keys = ((entry, entry.corrects or entry.key) for entry in entries if entry.record)
    carried = (entry for entry, key in keys if key.endswith(":share") or ":late:" in key)
    return -sum(entry.sum_of("consignors") for entry in carried)


def _foreign(entries: Iterable[Entry], paid: Mapping[str, tuple[int, int]], currency: str) -> Iterator[str]:
    """What left the bank in each other currency is what its bills say."""
    left: dict[str, int] = {}
    for entry in entries:
        for leg in entry.legs:
            if leg.foreign is not None and not entry.record and entry.sum_of("reclaimed") == 0:
                left[leg.foreign[1]] = left.get(leg.foreign[1], 0) - leg.foreign[0]
    for code in sorted({*left, *paid} - {currency}):
        own = paid.get(code, (0, 0))[0]
        if left.get(code, 0) != own:
            shown = Money(left.get(code, 0), code).show()
            yield f"{shown} left the bank for goods, but the bills say {Money(own, code).show()}"
