"""The pace of the parcel that is open beside what is usual in the shop."""

from statistics import median

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pace import Pace, each_in_words, long_in_words, pace_of

LOOKED_BACK = 5
"""So many earlier parcels make what is usual: more would be read for no better figure."""


def usual(desk: Desk) -> Pace | None:
    """The pace over the shop's parcels before this one, the latest few; None where there are none.

    A parcel that cannot be read is left out. The figures are kept for the parcel that is open.
    """
    parcel = desk.work.parcel
    if parcel is None:
        return None
    if desk.tally.usual_pace is None or desk.tally.usual_pace[0] != parcel.id:
        desk.tally.usual_pace = (parcel.id, _usual(desk, parcel.id))
    return desk.tally.usual_pace[1]


def _usual(desk: Desk, parcel_id: str) -> Pace | None:
    earlier = [
        one.id
        for one in desk.shop.parcels(whole=True)
        if one.id < parcel_id and one.counts.get("taken-in") and not one.trouble
    ]
    paces = [pace for one in earlier[-LOOKED_BACK:] if (pace := _pace_at(desk, one)) is not None]
    seconds = [pace.seconds for pace in paces if pace.seconds is not None]
    keys = [pace.keys for pace in paces if pace.keys is not None]
    if not seconds and not keys:
        return None
    return Pace(
        sum(pace.records for pace in paces),
        median(seconds) if seconds else None,
        median(keys) if keys else None,
        parcels=len(paces),
    )


def _pace_at(desk: Desk, parcel_id: str) -> Pace | None:
    try:
        parcel = desk.shop.open_parcel(parcel_id, read_only=True)
    except BenchError:
        return None
    try:
        return pace_of(parcel.head, parcel.records)
    finally:
        parcel.close()


def pace_in_words(desk: Desk, short: bool = False) -> str:
    """One sentence for the parcel's end; "" before anything was taken in. ``short``: of each record alone."""
    parcel = desk.work.parcel
    pace = pace_of(parcel.head, parcel.records) if parcel is not None else None
    if pace is None or not pace.records:
        return ""
    each, before = each_in_words(pace), usual(desk)
    each = f"{each} each" if each else ""
    said = each if each and short else f"{pace.records} taken in" + (f", {each}" if each else "")
    if before is not None and (beside := each_in_words(before)):
        said += f" (usually {beside})"
    if pace.at_bench >= 60 and not short:
        said += f", {long_in_words(pace.at_bench)} at the bench"
    return said
