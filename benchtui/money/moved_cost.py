"""Cost that went with a part from one record to another, as the records keep it (``cost_moved``).

A figure of the shop's own reckoning, an estimate: the dealer says how much of what the giver cost is the
part's. It moves ``cost_share`` only. The purchase price for a margin scheme stays with the record bought: it
is what was paid to the seller for the goods under that stock number (VAT Notice 718), and what a dealer
later shifts between two of his own records was paid to nobody. Whether a copy assembled from two purchases
may be sold under the scheme, and at which price, is for the tax authority to say.

A record that is split in two is the exception: what was paid for it was paid for both, so its purchase price
is apportioned as its cost is (``paid`` of an entry; see ``split_price``). Sources: HMRC internal manual
VATMARG13100, goods bought together and not resold as one lot: the price is apportioned by any fair method;
VATMARG03250, a collection may be split and its items sold separately.
"""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.apportion import largest_remainder
from benchtui.money.rounding import money_of


class CostMove(NamedTuple):
    """One entry: ``amount`` came in (above 0) or went (below 0) with the part on that day."""

    at: str
    part: str
    amount: Money
    parcel: str
    record: str
    paid: int
    """What of the price paid to the seller went with it, signed, in minor units: only where one was split."""


def split_price(paid: int, cost: int, part: int) -> int:
    """What of the price paid goes with ``part`` of a record's cost, all in minor units."""
    if not 0 <= part <= cost:
        raise BenchError("more cost than the record has", "split", "enter its cost or less")
    return largest_remainder(paid, [part, cost - part])[0] if cost else 0


def cost_moves(record: RecordDoc, currency: str) -> tuple[CostMove, ...]:
    """The record's entries in their order. BenchError for one that is no amount or names no other record."""
    return tuple(_read(entry, record, currency) for entry in record.get("cost_moved") or ())


def _read(entry: object, record: RecordDoc, currency: str) -> CostMove:
    where = f"cost moved of record {record['no']}"
    if not isinstance(entry, dict) or ("to" in entry) == ("from" in entry):
        raise BenchError("an entry without from or to", where, "write from or to")
    end, amount = entry.get("from") or entry.get("to"), money_of(entry, where, currency)
    if not isinstance(end, list) or len(end) != 2 or amount.minor < 0:
        raise BenchError("an entry that cannot be read", where, "write 0 or more, and [parcel, record]")
    paid, sign = entry.get("paid") or 0, 1 if "from" in entry else -1
    if type(paid) is not int or paid < 0:
        raise BenchError("a price paid that is not an amount", where, "write minor units, 0 or more")
    at, part = local_day(str(entry.get("at", ""))), str(entry.get("part", ""))
    return CostMove(at, part, amount if sign > 0 else -amount, str(end[0]), str(end[1]), sign * paid)


def price_moved(record: RecordDoc, currency: str, here: Collection[str]) -> int:
    """What of the price paid came (below 0: went) where the record was split from or into one of these."""
    return sum(move.paid for move in cost_moves(record, currency) if move.record in here)


def moved_within(
    bought: Sequence[RecordDoc], currency: str, parcel: str = "", others: Sequence[RecordDoc] = ()
) -> tuple[dict[str, int], int, int]:
    """Record id -> what moves did to its cost, in minor units; the sum that crossed the parcel's border; and
    what of that ended at ``others``, the parcel's records that bear no cost (taken out, consigned).

    ``bought`` are the parcel's records that bear cost. An entry whose other end is a record of this parcel
    that bears none (any more) is left out, so that nothing is lost or made within the parcel. What came from
    another parcel to a record that was taken out since is still here, on no record.
    """
    here = {record["id"] for record in bought}
    each: dict[str, int] = {}
    crossed = 0
    for record in bought:
        for move in cost_moves(record, currency):
            if move.record not in here and move.parcel == parcel:
                continue
            each[record["id"]] = each.get(record["id"], 0) + move.amount.minor
            crossed += 0 if move.record in here else move.amount.minor
    stray = sum(
        move.amount.minor
        for record in others
        for move in cost_moves(record, currency)
        if move.parcel != parcel and move.record not in here
    )
    return each, crossed + stray, stray


def moved_over(crossed: Money) -> str:
    """The sum that crossed the parcel's border, in words; whoever adds its shares up must know of it."""
    if crossed.minor < 0:
        return f"cost that went with parts to other parcels: {(-crossed).show()}"
    return f"cost that came with parts from other parcels: {crossed.show()}"
