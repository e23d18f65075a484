"""What stands where a record without a title will stand.

The sender's lines that no record is tied to yet, the records taken in last with their prices, what is asked
against what was paid, and the pace.
"""

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, shed, width_of
from benchtui.bench.widgets.strip import pace, sign_of
from benchtui.desk.core.desk import Desk
from benchtui.desk.line.amount_typed import shown
from benchtui.model.money import Money
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc
from benchtui.money import landed, policy_of

LATEST = 4
"""So many records taken in last, at least, where there is room."""


def still_to_come(desk: Desk, width: int, height: int, signs: Glyphs) -> list[Line]:
    """In so many rows: money and pace always, then the list and the last records by turns."""
    foot = [cut(line, width) for line in _sums(desk)]
    room = height - len(foot) - (1 if foot else 0)
    listed, done = _listed(desk, width, signs), _done(desk, width, signs)
    share = max(room - len(done), room // 2) if done else room
    upper = shed(listed, share, width)
    gap: list[Line] = [[]] if upper and done and len(upper) + 1 + len(done) <= room else []
    lines = [*upper, *gap, *shed(done, room - len(upper) - len(gap), width)]
    return [*lines, *([[]] if foot and lines else []), *foot][:height]


def _listed(desk: Desk, width: int, signs: Glyphs) -> list[Line]:
    """The sender's lines that no record is tied to yet."""
    parcel = desk.work.parcel
    if parcel is None or not parcel.head["list"]:
        return []
    waiting = [line for line in parcel.head["list"] if line["record"] is None]
    if not waiting:
        return [[("every line of the sender's list is found", "good")]]
    heading: Line = [(f"still to come on the sender's list: {len(waiting)}", "bold")]
    return [
        heading,
        *(cut([(f"  {signs.empty} ", "dim"), (clean(line["line"]), "")], width) for line in waiting),
    ]


def _done(desk: Desk, width: int, signs: Glyphs) -> list[Line]:
    """The records taken in last, the latest first; a price is never cut."""
    taken = [record for record in desk.work.records if record["state"] == "taken-in"]
    taken.sort(key=lambda record: record.get("taken_in_at") or "", reverse=True)
    if not taken:
        return []
    rows = [_record(desk, record, width, signs) for record in taken[: LATEST * 3]]
    return [[("taken in last", "bold")], *rows]


def _record(desk: Desk, record: RecordDoc, width: int, signs: Glyphs) -> Line:
    title = record["title"]
    end: Line = [(f"  {grades_of(record, desk.scale):<9}", "dim"), (f"{shown(record['price']):>11}", "bold")]
    name = f"{title['artist']} · {title['title']}" if title else ""
    head: Line = [(f"{record['no']:>4} ", "dim"), sign_of(desk, record, signs), (" ", "")]
    room = width - width_of(head) - width_of(end)
    return [*head, *fill([(clean(name), "")], room), *end]


def _sums(desk: Desk) -> list[Line]:
    """Asked against landed, and the pace."""
    parcel = desk.work.parcel
    if parcel is None or parcel.closed or not any(record["price"] for record in desk.work.records):
        return []
    asked = [
        record["price"]["minor"]
        for record in desk.work.records
        if record["price"] and record["set_apart"] is None
    ]
    line: Line = []
    try:
        policy = policy_of(desk.settings)
        line = [("asked so far ", "dim"), (Money(sum(asked), policy.currency).show(), "bold")]
        cost = landed(parcel.head, policy.currency, policy.conversion).total
        line += [("   cost to get here ", "dim"), (cost.show(), "bold"), (" landed (estimate)", "dim")]
    except (BenchError, ValueError) as error:
        line += [(f"   cost to get here: {error}", "warn")]
    seconds = pace(desk)
    line += [(f"   {seconds / 60:.1f} min a record", "dim")] if seconds is not None else []
    return [line]
