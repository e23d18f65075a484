"""The columns of a title's grid: questions there are, and new ones, told without a copy in the hand."""

from benchtui.books.as_table import clue_table
from benchtui.books.shape import BookTitle, Clue
from benchtui.desk.book.book_changes import change
from benchtui.desk.book.book_grid import columns_of, shown_title
from benchtui.desk.book.book_titles import open_title
from benchtui.desk.book.cells import CARD
from benchtui.desk.book.told import TOLD_ABOUT, told_question
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.line.as_read import answers_read, shows
from benchtui.desk.line.letters import fit
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.own_book.growing import own_book


def add_clue(desk: Desk) -> None:
    """Another column: any clue that such a title may be asked, or a new one."""
    about = f"a few letters of a question; it becomes a column. A new one: {TOLD_ABOUT}"
    open_line(desk, "book-clue", "column", about=about)


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    title, text = shown_title(desk), line.text.strip()
    if title is None or not text or "/" in text:
        return []
    return [
        Pick(((clue.ask, ""), (f"  {clue.part}, {clue.place}", "dim")), clue.id)
        for clue in fitting_clues(desk, title, text)[:8]
    ]


def fitting_clues(desk: Desk, title: BookTitle, text: str) -> list[Clue]:
    """Questions that such a title may be asked and that the letters fit, the company's own first."""
    ranked = []
    for clue in desk.library.clues():
        fits = fit(text, f"{clue.ask} {clue.part} {clue.place} {clue.id}")
        whose = not clue.companies or title.company in clue.companies
        where = not clue.countries or title.country in clue.countries
        if fits is not None and whose and where and clue.form == "choice":
            ranked.append((fits, not clue.companies, clue))
    return [clue for *_, clue in sorted(ranked, key=lambda one: one[:2])]


def _take(desk: Desk, line: OpenLine) -> None:
    title, opened, pick = shown_title(desk), desk.open.page, marked_pick(line)
    if title is None or opened is None:
        desk.refuse("that title's page is no longer open")
    elif pick is not None:
        close_line(desk)
        desk.say("")
        _show(desk, title, str(pick.value))
    elif "/" in line.text:
        _take_new(desk, line, title)
    else:
        desk.refuse(f"no question fits '{line.text.strip()}'; a new one: {TOLD_ABOUT}")


def _take_new(desk: Desk, line: OpenLine, title: BookTitle) -> None:
    try:
        made = asked_of(title, told_question(desk, line.text))
    except ValueError as error:
        desk.refuse(str(error))
        return
    change(desk, f"new question: {made.ask}", own_book(desk), lambda book: book.put_clue(clue_table(made)))
    if desk.open.line is line:
        close_line(desk)
    _show(desk, title, made.id)


def asked_of(title: BookTitle, made: Clue) -> Clue:
    """Of whose records it is asked: the title's company's, else its country's, else its own alone."""
    if title.company:
        return made._replace(companies=(title.company,))
    if title.country:
        return made._replace(countries=(title.country,))
    return made._replace(titles=(title.id,))


def _show(desk: Desk, title: BookTitle, clue_id: str) -> None:
    """Mark the question's column."""
    opened = desk.open.page
    if opened is None:
        return
    opened.data.setdefault("clues", []).append(clue_id)
    ids = [one.id if isinstance(one, Clue) else one.key for one in columns_of(desk, title)]
    opened.data["at"] = ids.index(clue_id) if clue_id in ids else 0
    if title.pressings:
        opened.marked = max(opened.marked, len(CARD))
    desk.place()


def open_cell(desk: Desk, title_id: str, pressing_id: str, column: str) -> None:
    """The title's page, marked at that pressing and column: a question's id, a field's key, or ""."""
    open_title(desk, title_id)
    opened, title = desk.open.page, shown_title(desk)
    if opened is None or title is None:
        desk.refuse("no book or list has this title any more")
        return
    if desk.library.clue(column) is not None:
        opened.data["clues"] = [column]
    keys = [one.id if isinstance(one, Clue) else one.key for one in columns_of(desk, title)]
    opened.data["at"] = keys.index(column) if column in keys else 0
    ids = [one.id for one in title.pressings]
    opened.marked = len(CARD) + ids.index(pressing_id) if pressing_id in ids else 0
    desk.say("")
    desk.place()


LINES["book-clue"] = LineKind(_take, _picks, shows(answers_read))
