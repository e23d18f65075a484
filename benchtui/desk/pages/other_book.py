"""Another dealer's book beside mine: what is asked, what is the same, and what differs."""

from benchtui.desk.book.other_book import Item, is_comparing, items, merging_of, open_item
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import Column, PageView, Para, Row, Table, Text, says, words
from benchtui.desk.core.pages import page

MOST = 300
"""Lines below the rows."""
TOTALS = 3
"""Lines of the comparison that count: titles, questions, pressings."""


def _about(desk: Desk) -> tuple[str, str]:
    found = items(desk)
    return (found[desk.open.marked(len(found))].what if found else "", "other-book")


@page(
    "other-book",
    "Another dealer's book beside yours. Enter decides a row; the first row takes it in.",
    keys=("page-enter", "page-leave"),
    enter=open_item,
    count=lambda desk: len(items(desk)),
    about=_about,
    place="on the page of another dealer's book",
)
def other_book(desk: Desk) -> PageView:
    merging = merging_of(desk)
    name = merging.head.name or merging.head.id if merging is not None else ""
    heading = (("Another dealer's book", "accent bold"), (f"  {name}", "dim"))
    if merging is None or merging.found is None:
        return PageView(
            heading, (says("reading their book ..." if merging is None else f"comparing, {_share(desk)}"),)
        )
    found = items(desk)
    at = desk.open.marked(len(found))
    rows = [_row(one, no == at) for no, one in enumerate(found)]
    lines = merging.lines
    told = f"; comparing, {_share(desk)}" if is_comparing(desk) else "; nothing is written yet"
    below: list[Para] = [Para(), says("The same, and what differs", "bold")]
    below += [says(line, "dim", hang=2) for line in lines[TOTALS : TOTALS + MOST]]
    return PageView(
        (*heading, (told, "dim")),
        tuple(says(line) for line in lines[:TOTALS]),
        (Table((Column(rank=0), Column(rank=1, least=20)), rows, name="other-book"), Text(tuple(below))),
    )


def _share(desk: Desk) -> str:
    done = float(desk.open.page.data.get("done", 0.0)) if desk.open.page is not None else 0.0
    return f"{done * 100:.0f} % looked at"


def _row(one: Item, here: bool) -> Row:
    what = words(one.what, "accent" if one.key == "write" else "dim")
    return Row(one.key, (what, words(one.words, "warn" if one.mine else "bold" if here else "")), marked=here)
