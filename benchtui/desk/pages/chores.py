"""The work list: a row a chore, and what to mind at the one that is marked."""

from benchtui.books.cautions import said
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import SIGNS, Column, PageView, Para, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.pages.marking import marked_at
from benchtui.desk.record.work import Work, caution_of
from benchtui.desk.session.paging import go_to_chore, work_list


@page(
    "chores",
    "Work still to do over all parcels. Enter goes to the record; 'done today' takes it off the list.",
    keys=("page-enter", "page-done", "chores-sort", "page-leave"),
    enter=go_to_chore,
    count=lambda desk: len(work_list(desk)),
    place="on the work list ({chores-page})",
    opener="chores-page",
)
def chores(desk: Desk) -> PageView:
    found = work_list(desk)
    at = marked_at(desk, len(found))
    columns = (
        Column("work"),
        Column("by"),
        Column("number"),
        Column(),
        Column("record", rank=2, least=12),
        Column("part", rank=3),
        Column("note", rank=4),
    )
    rows = [_row(chore, n == at, desk.today()) for n, chore in enumerate(found)]
    return PageView(
        (
            ("To be played" if _only(desk) else "Work list", "accent bold"),
            (f"  {len(found)} to do over all parcels", "dim"),
        ),
        sections=(Table(columns, rows, empty=words("nothing to do", "dim"), name="chores"),),
        foot=_mind(found[at].apart, caution_of(desk, found[at])) if found else (),
    )


def _only(desk: Desk) -> object:
    """Whether the list is of some kinds of work only."""
    return desk.open.page is not None and desk.open.page.data.get("only")


def _row(chore: Work, here: bool, today: str) -> Row:
    cells = (
        words(chore.what, "bold"),
        words(chore.due, "warn" if chore.due <= today else ""),
        words(chore.stock or "(not taken in)", "bold" if here else ""),
        words(SIGNS["apart"] if chore.apart else "", "clash"),
        words(chore.title),
        words(chore.part, "dim"),
        words(chore.note, "dim"),
    )
    return Row(f"chore:{chore.chore}", cells, marked=here)


def _mind(apart: str, caution: str) -> tuple[Para, ...]:
    """Why it is set apart, and the caution that goes with the work."""
    paras = [says(f"{SIGNS['apart']} set apart: {apart}", "clash", hang=2)] if apart else []
    paras += [says(f"Caution: {caution}", "warn", hang=9), says(said("rules"), "dim")] if caution else []
    return (Para(), *paras) if paras else ()
