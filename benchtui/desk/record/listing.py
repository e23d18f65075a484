"""Where the record is listed, entered by hand: drafted, online, taken down, with the price asked there."""

from datetime import date
from typing import Any, cast

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.record_page import turn_to, typed_for
from benchtui.export.layout import layouts_of
from benchtui.export.listed import note_listing
from benchtui.model.listing import SAID, ListingDoc, State, online_at
from benchtui.model.record import RecordDoc

ABOUT = "place; online, drafted or down; price if not as asked; day: web; online; 24.00; yesterday"
_STATES: dict[str, State] = {"": "online", "online": "online", "drafted": "drafted", "down": "down"}


@command(
    "record-listed",
    "page",
    "note where it is listed: drafted, online, price changed, taken down",
    short="listed",
    also="listing online website place draft publish",
    on=("record",),
    order=1178,
)
def open_listed(desk: Desk) -> None:
    open_line(desk, "listed", "listed", about=ABOUT, record=desk.record["id"])


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    """The places known: where it is online, and those with a layout."""
    if ";" in line.text or desk.work.record is None:
        return []
    here = online_at(desk.work.record.get("listing", []))
    layouts = layouts_of(desk.shop.path, "intake")
    places = [
        one for one in dict.fromkeys([*here, *layouts]) if line.text.strip().casefold() in one.casefold()
    ]
    return [
        pick_of((words(one, "bold"), words("online" if one in here else "", "dim")), one) for one in places
    ]


def _take(desk: Desk, line: OpenLine) -> None:
    record = typed_for(desk, line)
    if record is None:
        return
    text = line.text
    if ";" not in text and line.picks:
        text = str(line.picks[line.marked].value)
    try:
        event = _read(desk, record, text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    close_line(desk)
    turn_to(desk, "listing")
    with dated(desk, f"record {record['no']}: {SAID[event['what']]} {event['place']}") as change:
        note_listing(desk.changed(change), event)


def _read(desk: Desk, record: RecordDoc, text: str) -> ListingDoc:
    place, state, price, day, *more = [*(cell.strip() for cell in text.split(";")), "", "", ""]
    if any(more):
        raise ValueError(f"too many fields: {ABOUT}")
    known = [word for word in _STATES if word and state and word.startswith(state.casefold())]
    if not place or (state and len(known) != 1):
        raise ValueError(f"write {ABOUT}")
    today = date.fromisoformat(desk.today())
    what = _STATES[known[0] if known else ""]
    there = online_at(record.get("listing", []))
    if what == "down" and place not in there:
        raise ValueError(f"it is not online at {place[:40]}: {', '.join(there) or 'nowhere'}")
    asked: Any = read_amount(price, desk.currency).to_doc() if price else record["price"]
    what = "price" if what == "online" and place in there else what
    on = read_day(day, today) if day else today
    money = {name: asked[name] for name in ("minor", "currency")} if asked and what != "down" else {}
    return cast(ListingDoc, {"at": on.isoformat(), "what": what, "place": place, **money})


LINES["listed"] = LineKind(_take, _suggest, columns=(Column(key="place"), Column(key="state")))
