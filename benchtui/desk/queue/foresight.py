"""What the next keys will want, worked out while nobody presses one.

Of a marked title only work that taking it would do all the same: the tables of its clues, its parts, their
weighing; of the record on the bench the tables of the clues that are still open. Nothing is kept on the disk
and nothing shown; where another title is taken it was for nothing.
"""

import json
from collections.abc import Iterator
from contextlib import suppress

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.hand import hand
from benchtui.desk.queue.dressing import dress
from benchtui.evidence import prepare
from benchtui.model.record import PartDoc, RecordDoc
from benchtui.model.title import Title

OWN = ""
"""Stands for the title that the record has."""


def foresee_on(desk: Desk) -> bool:
    """One step, of about a millisecond but for the last; False where there is nothing (more) to foresee."""
    record, title, held = desk.work.record, _marked(desk), desk.background.foresight
    if record is None or title is None:
        return _look_up(desk, record)
    if held.about is None or held.about[0] is not record or held.about[1] != title.id:
        held.about, held.parts, held.steps = (record, title.id), None, _steps(desk, record, title)
    if held.steps is not None and next(held.steps, True):
        held.steps = None
    return held.steps is not None


def _look_up(desk: Desk, record: RecordDoc | None) -> bool:
    """The same for the record as it stands, once for each record and its title."""
    held = desk.background.foresight
    if record is None or record["title"] is None or not desk.background.patient:
        held.steps = held.about = None
        return False
    if held.about is None or (held.about[0]["id"], held.about[1]) != (record["id"], OWN):
        held.about, held.parts, held.steps = (record, OWN), None, _tables(desk, record)
    if held.steps is not None and next(held.steps, True):
        held.steps = None
    return held.steps is not None


def foreseen_parts(desk: Desk, record: RecordDoc, title: Title) -> list[PartDoc] | None:
    """The parts worked out for this record with this title, if they were; ids and all, so that their weighing
    is known.
    """
    held = desk.background.foresight
    if held.parts is None or held.about is None or held.about[0] is not record or held.about[1] != title.id:
        return None
    parts: list[PartDoc] = json.loads(json.dumps(held.parts))
    return parts


def _marked(desk: Desk) -> Title | None:
    """The known title that Enter would take now, on a bench where somebody goes on with this."""
    line = desk.open.line
    if (
        not desk.background.patient
        or line is None
        or line.name != "title"
        or not 0 <= line.marked < len(line.picks)
    ):
        return None
    title = line.picks[line.marked].value
    return title if isinstance(title, Title) and title.id else None


def _tables(desk: Desk, record: RecordDoc) -> Iterator[bool]:
    with suppress(BenchError):  # whoever asks is told
        title, library = record["title"], desk.weighings.laddered(record)
        counts = desk.weighings.counts(title["artist"], title["title"]) if title else {}
        for _ in prepare(record, library, counts=counts, settings=desk.weighings.settings_for(record)):
            yield False


def _steps(desk: Desk, record: RecordDoc, title: Title) -> Iterator[bool]:
    with suppress(BenchError):  # whoever takes it is told
        copy: RecordDoc = json.loads(json.dumps(record))
        dress(desk, copy, record["title"], title)
        yield False
        counts = desk.weighings.counts(title.artist, title.title)
        yield False
        for _ in prepare(copy, desk.library, counts=counts, settings=desk.weighings.settings_for(copy)):
            yield False
        first = next(iter(hand.in_hand_order(copy)), None)
        if first is not None:
            weighing = desk.weighings.of(copy, first["id"])
            yield False
            weighing.order(first["id"])
        desk.background.foresight.parts = copy["parts"]
