"""The work list: a row a chore, and what to mind at the one that is marked."""

from benchtui.books.cautions import said
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.desk.core.page_parts import SIGNS, Column, PageView, Para, Row, Table, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.record.work import Work, caution_of, open_work
from benchtui.desk.session.paging import go_to
from benchtui.model.chores import finish


def work_list(desk: Desk) -> list[Work]:
    """Every chore still to do, over all parcels; read when the page is opened."""
    page = desk.open.page
    if page is None:
        return []
    found: list[Work] = page.data.setdefault("chores", [])
    return found


def _by_day(work: Work) -> str:
    return work.due or "9999"


def _by_kind(work: Work) -> tuple[str, str]:
    return work.what, _by_day(work)


@command(
    "chores-page",
    "bench",
    "the work list over all parcels",
    short="work list",
    group="Queue",
    also="tasks todo chores cleaning work photograph repair done",
    changes="nothing",
    offered=140,
    order=460,
)
def all_work(desk: Desk) -> None:
    """The most urgent first: by the day it is wanted by, then as the records stand in their parcels."""
    _list_work(desk, ())


@command(
    "listening",
    "bench",
    "what is to be played: play tests over all parcels",
    short="to be played",
    group="Queue",
    also="listen listening queue play test hear",
    changes="nothing",
    offered=142,
    order=462,
)
def to_be_played(desk: Desk) -> None:
    _list_work(desk, ("play-test",))


def _list_work(desk: Desk, only: tuple[str, ...]) -> None:
    """All work, or only of these kinds."""
    found = [one for one in open_work(desk) if not only or one.what in only]
    desk.open.page = Page("chores", data={"chores": sorted(found, key=_by_day), "only": only})


@command(
    "chores-sort",
    "page",
    "the work list by kind of work, or again by day",
    short="by kind",
    also="sort order group kind day",
    changes="nothing",
    on=("chores",),
    order=905,
)
def sort_chores(desk: Desk) -> None:
    page = desk.open.page
    if page is None:
        return
    kind = page.data["kind"] = not page.data.get("kind")
    page.data["chores"] = sorted(work_list(desk), key=_by_kind if kind else _by_day)
    page.marked = 0
    desk.say("by kind of work" if kind else "by the day it is due")


def go_to_chore(desk: Desk) -> None:
    chore = desk.open.marked_of(work_list(desk))
    if chore is None:
        desk.say("nothing to do")
        return
    go_to(desk, chore.parcel, chore.record)


def _work_waits(desk: Desk) -> str:
    return unless(desk.open.page and desk.open.page.data.get("chores"), "nothing to do")


@command(
    "page-done",
    "page",
    "the marked chore is done today",
    short="done",
    also="finished tick",
    needs=[_work_waits],
    on=("chores",),
    order=900,
)
def done(desk: Desk) -> None:
    """The marked chore is done today: found in its own parcel, written there."""
    page = desk.open.page
    found = work_list(desk)
    if page is None or not found:
        return
    at = page.at(len(found))
    chore = found[at]
    go_to(desk, chore.parcel, chore.record)
    if desk.work.parcel is None or desk.work.parcel.read_only or desk.work.record is None:
        return
    with dated(desk, f"record {desk.work.record['no']}: {chore.what} done {desk.today()}") as change:
        finish(desk.changed(change), chore.chore, desk.today())
    said = desk.open.message
    _list_work(desk, page.data.get("only", ()))
    if desk.open.page is not None:
        desk.open.page.marked = min(at, max(0, len(work_list(desk)) - 1))
    desk.say(said, "done")


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
    at = desk.open.marked(len(found))
    columns = (
        Column("work"),
        Column("due"),
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
