"""A play test in one line: a dated grade with what was heard, and the chore done."""

from typing import Any, NamedTuple, cast

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import disc_here
from benchtui.desk.grade import grading
from benchtui.desk.grade.play_line import RIGHT, PlayTest, read_play
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.record_page import turn_to
from benchtui.model.naming import side_grades
from benchtui.model.record import GradeDoc, PartDoc, RecordDoc, part_of, parts_of, sides_of


@command(
    "record-play",
    "page",
    "note a play test: what was heard, where on the side",
    short="play test",
    also="listen hear heard",
    needs=[disc_here],
    on=("record",),
    order=1040,
)
def open_test(desk: Desk) -> None:
    part, side = desk.work.part, desk.work.side
    begun = f"side {side}, " if part is not None and part["kind"] == "disc" and side else ""
    desk.say("")  # what was said before would hide what the line wants
    about = RIGHT.removeprefix("write it as: ")
    open_line(desk, "play-test", "play test", begun, about, record=desk.record["id"])


def _take(desk: Desk, line: OpenLine) -> None:
    record = desk.work.record
    if record is None or record["id"] != line.data.get("record"):
        close_line(desk)
        desk.refuse("another record is on the bench now")
        return
    try:
        test = read_test(desk, record, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    close_line(desk)
    turn_to(desk, "grades")
    name, event = hand.part_name(record, test.disc), test.event
    name += f" side {event['side']}" if event["side"] else ""
    shown = grading.shown_grade(event["grade"], event["shade"])
    with dated(desk, f"record {record['no']}, {name}: played, {shown}") as change:
        put_test(desk, desk.changed(change), test)
    grading.warn_above_ceiling(desk, test.disc["id"])


class Played(NamedTuple):
    """A play test as it is kept: the disc, and its grade as played with what was heard."""

    disc: PartDoc
    event: GradeDoc


def read_test(desk: Desk, record: RecordDoc, text: str) -> Played:
    """The line as the record keeps it. ValueError saying what would be right."""
    sides = [side for disc in parts_of(record, "disc") for side in sides_of(disc)]
    test = read_play(text, sides, desk.scale)
    disc = _disc(desk, record, test)
    return Played(disc, _event(desk, record, disc, test))


def _disc(desk: Desk, record: RecordDoc, test: PlayTest) -> PartDoc:
    """The disc of the side named, else the one in the hand, else the only one."""
    discs = parts_of(record, "disc")
    if test.side:
        return next(disc for disc in discs if test.side in sides_of(disc))
    in_hand = next((disc for disc in discs if disc["id"] == desk.work.part_id), None)
    if in_hand is not None or len(discs) == 1:
        return in_hand or discs[0]
    sides = [side for disc in discs for side in sides_of(disc)]
    raise ValueError(f"which side? It has {' '.join(sides)}: start with side {sides[0]}")


def _event(desk: Desk, record: RecordDoc, disc: PartDoc, test: PlayTest) -> GradeDoc:
    """The grade as played: the one written in the line, else the one that stands for that side."""

    standing = side_grades(disc)
    last = standing.get(test.side) or standing.get("") or next(iter(standing.values()), None)
    if test.grade is None and last is None:
        raise ValueError(f"{hand.part_name(record, disc)} has no grade yet: write it too: side A, VG+, ...")
    grade, shade, scale = "", "", desk.scale.id
    if test.grade is not None:
        grade, shade = test.grade.grade, test.grade.shade
    elif last is not None:
        grade, shade, scale = last["grade"], last["shade"], last["scale"]
    event: dict[str, Any] = {"when": "played", "side": test.side, "grade": grade, "shade": shade}
    event |= {"scale": scale, "at": desk.now(), "heard": test.heard}
    if test.stylus:
        event["stylus"] = test.stylus
    return cast(GradeDoc, event)


def put_test(desk: Desk, record: RecordDoc, test: Played) -> None:
    """The event into a record that is being changed, and every play test still to do on that disc done."""
    changed = part_of(record, test.disc["id"])
    assert changed is not None
    changed["grades"].append(test.event)
    for chore in record["chores"]:
        if chore["what"] == "play-test" and not chore["done"] and chore["part"] in (test.disc["id"], ""):
            chore["done"] = desk.today()


LINES["play-test"] = LineKind(_take)
