"""Every parcel of the shop as it stands, for figures that are of the whole shop."""

from benchtui.desk.core.desk import Desk
from benchtui.model.parcel import HeadDoc, is_given_up
from benchtui.model.record import RecordDoc


def all_parcels(desk: Desk) -> list[tuple[HeadDoc, list[RecordDoc]]]:
    """Every parcel of the shop as it stands. BenchError for one that cannot be read: a figure with a parcel
    left out in silence would be worse than none."""
    found = [_read(desk, parcel_id) for parcel_id in desk.shop.parcel_ids()]
    return [one for one in found if not is_given_up(*one)]


def _read(desk: Desk, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc]]:
    if desk.work.parcel is not None and desk.work.parcel.id == parcel_id:
        return desk.work.parcel.head, desk.work.parcel.records
    return desk.shop.read_parcel(parcel_id)
