"""The page of the record in full: its description edited, a later grade."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import part_is_here, unless
from benchtui.desk.grade import grading
from benchtui.desk.grade.play_line import read_grade
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.describing import (
    described,
    item_of,
    template_names,
    template_shown,
    templates,
    wording,
)
from benchtui.export.describe import edit
from benchtui.model.record import RecordDoc, half_words


def turn_to(desk: Desk, section: str) -> None:
    """The next drawing of the page begins with that section of draw/page_record.py."""
    if desk.open.page is not None:
        desk.open.page.data["wanted"] = section


# -- the description -----------------------------------------------------------------------------


def _edited(desk: Desk) -> str:
    return unless(desk.record.get("description"), "nothing to drop: the description is made from the facts")


@command(
    "record-template",
    "page",
    "the description by the next template",
    short="template",
    also="description text wording",
    changes="nothing",
    on=("record",),
    order=1020,
)
def next_template(desk: Desk) -> None:
    """The description by the next template."""
    if desk.open.page is None:
        return
    names = template_names(desk)
    name = names[(names.index(template_shown(desk)) + 1) % len(names)]
    desk.open.page.data["template"] = name
    turn_to(desk, "description")
    desk.say(f"the {name} template")


@command(
    "record-edit",
    "page",
    "edit the record's description: title line, then text",
    short="edit",
    also="description text write words",
    on=("record",),
    order=1010,
)
def edit_description(desk: Desk) -> None:
    """Two lines one after the other: the title line, then the text."""
    record = desk.record
    name = template_shown(desk)
    title = described(desk, record, name).title
    turn_to(desk, "description")
    about = "the description's title line; Enter goes on to its text"
    desk.say("")  # what was said before would hide what the line wants
    open_line(desk, "description-title", "title line", title, about, record=record["id"], template=name)


def _take_title(desk: Desk, line: OpenLine) -> None:
    record, title = same_record(desk, line), line.text.strip()
    if record is None:
        return
    if not title:
        desk.refuse("type a title line, or leave with Escape and nothing changes")
        return
    name = _still_there(desk, str(line.data["template"]))
    text = described(desk, record, name).text
    about = "the description; Enter keeps it, Escape leaves all as it was"
    data = {**line.data, "template": name, "title": title}
    open_line(desk, "description-text", "description", text, about, **data)
    desk.say("")


def _take_text(desk: Desk, line: OpenLine) -> None:

    record, text = same_record(desk, line), line.text.strip()
    if record is None:
        return
    if not text:
        desk.refuse("type a description, or leave with Escape and nothing changes")
        return
    name, title = _still_there(desk, str(line.data["template"])), str(line.data["title"])
    shown = described(desk, record, name)
    close_line(desk)
    if (shown.title, shown.text) == (title, text) and not shown.changed:
        desk.say("the description was not changed")
        desk.place()
        return
    kept = edit(item_of(desk, record), wording(desk), title, text, name, desk.now())
    with dated(desk, f"record {record['no']}: description edited") as change:
        desk.changed(change)["description"] = kept
    _say_length(desk, record["id"], name)


def _say_length(desk: Desk, record_id: str, name: str) -> None:
    """A text longer than its template allows is kept whole, and said."""
    assert desk.work.parcel is not None
    now = described(desk, desk.work.parcel.record(record_id), name)
    over = [
        f"{what} {by} characters over the {name} template's limit"
        for what, by in (("title line", now.title_over), ("text", now.over))
        if by
    ]
    if over:
        desk.say(f"{desk.open.message}; {'; '.join(over)}", "clash")


def _still_there(desk: Desk, name: str) -> str:
    """The template, or the first where the shop has lost it since the line was opened."""
    return name if name in templates(desk) else template_names(desk)[0]


def same_record(desk: Desk, line: OpenLine) -> RecordDoc | None:
    """The record the line was opened for; a line that outlived it is closed."""
    record = desk.work.record
    if record is None or record["id"] != line.data.get("record"):
        close_line(desk)
        desk.refuse("another record is on the bench now")
        desk.place()
        return None
    return record


def typed_for(desk: Desk, line: OpenLine) -> RecordDoc | None:
    """The record the line was opened for, where something is typed; an empty line is closed."""
    record = same_record(desk, line)
    if record is not None and not line.text.strip():
        close_line(desk)
        desk.place()
        return None
    return record


@command(
    "record-drop",
    "page",
    "drop the edited description, make it from the facts",
    short="drop edit",
    also="description reset original",
    needs=[_edited],
    on=("record",),
    order=1030,
)
def drop_edit(desk: Desk) -> None:
    """Away with the dealer's own words: the description is made from the facts again."""
    turn_to(desk, "description")
    with dated(desk, f"record {desk.record['no']}: edited description dropped") as change:
        desk.changed(change)["description"] = None


# -- a later grade -------------------------------------------------------------------------------


@command(
    "record-grade",
    "page",
    "grade the part in hand after cleaning or playing",
    short="grade",
    also="regrade condition later cleaned",
    needs=[part_is_here],
    on=("record",),
    order=1050,
)
def later_grade(desk: Desk) -> None:
    """Grade the part in the hand after cleaning or a play test; in a closed parcel correct the grade as
    arrived, which stays in the parcel as a dated correction with what stood before.
    """
    record, part = desk.record, desk.part
    when = grading.occasion(record, part)
    name = hand.part_name(record, part) + (f" {half_words(desk.work.side)}" if desk.work.side else "")
    words = {"arrived": "as arrived", "cleaned": "after cleaning", "played": "played"}[when]
    if when == "arrived" and desk.parcel.closed:
        words = "as arrived, corrected"
    label = f"{name}, {words}"
    about = f"a grade of the {desk.scale.name} scale, such as {desk.scale.grades[2].id}"
    desk.say("")  # what was said before would hide what the line wants
    open_line(desk, "later-grade", label, about=about, record=record["id"], part=part["id"])


def _take_grade(desk: Desk, line: OpenLine) -> None:
    record, part = same_record(desk, line), desk.work.part
    if record is None:
        return
    if part is None or part["id"] != line.data.get("part"):
        close_line(desk)
        desk.refuse("another part is in hand now")
        return
    step = read_grade(line.text, desk.scale)
    if step is None:
        known = ", ".join(grade.id for grade in desk.scale.grades)
        desk.refuse(f"'{line.text.strip()}' is not a grade of the {desk.scale.name} scale: {known}")
        return
    close_line(desk)
    turn_to(desk, "grades")
    grading.give(desk, record, part, step.grade, step.shade)


LINES["description-title"] = LineKind(_take_title)
LINES["description-text"] = LineKind(_take_text)
LINES["later-grade"] = LineKind(_take_grade)
