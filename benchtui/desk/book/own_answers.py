"""Questions and answers of the shop's own making: their words put right, two answers made one.

Records that have a slip are not rewritten: they read in the words of today while the book says so.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.as_table import answer_table
from benchtui.books.dated_words import BY_DEALER, DatedWords, date_retold, read_dated, redated
from benchtui.books.edit import BookEdit, open_edit
from benchtui.books.library import book_files
from benchtui.books.shape import Answer, Clue, hardness_text
from benchtui.desk.book.book_changes import OF_THE_BOOKS, change
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.core.page_parts import Cell, Column, PageView, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.as_read import dates_read, shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.following import with_answer
from benchtui.desk.own_book.growing import own_book
from benchtui.knowledge.folded import fold
from benchtui.model.span import hull, spans_text


class Own(NamedTuple):
    """A question (``answer`` None), or one of its answers, of a book of the shop, and that book's file."""

    clue: Clue
    answer: Answer | None
    path: Path

    @property
    def ids(self) -> tuple[str, str]:
        """The question's and the answer's, "" for the question itself."""
        return self.clue.id, self.answer.id if self.answer is not None else ""


def own_answers(desk: Desk) -> list[Own]:
    """Each question before its answers, those made at the bench first; looked up once for every state of the
    books.
    """
    opened = desk.open.page
    if opened is not None and opened.data.get("of") is desk.library:
        kept: list[Own] = opened.data["own"]
        return kept
    written: dict[tuple[str, str], Path] = {}
    for path in book_files([own_book(desk).parent]):
        if path.parent == own_book(desk).parent:
            with suppress(BenchError):  # a book that cannot be read has no answers here either
                written |= dict.fromkeys(_told_in(open_edit(path)), path)
    found = []
    for clue in desk.library.clues():
        answers = clue.answers if clue.form == "choice" else ()
        every = [
            Own(clue, one, own_book(desk)) for one in (None, *(one for one in answers if not one.neutral))
        ]
        found += [one._replace(path=written[one.ids]) for one in every if one.ids in written]
    found.sort(key=lambda one: one.path != own_book(desk))
    if opened is not None:
        opened.data["of"], opened.data["own"] = desk.library, found
    return found


def _told_in(book: BookEdit) -> Iterator[tuple[str, str]]:
    """The ids of each question, and of each answer, that stands there."""
    clues = {one: (book.clue(one) or {}).get("answer", []) for one in book.ids("clue")}
    yield from ((one, "") for one in clues)
    for clue_id, answers in {**clues, **book.answers_added()}.items():
        yield from ((clue_id, str(one.get("id"))) for one in answers)


@command(
    "own-answers",
    "bench",
    "your own questions and answers: put a slip right, make two answers one",
    short="own answers",
    group="Look",
    also="rename join spelling typo own questions word merge correct",
    changes="nothing",
    order=251,
)
def show(desk: Desk) -> None:
    """The page, marked at the question shown, or at an answer of your own to it."""
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
    if one.answer is None:
        about = "the words that it is asked in; records, tables and pages follow"
        open_line(desk, "own-answer", "question", one.clue.ask, about, replace=True, of=one.ids)
        return
    others = ", ".join(each.text for each in one.clue.answers if each.id != one.answer.id)
    now = f"now {_made(one.answer)}. " if one.answer.spans else ""
    about = f"{now}Its words, and a date behind them; the words of another answer make the two one: {others}"
    open_line(desk, "own-answer", one.clue.ask, one.answer.text, about, replace=True, of=one.ids)


def _read(desk: Desk, line: OpenLine) -> str:
    """How a date behind an answer's words is read, or what is typed of the date that it has."""
    one = _opened(desk, line)
    if one is None or one.answer is None:
        return ""
    if (retold := date_retold(one.answer, line.text.strip())) is not None:
        why = f" ({retold.source.removeprefix(BY_DEALER).lstrip(': ')})" if "(" in line.text else ""
        return f"{retold.text}, {_made(retold)}{why}"
    said = _said(one.answer, line.text)
    return dates_read([line.text]) if said.span is not None else ""


def _made(answer: Answer) -> str:
    """``made 1965.., firm``."""
    return f"made {_when(answer)}" if answer.spans else "of any time"


def _when(answer: Answer) -> str:
    return f"{spans_text(answer.spans)}, {hardness_text(hull(answer.spans), answer.ends)}"


def _opened(desk: Desk, line: OpenLine) -> Own | None:
    of = tuple(line.data.get("of", ()))
    return next((each for each in own_answers(desk) if each.ids == of), None)


def _take(desk: Desk, line: OpenLine) -> None:
    one, text = _opened(desk, line), " ".join(line.text.split())
    if one is None:
        close_line(desk)
        desk.refuse("that is no longer in the shop's books")
        return
    if not text:
        desk.refuse("type its words; Escape leaves it as it is")
        return
    if one.answer is None:
        _take_question(desk, one, text)
    else:
        _take_answer(desk, one, one.answer, text)
    desk.place()


def _take_question(desk: Desk, one: Own, text: str) -> None:
    clue = one.clue
    if twin := next((each for each in desk.library.clues() if _would_be_twins(clue, each, text)), None):
        what = f"'{twin.ask}' is a question of the {clue.part}, {clue.place}, already"
        desk.refuse(
            f"{what}, and two questions cannot be made one: type other words, or ask one of them only"
        )
        return
    if text != clue.ask:
        fields = {"ask": text, "slips": _called_before(clue.slips, clue.ask, text) or None}
        change(desk, f"the question '{clue.ask}' is '{text}'", one.path,
               lambda book: book.change_clue(clue.id, fields))  # fmt: skip
    close_line(desk)


def _would_be_twins(clue: Clue, other: Clue, text: str) -> bool:
    """Whether the two, of one place, would be asked in the same words of one company's records."""
    there = (other.part, other.place, fold(other.ask)) == (clue.part, clue.place, fold(text))
    apart = clue.companies and other.companies and set(clue.companies).isdisjoint(other.companies)
    return there and not apart and other.id != clue.id


def _take_answer(desk: Desk, one: Own, answer: Answer, text: str) -> None:
    if (retold := date_retold(answer, text)) is not None:
        if retold != answer:
            put_words(desk, one, answer, retold)
        close_line(desk)
        return
    try:
        said = _said(answer, text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    others = (each for each in one.clue.answers if each.id != answer.id)
    same = next((each for each in others if each.text.casefold() == said.words.casefold()), None)
    new = (redated(answer, said) if said.span is not None else answer)._replace(text=said.words)
    if same is None and new != answer:
        put_words(desk, one, answer, new)
    close_line(desk)
    if same is not None:
        _ask_join(desk, one, answer, same)


def _said(answer: Answer, text: str) -> DatedWords:
    """The words of the line, and the date behind them; of an answer that ends in a year all are words."""
    if text == answer.text or read_dated(answer.text).span is not None:
        return DatedWords(text)
    said = read_dated(text)
    return said if said.words else said._replace(words=answer.text)


def put_words(desk: Desk, one: Own, answer: Answer, new: Answer) -> None:
    """The answer in other words, or at another time: what it was called before is read as it is now."""
    slips = _called_before(answer.slips, answer.text, new.text) if new.text != answer.text else answer.slips
    told = answer_table(new._replace(slips=tuple(slips)))
    fields = {name: told.get(name) for name in ("text", "slips", "made", "hardness", "to_hardness", "source")}
    when = f" {spans_text(new.spans) or 'of any time'}" if new.spans != answer.spans else ""
    if new.text == answer.text and not when:
        when = f", its date {new.hardness}, {new.source}"
    _put(desk, one, answer, fields, f"{one.clue.ask}: '{answer.text}' is '{new.text}'{when}", new.text)


def _called_before(slips: Sequence[str], was: str, now: str) -> list[str]:
    return [each for each in dict.fromkeys((*slips, was)) if each != now]


def _ask_join(desk: Desk, one: Own, answer: Answer, other: Answer) -> None:
    dated = spans_text(answer.spans)
    lost = f"; its date {dated} goes" if dated and answer.spans != other.spans else ""
    about = f"records that have '{answer.text}' count as '{other.text}'{lost}"
    desk.open.menu = Menu(
        f"Make '{answer.text}' one with '{other.text}'?",
        (
            Choice("1", "they are one", partial(_join, desk, one, answer, other)),
            Choice("2", "they are two: leave both", lambda: desk.say("")),
        ),
        about,
        "own-answer",
    )


def _join(desk: Desk, one: Own, answer: Answer, other: Answer) -> None:
    said = f"{one.clue.ask}: '{answer.text}' and '{other.text}' are one"
    _put(desk, one, answer, {"passes_to": other.id, "digit": None}, said, other.text)


def _put(desk: Desk, one: Own, answer: Answer, fields: dict[str, Any], say: str, now: str) -> None:
    def put(book: BookEdit) -> None:
        table = {**(book.answer(one.clue.id, answer.id) or {}), **fields}
        book.put_answer(one.clue.id, {key: value for key, value in table.items() if value is not None})
        if one.path == own_book(desk):
            rename(book)

    def rename(book: BookEdit) -> None:
        _names_follow(book, one.clue.id, answer.text, now)

    own = None if one.path == own_book(desk) else (own_book(desk), rename)
    change(desk, say, one.path, put, also=own)


def _names_follow(book: BookEdit, clue_id: str, was: str, now: str) -> None:
    """Pressings made of copies are named by what those showed: the names say it in the words of today."""
    for title_id, table in book.pressings():
        name = with_answer(str(table.get("name", "")), was, now)
        if (
            table.get("known") == "grown"
            and clue_id in table.get("expect", {})
            and name != table.get("name", "")
        ):
            book.change_pressing(title_id, str(table["id"]), {"name": name})


def _question(clue: Clue, marked: bool = False) -> tuple[Cell, ...]:
    where = words(clue.seen_where, "dim")
    return words(clue.ask, "accent bold" if marked else "bold"), where, _was(clue.slips)


def _answer(answer: Answer, marked: bool) -> tuple[Cell, ...]:
    made = words(_when(answer) if answer.spans else "", "dim")
    return words(f"  {answer.text}", "accent bold" if marked else ""), made, _was(answer.slips)


def _was(slips: Sequence[str]) -> Cell:
    return words("was " + ", ".join(slips) if slips else "", "dim")


@page(
    "own-answers",
    "Questions and answers of the shop's own books. Enter changes the words of the marked one (an "
    "answer's date too, typed behind them), or joins an answer to another.",
    keys=("page-enter", "page-undo", "page-leave"),
    enter=_enter,
    count=lambda desk: len(own_answers(desk)),
    opener="own-answers",
    undo=OF_THE_BOOKS,
)
def view(desk: Desk) -> PageView:
    found = own_answers(desk)
    at = desk.open.marked(len(found))
    rows, before = list[Row](), ""
    for n, one in enumerate(found):
        if one.clue.id != before and one.answer is not None:  # a question of another book
            rows.append(Row(f"question:{one.clue.id}", _question(one.clue), markable=False))
        before = one.clue.id
        cells = _question(one.clue, n == at) if one.answer is None else _answer(one.answer, n == at)
        rows.append(Row(f"answer:{'/'.join(one.ids)}", cells, marked=n == at))
    columns = (Column("question, its answers", rank=1, least=20), Column(rank=2), Column(rank=3))
    nothing = words("No answer of your own yet: a new question at the bench makes some.", "dim")
    told = (
        "A date behind an answer's words is its date (olive 1961..1964, olive until mid 1963); the words of "
        "another answer of the question make the two one. Records follow."
    )
    facts = (says(told, "dim"),)
    return PageView(
        (("Your own questions and answers", "accent bold"),),
        facts,
        (Table(columns, rows, empty=nothing, name="answers"),),
    )


LINES["own-answer"] = LineKind(_take, typed=shows(_read))
