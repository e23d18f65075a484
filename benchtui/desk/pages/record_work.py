"""What is still to do at the record: chores with cautions, the photographs by file name, ready or not."""

from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import SIGNS, Column, Para, Row, Section, Table, Text, says, words
from benchtui.desk.hand import hand
from benchtui.desk.record.describing import item_of, wording
from benchtui.desk.record.pictures import what_it_shows
from benchtui.evidence.results import Weighing
from benchtui.export.chores import caution
from benchtui.export.readiness import before_sale
from benchtui.export.shots import shots
from benchtui.model.earlier import local_day
from benchtui.model.record import ChoreDoc, RecordDoc, part_of
from benchtui.money.standings import LEFT, standing


def chores(desk: Desk, record: RecordDoc) -> list[Section]:
    """Work waiting and work done, each with its day, and whether the record can be sold."""
    weighing = desk.weighing() if record["id"] == desk.work.record_id else None
    text, style = ready(record, weighing)
    lines = [line for chore in record["chores"] for line in _chore(desk, record, chore)]
    return [Text(tuple(lines), (("Work", "bold"), ("  ", ""), (text, style)), "chores")]


def ready(record: RecordDoc, weighing: Weighing | None = None) -> tuple[str, str]:
    """Ready to sell, or what is in the way, with its style."""
    if not (way := before_sale(record, weighing)):
        return "ready to sell", "good"
    if record["set_apart"] is not None:
        return way, "clash"
    return way, "dim" if standing(record).what in LEFT or way.startswith("nothing to do") else "warn"


def _chore(desk: Desk, record: RecordDoc, chore: ChoreDoc) -> list[Para]:
    part = part_of(record, chore["part"]) if chore["part"] else None
    name = hand.part_name(record, part) if part else ""
    text = " ".join(filter(None, (chore["what"], name)))
    note = f": {chore['note']}" if chore["note"] else ""
    when = f", done {chore['done']}" if chore["done"] else f", since {local_day(chore['at'])}"
    sign, style = (SIGNS["done"], "dim") if chore["done"] else (SIGNS["begun"], "")
    rule = ", added by the bench" if chore["by"] == "rule" else ""
    lines = [Para(words(f"{text}{note}{when}{rule}", style), hang=2, lead=words(f"{sign} ", "accent"))]
    mind = "" if chore["done"] else caution(record, chore, wording(desk))
    return [*lines, *([says(f"Caution: {mind}", "warn", 4, 9)] if mind else [])]


def questions(desk: Desk, record: RecordDoc) -> list[Section]:
    """What buyers asked and were answered, and copies that came back; nothing where nobody asked."""
    lines = []
    for one in record.get("questions", []):
        style = "dim" if one["answered"] else "bold"
        lines.append(says(f"{local_day(one['at'])}  {one['who']}: {one['what']}", style, 2, 3))
        if one["answered"]:
            lines.append(says(f"{one['answered']}  {one['answer']}", "", 4, 5))
    for back in record.get("came_back", []):
        said = "; ".join(back["unlike"]) or "the runouts are those that went out"
        style = "clash" if back["unlike"] else "good"
        lines.append(says(f"{local_day(back['at'])}  came back: {said}", style, 2, 3))
    return [Text(tuple(lines), words("Asked and come back", "bold"), "questions")] if lines else []


def photographs(desk: Desk, record: RecordDoc) -> list[Section]:
    """The pictures there are; while there are none the shot list: the number slip first, then wraps, then all
    else, each under its file name.
    """
    there = record.get("photographs", [])
    if there:
        heading = (("Photographs", "bold"), (f"  {len(there)}, as they lay in the camera's folder", "dim"))
        rows = [
            Row(
                f"photograph:{one['digest']}",
                (words(one["file"]), words(what_it_shows(record, one) or one["shot"], "dim")),
                markable=False,
            )
            for one in there
        ]
        return [Table((Column(rank=2), Column(rank=1)), rows, heading, name="photographs")]
    listed = shots(item_of(desk, record), wording(desk))
    heading = (("Photographs", "bold"), ("  in this order, under these names", "dim"))
    rows = [
        Row(f"shot:{shot.file}", (words(shot.file), words(shot.what, "dim")), markable=False)
        for shot in listed
    ]
    return [Table((Column(rank=1), Column(rank=2)), rows, heading, name="photographs")]
