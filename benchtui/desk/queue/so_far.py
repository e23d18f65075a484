"""What the open parcel asks so far, beside what it cost to get here."""

from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.model.money import Money
from benchtui.money.charges import GET_HERE, landed, own_terms
from benchtui.money.policy import policy_of


class SoFar(NamedTuple):
    """``asked``: all prices but those of what is set apart, ``priced`` of them; ``cost``: the landed cost, an
    estimate, with every line that is in the parcel's own papers by now. Where some was bought that cost is
    of the bought records, and ``consigned`` what is asked for the others.
    """

    asked: Money
    priced: int
    cost: Money
    consigned: Money


def so_far(desk: Desk) -> SoFar:
    """BenchError or ValueError, in words, where the amounts cannot be put together."""
    parcel = desk.work.parcel
    policy = policy_of(desk.settings)
    nothing = Money(0, policy.currency)
    priced = [one for one in desk.work.records if one["price"] and one["set_apart"] is None]
    if parcel is None:
        return SoFar(nothing, 0, nothing, nothing)
    bought = [one for one in desk.work.records if own_terms(parcel.head, one) == "bought"]
    own = [one for one in priced if one in bought] if bought else priced
    asked, every = (sum(one["price"]["minor"] for one in them if one["price"]) for them in (own, priced))
    cost = landed(parcel.head, policy.currency, policy.conversion).total
    return SoFar(Money(asked, policy.currency), len(own), cost, Money(every - asked, policy.currency))


def in_words(desk: Desk) -> str:
    """``asked so far 206.50 GBP, cost to get here 550.20 GBP``; "" where it cannot be told."""
    try:
        now = so_far(desk)
    except (BenchError, ValueError):
        return ""
    beside = f", {GET_HERE} {now.cost.show()}" if now.cost.minor else ""
    theirs = f" and {now.consigned.show()} for consigned ones" if now.consigned.minor else ""
    return f"asked so far {now.asked.show()}{theirs}{beside}"
