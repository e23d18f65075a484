"""Going to any place of a page by a few letters: a row of its lists, else one that is only read; where none
can be marked, one of its headings, else a line below one.
"""

from collections.abc import Iterator
from itertools import pairwise

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import (
    IN_SECTION,
    Bar,
    LazyRows,
    Section,
    Table,
    Text,
    Words,
    line_wanted,
    told_of,
)
from benchtui.desk.core.pages import page_now, view_now
from benchtui.desk.line.letters import fit, words_in
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line, refuse_unfound
from benchtui.desk.session.paging import go_to, in_shop
from benchtui.store import Found

LISTED = 8
ABOUT = "a few letters of a line or a heading of this page"
ELSEWHERE = "not on this page: the records of all parcels that have it"


def _page_open(desk: Desk) -> str:
    return unless(desk.open.page is not None and bool(_places(desk)), "this page has one place only")


@command(
    "page-find",
    "page",
    "go to any place of the page by a few letters",
    short="go to",
    also="find search jump letter place row heading",
    needs=[_page_open],
    changes="nothing",
    offered=115,
    order=755,
)
def find(desk: Desk) -> None:
    open_line(desk, "page-find", "go to", about=ABOUT)


def _places(desk: Desk) -> list[tuple[Words, int | str]]:
    """Words of each place, and the row's number among those that can be marked, or what is wanted."""
    view, kind = view_now(desk), page_now(desk)
    if view is None or kind is None:
        return []
    named = [section for section in view.sections if section.name]
    if kind.count is not None:
        tables = [section for section in named if isinstance(section, Table)]
        read = [
            each for table in tables if not isinstance(table.rows, LazyRows) for each in _only_read(table)
        ]
        return [*((told, n) for n, told in enumerate(told_of(view))), *read]
    headings = [(section.heading or _named(section), section.name) for section in named]
    return [*headings, *(line for section in named for line in _lines_of(section))]


def _lines_of(section: Section) -> Iterator[tuple[Words, str]]:
    """Each row of a section, behind the word that heads it, and each of its paragraphs."""
    if isinstance(section, Text):
        for n, para in enumerate(section.lines):
            yield para.words, line_wanted(section.name, n)
        return
    head = section.columns[0].words if section.columns else ""
    for n, row in enumerate(section.rows):
        cells = [cell.words if isinstance(cell, Bar) else cell for cell in row.cells]
        told = tuple(piece for cell in cells if cell for piece in (*cell, ("  ", "")))
        yield ((f"{head} ", "dim"), *told) if head else told, line_wanted(section.name, n)


def _only_read(table: Table) -> list[tuple[Words, str]]:
    """The rows that cannot be marked: what a parcel cost, a late bill."""
    lines = zip(table.rows, _lines_of(table), strict=True)
    return [each for row, each in lines if not row.markable]


def _named(section: Section) -> Words:
    return ((section.name.replace("-", " "), ""),)


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    """What fits of the page, else the records of any parcel that do."""
    return _of_page(desk, line.text) or in_shop(desk, line.text)


def _of_page(desk: Desk, typed: str) -> list[Pick]:
    found = []
    for said, place in _places(desk):
        text = "".join(text for text, _ in said)
        rank = fit(typed, text)
        if rank is not None and _numbers_fit(typed, text):
            below = isinstance(place, str) and IN_SECTION in place
            found.append((below, _is_other(typed, said), rank, Pick(said, place)))
    found.sort(key=lambda one: one[:3])
    return [pick for *_, pick in found[:LISTED]]


def _is_other(typed: str, said: Words) -> bool:
    """Whether no cell of the row is just what was typed: its number, rather than a price that begins so."""
    return typed.strip().casefold() not in [text.strip().casefold() for text, _ in said]


def _numbers_fit(typed: str, text: str) -> bool:
    """Whether a number typed behind a word stands behind it there: ``line 6`` is not ``6 new, 1 line``."""
    wanted, words = words_in(typed), words_in(text)
    return all(
        any(word.startswith(before) and after.startswith(number) for word, after in pairwise(words))
        for before, number in pairwise(wanted)
        if number.isdigit() and not before.isdigit()
    )


def _typed(desk: Desk, line: OpenLine) -> None:
    line.about = ABOUT if not line.text.strip() or _of_page(desk, line.text) else ELSEWHERE


def _take(desk: Desk, line: OpenLine) -> None:
    pick, page, typed = marked_pick(line), desk.open.page, line.text.strip()
    if typed and pick is None:
        refuse_unfound(desk, f"nothing on this page begins '{typed}', and no record of the shop has it")
        return
    close_line(desk)
    if pick is None or page is None:
        return
    if isinstance(pick.value, Found):
        go_to(desk, pick.value.parcel, pick.value.record)
        return
    if isinstance(pick.value, int):
        page.marked = pick.value
    else:
        page.data["wanted"] = pick.value
        if (kind := page_now(desk)) and kind.count is not None:
            page.below = (page.marked, page.top)  # it is read there, wherever the mark is
    desk.say("")
    desk.place()


LINES["page-find"] = LineKind(_take, _picks, _typed)
