"""A table of pressings on its way into a book: what it would change, and what has to be decided first."""

from benchtui.desk.book.table_rows import Item, items, open_item
from benchtui.desk.book.table_taking import OF_THE_TABLE, taking_of
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Table, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.knowledge.plan import Plan
from benchtui.knowledge.preview import (
    again_line,
    conflict_lines,
    open_ends_line,
    pressings_line,
    slip_lines,
    titles_line,
    years_as_shares_line,
)

MOST = 200
"""Lines of one kind that are shown below the rows."""


def _about(desk: Desk) -> tuple[str, str]:
    found = items(desk)
    return (found[desk.open.marked(len(found))].what if found else "", "book-table")


@page(
    "table",
    "What a table of pressings would change in the books. Enter decides a row; the first row writes all.",
    keys=("page-enter", "page-undo", "page-leave"),
    enter=open_item,
    count=lambda desk: len(items(desk)),
    about=_about,
    place="on the page of a table",
    undo=OF_THE_TABLE,
)
def table(desk: Desk) -> PageView:
    taking = taking_of(desk)
    if taking is None or taking.plan is None:
        name = str(taking.path.name) if taking else ""
        return PageView((("Table of pressings", "accent bold"), (f"  {name}", "dim")), (says("reading ..."),))
    found, plan = items(desk), taking.plan
    at = desk.open.marked(len(found))
    rows = [_row(one, no == at) for no, one in enumerate(found)]
    columns = (Column(rank=0), Column(rank=1, least=20))
    return PageView(
        (
            ("Table of pressings", "accent bold"),
            (f"  {taking.path.name}", "dim"),
            ("; nothing is written yet", "dim"),
        ),
        (says(titles_line(plan)), says(pressings_line(plan)), *_warned(plan)),
        (Table(columns, rows, name="table"), Text(_below(plan))),
    )


def _warned(plan: Plan) -> tuple[Para, ...]:
    """What may have been meant otherwise."""
    found = (open_ends_line(plan), years_as_shares_line(plan), again_line(plan))
    return tuple(says(line, "warn") for line in found if line)


def _row(one: Item, here: bool) -> Row:
    style = "warn" if one.asked else "bold" if here else ""
    what = words(one.what, "accent" if one.key in ("write", "into") else "dim")
    return Row(one.key, (what, words(one.words, style)), marked=here)


def _below(plan: Plan) -> tuple[Para, ...]:
    told: list[Para] = []
    for heading, lines in (
        ("Where the table differs from what is known", conflict_lines(plan)),
        ("Read despite a slip, or from a short form", slip_lines(plan)),
        ("Lines refused", [f"line {line}: {why}" for line, why in plan.table.refused]),
        ("How the file was read", plan.table.told),
    ):
        if lines:
            told += [Para(), says(f"{heading} ({len(lines)})", "bold")]
            told += [says(line, "dim", hang=2) for line in lines[:MOST]]
    return tuple(told)
