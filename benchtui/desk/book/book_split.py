"""A pressing found to be two: a copy of it under another name, and the question that tells them apart.

The records taken in as the old one are weighed again (``otherwise``); those that show the other's answer are
told, and decided on their own page.
"""

from typing import Any

from benchtui.books.as_table import clue_table
from benchtui.books.edit import BookEdit
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.desk.book.book_changes import SplitDoc, change, home_of_pressing
from benchtui.desk.book.book_columns import asked_of, fitting_clues
from benchtui.desk.book.book_edits import free_id, mark_pressing
from benchtui.desk.book.book_grid import grid_clues, marked_pressing, shown_title
from benchtui.desk.book.cells import Expected, put_expected, read_expected
from benchtui.desk.book.new_question import PLACES
from benchtui.desk.book.told import told_question
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.growing import own_book
from benchtui.knowledge.alike import place_answer
from benchtui.knowledge.folded import fold

OF_ONE = ("retired", "passes_to", "said", "note")
"""What a pressing has to itself: its other half begins without."""


class NoQuestionError(ValueError):
    """No question has just those words; ``may``: those that they may mean."""

    def __init__(self, ask: str, shows: list[str], key: str, may: str = "") -> None:
        made = f"{key} makes it, with {' / '.join(shows)}"
        said = (
            f"'{ask}' may be {may}: type more of it, or {made}"
            if may
            else f"no question is called '{ask}': {made}"
        )
        super().__init__(said)
        self.ask, self.shows = ask, shows


def _own(desk: Desk) -> str:
    title, pressing = shown_title(desk), marked_pressing(desk)
    if title is None or pressing is None:
        return "mark a pressing first"
    mine = home_of_pressing(desk, title.id, pressing.id) is not None
    return "" if mine else f"'{pressing.name}' is in a book that is not the shop's own"


@command(
    "book-split", "page", "split the marked pressing in two", short="split",
    also="two divide apart variant copy another", needs=[_own], changes="nothing", on=("book-title",),
    order=1027,
)  # fmt: skip
def split(desk: Desk) -> None:
    """Ask for the other one's name, and what tells the two apart."""
    title, pressing = shown_title(desk), marked_pressing(desk)
    if title is None or pressing is None:
        return
    shows = f"a question: '{pressing.name}' shows / the other"
    about = f"the other one's name; {shows}: {_sample(desk, title)}; {desk.key('line-new')}: a new question"
    desk.say("")
    open_line(desk, "book-split", f"split '{pressing.name}'", about=about, title=title.id, of=pressing.id)


def _sample(desk: Desk, title: BookTitle) -> str:
    """What may be typed, with a question that there is, if there is any."""
    for clue in (*grid_clues(desk, title), *fitting_clues(desk, title, "")):
        shown = [one.text for one in clue.answers if not one.absent]
        if clue.form == "choice" and len(shown) > 1:
            return f"{shown[1]}; {clue.ask}: {shown[0]} / {shown[1]}"
    return "thick rim"


def _new(desk: Desk, line: OpenLine) -> None:
    """The question that was typed and that there is not, of the disc where its first word names no part; then
    the split.
    """
    title = shown_title(desk)
    if title is None:
        _take(desk, line)
        return
    try:
        _read(desk, title, line.text)
    except NoQuestionError as none:
        kind, _, rest = none.ask.partition(" ")
        ask = f"{kind}: {rest}" if kind in PLACES and rest else f"disc: {none.ask}"
        try:
            made = asked_of(title, told_question(desk, " / ".join((ask, *none.shows))))
        except ValueError as error:
            desk.refuse(str(error))
            return
        table = clue_table(made)
        change(desk, f"new question: {made.ask}", own_book(desk), lambda book: book.put_clue(table))
        desk.open.line = line
    except ValueError:
        pass  # the split says it
    _take(desk, line)


def _take(desk: Desk, line: OpenLine) -> None:
    title = shown_title(desk)
    one = next((each for each in title.pressings if each.id == line.data["of"]), None) if title else None
    path = home_of_pressing(desk, title.id, one.id) if title and one else None
    if title is None or one is None or path is None:
        close_line(desk)
        desk.refuse("that pressing is no longer in the shop's books")
        return
    try:
        name, clue, said = _read(desk, title, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    other = free_id(desk, title, name)

    def put(book: BookEdit) -> None:
        table = book.pressing(title.id, one.id) or {}
        both: dict[str, Any] = {"share": round(one.share / 2, 4)}
        if clue is not None and one.known == "grown":
            both["differs"] = list(dict.fromkeys([*one.differs, clue.id]))
        kept = {key: value for key, value in table.items() if key not in OF_ONE}
        book.put_pressing(title.id, {**kept, **both, "id": other, "name": name, "source": "by the dealer"})
        book.change_pressing(title.id, one.id, both)
        for pressing, shows in zip((one.id, other), said, strict=False):
            assert clue is not None
            put_expected(book, title, pressing, clue, shows)

    say = f"{title.title}: '{one.name}' split, '{name}' beside it"
    change(desk, say, path, put, title.id, split=_halves(one, other, clue, said) if clue else None)
    close_line(desk)
    mark_pressing(desk, other)
    desk.say(f"{desk.open.message}{_next(desk, one, clue)}", "done")
    desk.place()


def _halves(one: Pressing, other: str, clue: Clue, said: tuple[Expected, ...]) -> SplitDoc:
    left = {half: shows.words or {} for half, shows in zip((one.id, other), said, strict=True)}
    return SplitDoc(clue=clue.id, left=left, was=one.expect.get(clue.id, {}), differed=clue.id in one.differs)


def _next(desk: Desk, one: Pressing, clue: Clue | None) -> str:
    """What is still to do, and which records are looked at again."""
    copies = taught_of(desk.weighings.counts(), one).get("n", 0)
    again = f"; {copies} confirmed as '{one.name}': those that show the other's are told" if copies else ""
    return again if clue is not None else f"; now change what tells them apart, in both rows{again}"


def _read(desk: Desk, title: BookTitle, text: str) -> tuple[str, Clue | None, tuple[Expected, ...]]:
    """``thick rim; rim: thin / thick``: the name, the question, what each of the two shows of it.

    ValueError, in a sentence, for what is none.
    """
    name, _, rest = (" ".join(part.split()) for part in text.partition(";"))
    if not name:
        raise ValueError("type a name for the other one: what sets it apart")
    if any(each.name.casefold() == name.casefold() for each in title.pressings):
        raise ValueError(f"this title has a pressing '{name}' already")
    if not rest:
        return name, None, ()
    ask, _, answers = (part.strip() for part in rest.partition(":"))
    shows = [each.strip() for each in answers.split("/") if each.strip()]
    if not ask or len(shows) != 2:
        raise ValueError(f"behind the name a question and two answers: {_sample(desk, title)}")
    clue = _meant(desk, title, ask, shows)
    first, second = (read_expected(each, clue) for each in shows)
    if first.words == second.words:
        raise ValueError(f"both show '{shows[0]}': type what the other one shows")
    return name, clue, (first, second)


def _meant(desk: Desk, title: BookTitle, ask: str, shows: list[str]) -> Clue:
    """The question of those words: the one that has both answers, else the one that the grid has already."""
    fits = fitting_clues(desk, title, ask)
    here = {clue.id for clue in grid_clues(desk, title)}
    for found in (
        [one for one in fits if fold(one.ask) == fold(ask)],
        [one for one in fits if all(place_answer(each, one).answer is not None for each in shows)],
        [one for one in fits if one.id in here],
    ):
        if len(found) == 1:
            return found[0]
    may = ", ".join(dict.fromkeys(f"'{one.ask}'" for one in fits[:4]))
    raise NoQuestionError(ask, shows, desk.key("line-new"), may)


LINES["book-split"] = LineKind(_take, new=_new)
