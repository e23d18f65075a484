"""Bills and credits that come after a parcel was closed: each beside the others, with its own two days.

A late bill (customs, carrier, the seller's own) is spread over what is unsold on its day (of a closed day: on
the day it is booked, on which it counts), by cost share, or expensed, as the shop's rule says; a credit
lowers the records it is for. Where it went is written down with it (``shares``; ``inbound`` what senders of
consigned records bear; the rest is expensed) and does not move when a record is sold later.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.apportion import largest_remainder
from benchtui.money.charges import LandedCharge, landed_charge, own_terms
from benchtui.money.days import day
from benchtui.money.rounding import Rule
from benchtui.money.standings import standing

_FIGURES = re.compile(r"\b(price credited|late price) [\d.]+ on \d{4}-\d\d-\d\d")


class LateBill(NamedTuple):
    """One of them. ``amount`` is in the shop's currency, below 0 for a credit; ``shares`` record id -> its
    part of it, ``inbound`` the same of consigned records whose sender bears it, ``expensed`` what is on
    none. ``reclaimed``: the tax authority gives it back. ``counts``: the day on which the books have it,
    later than its own where that was closed already.
    """

    id: str
    charge: LandedCharge
    on: str
    counts: str
    booked: str
    amount: Money
    shares: Mapping[str, int]
    expensed: int
    reclaimed: bool
    about: str
    inbound: Mapping[str, int]
    takes_back: str = ""
    """The id of the bill that it takes back."""
    said: str = ""

    @property
    def to_seller(self) -> bool:
        """Whether it changes what was paid to the seller: a later part of the price, or a credit."""
        return self.charge.what == "price"


def late_bills(head: HeadDoc, currency: str, rule: Rule = "half-up") -> tuple[LateBill, ...]:
    """The parcel's late bills in the order in which they were entered. BenchError for a bad one."""
    return tuple(
        _read(doc, f"late bill {n} of parcel {head['id']}", currency, rule)
        for n, doc in enumerate(head.get("late") or (), 1)
    )


def known_by(head: HeadDoc, as_of: str | None) -> HeadDoc:
    """The parcel with the bills that had come by the end of a day (None: all)."""
    late = head.get("late")
    if as_of is None or not late:
        return head
    return {**head, "late": [bill for bill in late if str(bill.get("on", ""))[:10] <= as_of]}


def price_since(head: HeadDoc, through: str, until: str = "9999") -> list[Mapping[str, Any]]:
    """The bills of the price, and what was given back of it, of the days after ``through``, up to ``until``:
    of a record that was sold before they change what was paid for it all the same."""
    late: Sequence[Any] = head.get("late") or ()
    return [
        one for one in late if one.get("what") == "price" and through < str(one.get("on", ""))[:10] <= until
    ]


def counts_on(doc: Mapping[str, Any]) -> str:
    """The day on which the books have a bill: its own, unless that was closed when it was entered. Bills of
    older versions do not say so: they count on their own day, and what that changes is a correction."""
    return str(doc.get("counts_on") or doc.get("on", ""))[:10]


def standing_bills(head: HeadDoc) -> list[dict[str, Any]]:
    """Those that nobody took back, and none that takes one back."""
    late = head.get("late") or []
    back = {one["takes_back"] for one in late if one.get("takes_back")}
    return [one for one in late if not one.get("takes_back") and one.get("id") not in back]


def taken_back(bill: Mapping[str, Any], bill_id: str, today: str, why: str) -> dict[str, Any]:
    """The bill that takes another back today, to the penny where that one went: no figure of an earlier day
    moves.
    """
    kept = {key: value for key, value in bill.items() if key != "counts_on"}
    turned = {name: {key: -minor for key, minor in (bill.get(name) or {}).items()}
              for name in ("shares", "inbound") if name in bill}  # fmt: skip
    own = {"id": bill_id, "on": today, "booked": today, "about": why, "takes_back": bill["id"]}
    return {**kept, **turned, **own, "credit": not bill.get("credit")}


def said_of_bill(doc: Mapping[str, Any]) -> str:
    """``late duty, held at the border``, ``price credited, clicks``; of one that takes another back why."""
    about, what = str(doc.get("about") or ""), str(doc.get("what") or "")
    if doc.get("takes_back"):
        return about
    return (f"{what} credited" if doc.get("credit") else f"late {what}") + (f", {about}" if about else "")


def prices_paid(head: HeadDoc, record: str, currency: str, as_of: str | None) -> list[str]:
    """What of the price paid for a record came, or was given back, after its parcel was closed, by a day:
    ``price credited 2.87 on 2026-11-21, clicks``."""
    late = [(bill, max(str(bill.get("on", ""))[:10], counts_on(bill))) for bill in head.get("late") or ()]
    by_then = {bill.get("id"): on for bill, on in late if as_of is None or on <= as_of}
    known = [bill for bill, _ in late if bill.get("id") in by_then]
    found = []
    for bill in standing_bills({**head, "late": known}):
        minor = (bill.get("shares") or {}).get(record, 0)
        if bill.get("what") == "price" and minor:
            kind = "price credited" if bill.get("credit") else "late price"
            figures = f"{kind} {Money(abs(minor), currency).plain()} on {by_then[bill.get('id')]}"
            found.append(said_of_bill(bill).replace(kind, figures, 1))
    return found


def without_told(remark: str, others: Sequence[str], stated: str | None = None) -> str:
    """The remark of a number's own row without such a price that a row above tells of; of a sale that was
    ``stated`` with those of its remark alone."""
    told = [_FIGURES.sub(r"\1", one) for one in others]

    def stays(piece: str) -> bool:
        short = _FIGURES.sub(r"\1", piece)
        if short == piece:
            return True
        return piece in stated.split("; ") if stated is not None else not any(short in one for one in told)

    return "; ".join(filter(stays, remark.split("; ")))


def _read(doc: Mapping[str, Any], where: str, currency: str, rule: Rule) -> LateBill:
    charge = landed_charge(doc, currency, rule, where)  # type: ignore[arg-type]
    on = day(doc.get("on"), "the day of the bill", where).isoformat()
    amount = -charge.landed if doc.get("credit") else charge.landed
    shares, inbound = (doc.get(name) or {} for name in ("shares", "inbound"))
    for parts in (shares, inbound):
        if not isinstance(parts, Mapping) or any(type(minor) is not int for minor in parts.values()):
            raise BenchError("its shares are not whole minor units", where, "write {record: minor units}")
    reclaimed = bool(doc.get("reclaimed"))
    expensed = 0 if reclaimed else amount.minor - sum(shares.values()) - sum(inbound.values())
    return LateBill(
        str(doc.get("id") or where), charge, on, counts_on(doc), str(doc.get("booked") or on)[:10], amount,
        dict(shares), expensed, reclaimed, str(doc.get("about") or ""), dict(inbound),
        str(doc.get("takes_back") or ""), said_of_bill(doc),
    )  # fmt: skip


def spread_late(
    amount: int,
    head: HeadDoc,
    records: Sequence[RecordDoc],
    costs: Mapping[str, int],
    on: str,
    rule: str = "unsold",
    only: Sequence[str] = (),
) -> dict[str, int]:
    """Record id -> its part of ``amount`` minor units (below 0 for a credit); what is left over is expensed.

    ``costs``: cost share by record. With ``only``, over these records whatever became of them; else by the
    shop's ``rule`` over the bought ones unsold on that day. No record gets less than its cost away.
    """
    chosen = [record for record in records if record["id"] in only] if only else _unsold(head, records, on)
    if rule == "expense" and not only:
        return {}
    weights = [max(0, costs.get(record["id"], 0)) for record in chosen]
    parts = largest_remainder(abs(amount), weights)
    sign = -1 if amount < 0 else 1
    given = zip(chosen, parts, weights, strict=True)
    found = {record["id"]: sign * (min(part, weight) if sign < 0 else part) for record, part, weight in given}
    return {record: minor for record, minor in found.items() if minor}


def _unsold(head: HeadDoc, records: Sequence[RecordDoc], on: str) -> list[RecordDoc]:
    return [
        record
        for record in records
        if own_terms(head, record) == "bought" and record["state"] not in ("withdrawn", "empty")
        if standing(record, on).what == "in the shop"
    ]
