"""Opinions of how a record sounds, by side and minute, against another copy; what to find out later."""

import re
from datetime import date

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import title_known
from benchtui.desk.line.amount_typed import whole_number
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.record_page import same_record, turn_to, typed_for
from benchtui.model.chores import add_chore
from benchtui.model.listening import ListeningDoc
from benchtui.model.record import FIND_OUT, RecordDoc, parts_of, sides_of

ABOUT = "side and minute; what you hear; against which copy: A 2:30; more air around the voice; a7"
_MINUTE = re.compile(r"\d{1,3}:[0-5]\d")


@command(
    "record-heard",
    "page",
    "note how it sounds to you, by side and minute, against another copy",
    short="heard",
    also="listen listening opinion sound cut compare cuts music",
    on=("record",),
    order=1188,
)
def open_heard(desk: Desk) -> None:
    open_line(desk, "heard", "heard", about=ABOUT, record=desk.record["id"])


def _take_heard(desk: Desk, line: OpenLine) -> None:
    record = typed_for(desk, line)
    if record is None:
        return
    try:
        opinion = _read(desk, record, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    close_line(desk)
    turn_to(desk, "listening")
    with dated(desk, f"record {record['no']}: an opinion noted") as change:
        copy = desk.changed(change)
        copy["listening"] = [*copy.get("listening", []), opinion]


def _read(desk: Desk, record: RecordDoc, text: str) -> ListeningDoc:
    where, note, against, *more = [*(cell.strip() for cell in text.split(";")), "", ""]
    if any(more) or not note:
        raise ValueError(f"what do you hear? Write {ABOUT}")
    side, minute = "", ""
    for word in where.upper().removeprefix("SIDE ").split():
        if _MINUTE.fullmatch(word):
            minute = word
        else:
            side = word
    sides = [one for disc in parts_of(record, "disc") for one in sides_of(disc)]
    if side and side not in sides:
        raise ValueError(f"'{where}' is no side and minute of it: it has {' '.join(sides) or 'no disc'}")
    opinion: ListeningDoc = {"at": desk.today(), "side": side, "minute": minute, "note": note}
    if against:
        opinion["against"] = _copy(desk, record, against)
    return opinion


def _copy(desk: Desk, record: RecordDoc, typed: str) -> str:
    """The stock number of the other copy. ValueError where there is none, or it is this one."""
    wanted = whole_number(typed)
    if not any(one.stock == wanted for one in desk.shop.find(wanted)) or wanted == record["stock"]:
        raise ValueError(f"there is no other copy with the number {wanted} in this shop")
    return wanted


@command(
    "find-out",
    "bench",
    "find out later: put the question on the work list",
    short="find out",
    group="Look",
    also="later research look up unknown ask expert title clue question",
    needs=[title_known],
    order=315,
)
def open_find_out(desk: Desk) -> None:
    """What is asked now, else the title, as work of the shop; it keeps no record from being sold."""
    asked = desk.clue.ask if desk.clue is not None else ""
    about = f"of {asked or 'the title'}: what is to be found out; by which day. Empty: just that"
    open_line(desk, "find-out", "find out", about=about, record=desk.record["id"], asked=asked)


def _take_find_out(desk: Desk, line: OpenLine) -> None:
    record = same_record(desk, line)
    if record is None:
        return
    what, _, day = (part.strip() for part in line.text.partition(";"))
    try:
        due = read_day(day, date.fromisoformat(desk.today())).isoformat() if day else ""
    except ValueError as error:
        desk.refuse(str(error))
        return
    note = ": ".join(filter(None, (str(line.data["asked"]) or "the title", what)))
    part = desk.work.part_id if line.data["asked"] else ""
    close_line(desk)
    with dated(desk, f"record {record['no']}: to be found out: {note}") as change:
        add_chore(desk.changed(change), FIND_OUT, desk.now(), note, part=part or "", due=due)


LINES["heard"] = LineKind(_take_heard)
LINES["find-out"] = LineKind(_take_find_out)
