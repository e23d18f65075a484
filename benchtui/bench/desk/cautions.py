"""What to mind at one chore of the work list: looked up when it is marked, for lists may be long."""

from benchtui.bench.desk.core import Desk
from benchtui.bench.desk.describing import wording
from benchtui.bench.desk.work import Work
from benchtui.errors import BenchError
from benchtui.model.record import RecordDoc


def mind(desk: Desk, chore: Work) -> tuple[str, str]:
    """Why the record is set apart and the caution that goes with the work, "" for none; kept by the page."""
    kept: dict[str, tuple[str, str]] = desk.page.data.setdefault("cautions", {}) if desk.page else {}
    if chore.chore not in kept:
        kept[chore.chore] = _mind(desk, chore)
    return kept[chore.chore]


def _mind(desk: Desk, chore: Work) -> tuple[str, str]:
    from benchtui.export.chores import caution

    try:
        record = _record(desk, chore)
    except BenchError:
        return "", ""
    waiting = next((one for one in record["chores"] if one["id"] == chore.chore), None)
    apart = record["set_apart"]["why"] if record["set_apart"] else ""
    return apart, caution(record, waiting, wording(desk)) if waiting else ""


def _record(desk: Desk, chore: Work) -> RecordDoc:
    """From the parcel on the bench, else from its own, opened for reading."""
    if desk.parcel is not None and desk.parcel.id == chore.parcel:
        return desk.parcel.record(chore.record)
    parcel = desk.shop.open_parcel(chore.parcel, read_only=True)
    try:
        return parcel.record(chore.record)
    finally:
        parcel.close()
