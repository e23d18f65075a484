"""What buyers ask about a record, kept until it is answered; a copy that came back beside what went out."""

from benchtui.desk.core.command import command
from benchtui.desk.core.dated import dated
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.runout import reading
from benchtui.desk.record.record_page import on_page, same_record, turn_to
from benchtui.model.chores import add_chore, finish
from benchtui.model.record import (
    QUESTION,
    PartDoc,
    QuestionDoc,
    RecordDoc,
    new_id,
    parts_of,
    sides_of,
)

BETWEEN = "|"


def waiting_questions(record: RecordDoc) -> list[QuestionDoc]:
    """Those not answered yet, the oldest first."""
    return [one for one in record.get("questions", []) if not one["answered"]]


def _asked(desk: Desk) -> str:
    record = desk.work.record
    return unless(record is not None and waiting_questions(record), "no question waits for an answer")


@command(
    "record-question",
    "page",
    "note what a buyer asks about it",
    short="question",
    also="buyer asks ask enquiry mail customer",
    on=("record",),
    order=1172,
)
def open_question(desk: Desk) -> None:
    record = on_page(desk)
    if record is not None:
        open_line(desk, "question", "question", about="who asks; what they ask", record=record["id"])


def _ask(desk: Desk, line: OpenLine) -> None:
    record = same_record(desk, line)
    if record is None:
        return
    who, semicolon, what = (part.strip() for part in line.text.partition(";"))
    if not what:
        desk.refuse("write who asks; what they ask" if semicolon or not who else f"what does {who[:40]} ask?")
        return
    close_line(desk)
    turn_to(desk, "questions")
    with dated(desk, f"record {record['no']}: a question noted") as change:
        copy = desk.changed(change)
        asked: QuestionDoc = {
            "id": new_id("q"), "at": desk.now(), "who": who, "what": what, "answer": "", "answered": None,
            "chore": add_chore(copy, QUESTION, desk.now(), what),
        }  # fmt: skip
        copy["questions"] = [*copy.get("questions", []), asked]


@command(
    "record-answer",
    "page",
    "answer the oldest question of a buyer",
    short="answer",
    also="reply buyer question",
    needs=[_asked],
    on=("record",),
    order=1174,
)
def open_answer(desk: Desk) -> None:
    record = on_page(desk)
    if record is None:
        return
    waiting = waiting_questions(record)
    if not waiting:
        desk.refuse("no question waits for an answer")
        return
    one = waiting[0]
    about = f"{one['who']}: {one['what']}"
    open_line(desk, "answer-question", "answer", about=about, record=record["id"], question=one["id"])


def _answer(desk: Desk, line: OpenLine) -> None:
    record = same_record(desk, line)
    text = line.text.strip()
    if record is None:
        return
    if not text:
        desk.refuse("write what you answered, or leave the line with Escape")
        return
    close_line(desk)
    turn_to(desk, "questions")
    with dated(desk, f"record {record['no']}: a question answered") as change:
        copy = desk.changed(change)
        for one in copy.get("questions", []):
            if one["id"] == line.data["question"]:
                one["answer"], one["answered"] = text, desk.today()
                finish(copy, one["chore"], desk.today())


def _written(record: RecordDoc) -> list[tuple[PartDoc, str]]:
    """Every side whose runout is known: its disc and its letter."""
    return [
        (disc, side)
        for disc in parts_of(record, "disc")
        for side in sides_of(record, disc)
        if disc.get("sides", {}).get(side)
    ]


def _runouts_known(desk: Desk) -> str:
    record = desk.work.record
    return unless(record is not None and _written(record), "no runout of it is known")


@command(
    "record-compare",
    "page",
    "compare a copy that came back with what went out, by its runouts",
    short="compare",
    also="return another disc swapped came back same",
    needs=[_runouts_known],
    on=("record",),
    order=1176,
)
def open_compare(desk: Desk) -> None:
    record = on_page(desk)
    if record is None:
        return
    if not _written(record):
        desk.refuse("no runout of it is known: there is nothing to compare with")
        return
    sides = f" {BETWEEN} ".join(f"runout {side}" for _, side in _written(record))
    about = f"as it is now: {sides}; - for one you cannot read"
    open_line(desk, "compare", "came back", about=about, record=record["id"])


def _compare(desk: Desk, line: OpenLine) -> None:
    record = same_record(desk, line)
    if record is None:
        return
    sides, typed = _written(record), [one.strip() for one in line.text.split(BETWEEN)]
    if len(typed) != len(sides) or not any(typed):
        wanted = f" {BETWEEN} ".join(side for _, side in sides)
        desk.refuse(f"write the runouts of {wanted} in this order, {BETWEEN} between them")
        return
    unlike = []
    for (disc, side), text in zip(sides, typed, strict=True):
        out, back = _in_full(desk, side, _went_out(disc, side)), _in_full(desk, side, text)
        if text not in ("", "-") and out.casefold() != back.casefold():
            unlike.append(f"{side} went out as {out}, came back as {back}")
    close_line(desk)
    turn_to(desk, "questions")
    said = "another disc came back: " + "; ".join(unlike) if unlike else "the runouts are those that went out"
    with dated(desk, f"record {record['no']}: {said}") as change:
        copy = desk.changed(change)
        came = {"at": desk.now(), "typed": line.text.strip(), "unlike": unlike}
        copy["came_back"] = [*copy.get("came_back", []), came]  # type: ignore[list-item]
    desk.say(said, "clash" if unlike else "done")


def _went_out(disc: PartDoc, side: str) -> str:
    kept = disc.get("sides", {}).get(side, {})
    return str(kept.get("full") or kept.get("typed") or "")


def _in_full(desk: Desk, side: str, typed: str) -> str:
    found = reading(desk, typed, side)
    return " ".join((found.full or typed).split())


LINES["question"] = LineKind(_ask)
LINES["answer-question"] = LineKind(_answer)
LINES["compare"] = LineKind(_compare)
