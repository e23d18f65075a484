"""The answers of the shop's own making, question by question: their words put right, two of them made one.

Records that have a slip are not rewritten: they read in the words of today while the book says so.
"""

from collections.abc import Iterator
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.edit import BookEdit, open_edit
from benchtui.books.library import book_files
from benchtui.books.shape import Answer, Clue
from benchtui.desk.book.book_changes import OF_THE_BOOKS, change
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.core.page_parts import Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.growing import own_book
from benchtui.model.span import spans_text


class Own(NamedTuple):
    """An answer that stands in a book of the shop, and that book's file."""

    clue: Clue
    answer: Answer
    path: Path


def own_answers(desk: Desk) -> list[Own]:
    """Those made at the bench first; looked up once for every state of the books."""
    opened = desk.open.page
    if opened is not None and opened.data.get("of") is desk.library:
        kept: list[Own] = opened.data["own"]
        return kept
    written: dict[tuple[str, str], Path] = {}
    for path in book_files([own_book(desk).parent]):
        if path.parent == own_book(desk).parent:
            with suppress(BenchError):  # a book that cannot be read has no answers here either
                written |= dict.fromkeys(_answers_in(open_edit(path)), path)
    found = [
        Own(clue, answer, written[clue.id, answer.id])
        for clue in desk.library.clues()
        for answer in clue.answers
        if (clue.id, answer.id) in written and clue.form == "choice" and not answer.neutral
    ]
    found.sort(key=lambda one: one.path != own_book(desk))
    if opened is not None:
        opened.data["of"], opened.data["own"] = desk.library, found
    return found


def _answers_in(book: BookEdit) -> Iterator[tuple[str, str]]:
    clues = {one: (book.clue(one) or {}).get("answer", []) for one in book.ids("clue")}
    for clue_id, answers in {**clues, **book.answers_added()}.items():
        yield from ((clue_id, str(one.get("id"))) for one in answers)


@command(
    "own-answers",
    "bench",
    "your own answers: put a slip right, make two one",
    short="own answers",
    group="Look",
    also="rename join spelling typo question word merge correct",
    changes="nothing",
    order=251,
)
def show(desk: Desk) -> None:
    """The page, marked at an answer of the question shown."""
    clue = desk.clue
    desk.open.page = Page("own-answers")
    ids = [one.clue.id for one in own_answers(desk)]
    desk.open.page.marked = ids.index(clue.id) if clue is not None and clue.id in ids else 0
    desk.say("")
    desk.place()


def _marked(desk: Desk) -> Own | None:
    return desk.open.marked_of(own_answers(desk))


def _enter(desk: Desk) -> None:
    one = _marked(desk)
    if one is None:
        desk.refuse("there is no answer of your own yet")
        return
    desk.say("")
    others = ", ".join(each.text for each in one.clue.answers if each.id != one.answer.id)
    about = f"its words; those of another answer make the two one: {others}"
    open_line(
        desk, "own-answer", one.clue.ask, one.answer.text, about,
        replace=True, clue=one.clue.id, answer=one.answer.id,
    )  # fmt: skip


def _take(desk: Desk, line: OpenLine) -> None:
    key, text = (line.data.get("clue"), line.data.get("answer")), " ".join(line.text.split())
    one = next((each for each in own_answers(desk) if (each.clue.id, each.answer.id) == key), None)
    if one is None:
        close_line(desk)
        desk.refuse("that answer is no longer in the shop's books")
        return
    if not text:
        desk.refuse("type its words; Escape leaves it as it is")
        return
    others = (each for each in one.clue.answers if each.id != one.answer.id)
    same = next((each for each in others if each.text.casefold() == text.casefold()), None)
    if same is None and text != one.answer.text:
        _rename(desk, one, text)
    close_line(desk)
    if same is not None:
        _ask_join(desk, one, same)
    desk.place()


def _rename(desk: Desk, one: Own, text: str) -> None:
    slips = [each for each in (*one.answer.slips, one.answer.text) if each != text]
    _put(desk, one, {"text": text, "slips": slips}, f"{one.clue.ask}: '{one.answer.text}' is '{text}'")


def _ask_join(desk: Desk, one: Own, other: Answer) -> None:
    dated = spans_text(one.answer.spans)
    lost = f"; its date {dated} goes" if dated and one.answer.spans != other.spans else ""
    about = f"records that have '{one.answer.text}' count as '{other.text}'{lost}"
    desk.open.menu = Menu(
        f"Make '{one.answer.text}' one with '{other.text}'?",
        (
            Choice("1", "they are one", partial(_join, desk, one, other)),
            Choice("2", "they are two: leave both", lambda: desk.say("")),
        ),
        about,
        "own-answer",
    )


def _join(desk: Desk, one: Own, other: Answer) -> None:
    said = f"{one.clue.ask}: '{one.answer.text}' and '{other.text}' are one"
    _put(desk, one, {"passes_to": other.id, "digit": None}, said)


def _put(desk: Desk, one: Own, fields: dict[str, Any], say: str) -> None:
    def put(book: BookEdit) -> None:
        table = {**(book.answer(one.clue.id, one.answer.id) or {}), **fields}
        book.put_answer(one.clue.id, {key: value for key, value in table.items() if value is not None})

    change(desk, say, one.path, put)


@page(
    "own-answers",
    "The answers of the shop's own books. Enter changes the words of the marked one, or joins it to another.",
    keys=("page-enter", "page-undo", "page-leave"),
    enter=_enter,
    count=lambda desk: len(own_answers(desk)),
    opener="own-answers",
    undo=OF_THE_BOOKS,
)
def view(desk: Desk) -> PageView:
    found = own_answers(desk)
    at = desk.open.marked(len(found))
    rows, before = [], ""
    for n, one in enumerate(found):
        ask, before = one.clue.ask if one.clue.id != before else "", one.clue.id
        where = f"{one.clue.part}, {one.clue.place}" if ask else ""
        cells = (
            words(ask, "bold"),
            words(one.answer.text, "accent bold" if n == at else ""),
            words(spans_text(one.answer.spans), "dim"),
            words("was " + ", ".join(one.answer.slips) if one.answer.slips else "", "dim"),
            words(where, "dim"),
        )
        rows.append(Row(f"answer:{one.clue.id}/{one.answer.id}", cells, marked=n == at))
    columns = (
        Column("question", rank=2, least=14), Column("answer", rank=1, least=12), Column("made", rank=3),
        Column(rank=4), Column(rank=5),
    )  # fmt: skip
    nothing = words("No answer of your own yet: a new question at the bench makes some.", "dim")
    facts = (says("The words of another answer of the question make the two one; records follow.", "dim"),)
    return PageView(
        (("Your own answers", "accent bold"),), facts, (Table(columns, rows, empty=nothing, name="answers"),)
    )


LINES["own-answer"] = LineKind(_take)
