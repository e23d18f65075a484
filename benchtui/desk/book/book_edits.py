"""Changes on a title's page: its card, its cells, pressings added, split, filled down, retired."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from benchtui.books.as_table import title_table
from benchtui.books.edit import BookEdit
from benchtui.books.from_bench import new_id
from benchtui.books.passed_on import taught_of
from benchtui.books.shape import BookTitle, Clue, Pressing
from benchtui.desk.book.book_changes import change, home_of_pressing, home_of_title
from benchtui.desk.book.book_grid import (
    cell_text,
    column_at,
    columns_of,
    currency_of,
    known_title,
    marked_pressing,
    shown_title,
)
from benchtui.desk.book.cells import (
    CARD,
    PRESSING,
    Field,
    put_expected,
    read_expected,
)
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.line.as_read import answer_read, shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.own_book.growing import own_book
from benchtui.knowledge.cells import write_cell
from benchtui.knowledge.folded import fold
from benchtui.knowledge.values import MOST_SHARE
from benchtui.model.title import title_ref
from benchtui.model.when import as_read, read_span


def _take_cell(desk: Desk, line: OpenLine) -> None:
    data = line.data
    title = desk.library.title(data["title"]) or shown_title(desk)
    if title is None or desk.open.page is None or desk.open.page.name != "book-title":
        close_line(desk)
        desk.refuse("that title's page is no longer open")
        return
    try:
        if data.get("pressing"):
            _put_cell(desk, title, line)
        else:
            _put_card(desk, title, line)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if desk.open.line is line:
        close_line(desk)
    desk.place()


def _shown(field: Field, value: Any, text: str) -> str:
    """What a cell says now: a date as it was read, all else as it was typed."""
    return as_read(value) if value and field.key in ("first", "period") else text.strip() or "none"


def _put_card(desk: Desk, title: BookTitle, line: OpenLine) -> None:
    field = next(one for one in CARD if one.key == line.data["key"])
    value = field.read(line.text, currency_of(desk, title))
    _in_book(desk, title, f"{field.label}: {_shown(field, value, line.text)}",
             lambda book: book.change_title(title.id, {field.key: value}))  # fmt: skip


def _in_book(desk: Desk, title: BookTitle, say: str, edit: Callable[[BookEdit], object]) -> None:
    """Change the title where it stands; one that no book has is put into the shop's own first."""
    home = home_of_title(desk, title.id)

    def put(book: BookEdit) -> None:
        if home is None and book.title(title.id) is None:
            book.put_title(_card_table(desk, title))
        edit(book)

    if home is None and desk.library.title(title.id) is not None:
        desk.refuse(f"this title's card is in the book '{title.book}', which is not the shop's own")
        return
    change(desk, f"{title.title}: {say}", home or own_book(desk), put, title.id)


def can_correct(desk: Desk, title_id: str) -> bool:
    """Whether the title's card is the shop's to change: in its own books, or in no book yet."""
    return home_of_title(desk, title_id) is not None or desk.library.title(title_id) is None


def correct_first(desk: Desk, title_id: str, first: str) -> None:
    """Another date of first issue (EDTF) on a title's card; undone on the pages of the books."""
    title = known_title(desk, title_id)
    if title is not None:
        _in_book(
            desk,
            title,
            f"first issued: {as_read(first)}",
            lambda book: book.change_title(title_id, {"first": first}),
        )


def _card_table(desk: Desk, title: BookTitle) -> dict[str, Any]:
    """The card of a title that a list or the bench knows."""
    listed = desk.finder.by_id(title.id)
    table: dict[str, Any] = {"id": title.id, "title": title.title}
    table = title_table(title_ref(listed)) if listed else table
    table |= {"size_in": title.size_in} if title.size_in != 12 else {}
    table |= {"discs": title.discs} if title.discs != 1 else {}
    if title.channels in ("mono", "stereo"):
        table["channels"] = title.channels
    return table


def _put_cell(desk: Desk, title: BookTitle, line: OpenLine) -> None:
    data = line.data
    pressing = next((one for one in title.pressings if one.id == data["pressing"]), None)
    if pressing is None:
        raise ValueError("that pressing is no longer in the book")
    _set_cell(desk, title, pressing, str(data["key"]), bool(data.get("clue")), line.text)


def _set_cell(desk: Desk, title: BookTitle, pressing: Pressing, key: str, is_clue: bool, text: str) -> None:
    """Put a cell's text into the book that has the pressing. ValueError where the text says nothing."""
    path = home_of_pressing(desk, title.id, pressing.id)
    if path is None:
        raise ValueError(f"'{pressing.name}' is in a book that is not the shop's own")
    if is_clue:
        clue = desk.library.clue(key)
        if clue is None:
            raise ValueError("that question is no longer in the books")
        said = read_expected(text, clue)
        told = f"{pressing.name}: {clue.ask}: {text.strip() or 'empty'}"
        change(desk, told, path, lambda book: put_expected(book, title, pressing.id, clue, said), title.id)
        return
    field = next(one for one in PRESSING if one.key == key)
    value = field.read(text, currency_of(desk, title))
    if key == "name" and any(one.name == value and one.id != pressing.id for one in title.pressings):
        raise ValueError(f"this title has a pressing '{value}' already")
    told = f"{pressing.name}: {field.label}: {_shown(field, value, text)}"
    change(desk, told, path, lambda book: book.change_pressing(title.id, pressing.id, {key: value}), title.id)
    if key == "share" and value and value > MOST_SHARE:
        desk.say(
            f"{told} of ten copies: that looks like a year; {desk.key('page-undo')} takes it back", "clash"
        )


def _move(desk: Desk, by: int) -> None:
    title, opened = shown_title(desk), desk.open.page
    if title is None or opened is None:
        return
    if opened.marked < len(CARD) and title.pressings:
        opened.marked = len(CARD)
    count = len(columns_of(desk, title))
    opened.data["at"] = max(0, min(column_at(desk, title) + by, count - 1))


def go_left(desk: Desk) -> None:
    _move(desk, -1)


def go_right(desk: Desk) -> None:
    _move(desk, 1)


def add_pressing(desk: Desk) -> None:
    """A new pressing; a marked one is the pattern of it, so that it can be split."""
    title, pressing = shown_title(desk), marked_pressing(desk)
    if title is None:
        desk.refuse("no book or list has this title any more")
        return
    like = f", as '{pressing.name}' to begin with" if pressing else ""
    desk.say("")
    open_line(
        desk, "book-new-pressing", "new pressing", about=f"its name: what sets it apart{like}",
        title=title.id, like=pressing.id if pressing else "",
    )  # fmt: skip


def _take_new(desk: Desk, line: OpenLine) -> None:
    title, name = shown_title(desk), " ".join(line.text.split())
    if title is None or title.id != line.data.get("title"):
        close_line(desk)
        desk.refuse("that title's page is no longer open")
        return
    if not name or any(one.name.casefold() == name.casefold() for one in title.pressings):
        desk.refuse(f"this title has a pressing '{name}' already" if name else "type a name for the pressing")
        return
    table: dict[str, Any] = {"id": free_id(desk, title, name), "name": name, "source": "by the dealer"}
    like = line.data.get("like") or ""
    pattern = home_of_pressing(desk, title.id, like) if like else None

    def put(book: BookEdit) -> None:
        found = book.pressing(title.id, like) if pattern is not None and like else None
        book.put_pressing(title.id, {**(found or {}), **table})

    if pattern is not None:
        change(desk, f"{title.title}: new pressing '{name}'", pattern, put, title.id)
    elif home_of_title(desk, title.id) is None and desk.library.title(title.id) is not None:
        change(desk, f"{title.title}: new pressing '{name}'", own_book(desk), put, title.id)
    else:
        _in_book(desk, title, f"new pressing '{name}'", put)
    if desk.open.line is line:
        close_line(desk)
    mark_pressing(desk, table["id"])
    desk.place()


def free_id(desk: Desk, title: BookTitle, name: str) -> str:
    """An id for a new pressing of the title: one that was retired keeps its own."""
    taken = [one.id.removeprefix(f"{title.id}/") for one in title.pressings]
    slug = new_id(name, taken)
    while home_of_pressing(desk, title.id, f"{title.id}/{slug}") is not None:
        taken.append(slug)
        slug = new_id(name, taken)
    return f"{title.id}/{slug}"


def mark_pressing(desk: Desk, pressing_id: str) -> None:
    """Mark its row on the title's page."""
    fresh = shown_title(desk)
    if desk.open.page is not None and fresh is not None:
        ids = [one.id for one in fresh.pressings]
        desk.open.page.marked = len(CARD) + (ids.index(pressing_id) if pressing_id in ids else 0)


def retire(desk: Desk) -> None:
    """No copy is weighed against it any more. Where copies taught of it: whose they are from now on."""
    title, pressing = shown_title(desk), marked_pressing(desk)
    path = home_of_pressing(desk, title.id, pressing.id) if title and pressing else None
    if title is None or pressing is None or path is None:
        desk.refuse("mark a pressing of the shop's own books first")
        return
    desk.weighings.forget_counts()  # a record named since the last one was taken in counts too
    copies = taught_of(desk.weighings.counts(), pressing).get("n", 0)
    others = [one for one in title.pressings if one.id != pressing.id][:8]
    if not copies or not others:
        _retire(desk, title, pressing, path, None)
        return
    choices = [
        Choice(str(n), f"'{one.name}' replaces it", partial(_retire, desk, title, pressing, path, one))
        for n, one in enumerate(others, 1)
    ]
    choices.append(Choice("0", "nothing replaces it", partial(_retire, desk, title, pressing, path, None)))
    whose = "copy" if copies == 1 else "copies"
    about = f"{copies} confirmed {whose}, and all that was learnt, pass to the one that replaces it"
    desk.open.menu = Menu(f"Retire '{pressing.name}'", tuple(choices), about, "book-retire")


def _retire(desk: Desk, title: BookTitle, pressing: Pressing, path: Path, by: Pressing | None) -> None:
    fields: dict[str, Any] = {"retired": "by the dealer"}
    if by is not None:
        fields = {"retired": f"replaced by {by.name}", "passes_to": by.id}
    change(
        desk, f"{title.title}: '{pressing.name}' {fields['retired'] if by else 'retired'}", path,
        lambda book: book.change_pressing(title.id, pressing.id, fields), title.id,
    )  # fmt: skip


def fill_down(desk: Desk) -> None:
    """The marked cell's text goes into the pressing below, which is marked then."""
    title, pressing, opened = shown_title(desk), marked_pressing(desk), desk.open.page
    if title is None or pressing is None or opened is None:
        desk.refuse("mark a pressing first")
        return
    at = title.pressings.index(pressing) + 1
    column = columns_of(desk, title)[column_at(desk, title)]
    if at >= len(title.pressings) or (isinstance(column, Field) and column.key == "name"):
        desk.refuse("there is no pressing below" if at >= len(title.pressings) else "each has its own name")
        return
    text = cell_text(desk, title, pressing, column)
    key, is_clue = (column.id, True) if isinstance(column, Clue) else (column.key, False)
    try:
        _set_cell(desk, title, title.pressings[at], key, is_clue, text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    opened.marked = len(CARD) + at


def _cell_read(desk: Desk, line: OpenLine) -> str:
    if line.data.get("clue"):
        return answer_read(desk, line) if line.text.strip().startswith("+") else _expected_read(desk, line)
    return read_span(line.text)[1] if line.data.get("key") in ("first", "period") else ""


def _expected_read(desk: Desk, line: OpenLine) -> str:
    """What a cell says in the question's own answers; "" where it was typed so."""
    clue = desk.library.clue(str(line.data["key"]))
    words = read_expected(line.text, clue).words if clue is not None and line.text != line.opened else None
    if not words or clue is None or fold(write_cell(words, clue)) == fold(line.text):
        return ""
    texts = [(found.text if (found := clue.answer(one)) else one, word) for one, word in words.items()]
    if {word for _, word in texts} == {"usually"}:
        return " or ".join(text for text, _ in texts)
    return (
        texts[0][0]
        if [*words.values()] == ["always"]
        else "; ".join(f"{word} {text}" for text, word in texts)
    )


LINES["book-cell"] = LineKind(_take_cell, typed=shows(_cell_read))
LINES["book-new-pressing"] = LineKind(_take_new)
