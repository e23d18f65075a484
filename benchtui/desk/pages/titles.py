"""A title list on its way in: its preview, the doubtful side by side, and what became of it."""

from collections.abc import Iterator

from benchtui.desk.core.desk import Desk, Page
from benchtui.desk.core.page_parts import Bar, Column, PageView, Para, Row, Table, Text, says, words
from benchtui.desk.core.pages import page
from benchtui.desk.lists import titles_in
from benchtui.desk.session.paging import parcels
from benchtui.knowledge.heads import of_pressings
from benchtui.model.title import Title
from benchtui.titles.report import Doubt, Noted, without_options
from benchtui.titles.takein import TakeIn

FIELDS = ("artist", "title", "catalogue", "first", "company", "country", "barcode", "channels")
SHOWN = 5
"""Lines of one kind that the preview tells."""
CHOSEN = {"merge": "merge", "keep": "keep both", "skip": "skip"}


def _refuse(desk: Desk) -> None:
    desk.refuse("decide with the keys below; Escape stops, and nothing is taken in")


def _count(desk: Desk) -> int:
    found = titles_in.taking_of(desk)
    return len(found[1].doubts) if found and titles_in.phase_of(found[0]) == "deciding" else 0


@page(
    "doubtful",
    "Titles of the new list that look like titles known already. Decide each; nothing is written before.",
    keys=("doubtful-merge", "doubtful-keep", "doubtful-skip", "doubtful-rest", "page-leave"),
    enter=_refuse,
    count=_count,
    leave=titles_in.stop,
    place="on the page of doubtful titles",
    alone=True,
)
def doubtful(desk: Desk) -> PageView:
    found = titles_in.taking_of(desk)
    if found is None:
        return PageView((("Title list", "accent bold"),))
    opened, taking = found
    if titles_in.phase_of(opened) != "deciding":
        return _progress(opened, taking)
    at = desk.open.marked(len(taking.doubts))
    doubt, left = taking.doubts[at], len(taking.undecided())
    rows = [_row(opened, doubt, no, no == at) for no, doubt in enumerate(taking.doubts)]
    columns = (Column("line", right=True), Column(), Column("title", rank=1), Column("alike", right=True))
    return PageView(
        (
            ("Doubtful titles", "accent bold"),
            (f"  {left} of {len(taking.doubts)} to decide", "dim"),
            ("; Escape stops, nothing is taken in", "dim"),
        ),
        (says(f"line {doubt.line}: {doubt.why}, {doubt.alike:.0f} % alike", "bold"),),
        (_side_by_side(doubt), Table(columns, rows, name="doubts")),
    )


@page(
    "incoming",
    "What a list holds, before anything of it is taken in: its columns, its first rows, what is new.",
    keys=("page-enter", "incoming-encoding", "incoming-columns", "page-leave"),
    enter=titles_in.take,
    enter_word="take it in",
    leave=titles_in.stop,
    place="on the preview of a title list",
    alone=True,
)
def incoming(desk: Desk) -> PageView:
    found = titles_in.taking_of(desk)
    if found is None:
        return PageView((("Title list", "accent bold"),))
    opened, taking = found
    if titles_in.phase_of(opened) == "reading":
        return _progress(opened, taking)
    sections = (_columns(taking), _first_rows(taking), Text(tuple(_found(taking)), name="found"))
    return PageView(
        (("Title list", "accent bold"), (f"  {taking.path.name}", ""), ("  nothing is written yet", "dim")),
        (says(taking.report.counts(), "bold"), *_as_table(taking)),
        sections,
    )


def _as_table(taking: TakeIn) -> list[Para]:
    """That a table of pressings is not read here: several rows a title, and dates that no title has."""
    named = [theirs for theirs, ours in taking.columns if not ours and of_pressings(theirs)]
    if not named or not (taking.report.refused or taking.report.repeats):
        return []
    return [says(f"{', '.join(named)}: a table of pressings? . 'take in a table' reads one", "warn", hang=2)]


def _columns(taking: TakeIn) -> Table:
    """Each column, what it is read as, and what stands in it first."""
    rows = []
    for no, (theirs, ours) in enumerate(taking.columns):
        cells = (row[no] for _, row in taking.first_rows if no < len(row))
        first = next((cell for cell in cells if cell.strip()), "")
        read = words(ours or "not used", "good" if ours else "warn")
        shown = (words(theirs or f"column {no + 1}", "bold"), read, words(first, "dim"))
        rows.append(Row(f"column:{no}", shown, markable=False))
    columns = (Column("its column", rank=1), Column("read as"), Column("holds first", rank=2))
    return Table(columns, rows, name="columns")


def _first_rows(taking: TakeIn) -> Table:
    """The first titles as they would be taken in."""
    made = taking.first_titles()
    fields = [name for name in FIELDS if any(_text(title, name) for _, title in made)]
    rows = [
        Row(f"row:{line}", (words(str(line), "dim"), *(words(_text(title, name)) for name in fields)), False)
        for line, title in made
    ]
    ranks = {"title": 1, "artist": 2, "catalogue": 0}  # a number is never cut
    columns = (Column("line", right=True), *(Column(name, rank=ranks.get(name, 3)) for name in fields))
    return Table(columns, rows, name="first")


def _found(taking: TakeIn) -> Iterator[Para]:
    """How it was read, and the first few lines of what is changed, doubtful, repeated, refused."""
    report = taking.report
    yield from (says(without_options(line), "warn", hang=2) for line in report.said)
    doubts = [Noted(doubt.line, doubt.say()) for doubt in report.doubts]
    kinds = (
        ("changed", report.changes),
        ("doubtful", doubts),
        ("repeated", report.repeats),
        ("refused", report.refused),
        ("left out", report.left_out),
    )
    for kind, notes in kinds:
        style = "warn" if kind == "refused" else ""
        yield from (says(f"line {note.line}: {kind}: {note.say}", style, hang=2) for note in notes[:SHOWN])
        if len(notes) > SHOWN:
            yield says(f"... and {len(notes) - SHOWN:,} more {kind}", "dim")


def _progress(opened: Page, taking: TakeIn) -> PageView:
    done, what = float(opened.data["done"]), titles_in.phase_of(opened)
    said = "reading and comparing" if what == "reading" else "writing and making it ready to search"
    bar = Row("done", (words(f"{done * 100:.0f}%", "bold"), Bar(((done, "full", "accent"),))), markable=False)
    report = taking.report
    progress = f"{said}: {report.lines:,} lines, {len(report.refused):,} refused so far"
    return PageView(
        (("Title list", "accent bold"), (f"  {taking.path}", "dim")),
        sections=(
            Table((Column(right=True), Column(bar=True, rank=1)), [bar]),
            Text((says(progress), Para(), says("Escape stops it; nothing is taken in then.", "dim"))),
        ),
    )


def _side_by_side(doubt: Doubt) -> Table:
    """The doubt that is marked: each field of both titles, what differs marked."""
    rows = []
    for name in FIELDS:
        mine, other = _text(doubt.title, name), _text(doubt.other, name)
        if mine or other:
            style = "" if mine == other else "warn"
            cells = (words(name, "dim"), words(mine, style), words(other, style))
            rows.append(Row(f"field:{name}", cells, markable=False))
    columns = (Column(), Column("in this list", rank=1), Column("known already", rank=2))
    return Table(columns, rows, name="beside")


def _text(title: Title, name: str) -> str:
    value = getattr(title, name)
    return str(value) if value else ""


def _row(opened: Page, doubt: Doubt, no: int, here: bool) -> Row:
    chosen = opened.data.get("chosen", {}).get(no, "")
    name = ", ".join(filter(None, (doubt.title.artist, doubt.title.title)))
    cells = (
        words(str(doubt.line), "dim"),
        words(CHOSEN.get(chosen, ""), "good"),
        words(name, "bold" if here else ""),
        words(f"{doubt.alike:.0f} %", "dim"),
    )
    return Row(f"doubt:{no}", cells, marked=here)


@page(
    "taken",
    "What became of the list: what is new, what was refused and why.",
    keys=("page-leave", "parcels-undo-list"),
    leave=parcels,
)
def taken(desk: Desk) -> PageView:
    """What was new, changed and doubtful, and what was refused and why."""
    data = desk.open.page.data if desk.open.page is not None else {"told": [], "refused": ()}
    lines = [
        says(one, "bold" if n == 0 else "warn" if one in data["refused"] else "", hang=2)
        for n, one in enumerate(data["told"])
    ]
    return PageView((("What became of the list", "accent bold"),), sections=(Text(tuple(lines)),))
