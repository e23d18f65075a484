"""The parcel's page: its fields a line each, what it costs and asks, the sender's list, the queue."""

from benchtui.base.errors import BenchError
from benchtui.bench.draw.pace_panel import draw_pace
from benchtui.bench.draw.scroll import beyond, window
from benchtui.bench.draw.strip import sign_of
from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk.amounts import shown
from benchtui.desk.closing import short_or_over
from benchtui.desk.core import Desk
from benchtui.desk.fields import BY_NAME
from benchtui.desk.pace import Pace, each_in_words, pace_of
from benchtui.desk.parcel import Row, marked, rows, sender_name
from benchtui.model.money import Money
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc
from benchtui.money import ESTIMATE, landed, policy_of, standing

LABEL = 18


def draw_parcel(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    parcel, page = desk.parcel, desk.page
    if parcel is None or page is None:
        return []
    pace = pace_of(parcel.head, parcel.records)
    each = each_in_words(pace)
    head: Line = [
        ("Parcel ", "accent bold"),
        (parcel.id, "bold"),
        (f"  {parcel.head['state']}", "dim"),
        (f"  {each} a record" if each else "", "dim"),
    ]
    lines: list[Line] = []
    at = 0
    last = ""
    told = _told_row(desk)
    for n, row in enumerate(rows(desk)):
        if row.kind != last:
            lines += _between(desk, last, row.kind, width, pace, glyphs)
            last = row.kind
        if n == page.marked:
            at = len(lines)
        lines.append(_row(desk, row, n == page.marked, glyphs, told))
    if last != "record":
        lines += _between(desk, last, "record", width, pace, glyphs)
    shown = window(len(lines), 1, at, height)
    return [head, *beyond([lines[n] for n in shown], shown, len(lines))]


def _between(desk: Desk, last: str, kind: str, width: int, pace: Pace, glyphs: Glyphs) -> list[Line]:
    """What stands between the sections: cost and pace after the fields, a heading before list and queue."""
    lines: list[Line] = []
    if last == "field":
        lines += [[], *_cost(desk, width)]
        told = draw_pace(desk, pace, width, glyphs)
        lines += [[], *told] if told else []
    if kind == "list" and desk.parcel is not None:
        lines += [[], [("  the sender's list", "bold")]]
    if kind == "record" and desk.parcel is not None:
        lines += [[], [("  queue", "bold")]]
        if desk.parcel.head["state"] == "closed":
            for said in short_or_over(desk.parcel.head, desk.parcel.records):
                lines += wrap("  " + said, width, "warn", "  ")
    return lines


def _cost(desk: Desk, width: int) -> list[Line]:
    parcel = desk.parcel
    if parcel is None:
        return []
    asked = [
        record["price"]["minor"] for record in desk.records if record["price"] and record["set_apart"] is None
    ]
    try:
        policy = policy_of(desk.settings)
        cost = landed(parcel.head, policy.currency, policy.conversion).total
        total = Money(sum(asked), policy.currency)
    except (BenchError, ValueError) as error:
        return wrap(f"  landed cost: {error}", width, "warn", "  ") + wrap(
            "  " + ESTIMATE, width, "dim", "  "
        )
    lines: list[Line] = [
        [(f"  {'landed cost':<{LABEL}}", "dim"), (cost.show(), "bold")],
        [
            (f"  {'asked so far':<{LABEL}}", "dim"),
            (total.show(), "bold"),
            (f"  for {len(asked)} records", "dim"),
        ],
    ]
    return lines + wrap("  " + ESTIMATE, width, "dim", "  ")


def _left(record: RecordDoc) -> str:
    """``sold`` and the like of a record that left the shop; "" of one that is here."""
    try:
        now = standing(record).what if record["life"] else ""
    except BenchError:
        return "life cannot be read"
    return "" if now == "in the shop" else now


def _told_row(desk: Desk) -> str | None:
    """The one empty record whose row says what to do with it: the marked one, else the first."""
    empty = [record["id"] for record in desk.records if record["title"] is None]
    here = marked(desk)
    return here.id if here is not None and here.id in empty else next(iter(empty), None)


def _name(desk: Desk, record: RecordDoc, told: str | None) -> str:
    """Artist and title; of records without, one says what to do and the others are blank."""
    title = record["title"]
    if title is not None:
        return f"{title['artist']}  {title['title']}"
    if record["id"] != told:
        return ""
    if desk.parcel is None or desk.parcel.read_only or desk.parcel.closed:
        return "empty"
    return f"empty: {desk.key('page-enter')} on it, then type its title"


def _row(desk: Desk, row: Row, here: bool, glyphs: Glyphs, told: str | None) -> Line:
    parcel = desk.parcel
    assert parcel is not None
    mark = (f"{glyphs.here if here else ' '} ", "accent bold")
    strong = "bold" if here else ""
    if row.kind == "field":
        field = BY_NAME[row.id]
        value = sender_name(desk, parcel.head["sender"]) if row.id == "sender" else field.show(parcel.head)
        return [mark, (f"{field.label:<{LABEL}}", strong or "dim"), (clean(value), strong)]
    if row.kind == "list":
        line = parcel.head["list"][int(row.id)]
        record = next((r for r in desk.records if r["id"] == line["record"]), None)
        tick = f"{glyphs.done} {record['no']}" if record else glyphs.empty
        return [mark, (f"{tick:<6}", "good" if record else "dim"), (clean(line["line"]), strong)]
    record = parcel.record(row.id)
    sign, style = sign_of(desk, record, glyphs)
    name = _name(desk, record, told)
    price = " ".join(filter(None, (shown(record["price"]), _left(record))))
    return [
        mark,
        (f"{record['no']:>3} ", strong or "dim"),
        (f"{sign} ", style),
        (f"{record['stock'] or '':<8}", "dim"),
        (clean(name), strong if record["title"] else "dim"),
        (f"  {grades_of(record, desk.scale)}  {price}", "dim"),
    ]
