"""The parcel's own page: its fields a line each, its queue, the sender's list, closing."""

from functools import partial
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.cautions import said
from benchtui.desk.core import keeping
from benchtui.desk.core.command import Legend, Need, command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Page, Pick
from benchtui.desk.core.keys import is_printable
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import parcel_open, unless
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.fields import BY_NAME, FIELDS, charges_of, with_charges
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line
from benchtui.desk.look.sender_list import SenderList, read_list
from benchtui.desk.look.ticking import tick_off, tie
from benchtui.desk.queue import queue
from benchtui.desk.queue.undo import is_untouched
from benchtui.model.parcel import CHARGE_KINDS, HeadDoc, ListLine
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money.book import known_as
from benchtui.money.life import may_be_taken_out
from benchtui.store import Change


class Row(NamedTuple):
    """A line of the page that can be marked: a field, a record or a line of the sender's list."""

    kind: str
    id: str


def rows(desk: Desk) -> list[Row]:
    """The lines of the parcel page, from top to bottom."""
    found = [Row("field", field.name) for field in FIELDS]
    if desk.work.parcel is not None:
        found += [Row("list", str(n)) for n in range(len(desk.work.parcel.head["list"]))]
        found += [Row("record", record["id"]) for record in desk.work.records]
    return found


def marked(desk: Desk) -> Row | None:
    if desk.open.page is None or desk.open.page.name != "parcel":
        return None
    lines = rows(desk)
    desk.open.page.marked = desk.open.page.at(len(lines))
    return lines[desk.open.page.marked]


@command(
    "parcel-page",
    "bench",
    "sender, cost, the sender's list, closing",
    short="parcel",
    group="Queue",
    also="sender queue cost list overview box lot",
    legend=Legend(untitled=60, nothing=10),
    needs=[parcel_open],
    changes="nothing",
    often=150,
    order=440,
)
@command(
    "page-parcel",
    "page",
    "the parcel's own page",
    short="parcel",
    also="queue cost list overview box lot",
    needs=[parcel_open],
    changes="nothing",
    offered=100,
    order=750,
)
def open_page(desk: Desk) -> None:
    at = next((n for n, row in enumerate(rows(desk)) if row.id == desk.work.record_id), 0)
    desk.open.page = Page("parcel", at)
    desk.say("")  # what was said of the record does not stand over the page
    desk.place()


def new_parcel(desk: Desk) -> None:
    """Open a new parcel and go through its lines; Escape leaves at any point, what was typed is kept."""
    if not is_untouched(desk):  # one that was begun by mistake is the new one
        begin_parcel(desk, {"opened": desk.today()}, 0)
    assert desk.work.parcel is not None
    desk.open.page = Page("parcel")
    open_field(desk, FIELDS[0].name, onward=True)
    desk.say(
        f"parcel {desk.work.parcel.id} opened: one line at a time, Enter goes on, Escape leaves. "
        f"Caution: {said('lifting')}"
    )


def begin_parcel(desk: Desk, fields: dict[str, Any], expected: int) -> None:
    """A new parcel on the bench, the one before it put away."""
    keeping.hold(desk)
    opened = desk.shop.new_parcel(fields, expected)
    if desk.work.parcel is not None:
        desk.work.parcel.close()
    desk.work.parcel = opened
    desk.work.record_id = desk.work.part_id = None
    desk.asking.order, desk.asking.asked, desk.open.menu = [], None, None
    desk.weighings.forget()


def open_field(desk: Desk, name: str, onward: bool = False) -> None:
    """Open one field's line with what it holds; ``onward`` goes on to the next field after Enter."""
    parcel, field = desk.parcel, BY_NAME[name]
    text = sender_name(desk, parcel.head["sender"]) if name == "sender" else field.show(parcel.head)
    text = "" if name == "expected" and text == "0" else text
    if desk.open.page is not None:
        desk.open.page.marked = [row.id for row in rows(desk)].index(name)
    open_line(desk, f"field-{name}", field.label, text, field.about, replace=True, onward=onward)


def sender_name(desk: Desk, sender_id: str | None) -> str:
    return known_as(desk.shop.senders, sender_id)


def _take_field(desk: Desk, line: OpenLine) -> None:
    field = BY_NAME[line.name.removeprefix("field-")]
    parcel = desk.work.parcel
    if parcel is None:
        close_line(desk)
        return
    text = line.text
    if text.strip() != field.show(parcel.head) or field.name in ("expected", "terms"):
        if not text.strip() and field.name in ("expected", "terms"):
            pass
        else:
            try:
                value = field.read(text, desk.currency, desk.clock().astimezone().date())
            except (ValueError, BenchError) as error:
                desk.refuse(str(error))
                return
            _write_field(desk, field.name, field.label, value)
    _go_on(desk, line, field.name)


def _go_on(desk: Desk, line: OpenLine, name: str) -> None:
    names = [field.name for field in FIELDS]
    at = names.index(name) + 1
    close_line(desk)
    if line.data.get("onward") and at < len(names):
        open_field(desk, names[at], onward=True)
        return
    if line.data.get("onward"):
        queue.arrive(desk, next(iter(desk.work.records), None))
        desk.say("the parcel is open: the first record is on the bench")
        return
    desk.place()


def _write_field(desk: Desk, name: str, label: str, value: Any) -> None:
    parcel = desk.work.parcel
    assert parcel is not None
    if name in CHARGE_KINDS:
        if value == charges_of(parcel.head, name):
            return
    elif parcel.head.get(name) == value:
        return
    if name == "expected" and parcel.closed:
        raise BenchError("the parcel is closed: no more records are expected")
    with dated(desk, f"parcel: {label}{_figures(parcel.head, name, value)}") as change:
        if name in CHARGE_KINDS:
            change.head["charges"] = with_charges(change.head["charges"], name, value)
        elif put := BY_NAME[name].put:
            put(change.head, value)
        else:
            change.head[name] = value  # type: ignore[literal-required]
        if name == "expected":
            fit_queue(desk, change, value)


def _figures(head: HeadDoc, name: str, value: Any) -> str:
    """`` 4.00, was 3.00`` of a charge: why a figure of closed days moved."""
    if name not in CHARGE_KINDS:
        return ""
    after: HeadDoc = {**head, "charges": with_charges(head["charges"], name, value)}
    was, now = (BY_NAME[name].show(one) for one in (head, after))
    return f" {now or 'none'}" + (f", was {was}" if was else "")


def fit_queue(desk: Desk, change: Change, expected: int) -> None:
    """The queue holds the expected number: empty places are added or, from the end, taken away."""
    have = desk.work.records
    for no in range(len(have) + 1, expected + 1):
        change.add(empty_record(no))  # at the end, behind those that were withdrawn
    for record in reversed(have):
        if len(have) <= expected or record["state"] != "empty":
            break
        change.remove(record["id"])
        have = have[:-1]


# -- the sender, by completion or new ------------------------------------------------------


SENDER_COLUMNS = (Column(key="name", rank=1, least=14), Column(key="place", rank=2))


def sender_picks(desk: Desk, line: OpenLine) -> list[Pick]:
    typed = _name_words(line.text)
    found = []
    for sender_id, sender in desk.shop.senders.items():
        names = _name_words(sender_name(desk, sender_id))
        if all(any(name.startswith(start) for name in names) for start in typed):
            cells = (words(str(sender.get("name", ""))), words(str(sender.get("address") or ""), "dim"))
            found.append(pick_of(cells, sender_id))
    return found[:8]


def _name_words(text: str) -> list[str]:
    return [word.strip("(),") for word in text.casefold().split()]


def _take_sender(desk: Desk, line: OpenLine) -> None:
    pick = marked_pick(line)
    if not line.text.strip():
        _go_on(desk, line, "sender")
    elif pick is not None:
        _write_sender(desk, line, pick.value)
    else:
        _new_sender(desk, line)


def _new_sender(desk: Desk, line: OpenLine) -> None:
    name = " ".join(line.text.split())
    if not name:
        desk.refuse("type the new sender's name first")
        return
    _write_sender(desk, line, desk.shop.add_sender(name))


def _write_sender(desk: Desk, line: OpenLine, sender_id: str) -> None:
    sender = desk.shop.senders.get(sender_id, {})
    parcel = desk.work.parcel
    assert parcel is not None
    if parcel.head["sender"] != sender_id:
        with desk.act(f"parcel: sender {sender.get('name', sender_id)}") as change:
            change.head["sender"] = sender_id
            if sender.get("terms") in ("bought", "consigned"):
                change.head["terms"] = sender["terms"]
    _go_on(desk, line, "sender")


# -- the page's keys --------------------------------------------------------------------------


def enter(desk: Desk) -> None:
    """Open the marked line: a field to be typed, a record to be taken up."""
    row = marked(desk)
    if row is None or desk.work.parcel is None:
        return
    if row.kind == "field":
        open_field(desk, row.id)
    elif row.kind == "record":
        queue.arrive(desk, desk.work.parcel.record(row.id))
    else:
        line = desk.work.parcel.head["list"][int(row.id)]
        if line["record"] is None:
            tie(desk, int(row.id))
        else:
            queue.arrive(desk, desk.work.parcel.record(line["record"]))


def _marked_record(desk: Desk) -> RecordDoc:
    row = marked(desk)
    return desk.parcel.record(row.id if row is not None else "")


@command(
    "bench-add",
    "bench",
    "add a record to the queue and go to its title",
    short="add record",
    group="Bench",
    also="more insert",
    needs=[parcel_open],
    changes="queue",
    order=395,
)
@command(
    "page-add",
    "page",
    "add a record to the queue and go to its title",
    short="add record",
    also="more insert",
    needs=[parcel_open],
    changes="queue",
    on=("parcel",),
    order=820,
)
def add_record(desk: Desk) -> None:
    page, no = desk.open.page, desk.work.next_no
    with desk.act(f"record {no} added to the queue") as change:
        change.add(empty_record(no))
    queue.arrive(desk, desk.work.records[-1])
    back = f"; {_back_to_page(desk)} goes back to the page" if page is not None else ""
    desk.say(f"record {no} added to the queue: its title{back}", "done")


def _back_to_page(desk: Desk) -> str:
    """The key of the parcel's page; behind the one that leaves the line, where it would be typed there."""
    key = desk.references.keymap.first_key("parcel-page") or ""
    leave = f"{desk.key('line-leave')} " if is_printable(key) else ""
    return f"{leave}{desk.key('parcel-page')}"


def _queue_record(desk: Desk) -> str:
    row = marked(desk)
    return unless(row and row.kind == "record", "mark a record in the queue first")


def _can_move(by: int) -> Need:
    def why(desk: Desk) -> str:
        row = marked(desk)
        ids = [one["id"] for one in desk.work.records]
        to = ids.index(row.id) + by if row and row.id in ids else -1
        return _queue_record(desk) or unless(0 <= to < len(ids), "it is at the end already")

    return why


@command(
    "page-out",
    "page",
    "take the marked record out of the queue",
    short="take out",
    also="delete remove drop",
    needs=[_queue_record],
    changes="queue",
    on=("parcel",),
    order=830,
)
def take_out(desk: Desk) -> None:
    """An empty place goes; anything begun stays in the parcel's file as withdrawn, with its stock number."""
    record = _marked_record(desk)
    may_be_taken_out(record)
    if record["state"] != "taken-in":
        _take_out(desk, record)
        return
    choices = (
        Choice("1", "take it out", partial(_take_out, desk, record)),
        Choice("2", "not yet", lambda: None),
    )
    about = "It is taken in already; its stock number stays with it."
    title, kept = f"Take {record['stock']} out of the parcel?", "it stays in the parcel"
    desk.open.menu = Menu(title, choices, about, "out", kept=kept)


def _take_out(desk: Desk, record: RecordDoc) -> None:
    with desk.act(f"record {record['no']} taken out of the queue") as change:
        if record["state"] != "empty":
            change.record(record["id"])["state"] = "withdrawn"
        else:
            change.remove(record["id"])
        if desk.work.record_id == record["id"]:
            desk.work.record_id = desk.work.part_id = desk.asking.asked = None
            desk.asking.order = []


@command(
    "page-earlier",
    "page",
    "move the marked record up the queue",
    short="move up",
    also="before higher sort order",
    needs=[_can_move(-1)],
    changes="queue",
    on=("parcel",),
    order=840,
)
def earlier(desk: Desk) -> None:
    _move(desk, -1)


@command(
    "page-later",
    "page",
    "move the marked record down the queue",
    short="move down",
    also="after lower sort order",
    needs=[_can_move(1)],
    changes="queue",
    on=("parcel",),
    order=850,
)
def later(desk: Desk) -> None:
    _move(desk, 1)


def _move(desk: Desk, by: int) -> None:
    record, records = _marked_record(desk), desk.work.records
    target = records[records.index(record) + by]["no"]
    with desk.act(f"record {record['no']} moved to {target}") as change:
        change.move(record["id"], target)
    if desk.open.page is not None:
        desk.open.page.marked += by


# -- the sender's own list ---------------------------------------------------------------------


@command(
    "page-list",
    "page",
    "read the sender's list from a file, or paste it",
    short="list",
    also="import paste csv",
    needs=[parcel_open],
    changes="queue",
    on=("parcel",),
    offered=50,
    order=860,
)
def open_list(desk: Desk) -> None:
    open_line(
        desk,
        "sender-list",
        "sender's list",
        about="paste it, or type the path of its file; a line each: artist, title, number, grade",
    )


def _take_list(desk: Desk, line: OpenLine) -> None:
    text = line.text
    if not text.strip():
        close_line(desk)
        desk.place()
        return
    try:
        found = read_list(text, desk.shop.path)
    except ValueError as error:
        desk.refuse(str(error))
        return
    lines = desk.work.parcel.head["list"] if desk.work.parcel is not None else []
    ticked = sum(one["record"] is not None for one in lines)
    if not ticked:
        _put_list(desk, found)
        return
    choices = (
        Choice("1", "replace it", partial(_put_list, desk, found)),
        Choice("2", "not yet: back to the line", lambda: None),
    )
    about = (
        f"Of its {len(lines)} lines {ticked} are ticked off; those of the new one are ticked off by title."
    )
    title, kept = "Another list in place of this one?", "the list stays as it was"
    desk.open.menu = Menu(title, choices, about, "list", over=True, kept=kept)


def _put_list(desk: Desk, found: SenderList) -> None:
    close_line(desk)
    take_list(desk, found.lines)
    if found.headings:
        desk.say(f"{desk.open.message}; headings, no records: {'; '.join(found.headings)}", "done")


def take_list(desk: Desk, found: list[ListLine]) -> None:
    """The list replaces the one before; records already there tick their lines."""
    with desk.act(
        f"the sender's list: {len(found)} lines", late=True
    ) as change:  # of the parcel, not the record
        change.head["list"] = found
        for record in desk.work.records:
            if record["title"] is not None:
                tick_off(desk, change, change.record(record["id"]))


for _field in FIELDS:
    LINES[f"field-{_field.name}"] = LineKind(_take_field, one_write=True)
LINES["field-sender"] = LineKind(
    _take_sender, sender_picks, new=_new_sender, one_write=True, columns=SENDER_COLUMNS
)
LINES["sender-list"] = LineKind(_take_list)
