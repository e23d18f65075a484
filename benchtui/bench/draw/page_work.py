"""What is still to do at the record: chores with cautions, the photographs by file name, ready or not."""

from benchtui.bench.pieces import Glyphs, Line, clean, wrap
from benchtui.desk import hand
from benchtui.desk.core import Desk
from benchtui.desk.describing import item_of, wording
from benchtui.model.record import ChoreDoc, RecordDoc, part_of, why_apart
from benchtui.money.standings import LEFT, standing


def chores(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    """Work waiting and work done, each with its day, and whether the record can be sold."""
    text, style = ready(record)
    lines: list[Line] = [[("Work", "bold"), ("  ", ""), (clean(text), style)]]
    for chore in record["chores"]:
        lines += _chore(desk, record, chore, width, glyphs)
    return lines


def ready(record: RecordDoc) -> tuple[str, str]:
    """Ready to sell when no chore is left; what else is in the way is said. With its style."""
    left = sum(not chore["done"] for chore in record["chores"])
    gone = standing(record).what
    if gone in LEFT:
        return gone, "dim"
    if record["set_apart"] is not None:
        return f"set apart: {why_apart(record['set_apart'])}; it leaves no file", "clash"
    if left:
        return f"{left} {'chore' if left == 1 else 'chores'} left before it is ready to sell", "warn"
    if record["state"] != "taken-in":
        return "nothing to do; ready to sell once it is taken in", "dim"
    return "ready to sell", "good"


def _chore(desk: Desk, record: RecordDoc, chore: ChoreDoc, width: int, glyphs: Glyphs) -> list[Line]:
    from benchtui.export.chores import caution

    part = part_of(record, chore["part"]) if chore["part"] else None
    name = hand.part_name(record, part) if part else ""
    text = " ".join(filter(None, (chore["what"], name)))
    note = f": {chore['note']}" if chore["note"] else ""
    when = f", done {chore['done']}" if chore["done"] else f", since {chore['at'][:10]}"
    sign, style = (glyphs.done, "dim") if chore["done"] else (glyphs.begun, "")
    rule = ", by rule" if chore["by"] == "rule" else ""
    body = wrap(f"{text}{note}{when}{rule}", width - 2, style, "  ")
    lines: list[Line] = [[(f"{sign if n == 0 else ' '} ", "accent"), *piece] for n, piece in enumerate(body)]
    mind = "" if chore["done"] else caution(record, chore, wording(desk))
    if mind:
        lines += [[("    ", ""), *piece] for piece in wrap(f"Mind: {mind}", width - 4, "warn", "      ")]
    return lines


def photographs(desk: Desk, record: RecordDoc, width: int, glyphs: Glyphs) -> list[Line]:
    """The shot list: the number slip first, then wraps, then all else, each under its file name."""
    from benchtui.export.shots import shots

    listed = shots(item_of(desk, record), wording(desk))
    size = max(len(shot.file) for shot in listed) + 2
    lines: list[Line] = [[("Photographs", "bold"), ("  in this order, under these names", "dim")]]
    return lines + [[("  ", ""), (f"{shot.file:<{size}}", ""), (clean(shot.what), "dim")] for shot in listed]
