"""The shop's own book grows out of the work: a new pressing as this copy shows it, a new answer to a clue."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast, get_args

from benchtui.base.errors import BenchError
from benchtui.books.from_bench import OWN_BOOK, answer_seen, pressing_seen
from benchtui.books.shape import Answer, Clue, Pressing, PressingKind
from benchtui.books.write import add_answer, add_pressing, put_back
from benchtui.desk.ask.asking import next_question
from benchtui.desk.ask.forms import form_of
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look import clues
from benchtui.model.record import RecordDoc
from benchtui.model.span import UNKNOWN, Span
from benchtui.store import Entry

IN_BOOK = "the shop's book"


@dataclass(frozen=True)
class Growth:
    """What the book was before and after one addition, so that undo can give it back as it was."""

    path: Path
    before: bytes | None
    after: bytes


def own_book(desk: Desk) -> Path:
    return desk.shop.path / "books" / OWN_BOOK


def _record_of(desk: Desk) -> RecordDoc | None:
    """The record whose evidence is on the page, else a word on why the book cannot grow here."""
    if desk.open.page is None or desk.open.page.name != "why" or desk.work.record is None:
        desk.refuse("open the page 'why' to add to the book")
    elif desk.work.parcel is None or desk.work.parcel.closed:
        desk.refuse("this parcel is closed: add to the book from a record at work")
    else:
        return desk.work.record
    return None


def no_pressing(desk: Desk) -> str:
    """In short why no pressing can be made of this copy now; "" where one can."""
    record = desk.work.record
    if record is None or record["title"] is None:
        return "no title yet"
    if desk.work.parcel is None or desk.work.parcel.closed:
        return "the parcel is closed"
    seen = _shown(desk, record, "")
    return "" if seen.expect or seen.cuts or seen.extras else "nothing was seen yet"


def no_answer(desk: Desk) -> str:
    """In short why the question shown can be given no new answer now; "" where it can."""
    if desk.work.parcel is None or desk.work.parcel.closed:
        return "the parcel is closed"
    clue = desk.clue
    if clue is None or desk.asking.asked is None or desk.asking.asked == hand.HERE:
        return "no question of a book is open"
    return "" if form_of(clue).chosen else "it is not answered by choices"


# -- a new pressing ---------------------------------------------------------------------------------


@command(
    "why-pressing",
    "page",
    "add this copy to the shop's book as a pressing",
    short="new pressing",
    also="book learn add",
    needs=[no_pressing],
    on=("why",),
    order=990,
)
def new_pressing(desk: Desk) -> None:
    """Ask for the name of the pressing that this copy shows."""
    record = _record_of(desk)
    if record is None:
        return
    if record["title"] is None:
        desk.refuse("find the title first: a pressing belongs to one")
        return
    seen = _shown(desk, record, "")
    if not (seen.expect or seen.cuts or seen.extras):
        desk.refuse("nothing seen on this copy yet sets a pressing apart")
        return
    period = f"made {seen.period.edtf()}" if seen.period.known else "date unknown"
    seen_words = f"{len(seen.expect)} answer{'s' if len(seen.expect) != 1 else ''} seen"
    about = f"a name for the new pressing in {IN_BOOK}: {period}, {seen_words}; such as: export, silver label"
    desk.say("")
    open_line(desk, "grow-pressing", "new pressing", about=about, record=record["id"])


def _shown(desk: Desk, record: RecordDoc, name: str) -> Pressing:
    """The pressing this copy shows; its period: when the disc was likely made, once the title was out."""
    weighing, title = desk.weighing(), desk.book_title
    found = weighing.disc_span if weighing else None
    period: Span = (found.likely or found.certain or UNKNOWN) if found else UNKNOWN
    if title is not None:
        period = period.meet(Span(title.first.earliest, None)) or period
    return pressing_seen(record, desk.library, name, period, _kind(desk, record))


def _kind(desk: Desk, record: RecordDoc) -> PressingKind:
    """What an answer says by rule (promotional, counterfeit), else ordinary."""
    for answer in record["answers"]:
        clue = desk.library.clue(answer["clue"])
        found = clue.answer(answer["answer"]) if clue else None
        if found is not None and answer["how"] == "seen" and found.tells in get_args(PressingKind):
            return cast(PressingKind, found.tells)
    return "ordinary"


def _take_pressing(desk: Desk, line: OpenLine) -> None:
    record, name = desk.work.record, " ".join(line.text.split())
    if record is None or record["id"] != line.data.get("record") or record["title"] is None:
        close_line(desk)
        desk.refuse("another record is on the bench now")
        return
    if not name:
        desk.refuse("type a name for the pressing: what sets it apart; Escape leaves the book as it is")
        return
    title, known = record["title"], desk.book_title
    if known is not None and any(one.name.casefold() == name.casefold() for one in known.pressings):
        desk.refuse(f"this title has a pressing '{name}' already: type what sets this one apart")
        return
    made = _shown(desk, record, name)

    def write() -> None:
        fresh = None if known else title
        add_pressing(own_book(desk), title["id"], made, title=fresh, currency=desk.currency)

    def use() -> None:
        with desk.act(f"record {record['no']}: new pressing in {IN_BOOK}: {name}", OWN_BOOK) as change:
            desk.changed(change)["pressing"] = {
                "id": made.id,
                "how": "hand",
                "p": None,
                "learn": True,
                "name": name,
            }
            hand.take(desk, change.record(record["id"]), desk.work.part_id, desk.work.side)

    _grow(desk, write, use, line)
    _tell_finder(desk, title["id"])


def _tell_finder(desk: Desk, title_id: str) -> None:
    """The pick list says how many pressings are known now."""
    listed, known = desk.finder.by_id(title_id), desk.library.title(title_id)
    if listed is not None:
        desk.finder.add(replace(listed, pressings=len(known.pressings) if known else 0))


# -- a new answer -----------------------------------------------------------------------------------


@command(
    "why-answer",
    "page",
    "add an answer to the clue asked, in the shop's book",
    short="new answer",
    also="book learn add clue",
    needs=[no_answer],
    on=("why",),
    order=1000,
)
def new_answer(desk: Desk) -> None:
    """Ask for the wording of an answer that the question shown does not have."""
    record = _record_of(desk)
    if record is None:
        return
    clue = desk.clue
    if clue is None or desk.asking.asked is None or desk.asking.asked == hand.HERE:
        desk.refuse("no question of a book is open: jump to the clue first, then add its answer here")
        return
    if not form_of(clue).chosen:
        desk.refuse(f"'{clue.ask}' has no list of answers, so none can be added here")
        return
    taken = ", ".join(f"{one.digit} {one.text}" for one in clue.answers)
    about = f"what you see, in your words; the book has {taken}"
    desk.say("")
    open_line(desk, "grow-answer", clue.ask, about=about, record=record["id"], asked=list(desk.asking.asked))


def _take_answer(desk: Desk, line: OpenLine) -> None:
    clue, text = desk.clue, " ".join(line.text.split())
    here = [
        desk.work.record["id"] if desk.work.record else None,
        list(desk.asking.asked) if desk.asking.asked else None,
    ]
    if clue is None or here != [line.data.get("record"), line.data.get("asked")]:
        close_line(desk)
        desk.refuse("another question is open now: jump to the clue again")
        return
    if not text:
        desk.refuse("type the answer in your words; Escape leaves the book as it is")
        return
    if any(one.text.casefold() == text.casefold() for one in clue.answers):
        desk.refuse(f"'{clue.ask}' has the answer '{text}' already")
        return

    def write() -> None:
        add_answer(own_book(desk), clue, answer_seen(clue, text))

    def use() -> None:
        fresh = desk.library.clue(clue.id) or clue
        made = next(one for one in fresh.answers if one.text == text)
        _answer_with(desk, fresh, made)

    _grow(desk, write, use, line)


def _answer_with(desk: Desk, clue: Clue, answer: Answer) -> None:
    """The question shown is answered with what was just added, in one action."""
    record, part, asked = desk.work.record, desk.work.part, desk.asking.asked
    assert record is not None
    assert part is not None
    assert asked is not None
    where = f"record {record['no']}, {hand.part_name(record, part)}"
    with desk.act(
        f"{where}: new answer in {IN_BOOK}: {clue.ask}: {answer.digit} {answer.text}", OWN_BOOK
    ) as change:
        copy = desk.changed(change)
        clues.put_answer(desk, copy, part["id"], asked[0], clue, answer, None, answer.text)
        desk.asking.asked = next_question(desk, copy)


# -- the book, and taking it back -------------------------------------------------------------------


def _grow(desk: Desk, write: Callable[[], None], use: Callable[[], None], line: OpenLine) -> None:
    """The book first, so that no record ever refers to what no book has; it goes back if the rest fails.

    The line stays open, with its text, where the book cannot be written.
    """
    desk.shop.presence.check()
    path = own_book(desk)
    before = _bytes(path)
    write()
    after = _bytes(path) or b""
    if desk.open.line is line:
        close_line(desk)
    try:
        _read_again(desk)
        use()
    except BenchError:
        put_back(path, before)
        _read_again(desk)
        raise
    entry = desk.work.parcel.history[-1] if desk.work.parcel and desk.work.parcel.history else None
    if desk.work.parcel is not None and entry is not None:
        desk.work.grown[(desk.work.parcel.id, entry.n, entry.at)] = Growth(path, before, after)


def _bytes(path: Path) -> bytes | None:
    try:
        return path.read_bytes() if path.exists() else None
    except OSError as error:
        raise BenchError(f"cannot be read: {error.strerror or error}", path) from None


def _read_again(desk: Desk) -> None:
    """The library as it is now; whatever was weighed with the old one is weighed anew."""
    desk.references = replace(desk.references, library=desk.library.reopened())
    desk.weighings.forget_counts()


def turn_book(desk: Desk, parcel: str, entry: Entry, back: bool) -> str:
    """Take the book back (or forth) with the entry just turned; what is to be said of it, "" for nothing.

    Only where the book is as that entry left it; else it keeps what it has, and that is said.
    """
    if not (entry.was or {}).get("book"):
        return ""
    growth = desk.work.grown.get((parcel, entry.n, entry.at))
    stays = f"; but {IN_BOOK} stays as it is now ({own_book(desk).name})"
    if growth is None:
        return stays
    here, there = (growth.after, growth.before) if back else (growth.before, growth.after)
    try:
        if _bytes(growth.path) != here:
            return stays
        put_back(growth.path, there)
        _read_again(desk)
    except BenchError as error:
        return f"; but {IN_BOOK} stays as it is: {error.one_line()}"
    record = desk.work.record
    if record is not None and record["title"] is not None:
        _tell_finder(desk, record["title"]["id"])
    return f"; {IN_BOOK} too"


LINES["grow-pressing"] = LineKind(_take_pressing)
LINES["grow-answer"] = LineKind(_take_answer)
