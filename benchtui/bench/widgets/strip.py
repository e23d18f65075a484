"""The strip on top: the parcel, how far it is and what it should bring, and its queue, a cell a record."""

from collections.abc import Callable
from datetime import timedelta
from statistics import median

from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, width_of
from benchtui.bench.widgets.rows import Rows
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pace import seconds_of
from benchtui.desk.parcel.parcel import sender_name
from benchtui.desk.queue.state_sign import state_of
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc

CELL = 9
"""Cells of a record whose grades stand under its number."""


class Strip(Rows):
    """Two or three rows."""

    DEFAULT_CSS = """
    Strip { height: 2; background: $panel; padding: 0 1; }
    """


def strip_rows(desk: Desk, width: int, rows: int, signs: Glyphs) -> list[Line]:
    """``rows`` 1: the parcel alone; 2: and its queue; 3: the grades under the queue's numbers."""
    first = _heading(desk, width, signs, alone=rows < 2)
    if rows < 2 or desk.work.parcel is None:
        return [first]
    return [first, *_cells(desk, width, signs, two=rows > 2)]


def _heading(desk: Desk, width: int, signs: Glyphs, alone: bool) -> Line:
    right = _progress(desk, width)
    room = max(0, width - width_of(right) - 2)
    return cut([*fill(cut(_parcel(desk, signs, alone), room), room), ("  ", ""), *right], width)


def _parcel(desk: Desk, signs: Glyphs, alone: bool) -> Line:
    parcel = desk.work.parcel
    if parcel is None:
        return [("benchtui", "bold"), ("  no parcel open", "dim")]
    head, record = parcel.head, desk.work.record
    who = sender_name(desk, head["sender"])
    line: Line = []
    if alone and record is not None:
        line = [(f"{signs.here}{record['no']} ", "hand"), _sign(desk, record, signs, True), (" ", "")]
    line += [(head["id"], "bold"), (f"  {clean(who)}" if who else "  no sender yet", "")]
    line.append((f"  {head['terms']}", "dim"))
    line += [("  closed", "warn")] if head["state"] == "closed" else []
    line += [("  reading only", "warn")] if parcel.read_only else []
    return line


def _progress(desk: Desk, width: int) -> Line:
    """What is not saved before all else; then how far the parcel is, its pace, and when it should be done."""
    records = desk.work.records
    done = sum(record["state"] == "taken-in" for record in records)
    pieces: Line = []
    if desk.background.unsaved is not None:
        pieces.append((f"NOT SAVED: {desk.background.unsaved.short()}  ", "clash bold"))
    elif desk.background.loading:
        pieces.append((f"loading {clean(desk.background.loading)}  ", "warn"))
    if desk.work.parcel is None:
        return pieces
    pieces.append((f"{done} of {len(records)}", "bold"))
    seconds = pace(desk)
    if seconds is None or desk.background.unsaved is not None or width < 70:
        return pieces
    pieces.append((f"  {seconds / 60:.1f} min each", "dim"))
    left = len(records) - done
    if left and width >= 100:
        end = desk.clock().astimezone() + timedelta(seconds=seconds * left)
        pieces.append((f"  all done about {end:%H:%M}", "dim"))
    return pieces


def pace(desk: Desk) -> float | None:
    """Median seconds a record took, pauses of over half an hour left out; None before the second record."""
    times = seconds_of(desk.work.parcel.head, desk.work.records) if desk.work.parcel else []
    return median(times) if len(times) >= 2 else None


def sign_of(record: RecordDoc, signs: Glyphs) -> tuple[str, str]:
    """The state as a sign and a style: set apart before all, then taken in (settled or not), begun, empty."""
    state, style = state_of(record)
    return str(getattr(signs, state)), style


def _sign(desk: Desk, record: RecordDoc, signs: Glyphs, here: bool) -> tuple[str, str]:
    sign, style = sign_of(record, signs)
    return sign, f"{style} bold".strip() if here else style


def _cells(desk: Desk, width: int, signs: Glyphs, two: bool) -> list[Line]:
    """The queue's cells that are in sight; only those are drawn, however long the queue is."""
    records = desk.work.records
    made: dict[int, tuple[Line, Line]] = {}

    def size(n: int) -> int:
        if two:
            return CELL
        made[n] = _cell(desk, records[n], signs)
        return width_of([*made[n][0], *made[n][1]]) + 1

    at = next((n for n, record in enumerate(records) if record["id"] == desk.work.record_id), 0)
    shown = _in_sight(len(records), size, at, width - 4)
    first: Line = [(f"{signs.left} " if shown.start else "  ", "dim")]
    second: Line = [("  ", "")]
    for n in shown:
        head, said = made.get(n) or _cell(desk, records[n], signs)
        first += fill(head, CELL) if two else [*head, *said, (" ", "")]
        second += fill(said, CELL)
    first += [(signs.right, "dim")] if shown.stop < len(records) else []
    return [first, second] if two else [first]


def _cell(desk: Desk, record: RecordDoc, signs: Glyphs) -> tuple[Line, Line]:
    """Number and sign, and the grades."""
    here = record["id"] == desk.work.record_id
    spot, style = f"@record:{record['id']}", "hand" if here else "dim"
    sign, of_sign = _sign(desk, record, signs, here)
    grades = "" if _blind(desk) else grades_of(record, desk.scale)
    number = f"{signs.here if here else ' '}{record['no']} "
    return [(number, style + spot), (sign, of_sign + spot)], [(f" {grades}" if grades else "", style + spot)]


def _in_sight(count: int, size: Callable[[int], int], at: int, room: int) -> range:
    """As many cells as there is room for, with the one at that place among them."""
    start = stop = at
    used = 0
    while stop < count or start > 0:
        later = stop < count and (stop - at <= at - start or start == 0)
        wide = size(stop if later else start - 1)
        if used + wide > room and stop > start:
            break
        used += wide
        start, stop = (start, stop + 1) if later else (start - 1, stop)
    return range(start, stop)


def _blind(desk: Desk) -> bool:
    """Whether records are graded again without seeing the grades that stand."""
    names = (desk.open.page.name if desk.open.page else "", desk.open.line.name if desk.open.line else "")
    return "regrade" in names
