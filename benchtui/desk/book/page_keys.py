"""The keys that a title's page and a company's ladder share: across, add, take off, fill, columns, undo."""

from collections.abc import Callable

from benchtui.desk.book import book_columns, book_drop, book_edits, book_new, ladder_edits, ladder_page
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk

BOTH = ("book-title", "ladder")


def _either(desk: Desk, title: Callable[[Desk], None], ladder: Callable[[Desk], None]) -> None:
    on_ladder = desk.open.page is not None and desk.open.page.name == "ladder"
    (ladder if on_ladder else title)(desk)


@command(
    "book-left", "page", "the column to the left; on a ladder: a year earlier", short="left",
    changes="nothing", on=BOTH, order=1020,
)  # fmt: skip
def left(desk: Desk) -> None:
    _either(desk, book_edits.go_left, lambda desk: ladder_edits.move_state(desk, -1))


@command(
    "book-right", "page", "the column to the right; on a ladder: a year later", short="across",
    changes="nothing", on=BOTH, order=1021,
)  # fmt: skip
def right(desk: Desk) -> None:
    _either(desk, book_edits.go_right, lambda desk: ladder_edits.move_state(desk, 1))


@command(
    "book-add", "page",
    "add a pressing like the marked one; on a ladder: a state after it; among titles: a title", short="add",
    also="new pressing state title insert", changes="nothing", on=("book", *BOTH), order=1022,
)  # fmt: skip
def add(desk: Desk) -> None:
    if desk.open.page is not None and desk.open.page.name == "book":
        book_new.add_title(desk)
    else:
        _either(desk, book_edits.add_pressing, ladder_edits.add_state)


@command(
    "book-retire", "page",
    "retire the marked pressing; on a ladder: take the state off; among titles: take a title out",
    short="retire", also="delete remove", changes="nothing", on=("book", *BOTH), order=1023,
)  # fmt: skip
def retire(desk: Desk) -> None:
    if desk.open.page is not None and desk.open.page.name == "book":
        book_drop.drop_title(desk)
    else:
        _either(desk, book_edits.retire, ladder_edits.drop_state)


@command(
    "book-fill", "page", "the marked cell's text into the pressing below", short="fill down",
    also="copy same repeat", changes="nothing", on=("book-title",), order=1024,
)  # fmt: skip
def fill(desk: Desk) -> None:
    book_edits.fill_down(desk)


@command(
    "book-clue", "page", "another question as a column; on a ladder: another lane", short="column, lane",
    also="clue add lane question", changes="nothing", on=BOTH, order=1025,
)  # fmt: skip
def clue(desk: Desk) -> None:
    _either(desk, book_columns.add_clue, ladder_page.add_lane)
