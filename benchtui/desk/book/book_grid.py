"""A title's page: its card, and the grid of its pressings with what to expect of each clue.

No copy need be in the hand; the one that is stands above its title's pressings.
"""

from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.books.whole import bare_title
from benchtui.desk.book.book_changes import OF_THE_BOOKS
from benchtui.desk.book.book_titles import how_known, leave_title
from benchtui.desk.book.cells import (
    CARD,
    CELL_ABOUT,
    PRESSING,
    Field,
    clue_cell,
)
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Cell, Column, PageView, Row, Section, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.line.lines import open_line
from benchtui.model.record import RecordDoc, answer_ids

MOST_BRACKETS = 12
ACROSS = 4
"""So many columns beside the pressing's name are shown at once; the arrows bring the others."""


def shown_title(desk: Desk) -> BookTitle | None:
    """The title of the page, as the books have it; a bare card of one that no book has."""
    opened = desk.open.page
    return known_title(desk, opened.data["title"]) if opened is not None else None


def known_title(desk: Desk, title_id: str) -> BookTitle | None:
    """The title as the books have it, else a bare card of it."""
    known = desk.library.title(title_id)
    listed = desk.finder.by_id(title_id) if known is None else None
    return bare_title(listed) if listed is not None else known


def grid_clues(desk: Desk, title: BookTitle) -> list[Clue]:
    """The clues that its pressings speak of, those seen on the copy in the hand, those added on the page."""
    opened, record = desk.open.page, desk.work.record
    ids = [clue for one in title.pressings for clue in one.expect]
    if record is not None and _is_of(desk, record, title):
        ids += [one["clue"] for one in record["answers"] if one["how"] == "seen"]
    ids += opened.data.get("clues", []) if opened is not None else []
    found = [desk.library.clue(one) for one in dict.fromkeys(ids)]
    return [one for one in found if one is not None and (one.form == "choice" or _is_bracketed(one))]


def _is_of(desk: Desk, record: RecordDoc, title: BookTitle) -> bool:
    ref = record["title"]
    return ref is not None and desk.library.one_id(ref["id"]) == desk.library.one_id(title.id)


def _is_bracketed(clue: Clue) -> bool:
    """A number question of a few brackets; one of years has dozens."""
    return clue.form == "number" and len(clue.answers) <= MOST_BRACKETS


def columns_of(desk: Desk, title: BookTitle) -> list[Field | Clue]:
    return [*PRESSING, *grid_clues(desk, title)]


def currency_of(desk: Desk, title: BookTitle) -> str:
    return desk.library.currency(title.book) or desk.currency


def cell_text(desk: Desk, title: BookTitle, pressing: Pressing, column: Field | Clue) -> str:
    if isinstance(column, Clue):
        return clue_cell(pressing, column)
    return column.show(pressing, currency_of(desk, title))


def column_label(column: Field | Clue) -> str:
    return column.ask if isinstance(column, Clue) else column.label


def column_at(desk: Desk, title: BookTitle) -> int:
    opened = desk.open.page
    at = int(opened.data.get("at", 0)) if opened is not None else 0
    return max(0, min(at, len(columns_of(desk, title)) - 1))


def rows_of(desk: Desk) -> int:
    title = shown_title(desk)
    return len(CARD) + len(title.pressings) if title is not None else 0


def marked_pressing(desk: Desk) -> Pressing | None:
    """The pressing whose row is marked; None on the card's rows."""
    title = shown_title(desk)
    if title is None or desk.open.page is None or not title.pressings:
        return None
    at = desk.open.marked(rows_of(desk)) - len(CARD)
    return title.pressings[at] if at >= 0 else None


def _about(desk: Desk) -> tuple[str, str]:
    title, opened = shown_title(desk), desk.open.page
    if title is None or opened is None:
        return "", "book-cell"
    if marked_pressing(desk) is None:
        return CARD[opened.at(len(CARD))].label, "book-cell"
    return column_label(columns_of(desk, title)[column_at(desk, title)]), "book-cell"


def _enter(desk: Desk) -> None:
    """Open the marked cell in a line."""
    title, opened, pressing = shown_title(desk), desk.open.page, marked_pressing(desk)
    if title is None or opened is None:
        desk.refuse("no book or list has this title any more")
        return
    desk.say("")
    if pressing is None:
        field = CARD[opened.at(len(CARD))]
        text = field.show(title, currency_of(desk, title))
        open_line(
            desk, "book-cell", field.label, text, field.about, replace=True, title=title.id, key=field.key
        )
        return
    column = columns_of(desk, title)[column_at(desk, title)]
    about = CELL_ABOUT if isinstance(column, Clue) else column.about
    if isinstance(column, Clue):
        about = f"{about}. It has: {', '.join(one.text for one in column.answers)}"
    open_line(
        desk, "book-cell", f"{pressing.name}: {column_label(column)}",
        cell_text(desk, title, pressing, column), about,
        replace=True, title=title.id, pressing=pressing.id,
        key=column.id if isinstance(column, Clue) else column.key, clue=isinstance(column, Clue),
    )  # fmt: skip


@page(
    "book-title",
    "A title's card, and its pressings with what to expect of them. Enter changes the marked cell.",
    keys=(
        "page-enter", "book-right", "book-add", "book-split", "book-fill", "book-clue", "book-retire",
        "page-undo", "book-find", "page-leave",
    ),
    enter=_enter,
    count=rows_of,
    about=_about,
    leave=leave_title,
    place="on a title's page",
    opener="book-page",
    undo=OF_THE_BOOKS,
)  # fmt: skip
def book_title(desk: Desk) -> PageView:
    title = shown_title(desk)
    if title is None:
        return PageView((("Title", "accent bold"),), (says("no book or list has this title any more"),))
    home = desk.library.title(title.id)
    book_name = f"in {home.book}" if home else "in no book yet: the first change puts it into the shop's own"
    name = ", ".join(filter(None, (title.artist, title.title)))
    heading = (("Title  ", "accent bold"), (name, "bold"), (f"  {book_name}", "dim"))
    known, filled = how_known(home)
    told = says(f"pressings: {known}" + (f"; {filled} filled" if filled else ""), "dim")
    return PageView(heading, (told,), (_card(desk, title), *_grid(desk, title)))


def _card(desk: Desk, title: BookTitle) -> Table:
    at, rows = desk.open.marked(rows_of(desk)), []
    for n, field in enumerate(CARD):
        text = field.show(title, currency_of(desk, title))
        style = "accent bold" if n == at else ""
        cells = (words(field.label, "bold" if n == at else "dim"), words(text or "·", style))
        rows.append(Row(f"card:{field.key}", cells, marked=n == at))
    return Table((Column(), Column(rank=1)), rows, name="card")


def _grid(desk: Desk, title: BookTitle) -> list[Section]:
    """The pressings, the chosen column among the few that are shown, the copy in the hand above them."""
    columns, at = columns_of(desk, title), column_at(desk, title)
    first = max(1, min(at - 1, len(columns) - ACROSS)) if at > 0 else 1
    shown = [0, *range(first, min(first + ACROSS, len(columns)))]
    row_at = desk.open.marked(rows_of(desk)) - len(CARD)
    heads = tuple(
        Column(("› " if n == at else "") + column_label(columns[n]), rank=1 if n in (0, at) else 2)
        for n in shown
    )
    rows: list[Row | None] = [_hand(desk, title, columns, shown)]
    for n, pressing in enumerate(title.pressings):
        cells: list[Cell] = []
        for column in shown:
            text = cell_text(desk, title, pressing, columns[column]) or "·"
            here = n == row_at
            cells.append(words(text, "accent bold" if here and column == at else "bold" if here else ""))
        rows.append(Row(f"pressing:{pressing.id}", tuple(cells), marked=n == row_at))
    more = f"column {at + 1} of {len(columns)}: {column_label(columns[at])}"
    nothing = words("No pressing is written down yet: add one here, or from a copy in the hand.", "dim")
    heading = words(f"Pressings; {more}", "dim")
    found = [row for row in rows if row is not None]
    return [Table(heads, found, heading=heading, empty=nothing, name="pressings")]


def _hand(desk: Desk, title: BookTitle, columns: list[Field | Clue], shown: list[int]) -> Row | None:
    """What was seen on the copy in the hand, above its title's pressings."""
    record = desk.work.record
    if record is None or not _is_of(desk, record, title):
        return None
    seen: dict[str, str] = {}
    for one in record["answers"]:
        clue = desk.library.clue(one["clue"])
        if clue is not None and one["how"] == "seen":
            found = [known.text for each in answer_ids(one) if (known := clue.answer(each)) is not None]
            seen.setdefault(clue.id, " or ".join(dict.fromkeys(found)))
    cells: list[Cell] = []
    for n in shown:
        column = columns[n]
        text = seen.get(column.id, "") if isinstance(column, Clue) else ""
        cells.append(words("this copy" if n == 0 else text, "good"))
    return Row("hand", tuple(cells), markable=False)
