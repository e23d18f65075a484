"""The dealer's own word for when a part, or the whole copy, was made: evidence like any other."""

from benchtui.desk.ask.asking import next_question
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import title_known
from benchtui.desk.hand import hand
from benchtui.desk.line.as_read import shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.line.when_typed import RIGHT, When, read_when
from benchtui.model.record import DatedDoc, RecordDoc, part_of
from benchtui.model.span import dated_text
from benchtui.model.when import as_read

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
    """A line takes the time, how sure and why: of the part in the hand, or by a key of the whole copy."""
    open_dating(desk, desk.work.part_id or COPY)


def open_dating(desk: Desk, part: str, typed: str = "") -> None:
    """The line for that part; ``typed``: how it begins, else what was said of the part already."""
    record = desk.titled
    held = part_of(record, part)
    words = hand.part_name(record, held) if held is not None else "the whole copy"
    known = standing(record, part)
    text = " ".join(filter(None, (known["span"], known["sure"], known["why"]))) if known else ""
    other = "the part in the hand" if part == COPY else "the whole copy"
    about = f"1958..1960 soft from the estate; {desk.key('line-new')}: {other}; empty takes it back"
    open_line(desk, "dated", f"{words} made", typed or text, about, replace=not typed, part=part, words=words)


def standing(record: RecordDoc, part: str) -> DatedDoc | None:
    """What the dealer has said of it already."""
    return next((one for one in record.get("dated", ()) if one["part"] == part), None)


def _other(desk: Desk, line: OpenLine) -> None:
    """The whole copy instead of the part, or the part in the hand instead of the copy."""
    typed = line.text if line.text != line.opened else ""
    close_line(desk)
    open_dating(desk, COPY if line.data["part"] else desk.work.part_id or COPY, typed)


def _take(desk: Desk, line: OpenLine) -> None:
    record, part = desk.work.record, str(line.data["part"])
    if record is None or (part != COPY and part_of(record, part) is None):
        close_line(desk)
        return
    text = line.text.strip()
    if not text and standing(record, part) is None:
        desk.refuse(RIGHT)
        return
    try:
        when = read_when(text) if text else None
    except ValueError as error:
        desk.refuse(str(error))
        return
    close_line(desk)
    keep_date(desk, part, str(line.data["words"]), when)


def keep_date(desk: Desk, part: str, words: str, when: When | None) -> None:
    """Write the date down, or take it back; an answer that an older bench wrote instead goes."""
    record = desk.work.record
    assert record is not None
    said = f"dated by you {dated_text(when.edtf)}, {when.sure}" if when else "no longer dated by you"
    with desk.act(f"record {record['no']}, {words}: {said}") as change:
        copy = desk.changed(change)
        kept = [one for one in copy.get("dated", ()) if one["part"] != part]
        if when is not None:
            kept.append(
                {"part": part, "span": when.edtf, "sure": when.sure, "why": when.why, "at": desk.now()}
            )
        copy["dated"] = kept
        older = [one for one in copy["answers"] if one["part"] == part and _is_date(desk, one["clue"])]
        copy["answers"] = [one for one in copy["answers"] if one not in older]
        if desk.clue is not None and _is_date(desk, desk.clue.id):
            desk.asking.asked, desk.asking.asked_explicitly = next_question(desk, copy, False), False


def _is_date(desk: Desk, clue_id: str) -> bool:
    clue = desk.library.clue(clue_id)
    return clue is not None and clue.form == "dated"


def _as_read(desk: Desk, line: OpenLine) -> str:
    when = read_when(line.text)
    read = f"{as_read(when.edtf)}, {when.sure}"
    return f"{read}: {when.why}" if when.why else read


LINES["dated"] = LineKind(_take, new=_other, one_write=True, typed=shows(_as_read))
