"""A part goes from one record to another, perhaps in another parcel: never lost, never in two places.

Between two parcels it is written down in the shop first, then put into the receiver, then marked gone in the
giver, then struck off in the shop. What is still written down at the next start is finished: a part the
receiver has is marked gone in the giver, one it does not have has not moved.
"""

import contextlib
from collections.abc import Callable, Collection
from contextlib import AbstractContextManager
from typing import Any, Protocol, cast

from benchtui.base.errors import BenchError
from benchtui.model.record import MoneyDoc, PartDoc, RecordDoc, new_id, part_of
from benchtui.store.change import Change
from benchtui.store.codec import Doc, fresh
from benchtui.store.parcel import Parcel
from benchtui.store.shared import SharedFile


class Between(Protocol):
    """What a move needs of the shop that both parcels are in."""

    clock: Callable[[], str]

    @property
    def shared(self) -> SharedFile: ...

    def open_parcel(self, parcel_id: str, read_only: bool = False, passing: bool = False) -> Parcel: ...


def move_part(shop: Between, giver: Parcel, from_record: str, part_id: str, receiver: Parcel, to_record: str,
              consent: str = "", cost: MoneyDoc | None = None) -> None:  # fmt: skip
    """Moves the part. BenchError where it is not there (any more), would go nowhere, or may not go.

    ``consent``: what the sender said to a part of theirs going into a bought record. ``cost``: what of the
    giver's cost goes with it, kept as a dated entry on both records.
    """
    record, part = _part(giver, from_record, part_id)
    target = receiver.record(to_record)
    for parcel in (giver, receiver):
        if parcel.read_only:
            said = f"parcel {parcel.id} is open for reading only"
            raise BenchError(said, "", "open both parcels for writing")
    if giver.id == receiver.id and from_record == to_record:
        raise BenchError("the part is in that record already")
    terms = target["terms"] or receiver.head["terms"]
    if part.get("owner", "shop") != "shop" and terms == "bought" and not consent.strip():
        said = "this part belongs to a sender and would go into bought stock"
        raise BenchError(said, "", "note the sender's consent")
    way = f"from {_name(giver, record)} to {_name(receiver, target)}"
    note: Doc = {
        "say": f"{part.get('name') or part['kind']} moved {way}",
        "part": part_id,
        "from": [giver.id, from_record],
        "to": [receiver.id, to_record],
        "consent": consent,
        "at": shop.clock(),
        "cost": cost if cost and cost["minor"] else None,
    }
    if giver.id == receiver.id:
        with _changing(giver, note["say"], kept=False) as change:
            _receive(change, note, part, record)
            _give(change, note)
        return
    _between(shop, note, giver, receiver, part, record)


def split_record(
    change: Change, parcel_id: str, from_record: str, new: RecordDoc, part_ids: Collection[str], at: str,
    cost: MoneyDoc | None = None, paid: int = 0,
) -> RecordDoc:  # fmt: skip
    """Within an action: these parts of a record become the new one, at the end of the queue, with what was
    seen on them and the work they wait for. ``cost`` and ``paid``: what of the cost, and in it of the price
    paid (minor units), goes with them. They come from the same copy, so they get no origin.
    """
    giver, made = change.record(from_record), change.add(new)
    entry: Doc = {"at": at, "part": next(iter(part_ids)), **(cost or {}), "paid": paid}
    for part in giver["parts"]:
        if part["id"] not in part_ids:
            continue
        made["parts"].append(cast(PartDoc, fresh(dict(part))))
        part["gone"] = {"parcel": parcel_id, "record": made["id"], "at": at}
    made["answers"] = fresh([one for one in giver["answers"] if one["part"] in part_ids])
    made["rulings"] = {part: said for part, said in giver["rulings"].items() if part in part_ids}
    made["chores"] = fresh([one for one in giver["chores"] if one["part"] in part_ids and not one["done"]])
    giver["chores"] = [one for one in giver["chores"] if one["part"] not in part_ids or one["done"]]
    if cost and cost["minor"]:
        giver.setdefault("cost_moved", []).append({**entry, "to": [parcel_id, made["id"]]})
        made.setdefault("cost_moved", []).append({**entry, "from": [parcel_id, from_record]})
    return made


def _between(
    shop: Between, note: Doc, giver: Parcel, receiver: Parcel, part: PartDoc, record: RecordDoc
) -> None:
    key, say = new_id("m"), note["say"]
    with shop.shared.change() as table:
        table("moves").put(key, note)
    with _changing(receiver, say) as change:
        _receive(change, note, part, record)
    if receiver.trouble is None:
        with _changing(giver, say) as change:
            _give(change, note)
    if receiver.trouble or giver.trouble:
        raise BenchError(f"{say} is only partly saved", "", "free some space; the next start finishes it")
    with contextlib.suppress(BenchError), shop.shared.change() as table:
        table("moves").drop(key)  # what cannot be struck off now, the next start strikes off


def finish_moves(shop: Between) -> None:
    """Finishes what a crash left half done, as far as the two parcels are not open elsewhere."""
    for key, note in list(shop.shared.docs("moves").items()):
        with contextlib.suppress(BenchError):
            _finish(shop, note)
            with shop.shared.change() as table:
                table("moves").drop(key)


def _finish(shop: Between, note: Doc) -> None:
    receiver = shop.open_parcel(note["to"][0], passing=True)
    try:
        giver = shop.open_parcel(note["from"][0], passing=True)
        try:
            arrived = part_of(receiver.record(note["to"][1]), note["part"]) is not None
            left = part_of(giver.record(note["from"][1]), note["part"])
            if arrived and left is not None and not left.get("gone"):
                with _changing(giver, note["say"]) as change:
                    _give(change, note)
                if giver.trouble is not None:  # to be finished another time
                    raise BenchError(giver.trouble)
        finally:
            giver.close()
    finally:
        receiver.close()


def _changing(parcel: Parcel, say: str, kept: bool = True) -> AbstractContextManager[Change]:
    """A closed parcel's parts may still go, as a dated correction."""
    return parcel.correct(say) if parcel.closed else parcel.action(say, kept)


def _part(giver: Parcel, record_id: str, part_id: str) -> tuple[RecordDoc, PartDoc]:
    record = giver.record(record_id)
    part = part_of(record, part_id)
    if part is None or part.get("gone"):
        raise BenchError(f"there is no part {part_id!r} in {_name(giver, record)} any more")
    return record, part


def _receive(change: Change, note: Doc, part: PartDoc, record: RecordDoc) -> None:
    """The part with its origin, what was seen on it, and the work it still waits for."""
    target = change.record(note["to"][1])
    origin: dict[str, Any] = {"parcel": note["from"][0], "record": note["from"][1], "at": note["at"]}
    if note["consent"]:
        origin["consent"] = note["consent"]
    moved = cast(PartDoc, {**fresh(part), "origin": origin})
    back = part_of(target, part["id"])
    if back is not None:
        target["parts"].remove(back)
        target["answers"] = [answer for answer in target["answers"] if answer["part"] != part["id"]]
    target["parts"].append(moved)
    target["answers"] += fresh([answer for answer in record["answers"] if answer["part"] == part["id"]])
    waiting = [chore for chore in record["chores"] if chore["part"] == part["id"] and not chore["done"]]
    target["chores"] += fresh(waiting)
    _note_cost(target, note, "from")


def _give(change: Change, note: Doc) -> None:
    record = change.record(note["from"][1])
    part = part_of(record, note["part"])
    if part is not None:
        part["gone"] = {"parcel": note["to"][0], "record": note["to"][1], "at": note["at"]}
        record["chores"] = [one for one in record["chores"] if one["part"] != note["part"] or one["done"]]
        _note_cost(record, note, "to")


def _note_cost(record: RecordDoc, note: Doc, way: str) -> None:
    """What of the cost goes with the part. A move written down by an older version has none."""
    cost = note.get("cost")
    if cost:
        entry = {"at": note["at"], "part": note["part"], **cost, way: list(note[way])}
        record.setdefault("cost_moved", []).append(entry)


def _name(parcel: Parcel, record: RecordDoc) -> str:
    return record["stock"] or f"record {record['no']} of {parcel.id}"
