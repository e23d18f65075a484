"""What the open parcel asks so far, beside what it cost to get here."""

from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.model.money import Money
from benchtui.money.charges import GET_HERE, landed
from benchtui.money.policy import policy_of


class SoFar(NamedTuple):
    """``asked``: all prices but those of what is set apart, ``priced`` of them; ``cost``: the landed cost, an
    estimate, with every line that is in the parcel's own papers by now.
    """

    asked: Money
    priced: int
    cost: Money


def so_far(desk: Desk) -> SoFar:
    """BenchError or ValueError, in words, where the amounts cannot be put together."""
    parcel = desk.work.parcel
    policy = policy_of(desk.settings)
    asked = [one["price"]["minor"] for one in desk.work.records if one["price"] and one["set_apart"] is None]
    total = Money(sum(asked), policy.currency)
    if parcel is None:
        return SoFar(total, len(asked), Money(0, policy.currency))
    return SoFar(total, len(asked), landed(parcel.head, policy.currency, policy.conversion).total)


def in_words(desk: Desk) -> str:
    """``asked so far 206.50 GBP, cost to get here 550.20 GBP``; "" where it cannot be told."""
    try:
        now = so_far(desk)
    except (BenchError, ValueError):
        return ""
    beside = f", {GET_HERE} {now.cost.show()}" if now.cost.minor else ""
    return f"asked so far {now.asked.show()}{beside}"
