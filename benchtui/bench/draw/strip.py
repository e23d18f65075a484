"""The strip on top: the parcel, how far it is, and its queue, a cell a record."""

from datetime import timedelta
from statistics import median

from benchtui.bench.draw.room import NARROW
from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, width_of
from benchtui.desk.core import Desk
from benchtui.desk.pace import seconds_of
from benchtui.desk.parcel import sender_name
from benchtui.desk.signs import state_of
from benchtui.model.naming import grades_of
from benchtui.model.record import RecordDoc

CELL = 9


def draw_strip(desk: Desk, width: int, glyphs: Glyphs, rows: int = 3) -> list[Line]:
    """Three lines: what is open and how far, then two lines of cells. ``rows`` 1: the first alone, which then
    begins with the record on the bench.
    """
    parcel = desk.work.parcel
    if parcel is None:
        none: Line = [(" benchtui", "bold"), ("  no parcel open  ", "dim")]
        return [fill([*none, *_unsaved(desk)], width), [], []]
    head = parcel.head
    here = [] if rows > 1 else _here(desk, glyphs)
    left: Line = [*here, (f" {head['id']}", "bold")]
    who = sender_name(desk, head["sender"])
    left.append((f"  {clean(who)}" if who else "  no sender yet", ""))
    left.append((f"  {head['terms']}", "dim"))
    if head["state"] == "closed":
        left.append(("  closed", "warn"))
    if parcel.read_only:
        left.append(("  reading only", "warn"))
    right = _progress(desk, width)
    room = width - width_of(right) - 2
    line = [*fill(cut(left, room), room), ("  ", ""), *right]
    return [fill(line, width), *(_cells(desk, width, glyphs) if rows > 1 else [])]


def _here(desk: Desk, glyphs: Glyphs) -> Line:
    """The record on the bench: its number and how far it is."""
    record = desk.work.record
    if record is None:
        return []
    sign, style = sign_of(record, glyphs)
    return [(f"{glyphs.here}{record['no']} ", "hand"), (f"{sign} ", f"{style} bold".strip())]


def _progress(desk: Desk, width: int) -> Line:
    records = desk.work.records
    done = sum(record["state"] == "taken-in" for record in records)
    left = len(records) - done
    if desk.background.unsaved is not None:
        return [*_unsaved(desk), (f"  {done} of {len(records)} taken in ", "bold")]
    pieces: Line = (
        [(f"loading {clean(desk.background.loading)}  ", "warn")] if desk.background.loading else []
    )
    if width < NARROW:
        return [*pieces, (f"{done} of {len(records)} in ", "bold")]
    pieces += [(f"{done} of {len(records)} taken in", "bold")]
    seconds = pace(desk)
    if seconds is not None:
        pieces.append((f"  {seconds / 60:.1f} min each", "dim"))
        if left and width >= 100:
            end = desk.clock().astimezone() + timedelta(seconds=seconds * left)
            pieces.append((f"  done by {end:%H:%M}", "dim"))
    return [*pieces, (" ", "")]


def _unsaved(desk: Desk) -> Line:
    """What is in memory only, in sight as long as it is."""
    return (
        [(f"NOT SAVED: {desk.background.unsaved.short()}", "clash bold")]
        if desk.background.unsaved is not None
        else []
    )


def pace(desk: Desk) -> float | None:
    """Median seconds a record took, pauses of over half an hour left out; None before the second record."""
    times = seconds_of(desk.work.parcel.head) if desk.work.parcel else []
    return median(times) if len(times) >= 2 else None


def sign_of(record: RecordDoc, glyphs: Glyphs) -> tuple[str, str]:
    """The state as a sign of this look and a style."""
    sign, style = state_of(record)
    return str(getattr(glyphs, sign)), style


def _cells(desk: Desk, width: int, glyphs: Glyphs) -> list[Line]:
    records = desk.work.records
    shown = max(1, (width - 4) // CELL)
    at = next((n for n, record in enumerate(records) if record["id"] == desk.work.record_id), 0)
    start = max(0, min(at - shown // 2, len(records) - shown))
    window = records[start : start + shown]
    first: Line = [(glyphs.left + " " if start else "  ", "dim")]
    second: Line = [("  ", "")]
    for record in window:
        here = record["id"] == desk.work.record_id
        sign, style = sign_of(record, glyphs)
        number = f"{glyphs.here if here else ' '}{record['no']} "
        spot = f"@record:{record['id']}"
        first.append((number, ("hand" if here else "dim") + spot))
        first.append((sign, (f"{style} bold".strip() if here else style) + spot))
        first.append((" " * max(0, CELL - len(number) - 1), ""))
        grades = "" if _blind(desk) else grades_of(record, desk.scale)
        second += fill([(f" {grades}", "hand" if here else "dim")], CELL)
    if start + shown < len(records):
        first.append((glyphs.right, "dim"))
    return [fill(first, width), fill(second, width)]


def _blind(desk: Desk) -> bool:
    """Whether records are graded again without seeing the grades that stand."""
    names = (desk.open.page.name if desk.open.page else "", desk.open.line.name if desk.open.line else "")
    return "regrade" in names
