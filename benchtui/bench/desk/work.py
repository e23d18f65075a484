"""The work list: every chore still to do, over all parcels."""

from dataclasses import dataclass

from benchtui.bench.desk import hand
from benchtui.bench.desk.core import Desk
from benchtui.errors import BenchError
from benchtui.model.record import ChoreDoc, RecordDoc, part_of


@dataclass(frozen=True)
class Work:
    """One chore and where it waits."""

    chore: str
    parcel: str
    record: str
    stock: str
    what: str
    part: str
    title: str
    note: str


def open_work(desk: Desk) -> list[Work]:
    """Chores in the order of parcels and queue. A parcel that cannot be read is left out; check names it."""
    found: list[Work] = []
    for parcel_id in desk.shop.parcel_ids():
        for record in _records(desk, parcel_id):
            found += [_work(parcel_id, record, chore) for chore in record["chores"] if not chore["done"]]
    return found


def _records(desk: Desk, parcel_id: str) -> list[RecordDoc]:
    if desk.parcel is not None and desk.parcel.id == parcel_id:
        return desk.records
    try:
        parcel = desk.shop.open_parcel(parcel_id, read_only=True)
    except BenchError:
        return []
    try:
        return [record for record in parcel.records if record["state"] != "withdrawn"]
    finally:
        parcel.close()


def _work(parcel_id: str, record: RecordDoc, chore: ChoreDoc) -> Work:
    part = part_of(record, chore["part"]) if chore["part"] else None
    title = record["title"]
    return Work(
        chore=chore["id"],
        parcel=parcel_id,
        record=record["id"],
        stock=record["stock"] or "",
        what=chore["what"],
        part=hand.part_name(record, part) if part else "",
        title=", ".join(filter(None, (title["artist"], title["title"]))) if title else "",
        note=chore["note"],
    )
