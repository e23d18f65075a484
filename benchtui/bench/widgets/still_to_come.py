"""What is shown in the place of a record that has no title yet.

The sender's lines that no record is tied to yet, the records taken in last with their prices, what is asked
against what was paid, and the pace.
"""

from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import Glyphs, Line, bar, clean, cut, fill, width_of, wrap
from benchtui.bench.widgets.strip import pace, sign_of
from benchtui.desk.core.desk import Desk
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.queue.so_far import so_far
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc
from benchtui.money.charges import GET_HERE

LATEST = 4
"""So many records taken in last, at least, where there is room."""
SUM, BAR = 32, 7
"""Cells of a sum, words and figure, and of the bar of asked against cost."""


def is_empty(desk: Desk) -> bool:
    """Whether nothing is known yet of what is on the bench."""
    return desk.work.record is None or desk.work.record["title"] is None


def still_to_come(desk: Desk, width: int, height: int, signs: Glyphs, beside: bool = False) -> list[Line]:
    """The list and the last records, each in half of the rows where both want more. ``beside``: money and
    pace have a panel of their own; else they stand in the last row.
    """
    foot = [] if beside else [cut(line, width) for line in [_in_a_row(desk)] if line]
    room = height - len(foot) - (1 if foot else 0)
    listed, done = _listed(desk, width, signs), _done(desk, width, signs)
    share = max(room - len(done), room // 2) if done else room
    upper = _fitting(listed, share)
    gap: list[Line] = [[]] if upper and done and len(upper) + 1 + len(done) <= room else []
    lines = [*upper, *gap, *done[: max(0, room - len(upper) - len(gap))]]
    return [*lines, *([[]] if foot and lines else []), *foot][:height]


def _fitting(lines: list[Line], height: int) -> list[Line]:
    """So many rows; the last says how many more lines there are."""
    if len(lines) <= height:
        return lines
    kept = max(0, height - 1)
    return [*lines[:kept], [(f"    … {len(lines) - kept} more", "dim")]][: max(0, height)]


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
    head: Line = [(f"{record['no']:>4} ", "dim"), sign_of(record, signs), (" ", "")]
    room = width - width_of(head) - width_of(end)
    return [*head, *fill([(clean(name), "")], room), *end]


class _Figure(NamedTuple):
    """One of the sums: what it is, in figures, or ``share``, what is asked of what it cost."""

    words: str
    figure: str = ""
    share: float | None = None


def sums(desk: Desk, width: int, signs: Glyphs) -> list[Line]:
    """Asked against what it cost to get here, and the pace, a row each; nothing before the first price."""
    return [line for one in _figures(desk) for line in _drawn(one, width, signs)]


def _drawn(one: _Figure, width: int, signs: Glyphs) -> list[Line]:
    """A row; the figure in one of its own where both do not fit, since neither is cut."""
    if one.share is not None:
        return [[(bar(min(1.0, one.share), BAR, signs), "bar"), (f" {one.share:.0%} (estimate)", "dim")]]
    room = min(width, SUM) - len(one.figure) - 1
    said: Line = [(one.words, "dim")]
    figure: Line = [(" ", ""), (one.figure, "bold")]
    if not one.figure or width_of(said) > room:
        return [*wrap(one.words, width, "dim"), *([[*fill([], room), *figure]] if one.figure else [])]
    return [[*fill(said, room), *figure]]


def _figures(desk: Desk) -> list[_Figure]:
    parcel = desk.work.parcel
    if parcel is None or parcel.closed or not any(record["price"] for record in desk.work.records):
        return []
    found: list[_Figure] = []
    try:
        now = so_far(desk)
        found.append(_Figure(f"{now.priced} priced at", now.asked.show()))
        found += [_Figure("consigned ones at", now.consigned.show())] if now.consigned.minor else []
        found.append(_Figure(GET_HERE, now.cost.show()))
        if now.cost.minor > 0:
            found.append(_Figure("", share=now.asked.minor / now.cost.minor))
    except (BenchError, ValueError) as error:
        found.append(_Figure(f"{GET_HERE}: {error}"))
    seconds = pace(desk)
    if seconds is not None:
        found.append(_Figure("a record", f"{seconds / 60:.1f} min"))
    return found


def _in_a_row(desk: Desk) -> Line:
    """The same one after the other, without the bar."""
    pieces = [[(f"{one.words} ", "dim"), (one.figure, "bold")] for one in _figures(desk) if one.share is None]
    return [piece for n, one in enumerate(pieces) for piece in (*([("   ", "")] if n else []), *one)]
