"""A line of a consignor's statement, and the record it is about."""

from typing import NamedTuple

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.late import LateBill
from benchtui.money.policy import Policy
from benchtui.money.recordflow import commission_vat

LATE = ", "
"""Between what of the charges came with one late bill and with the next."""


class Line(NamedTuple):
    """One record, or (``record`` "") a charge for the whole. ``net`` = price - commission - vat - charges.

    ``vat`` is what comes on top of the commission; VAT that is in it is not told apart here. ``paid_on``: the
    day of the last payout for it. ``late``: what of the charges came with bills after the parcel, in words.
    """

    record: str
    parcel: str
    stock: str
    came_in: str
    description: str
    grades: str
    state: str
    sold_on: str
    price: Money
    commission: Money
    charges: Money
    net: Money
    paid_out: Money
    vat: Money
    paid_on: str = ""
    late: str = ""


class Theirs(NamedTuple):
    """A record of a consignor's that has a number, with the inbound postage that its sender bears. ``late``:
    what of it came with bills after the parcel.
    """

    head: HeadDoc
    record: RecordDoc
    inbound: Money
    late: tuple[LateBill, ...] = ()


def vat_added(commission: Money, policy: Policy) -> Money:
    """The VAT that comes on top of it, where the shop's rule says so."""
    added = commission_vat(commission, policy) if policy.commission_vat == "added" else 0
    return Money(added, commission.currency)
