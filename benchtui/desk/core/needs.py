"""Why not, for several commands: a few words, "" where nothing stands in the way. What one command
alone asks for stands beside it.
"""

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.model.record import is_here
from benchtui.money.standings import LEFT, standing


def unless(fine: object, said: str) -> str:
    return "" if fine else said


def record_here(desk: Desk) -> str:
    return unless(desk.work.record, "no record on the bench")


def title_known(desk: Desk) -> str:
    return unless(desk.work.record and desk.work.record["title"], "no title yet")


def part_in_hand(desk: Desk) -> str:
    return unless(desk.work.part, "no part in hand")


def part_is_here(desk: Desk) -> str:
    part = desk.work.part
    return part_in_hand(desk) or unless(part and is_here(part), "the part is not there")


def parcel_open(desk: Desk) -> str:
    return unless(desk.work.parcel, "no parcel is open")


def where_it_is(desk: Desk) -> str:
    """Where the record is: in the shop, sold and the like; "" where its life cannot be read."""
    try:
        return standing(desk.work.record).what if desk.work.record else ""
    except BenchError:
        return ""


def not_gone(desk: Desk) -> str:
    what = where_it_is(desk)
    return unless(what not in LEFT, f"it is {what}")


def is_sold(desk: Desk) -> str:
    return unless(where_it_is(desk) in ("sold", ""), "it is not sold")


def way_on(desk: Desk) -> str:
    """What a dealer does next at a bench where nothing is asked."""
    if desk.work.record is not None:
        return f"go on with record {desk.work.record['no']}"
    if desk.work.parcel is not None:
        return f"{desk.key('parcel-page')} shows the records of this parcel"
    return f"{desk.key('parcels-page')}, then {desk.key('page-new')}, begins a parcel"
