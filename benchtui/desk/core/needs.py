"""Why not, for several commands: a few words and what to do, "" where nothing stands in the way. What is not
there at all (a record, a part in the hand) says so itself, by its BenchError. What one command alone asks for
stands beside it.
"""

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.model.naming import part_name
from benchtui.model.record import is_here, parts_of
from benchtui.money.standings import LEFT, standing


def unless(fine: object, said: str) -> str:
    return "" if fine else said


def parcel_open(desk: Desk) -> str:
    return unless(desk.parcel, "")


def record_here(desk: Desk) -> str:
    return unless(desk.record, "")


def title_known(desk: Desk) -> str:
    return unless(desk.titled, "")


def part_in_hand(desk: Desk) -> str:
    return unless(desk.part, "")


def part_is_here(desk: Desk) -> str:
    return unless(is_here(desk.part), f"{part_name(desk.record, desk.part)} is not there")


def none_here(desk: Desk, words: str) -> str:
    """That the record on the bench has no such part; without a title it has none at all."""
    record = desk.record if desk.record["parts"] else desk.titled
    return f"record {record['no']} has no {words}: {desk.key('add-part')} adds one"


def disc_here(desk: Desk) -> str:
    return unless(parts_of(desk.record, "disc"), none_here(desk, "disc"))


def where_it_is(desk: Desk) -> str:
    """Where the record is: in the shop, sold and the like; "" where its life cannot be read."""
    try:
        return standing(desk.work.record).what if desk.work.record else ""
    except BenchError:
        return ""


def not_gone(desk: Desk) -> str:
    what = where_it_is(desk)
    return unless(what not in LEFT, f"it is {what}: nothing of it is here")


def is_sold(desk: Desk) -> str:
    return unless(where_it_is(desk) in ("sold", ""), "it is not sold")


def way_on(desk: Desk) -> str:
    """What a dealer does next at a bench where nothing is asked."""
    if desk.work.record is not None:
        return f"go on with record {desk.work.record['no']}"
    if desk.work.parcel is not None:
        return f"{desk.key('parcel-page')} shows the records of this parcel"
    return f"{desk.key('parcels-page')}, then {desk.key('page-new')}, begins a parcel"
