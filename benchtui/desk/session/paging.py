"""Pages over the record: moving on them, and those that need no file of their own."""

from functools import partial

from benchtui.desk.core import keeping
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk, OpenLine, Page, Pick
from benchtui.desk.core.needs import record_here
from benchtui.desk.core.page_parts import Column, Words, words
from benchtui.desk.core.pages import page_now
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.amount_typed import whole_number
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line, refuse_unfound
from benchtui.desk.parcel import parcel as parcel_page
from benchtui.desk.parcel.opening import open_or_read
from benchtui.desk.queue import queue
from benchtui.desk.session import versions
from benchtui.desk.session.resume import resume
from benchtui.store import Found


def lines_on(desk: Desk) -> int:
    """How many lines of the open page can be marked."""
    kind = page_now(desk)
    return kind.count(desk) if kind is not None and kind.count is not None else 0


def _mark(desk: Desk, by: int) -> None:
    page = desk.open.page
    if page is None:
        return
    kind = page_now(desk)
    if kind is None or kind.count is None:
        page.top = max(0, page.top + by)
        return
    last = lines_on(desk) - 1
    if by > 0 and page.marked >= last:
        begun = page.below[1] if page.reads_below else page.top
        page.below, page.top = (page.marked, begun), page.top + by
    elif by < 0 and page.reads_below and page.top > page.below[1]:
        page.top = max(page.below[1], page.top + by)
    else:
        page.below, page.marked = (-1, 0), max(0, min(last, page.marked + by))


@command("page-up", "page", "one line up", changes="nothing", order=760)
def up(desk: Desk) -> None:
    _mark(desk, -1)


@command("page-down", "page", "one line down", changes="nothing", order=770)
def down(desk: Desk) -> None:
    _mark(desk, 1)


@command("page-screen-up", "page", "one screen up", changes="nothing", order=780)
def screen_up(desk: Desk) -> None:
    _mark(desk, -12)


@command("page-screen-down", "page", "one screen down", changes="nothing", order=790)
def screen_down(desk: Desk) -> None:
    _mark(desk, 12)


@command(
    "page-leave",
    "page",
    "back to the record",
    short="back to the record",
    also="close exit escape",
    changes="nothing",
    offered=120,
    order=740,
)
def leave(desk: Desk) -> None:
    """Back to the record; where none is on the bench, to the first that still wants something."""
    kind = page_now(desk)
    if kind is not None and kind.leave is not None:
        kind.leave(desk)
        return
    desk.open.page = None
    if desk.work.record is not None and desk.work.record["title"] is None and not desk.work.record["parts"]:
        queue.arrive(desk, desk.work.record)
        return
    if desk.work.record is None and desk.work.parcel is not None:
        waiting = next((r for r in desk.work.records if r["state"] in ("empty", "started")), None)
        queue.arrive(desk, waiting or next(iter(desk.work.records), None))
    if desk.work.record is None:
        was = kind.id if kind is not None else ""
        desk.open.page = Page("parcel" if desk.work.parcel is not None and was != "parcel" else "parcels")
        if desk.work.parcel is not None:
            add = f"{desk.key('page-add')} on its page adds one, 'expected' there says how many"
            desk.say(f"parcel {desk.work.parcel.id} has no record yet: {add}")
    desk.place()


def _can_open(desk: Desk) -> str:
    kind = page_now(desk)
    return kind.enter_needs(desk) if kind is not None and kind.enter_needs is not None else ""


@command(
    "page-enter",
    "page",
    "open the marked line",
    short="open",
    also="edit change go",
    needs=[_can_open],
    changes="nothing",
    order=800,
)
def enter(desk: Desk) -> None:
    """Open the marked row; where a page has nothing to open, leave it."""
    kind = page_now(desk)
    if kind is not None:
        (kind.enter or leave)(desk)


@command(
    "parcels-page",
    "bench",
    "all parcels of the shop; open a new one",
    short="parcels",
    group="Queue",
    also="shop boxes lots open new other",
    legend=Legend(nothing=20),
    changes="nothing",
    offered=130,
    order=450,
)
def parcels(desk: Desk) -> None:
    found = desk.shop.parcels()
    here = desk.work.parcel.id if desk.work.parcel else ""
    desk.open.page = Page("parcels", next((n for n, one in enumerate(found) if one.id == here), 0))
    desk.place()


@command(
    "page-new",
    "page",
    "open a new parcel",
    short="new parcel",
    also="lot box begin",
    changes="nothing",
    on=("parcels", "parcel"),
    order=825,
)
def new(desk: Desk) -> None:
    kind = page_now(desk)
    if kind is not None and kind.alone:
        desk.refuse("decide on the list first, or Escape stops it")
        return
    was = desk.work.parcel
    if desk.work.left_empty in desk.shop.parcel_ids():
        open_parcel(desk, desk.work.left_empty)
    desk.work.left_empty = ""
    parcel_page.new_parcel(desk)
    begun = desk.work.parcel
    if was is not None and begun is not None and was is not begun:
        desk.work.before = begun.id, partial(_back_to, desk, was.id)


def _back_to(desk: Desk, parcel_id: str) -> None:
    """From a parcel begun by mistake to the page of the one before: its own steps can be undone there."""
    open_parcel(desk, parcel_id)
    if desk.open.line is None:
        parcel_page.open_page(desk)


@command(
    "why",
    "bench",
    "what speaks for and against, clue by clue",
    short="why",
    group="Look",
    also="evidence reasons odds explain because",
    legend=Legend(record=190),
    needs=[record_here],
    changes="nothing",
    offered=180,
    order=240,
)
def why(desk: Desk) -> None:
    desk.open.page = Page("why")


@command(
    "record-page",
    "bench",
    "the record in full: text, work, what happened to it",
    short="details",
    group="Record",
    also="record full everything sheet show view",
    legend=Legend(record=210),
    needs=[record_here],
    changes="nothing",
    offered=170,
    order=10,
)
def record_page(desk: Desk) -> None:
    desk.open.page = Page("record")


@command(
    "help",
    "bench",
    "every key and what it does",
    short="keys",
    group="Bench",
    also="keys manual shortcuts",
    legend=Legend(record=160, untitled=80, nothing=30),
    changes="nothing",
    offered=220,
    order=530,
)
def help_page(desk: Desk) -> None:
    desk.open.page = Page("help")


def open_parcel(desk: Desk, parcel_id: str) -> None:
    """Open another parcel where it was left; one that another bench holds is opened for reading only."""
    if desk.work.parcel is not None and desk.work.parcel.id == parcel_id:
        leave(desk)
        versions.offer(desk)
        return
    keeping.hold(desk)
    opened, notice = open_or_read(desk.shop, parcel_id)
    if desk.work.parcel is not None:
        desk.place()  # without the line that led away from it
        desk.work.parcel.close()
    desk.work.parcel = opened
    desk.weighings.forget()
    resume(desk)
    versions.offer(desk)
    if notice:
        desk.refuse(notice)


# -- searching the whole shop ------------------------------------------------------------------


@command(
    "search",
    "bench",
    "find a record, title, sender, stock number",
    short="search",
    group="Queue",
    also="find look lookup stock",
    changes="nothing",
    offered=150,
    order=430,
)
def open_search(desk: Desk) -> None:
    about = "stock number, artist, title, number, runout, sender; over all parcels"
    open_line(desk, "search", "search", about=about)


def in_shop(desk: Desk, typed: str) -> list[Pick]:
    """The records of any parcel that the text fits, those of the stock number ``a7`` first."""
    typed = typed.strip()
    if not typed:
        return []
    whole = whole_number(typed)
    found = [*(desk.shop.find(whole, limit=8) if whole != typed else []), *desk.shop.find(typed, limit=8)]
    once = {(one.parcel, one.record): one for one in found}
    return [pick_of(_found_cells(one), one) for one in once.values()][:8]


FOUND_COLUMNS = (
    Column(key="stock"),
    Column(key="artist", rank=1, least=14),
    Column(key="title", rank=2, least=14),
    Column(key="number", rank=3, least=0),
    Column(key="sender", rank=4, least=0),
    Column(key="parcel"),
    Column(key="no", right=True),
)


def _found_cells(one: Found) -> tuple[Words, ...]:
    return (
        words(one.stock or "(no number)", "bold"),
        words(one.artist),
        words(one.title),
        words(one.catalogue, "dim"),
        words(one.sender, "dim"),
        words(one.parcel, "dim"),
        words(str(one.no), "dim"),
    )


def _take_search(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if pick is None:
        if line.text.strip():
            refuse_unfound(desk, f"nothing in the shop matches '{line.text.strip()}'")
            return
        close_line(desk)
        desk.place()
        return
    close_line(desk)
    go_to(desk, pick.value.parcel, pick.value.record)


def go_to(desk: Desk, parcel_id: str, record_id: str) -> None:
    """Stand at a record of any parcel."""
    if desk.work.parcel is None or desk.work.parcel.id != parcel_id:
        open_parcel(desk, parcel_id)
    notice = desk.open.message if desk.open.tone == "refused" else ""
    record = desk.work.parcel.record(record_id) if desk.work.parcel else None
    if record is None:
        desk.refuse("that record is no longer in its parcel")
        return
    queue.arrive(desk, record)
    desk.say(notice or f"record {record['no']} of parcel {parcel_id}", "refused" if notice else "plain")


LINES["search"] = LineKind(_take_search, lambda desk, line: in_shop(desk, line.text), columns=FOUND_COLUMNS)
