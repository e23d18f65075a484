"""A record found after its parcel was closed: in the box, behind the shelf. It cost nothing more."""

from typing import Any

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, open_line
from benchtui.desk.parcel.parcel import begin_parcel
from benchtui.desk.queue import queue
from benchtui.desk.sale.record_life import read_cells

MOST = 99
ABOUT = "how many; where; day if not today: 1; behind the shelf"


@command(
    "record-found",
    "page",
    "a record found after its parcel was closed: it waits in a parcel of its own",
    short="found",
    also="find shelf box extra more surplus",
    changes="nothing",
    on=("parcel", "parcels", "result"),
    order=1228,
)
def open_found(desk: Desk) -> None:
    """On a parcel's page it came in that box; on the page of all parcels nobody knows where from."""
    page, parcel = desk.open.page, desk.work.parcel
    box = parcel.id if parcel is not None and page is not None and page.name != "parcels" else ""
    from_where = f"of parcel {box}" if box else "of no known parcel"
    open_line(desk, "record-found", "found", about=f"{from_where}. {ABOUT}", box=box)


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    """A parcel of as many places as were found, on the bench for them to be taken in."""
    today = desk.clock().astimezone().date()
    try:
        (count, where), on = read_cells(line.text, 2, ABOUT, today)
        if not count.isascii() or not count.isdigit() or not 1 <= int(count) <= MOST:
            raise ValueError(f"'{count}' is not a count: write {ABOUT}")
        if on > today.isoformat():
            raise ValueError(f"{on} has not come yet")
    except ValueError as error:
        desk.refuse(str(error))
        return
    fields = found_fields(desk, str(line.data.get("box") or ""), where, on)
    close_line(desk)
    begin_parcel(desk, fields, int(count))
    desk.open.page = None
    queue.arrive(desk, next(iter(desk.work.records), None))
    assert desk.work.parcel is not None
    cost = "" if fields["terms"] == "consigned" else ", cost nothing"
    desk.say(f"found{cost}: parcel {desk.work.parcel.id}, take it in", "done")


def found_fields(desk: Desk, box: str, where: str, on: str) -> dict[str, Any]:
    """The head of that parcel: whose it is and how it was bought follows the box it came in."""
    fields: dict[str, Any] = {
        "opened": desk.today(), "delivered": on, "came_as": "find", "terms": "bought",
        "note": "; ".join(filter(None, (f"found, of parcel {box}" if box else "found", where))),
    }  # fmt: skip
    if box:
        head, _ = desk.shop.read_parcel(box)
        kept = ("sender", "terms", "seller", "margin_eligible", "margin_why", "inbound")
        fields |= {name: head[name] for name in kept if name in head}  # type: ignore[literal-required]
    return fields


LINES["record-found"] = LineKind(_take)
