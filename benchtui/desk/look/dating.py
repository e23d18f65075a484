"""The dealer's own word for when a part, or the whole copy, was made: evidence like any other."""

from functools import partial

from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.core.needs import title_known
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.line.when_typed import RIGHT, read_when
from benchtui.model.record import DatedDoc, RecordDoc, is_here, part_of

COPY = ""
"""The part that stands for the whole copy."""


@command(
    "date-by-hand",
    "bench",
    "say yourself when a part or the copy was made",
    short="date it",
    group="Look",
    also="made when year own word dated by you provenance copy part",
    needs=[title_known],
    changes="nothing",
    order=276,
)
def date_by_hand(desk: Desk) -> None:
    """Choose the part or the whole copy; a line takes the time, how sure and why."""
    record = desk.work.record
    if record is None or not record["parts"]:
        desk.refuse("choose a record with a title first")
        return
    here = [part for part in hand.in_hand_order(record) if is_here(part)]
    held = desk.work.part_id
    here.sort(key=lambda part: part["id"] != held)
    named = [(COPY, "the whole copy"), *((part["id"], hand.part_name(record, part)) for part in here)]
    choices = [
        Choice(str(n), words + _said(record, part), partial(_open, desk, part, words))
        for n, (part, words) in enumerate(named[:9], 1)
    ]
    desk.open.menu = Menu("when was it made?", tuple(choices), name="dated")


def _standing(record: RecordDoc, part: str) -> DatedDoc | None:
    return next((one for one in record.get("dated", ()) if one["part"] == part), None)


def _said(record: RecordDoc, part: str) -> str:
    """What the dealer has said of it already."""
    known = _standing(record, part)
    return f": {known['span']} by you" if known else ""


def _open(desk: Desk, part: str, words: str) -> None:
    record = desk.work.record
    known = _standing(record, part) if record is not None else None
    text = " ".join(filter(None, (known["span"], known["sure"], known["why"]))) if known else ""
    about = "when, firm or soft, why: 1958..1960 soft from the estate; empty takes it back"
    open_line(desk, "dated", f"{words} made", text, about, replace=True, part=part, words=words)


def _take(desk: Desk, line: OpenLine) -> None:
    record, part = desk.work.record, line.data["part"]
    if record is None or (part != COPY and part_of(record, part) is None):
        close_line(desk)
        return
    text = line.text.strip()
    if not text and _standing(record, part) is None:
        desk.refuse(RIGHT)
        return
    try:
        when = read_when(text) if text else None
    except ValueError as error:
        desk.refuse(str(error))
        return
    close_line(desk)
    said = f"dated by you {when.edtf}, {when.sure}" if when else "no longer dated by you"
    with desk.act(f"record {record['no']}, {line.data['words']}: {said}") as change:
        copy = desk.changed(change)
        kept = [one for one in copy.get("dated", ()) if one["part"] != part]
        if when is not None:
            kept.append(
                {"part": part, "span": when.edtf, "sure": when.sure, "why": when.why, "at": desk.now()}
            )
        copy["dated"] = kept


LINES["dated"] = LineKind(_take, one_write=True)
