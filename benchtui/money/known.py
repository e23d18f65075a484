"""The shop's documents as they stood at a moment: whatever was entered, changed or undone later is left out.

From them the figures of any day follow as they followed then. What documents of an older version lost when
a fact was changed cannot be brought back.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, cast

from benchtui.model.earlier import as_known, local_day, notes_of, taken_back
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels
from benchtui.money.standings import known_life

Doc = Mapping[str, Any]
Event = Callable[[RecordDoc, Doc], bool]


def end_of(on: date) -> str:
    """The last second of a day on this machine's calendar, in UTC."""
    midnight = datetime.combine(on + timedelta(days=1), time.min).astimezone(UTC)
    return (midnight - timedelta(seconds=1)).strftime("%Y-%m-%dT%H:%M:%SZ")


def booked(doc: Doc, day: str) -> str:
    """The day an event or a bill was entered; ``day`` names the field of the day it happened."""
    return str(doc.get("booked") or doc.get(day, ""))[:10]


def known_parcels(
    parcels: Parcels, moment: str, also: Event | None = None
) -> list[tuple[HeadDoc, list[RecordDoc]]]:
    """The parcels that were there. Events, bills and notes carry their own days: those of that day stay, and
    of later ones what ``also`` says was entered by then."""
    made = (_parcel(head, records, moment, also) for head, records in parcels)
    return [one for one in made if one is not None]


def known_doc(doc: Doc, moment: str) -> dict[str, Any]:
    """Settings or a sender; of what is said of changes (``noted``) that which was made by then."""
    made = dict(as_known(doc, moment) or {})
    notes = [one for one in notes_of(made) if str(one.get("at")) <= moment]
    made.pop("noted", None)
    return made | ({"noted": {**notes[-1], "also": notes[:-1]}} if notes else {})


def _parcel(
    head: HeadDoc, records: Sequence[RecordDoc], moment: str, also: Event | None
) -> tuple[HeadDoc, list[RecordDoc]] | None:
    then = as_known(head, moment)
    if then is None or str(head.get("begun") or "") > moment:
        return None
    on, made = local_day(moment), dict(then)
    if made.get("late"):
        made["late"] = [one for one in made["late"] if booked(one, "on") <= on]
    if made.get("corrections"):
        made["corrections"] = [one for one in made["corrections"] if str(one.get("at")) <= moment]
    docs = [*records, *cast(list[RecordDoc], taken_back(head, moment))]
    found = (cast(RecordDoc | None, as_known(doc, moment)) for doc in docs)
    return cast(HeadDoc, made), [_lived(one, on, also) for one in found if one is not None]


def _lived(record: RecordDoc, on: str, also: Event | None) -> RecordDoc:
    """With the events that were entered by that day."""
    life = [one for one in known_life(record) if booked(one, "at") <= on or (also and also(record, one))]
    return record if len(life) == len(record["life"]) else {**record, "life": life}


def life_known_by(record: RecordDoc, through: str, as_of: str) -> RecordDoc:
    """The record's life of the closed days as it is known on a later day: corrections of it included."""
    lived = known_life(record)
    mine = {event["n"] for event in lived if str(event["at"])[:10] <= through}
    life = [
        {**event, "at": min(str(event["at"])[:10], through)} if event["what"] == "corrected" else event
        for event in lived
        if event["n"] in mine or (event["what"] == "corrected" and event.get("of") in mine)
        if str(event["at"])[:10] <= as_of
    ]
    return {**record, "life": life}
