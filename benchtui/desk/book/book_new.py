"""A new title on the page of all titles, without a copy in the hand."""

from typing import Any

from benchtui.books.as_table import title_table
from benchtui.books.from_bench import new_id
from benchtui.desk.book.book_changes import change
from benchtui.desk.book.book_titles import open_title
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.line.as_read import shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.contradicted import facts_of, new_title_read, title_typed
from benchtui.desk.own_book.growing import own_book
from benchtui.model.title import title_ref

ABOUT = "artist - title - number - year - company; the last three may be missing"


def add_title(desk: Desk) -> None:
    """Ask for a title; the shop's field says its company and country."""
    desk.say("")
    open_line(desk, "book-new-title", "new title", about=ABOUT)


def _take(desk: Desk, line: OpenLine) -> None:
    try:
        table = _read(desk, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    title_id = str(table["id"])
    change(desk, f"new title: {table['title']}", own_book(desk), lambda book: book.put_title(table), title_id)
    if desk.open.line is line:
        close_line(desk)
    open_title(desk, title_id)
    desk.place()


def _read(desk: Desk, text: str) -> dict[str, Any]:
    """The card of a new title. ValueError, in a sentence, for what is none."""
    told = title_typed(desk, text)
    if not (told.artist and told.title):
        raise ValueError(f"type {ABOUT}")
    facts = facts_of(desk, told)
    made = new_id(f"{told.artist} {told.title}", {one.id for one in desk.library.titles()})
    card = title_ref(told._replace(id=made, first=told.first or facts.get("first", ""),
        company=facts.get("company", ""), country=facts.get("country", ""),
    ))  # fmt: skip
    return {**title_table(card), **({"channels": facts["channels"]} if "channels" in facts else {})}


def _as_read(desk: Desk, line: OpenLine) -> str:
    told = title_typed(desk, line.text)
    return "".join(text for text, _ in new_title_read(told, facts_of(desk, told)))


LINES["book-new-title"] = LineKind(_take, typed=shows(_as_read))
