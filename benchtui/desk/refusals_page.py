"""Why what is done on pages cannot be done now, in a few words (see refusals.py)."""

from collections.abc import Callable

from benchtui.base.errors import BenchError
from benchtui.desk import grow, parcel, sender
from benchtui.desk.core import Desk
from benchtui.desk.grading import occasion
from benchtui.desk.titles_in import folder, taking_of
from benchtui.model.record import is_here, parts_of
from benchtui.money import own_terms, standing
from benchtui.money.standings import LEFT
from benchtui.titles.lists import last_taken_in

Why = Callable[[Desk], str]
"""Why not, "" where nothing stands in the way."""


def unless(fine: object, said: str) -> str:
    return "" if fine else said


def parcel_open(desk: Desk) -> str:
    return unless(desk.parcel, "no parcel is open")


def part_in_hand(desk: Desk) -> str:
    return unless(desk.part, "no part in the hand")


def part_is_here(desk: Desk) -> str:
    part = desk.part
    return part_in_hand(desk) or unless(part and is_here(part), "the part is not there")


def _can_open(desk: Desk) -> str:
    page, row = desk.page, parcel.marked(desk)
    if page is not None and page.name == "parcels":
        return unless(desk.shop.parcels(), "no parcel yet")
    read_only = desk.parcel is not None and desk.parcel.read_only
    return unless(not (row and row.kind == "field" and read_only), "open for reading only")


def _queue_record(desk: Desk) -> str:
    row = parcel.marked(desk)
    return unless(row and row.kind == "record", "no record of the queue is marked")


def _can_move(by: int) -> Why:
    def why(desk: Desk) -> str:
        row = parcel.marked(desk)
        ids = [one["id"] for one in desk.records]
        to = ids.index(row.id) + by if row and row.id in ids else -1
        return _queue_record(desk) or unless(0 <= to < len(ids), "at the end already")

    return why


def _open_parcel(desk: Desk) -> str:
    return parcel_open(desk) or unless(desk.parcel and not desk.parcel.closed, "closed already")


def _shares_open(desk: Desk) -> str:
    return unless(desk.parcel and not desk.parcel.closed, "the shares are frozen")


def _has_sender(desk: Desk) -> str:
    return parcel_open(desk) or unless(sender.whose_page(desk), "no sender yet")


def _account(desk: Desk) -> str:
    return unless(not (desk.page and desk.page.data.get("trouble")), "the account cannot be worked out")


def _deciding(desk: Desk) -> str:
    found = taking_of(desk)
    return unless(found and found[0].data["phase"] == "deciding", "nothing to decide now")


def _list_in(desk: Desk) -> str:
    return unless(last_taken_in(folder(desk)), "no list was taken in")


def _work_waits(desk: Desk) -> str:
    return unless(desk.page and desk.page.data.get("chores"), "no work is waiting")


# -- the record's page ----------------------------------------------------------------------------


def _edited(desk: Desk) -> str:
    return unless(desk.record and desk.record.get("description"), "nothing was edited")


def _discs(desk: Desk) -> str:
    return unless(desk.record and parts_of(desk.record, "disc"), "no disc here")


def _not_frozen(desk: Desk) -> str:
    record, part = desk.record, desk.part
    frozen = desk.parcel is not None and desk.parcel.closed
    arrived = record is not None and part is not None and occasion(record, part) == "arrived"
    return unless(not (frozen and arrived), "as arrived is frozen")


def _stands(desk: Desk) -> str:
    """Where the record is: in the shop, sold and the like."""
    try:
        return standing(desk.record).what if desk.record else ""
    except BenchError:
        return ""


def _not_gone(desk: Desk) -> str:
    what = _stands(desk)
    return unless(what not in LEFT, f"it is {what}")


def _sold(desk: Desk) -> str:
    return unless(_stands(desk) in ("sold", ""), "it is not sold")


def _held(desk: Desk) -> str:
    try:
        return unless(desk.record and standing(desk.record, desk.today()).held_for, "it is not held")
    except BenchError:
        return ""


def _happened(desk: Desk) -> str:
    life = desk.record["life"] if desk.record else []
    return unless(any(event.get("what") != "corrected" for event in life), "nothing has happened to it")


def _terms(wanted: str) -> Why:
    def why(desk: Desk) -> str:
        fine = desk.record and desk.parcel and own_terms(desk.parcel.head, desk.record) == wanted
        return unless(fine, f"it is not {wanted}")

    return why


PAGE_NEEDS: dict[str, tuple[Why, ...]] = {
    "page-enter": (_can_open,),
    "page-out": (_queue_record,),
    "page-earlier": (_can_move(-1),),
    "page-later": (_can_move(1),),
    "page-close": (_open_parcel,),
    "page-done": (_work_waits,),
    "sender-page": (_has_sender,),
    **dict.fromkeys(("sender-statement", "sender-payout"), (_account,)),
    **dict.fromkeys(("result-how", "result-share"), (_shares_open,)),
    **dict.fromkeys(("doubtful-merge", "doubtful-keep", "doubtful-skip", "doubtful-rest"), (_deciding,)),
    "parcels-undo-list": (_list_in,),
    "why-pressing": (grow.no_pressing,),
    "why-answer": (grow.no_answer,),
    "record-drop": (_edited,),
    "record-play": (_discs,),
    "record-grade": (part_is_here, _not_frozen),
    "record-move": (part_is_here, _not_gone),
    "record-shelf": (_not_gone,),
    "record-hold": (_not_gone,),
    "record-back": (_not_gone,),
    "record-scrap": (_not_gone,),
    "record-release": (_held,),
    "record-return": (_sold,),
    "record-refund": (_sold,),
    "record-correct": (_happened,),
    "record-eligible": (_terms("bought"),),
    "record-reserve": (_terms("consigned"),),
}
"""What each asks for, first things first."""
