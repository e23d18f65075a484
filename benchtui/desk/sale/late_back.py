"""A late bill or credit taken back, in one line: by one of today that goes where it went, with the reason."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.lives import changing
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, left_empty, open_line
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money
from benchtui.model.record import new_id
from benchtui.money.late import standing_bills, taken_back

ABOUT = "which (its number on the page); why it is taken back: 1; it was another parcel's"


def _any(desk: Desk) -> str:
    here = desk.work.parcel
    return unless(here is not None and standing_bills(here.head), "no late bill or credit stands here")


@command(
    "late-back",
    "page",
    "take back a late bill or a credit that was entered wrongly",
    short="bill back",
    also="undo void late bill credit wrong mistake cancel remove",
    needs=[_any],
    on=("parcel", "result"),
    order=1227,
)
def open_late_back(desk: Desk) -> None:
    """The line, with the number of the one entered last in it."""
    number = (desk.parcel.head.get("late") or []).index(standing_bills(desk.parcel.head)[-1]) + 1
    open_line(desk, "late-back", "take back", f"{number}; ", ABOUT)


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    late, parcel = desk.parcel.head.get("late") or [], desk.parcel
    number, _, why = (cell.strip() for cell in line.text.partition(";"))
    if not number.isdigit() or not 0 < int(number) <= len(late):
        desk.refuse(f"'{number}' is no bill here: the page numbers them from 1 to {len(late)}")
        return
    bill = late[int(number) - 1]
    if bill not in standing_bills(parcel.head):
        desk.refuse(f"bill {number} is taken back already, or takes another back")
        return
    if not why:
        desk.refuse(f"write why it is taken back: {number}; it was another parcel's")
        return
    kind = "credit" if bill["credit"] else f"late {bill['what']}"
    say = f"taken back: {kind} {Money(bill['minor'], bill['currency']).show()}: {why}"
    with changing(desk, parcel, say) as change:
        change.head["late"] = [*late, taken_back(bill, new_id("l"), desk.today(), f"taken back: {why}")]
    desk.say(say, "done")
    desk.watch_trouble()
    leave_line(desk)


LINES["late-back"] = LineKind(_take)
