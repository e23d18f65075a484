"""A table of pressings taken in on the bench: its path, which column is the title's, its page opened."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from benchtui.books.from_bench import OWN_BOOK
from benchtui.desk.book.table_taking import Taking, book_named, planning, read
from benchtui.desk.book.table_write import recall, remembered
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line, typed_path
from benchtui.knowledge.folded import fold
from benchtui.knowledge.plan import Decisions
from benchtui.knowledge.rows import NoTitleColumnError


@command(
    "book-take",
    "bench",
    "take in a table of pressings from a spreadsheet or CSV file",
    short="take a table",
    group="Book",
    also="import table spreadsheet xlsx ods csv book pressings clues questions",
    changes="nothing",
    offered=170,
    order=2010,
)
def open_table(desk: Desk) -> None:
    """Ask for the table's path; go on with one that was left, with all that was decided on it."""
    left = desk.open.table
    if not isinstance(left, Taking):
        _ask_path(desk)
        return
    desk.open.menu = Menu(
        f"{left.path.name} is not written yet",
        (
            Choice(
                "1", f"go on with {left.path.name}: what was decided is kept", partial(_go_on, desk, left)
            ),
            Choice("2", "throw away what was decided, and take in a table", partial(_ask_path, desk)),
        ),
        name="table-left",
    )


def _ask_path(desk: Desk) -> None:
    desk.open.table = None
    desk.say("")
    about = "the path of a spreadsheet or CSV file: one row a pressing; nothing is written before you say so"
    open_line(desk, "book-table", "table", about=about)


def _take_path(desk: Desk, line: OpenLine) -> None:
    path = typed_path(desk, line)
    if path is None:
        return
    target = book_named(desk, Path(OWN_BOOK).stem)
    _begin(desk, Taking(path, target, Decisions(), {}))


def _begin(desk: Desk, taking: Taking) -> None:
    """Read it and show its page; ask which column is the title's where no name says it."""
    try:
        read(taking, desk)
    except NoTitleColumnError as none:
        known = remembered(desk)
        title = next((one for one in none.names if known.get(fold(one)) == "title"), "")
        if not title or title in taking.fixed:
            close_line(desk)
            _ask_which(desk, taking, none.names, "title")
            return
        taking.fixed[title] = "title"
        read(taking, desk)
    recall(desk, taking)
    close_line(desk)
    _open_page(desk, taking)


def _ask_which(desk: Desk, taking: Taking, names: Sequence[str], which: str) -> None:
    """One digit says which column is the title's, a second one which is the artist's."""

    def take(name: str) -> None:
        taking.fixed[name] = which
        left = [one for one in names if one != name]
        if which == "title" and left and not _has(taking, desk, "artist"):
            _ask_which(desk, taking, left, "artist")
        else:
            _begin(desk, taking)

    choices = [Choice(str(no), name, partial(take, name)) for no, name in enumerate(names[:9], 1)]
    if which == "artist":
        choices.append(Choice("n", "none of them", partial(_begin, desk, taking)))
    more = f"; the first nine of {len(names)}" if len(names) > 9 else ""
    about = f"Escape leaves the table as it is; the other columns are asked about on its page{more}"
    desk.open.menu = Menu(
        f"{taking.path.name}: which column is the {which}'s?", tuple(choices), about, "table-which"
    )


def _has(taking: Taking, desk: Desk, fixed: str) -> bool:
    read(taking, desk)
    return taking.planner is not None and fixed in {one.fixed for one in taking.planner.table.headings}


def _go_on(desk: Desk, taking: Taking) -> None:
    taking.target = book_named(desk, taking.target.path.stem)
    read(taking, desk)
    _open_page(desk, taking)


def _open_page(desk: Desk, taking: Taking) -> None:
    taking.plan = None
    desk.open.table = taking
    desk.open.page = Page("table", data={"taking": taking})
    desk.say("")
    desk.place()
    desk.background.job = planning(desk, taking)


LINES["book-table"] = LineKind(_take_path)
