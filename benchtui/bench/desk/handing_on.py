"""Handing on: the day's intake by one key, and the note for the sender when a parcel is closed."""

from datetime import date
from pathlib import Path

from benchtui.bench.desk.core import Desk
from benchtui.bench.desk.parcel import sender_name
from benchtui.bench.desk.verbs import does
from benchtui.evidence import weigh
from benchtui.export import intake, write_csv
from benchtui.export.files import write_whole
from benchtui.export.gather import gather, wording_of


@does("export-day")
def export_day(desk: Desk) -> None:
    """Write today's intake over all parcels as CSV among the shop's exports."""
    counts = desk.counts()
    day = date.fromisoformat(desk.today())
    settings = desk.weigh_settings()
    items = gather(
        desk.shop, day=day, weigh=lambda record: weigh(record, desk.library, counts=counts, settings=settings)
    )
    table = intake(items, wording_of(desk.shop), day=day)
    path = desk.exports() / f"intake-{day.isoformat()}.csv"
    write_csv(table, path)
    rows = len(table.rows)
    desk.say(f"{rows} {'row' if rows == 1 else 'rows'} of {day.isoformat()} written: {path}", "done")


def write_sender_note(desk: Desk, said: list[str]) -> Path:
    """What came short or over, as a text fit to be sent."""
    parcel = desk.parcel
    assert parcel is not None
    head = parcel.head
    lines = [
        f"Parcel {head['id']}, opened {head['opened']}",
        f"To {sender_name(desk, head['sender']) or 'the sender'}",
        "",
        *said,
    ]
    if head["packing"] or head["damage"]:
        lines += [
            "",
            *filter(
                None,
                (
                    f"Packing: {head['packing']}" if head["packing"] else "",
                    f"Damage seen: {head['damage']}" if head["damage"] else "",
                ),
            ),
        ]
    path = desk.exports() / f"note-{head['id']}.txt"
    write_whole(path, ("\n".join(lines) + "\n").encode())
    return path
