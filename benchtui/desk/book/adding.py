"""A new answer to the question shown, in the shop's own book: one key and its words."""

from functools import partial

from benchtui.books.as_table import answer_table
from benchtui.books.dated_words import dated_answer, read_dated
from benchtui.books.edit import BookEdit
from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.asking import next_question
from benchtui.desk.ask.forms import form_of
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import record_here
from benchtui.desk.hand import hand
from benchtui.desk.line.as_read import answer_read, shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look import clues
from benchtui.desk.own_book.growing import IN_BOOK, Grown, grow
from benchtui.model.record import RecordDoc


def _no_answer(desk: Desk) -> str:
    """In short why the question shown can be given no new answer now; "" where it can."""
    if desk.parcel.closed:
        return "the parcel is closed"
    clue = desk.clue
    if clue is None or desk.asking.asked is None or desk.asking.asked == hand.HERE:
        return "no question is open: jump to one first"
    if not form_of(clue).chosen:
        return f"'{clue.ask}' has no list of answers"
    taken = {one.digit for one in clue.answers}
    return "" if _free(taken) else f"'{clue.ask}' has no digit left: make a new question instead"


def _free(taken: set[int]) -> int:
    return next((number for number in range(1, 10) if number not in taken), 0)


@command(
    "why-answer",
    "page",
    "add an answer to the question asked, in the shop's book",
    short="new answer",
    also="book learn add clue",
    needs=[record_here, _no_answer],
    on=("why",),
    order=1000,
)
@command(
    "new-answer",
    "bench",
    "add an answer to the question shown, in the shop's book",
    short="new answer",
    group="Look",
    also="book learn add clue other none fits",
    needs=[record_here, _no_answer],
    order=207,
)
def new_answer(desk: Desk) -> None:
    """Ask for the wording of an answer that the question shown does not have."""
    clue, asked = desk.clue, desk.asking.asked
    if clue is None or asked is None:
        return
    taken = ", ".join(f"{one.digit} {one.text}" for one in clue.answers)
    about = f"what you see, in your words, with a date if you know one: 1958..1960 (why); it has {taken}"
    desk.say("")
    open_line(desk, "grow-answer", clue.ask, about=about, record=desk.record["id"], asked=list(asked))


def _take_answer(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    here = [
        desk.work.record["id"] if desk.work.record else None,
        list(desk.asking.asked) if desk.asking.asked else None,
    ]
    if clue is None or here != [line.data.get("record"), line.data.get("asked")]:
        close_line(desk)
        desk.refuse("another question is open now: jump to that one again")
        return
    try:
        said = read_dated(line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if not said.words:
        desk.refuse("type the answer in your words; Escape leaves the book as it is")
        return
    if any(one.text.casefold() == said.words.casefold() for one in clue.answers):
        desk.refuse(f"'{clue.ask}' has the answer '{said.words}' already")
        return
    digit = _free({one.digit for one in clue.answers})
    made = dated_answer(said, [one.id for one in clue.answers], digit)
    grow(desk, partial(_write, clue=clue.id, made=made), partial(_answer_with, desk, clue, made))
    if desk.open.line is line:
        close_line(desk)
        desk.place()


def _write(book: BookEdit, clue: str, made: Answer) -> None:
    book.put_answer(clue, answer_table(made))


def _answer_with(desk: Desk, clue: Clue, answer: Answer, grown: Grown) -> None:
    """The question shown is answered with what was just added, in one action; an answer that was seen on this
    copy stays.
    """
    record, part, asked = desk.work.record, desk.work.part, desk.asking.asked
    assert record is not None
    assert part is not None
    assert asked is not None
    clue = desk.library.clue(clue.id) or clue
    stood = _seen_here(record, part["id"], asked[0], clue)
    where = f"record {record['no']}, {hand.part_name(record, part)}"
    of = f"keeps '{stood}' ({answer.digit} changes it)" if stood else "has it"
    said = f"{where}: new answer in {IN_BOOK}: {clue.ask}: {answer.digit} {answer.text}; this copy {of}"
    with desk.act(said, grown) as change:
        copy = desk.changed(change)
        if not stood:
            clues.put_answer(desk, copy, part["id"], asked[0], clue, answer, None, answer.text)
            desk.asking.asked = next_question(desk, copy)


def _seen_here(record: RecordDoc, part: str, place: str, clue: Clue) -> str:
    """The words of the answer that was seen on this copy, "" where none was."""
    for one in record["answers"]:
        if (one["part"], one["place"], one["clue"], one["how"]) == (part, place, clue.id, "seen"):
            found = clue.answer(one["answer"])
            return found.text if found is not None else one["text"].removeprefix(f"{clue.ask}: ")
    return ""


LINES["grow-answer"] = LineKind(_take_answer, typed=shows(answer_read))
