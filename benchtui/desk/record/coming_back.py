"""A copy that came back beside what went out: its runouts, its number, its photographs, its grades."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.desk.grade.play_line import read_grade
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.contradicted import plain
from benchtui.desk.look.runout import reading
from benchtui.desk.record.record_page import same_record, turn_to
from benchtui.model.chores import add_chore
from benchtui.model.grade import Scale
from benchtui.model.naming import grades_of
from benchtui.model.record import CameBackDoc, PartDoc, RecordDoc, parts_of, sides_of

BETWEEN = "|"
FINE = "the runouts are those that went out"
LOOK_AGAIN = "look again"
"""Work on what came back unlike: its description is of what went out."""


def _written(record: RecordDoc) -> list[tuple[PartDoc, str]]:
    """Every side whose runout is known: its disc and its letter."""
    return [
        (disc, side)
        for disc in parts_of(record, "disc")
        for side in sides_of(disc)
        if disc.get("sides", {}).get(side)
    ]


def _runouts_known(desk: Desk) -> str:
    return unless(_written(desk.record), "no runout of it is known: there is nothing to compare with")


@command(
    "record-compare",
    "page",
    "compare a copy that came back with what went out: runouts, number, grades, photographs",
    short="compare",
    also="return another disc swapped came back same photographs grades",
    needs=[_runouts_known],
    on=("record",),
    order=1176,
)
def open_compare(desk: Desk) -> None:
    record = desk.record
    sides = f" {BETWEEN} ".join(f"runout {side}" for _, side in _written(record))
    went = grades_of(record, desk.scale)
    pictures = len(record.get("photographs", []))
    about = f"as it is now: {sides}; number; disc/cover grades (out: {went or '-'}); what differs from "
    about += f"its {pictures} photographs" if pictures else "how it looked"
    open_line(desk, "compare", "came back", about=f"{about}; - cannot be read", record=record["id"])


def _compare(desk: Desk, line: OpenLine) -> None:
    record = same_record(desk, line)
    if record is None:
        return
    cells = [*(cell.strip() for cell in line.text.split(";")), "", "", ""]
    try:
        another = _runouts(desk, record, cells[0]) + _number(record, cells[1])
        worse = _grades(record, cells[2], desk.scale)
    except ValueError as error:
        desk.refuse(str(error))
        return
    looks = [f"not as photographed: {cells[3]}"] if cells[3] and cells[3] != "-" else []
    unlike = [*another, *worse, *looks]
    close_line(desk)
    turn_to(desk, "questions")
    said = _said(another, worse + looks)
    with dated(desk, f"record {record['no']}: {said}") as change:
        copy = desk.changed(change)
        came: CameBackDoc = {"at": desk.now(), "typed": line.text.strip(), "unlike": unlike}
        copy["came_back"] = [*copy.get("came_back", []), came]
        copy["chores"] = [one for one in copy["chores"] if one["done"] or one["what"] != LOOK_AGAIN]
        if unlike:
            add_chore(copy, LOOK_AGAIN, desk.now(), said)
    desk.say(f"{said}: on the work list" if unlike else said, "clash" if unlike else "done")


def _said(another: list[str], else_unlike: list[str]) -> str:
    if another:
        return "another disc came back: " + "; ".join([*another, *else_unlike])
    return "; ".join([FINE, *else_unlike])


def _runouts(desk: Desk, record: RecordDoc, text: str) -> list[str]:
    sides, typed = _written(record), [one.strip() for one in text.split(BETWEEN)]
    if len(typed) != len(sides) or not any(typed):
        wanted = f" {BETWEEN} ".join(side for _, side in sides)
        raise ValueError(f"write the runouts of {wanted} in this order, {BETWEEN} between them")
    unlike = []
    for (disc, side), now in zip(sides, typed, strict=True):
        out, back = _in_full(desk, side, _went_out(disc, side)), _in_full(desk, side, now)
        if now not in ("", "-") and out.casefold() != back.casefold():
            unlike.append(f"{side} went out as {out}, came back as {back}")
    return unlike


def _number(record: RecordDoc, typed: str) -> list[str]:
    """The number on what came back, whatever the spaces and signs in it."""
    out = record["title"]["catalogue"] if record["title"] else ""
    if typed in ("", "-") or not out or plain(typed) == plain(out):
        return []
    return [f"the number went out as {out}, came back as {typed}"]


def _grades(record: RecordDoc, typed: str, scale: Scale) -> list[str]:
    """``VG/VG``: disc and cover; what is lower than what went out is said. ValueError for no grade."""
    unlike = []
    went = [*grades_of(record, scale).split("/"), "", ""]
    for at, (part, now) in enumerate(zip(("disc", "cover"), [*typed.split("/"), ""], strict=False)):
        if now.strip() in ("", "-"):
            continue
        out, step = read_grade(went[at], scale), read_grade(now, scale)
        if step is None:
            raise ValueError(f"'{now.strip()}' is not a grade of the {scale.name} scale: write disc/cover")
        if out and scale.rank(step.grade, step.shade) < scale.rank(out.grade, out.shade):
            unlike.append(f"the {part} went out as {went[at]}, came back as {now.strip()}")
    return unlike


def _went_out(disc: PartDoc, side: str) -> str:
    kept = disc.get("sides", {}).get(side, {})
    return str(kept.get("full") or kept.get("typed") or "")


def _in_full(desk: Desk, side: str, typed: str) -> str:
    found = reading(desk, typed, side)
    return " ".join((found.full or typed).split())


LINES["compare"] = LineKind(_compare)
