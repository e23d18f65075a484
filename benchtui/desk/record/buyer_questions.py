"""What buyers ask about a record, kept until it is answered."""

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.record.fact import offer_facts
from benchtui.desk.record.record_page import same_record, turn_to
from benchtui.model.chores import add_chore, finish
from benchtui.model.record import (
    QUESTION,
    QuestionDoc,
    RecordDoc,
    new_id,
)


def waiting_questions(record: RecordDoc) -> list[QuestionDoc]:
    """Those not answered yet, the oldest first."""
    return [one for one in record.get("questions", []) if not one["answered"]]


def _asked(desk: Desk) -> str:
    return unless(waiting_questions(desk.record), "no question waits for an answer")


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
    open_line(desk, "question", "question", about="who asks; what they ask", record=desk.record["id"])


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
    one = waiting_questions(desk.record)[0]
    about = f"{one['who']}: {one['what']}"
    open_line(desk, "answer-question", "answer", about=about, record=desk.record["id"], question=one["id"])


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
    offer_facts(desk, text)


LINES["question"] = LineKind(_ask)
LINES["answer-question"] = LineKind(_answer)
