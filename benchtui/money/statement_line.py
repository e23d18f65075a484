"""A line of a consignor's statement, and the record it is about."""

from typing import NamedTuple

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.late import LateBill
from benchtui.money.policy import Policy
from benchtui.money.recordflow import commission_vat


class Charge(NamedTuple):
    """What of a line's charges fell due on a day of its own: ``said`` names the late bill or the credit, ""
    is what coming in cost. In minor units."""

    on: str
    minor: int
    said: str


class Line(NamedTuple):
    """One record, or (``record`` "") a charge for the whole. ``net`` = price - commission - vat - charges.

    ``vat`` is what comes on top of the commission; VAT that is in it is not told apart here. ``paid_on``: the
    day of the last payout for it. ``charged``: what of the charges is of days of its own, None where a
    closing of an older version does not say (``late`` has its words for late bills then).
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
    charged: tuple[Charge, ...] | None = ()

    @property
    def of_sale(self) -> Money:
        """What of the charges is the sale's own."""
        beside = sum(one.minor for one in self.charged or ())
        return self.charges - Money(
            self.charges.minor if self.charged is None else beside, self.charges.currency
        )


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
