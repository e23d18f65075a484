"""What consigned records bear of a late bill for carriage: postage, duty, tax or fees that came afterwards.

It falls on them as the parcel's own postage does, and goes on their sender's next statement where the parcel,
or the terms of the day it came in, say that the sender bears it. It is written down with the bill
(``inbound``), and does not move when terms are changed later.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import bought_on, consignor
from benchtui.money.charges import Landed, own_terms
from benchtui.money.consign import terms_of
from benchtui.money.policy import Policy
from benchtui.money.spreading import spread_over
from benchtui.money.standings import standing


def sender_bears(head: HeadDoc, sender: Mapping[str, Any] | None, policy: Policy) -> bool:
    """Whether inbound postage is the sender's; False where no commission is agreed yet."""
    if not sender or not (sender.get("commission") or sender.get("bands")):
        return False
    return (head.get("inbound") or terms_of(sender, policy, bought_on(head)).inbound) == "sender"


def borne_by_senders(
    minor: int,
    head: HeadDoc,
    records: Sequence[RecordDoc],
    senders: Mapping[str, Mapping[str, Any]],
    policy: Policy,
    only: Sequence[str] = (),
) -> dict[str, int]:
    """Record id -> its part of ``minor`` units that its sender bears. ``only``: over these records alone."""
    nothing, bill = Money(0, policy.currency), Money(minor, policy.currency)
    chosen = [one for one in records if one["id"] in only] if only else records
    how = "even" if head["share_how"] == "even" else "worked"
    cost = Landed((), nothing, bill, bill, policy.conversion, nothing)
    parts = spread_over(cost, chosen, how, terms=head["terms"], parcel=head["id"]).by_record()
    theirs = [
        one
        for one in chosen
        if own_terms(head, one) == "consigned" and is_on_statement(one)
        if sender_bears(head, senders.get(consignor(head, one) or ""), policy)
    ]
    return {one["id"]: part for one in theirs if (part := parts[one["id"]].inbound.minor)}


def is_on_statement(record: RecordDoc) -> bool:
    """Whether it came in, and is not set apart while it is here."""
    came = record["state"] == "taken-in" and bool(record["stock"])
    return came and (not record["set_apart"] or standing(record).what != "in the shop")
