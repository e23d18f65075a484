"""The work list: every chore still to do, over all parcels, with what to mind at it."""

from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.record.describing import wording
from benchtui.export.chores import caution
from benchtui.model.record import RecordDoc


class Work(NamedTuple):
    """One chore and where it waits."""

    chore: str
    parcel: str
    record: str
    stock: str
    what: str
    part: str
    title: str
    note: str
    apart: str
    due: str = ""


def open_work(desk: Desk) -> list[Work]:
    """Chores in the order of parcels and queue, from the shop's index; no parcel is opened for it.

    A parcel that cannot be read is left out; check names it.
    """
    return [
        Work(
            chore=one.chore,
            parcel=one.parcel,
            record=one.record,
            stock=one.stock,
            what=one.what,
            part=one.part,
            title=", ".join(filter(None, (one.artist, one.title))),
            note=one.note,
            apart=one.apart,
            due=one.due,
        )
        for one in desk.shop.waiting()
    ]


def caution_of(desk: Desk, work: Work) -> str:
    """What to mind at one chore: its record is read when the line is marked, once a page."""

    known: dict[str, str] = desk.open.page.data.setdefault("cautions", {}) if desk.open.page else {}
    if work.chore not in known:
        record = _record(desk, work)
        chores = record["chores"] if record else []
        chore = next((one for one in chores if one["id"] == work.chore), None)
        known[work.chore] = caution(record, chore, wording(desk)) if record and chore else ""
    return known[work.chore]


def _record(desk: Desk, work: Work) -> RecordDoc | None:
    """The chore's record; None where its parcel cannot be read just now."""
    try:
        if desk.work.parcel is not None and desk.work.parcel.id == work.parcel:
            return desk.work.parcel.record(work.record)
        parcel = desk.shop.open_parcel(work.parcel, read_only=True)
        try:
            return parcel.record(work.record)
        finally:
            parcel.close()
    except BenchError:
        return None
