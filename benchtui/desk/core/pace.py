"""The pace of a parcel: what its sessions say of time and keys."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from statistics import median
from typing import Any, NamedTuple

from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc

LONGEST_PAUSE = 1800
"""Seconds after which a silence is no work: the record's time is left out, a new session begins."""


class Session(NamedTuple):
    """A while at the bench without a long pause. Aware times; ``records`` were taken in during it."""

    start: datetime
    end: datetime
    records: int

    @property
    def seconds(self) -> float:
        return (self.end - self.start).total_seconds()


class Pace(NamedTuple):
    """Medians over the records taken in; None where nothing was measured."""

    records: int
    seconds: float | None
    keys: float | None
    sessions: tuple[Session, ...] = ()
    parcels: int = 1

    @property
    def at_bench(self) -> float:
        """Seconds at the bench, the pauses left out."""
        return sum(session.seconds for session in self.sessions)


def pace_of(head: HeadDoc, records: Iterable[RecordDoc]) -> Pace:
    """The parcel's pace. A record taken in more than once counts once, with all its time and keys."""
    taken = {record["id"] for record in records if record["state"] == "taken-in"}
    entries = [one for one in sound(head) if one["record"] in taken]
    seconds, keys = _each(entries, "seconds", LONGEST_PAUSE), _each(entries, "keys")
    return Pace(
        len(taken),
        median(seconds) if seconds else None,
        median(keys) if keys else None,
        tuple(_sessions(entries)),
    )


def sound(head: HeadDoc) -> list[dict[str, Any]]:
    """The sessions kept with the parcel; one that was edited into nonsense is left out."""
    return [one for one in head["sessions"] if _is_sound(one)]


def _is_sound(entry: Mapping[str, Any]) -> bool:
    try:
        _time(entry)
        return float(entry["seconds"]) >= 0 and float(entry["keys"]) >= 0 and bool(str(entry["record"]))
    except (KeyError, TypeError, ValueError):
        return False


def _time(entry: Mapping[str, Any]) -> datetime:
    """When it was taken in. ValueError for what is no time."""
    return datetime.fromisoformat(str(entry["at"])).replace(tzinfo=UTC)


def seconds_of(head: HeadDoc, records: Iterable[RecordDoc]) -> list[float]:
    """The seconds of each record taken in, its visits summed, as ``pace_of`` has them: for the strip, which
    is drawn at every key and reads no time of day."""
    found = {record["id"]: 0.0 for record in records if record["state"] == "taken-in"}
    for entry in head["sessions"]:
        seconds, record = entry.get("seconds"), entry.get("record")
        if record in found and isinstance(seconds, int | float) and 0 < seconds <= LONGEST_PAUSE:
            found[record] += seconds
    return [seconds for seconds in found.values() if seconds]


def _each(entries: Sequence[Mapping[str, Any]], name: str, most: float = float("inf")) -> list[float]:
    """The figure of each record, its visits summed; nothing, and visits with a long pause, are left out."""
    found: dict[str, float] = {}
    for entry in entries:
        if 0 < float(entry[name]) <= most:
            found[str(entry["record"])] = found.get(str(entry["record"]), 0) + float(entry[name])
    return list(found.values())


def _sessions(entries: Iterable[Mapping[str, Any]]) -> list[Session]:
    """The whiles at the bench, oldest first; a record with a long pause in it begins a new one at its end."""
    found: list[Session] = []
    for entry in sorted(entries, key=lambda one: str(one["at"])):
        end = _time(entry)
        seconds = float(entry["seconds"])
        start = end - timedelta(seconds=seconds if seconds <= LONGEST_PAUSE else 0)
        last = found[-1] if found else None
        if last is not None and (start - last.end).total_seconds() <= LONGEST_PAUSE:
            found[-1] = Session(min(last.start, start), max(last.end, end), last.records + 1)
        else:
            found.append(Session(start, end, 1))
    return found


# -- in words ------------------------------------------------------------------------------------


def each_in_words(pace: Pace) -> str:
    """``2.4 minutes and 23 keys``; "" where nothing was measured."""
    parts = [f"{pace.seconds / 60:.1f} minutes"] if pace.seconds is not None else []
    parts += [f"{pace.keys:.0f} keys"] if pace.keys is not None else []
    return " and ".join(parts)


def long_in_words(seconds: float) -> str:
    """``36 minutes``, ``2 h 05``."""
    minutes = round(seconds / 60)
    if minutes == 1:
        return "1 minute"
    return f"{minutes} minutes" if minutes < 90 else f"{minutes // 60} h {minutes % 60:02}"


def session_in_words(session: Session) -> str:
    """``2026-11-25 10:02 to 10:31, 9 records`` on the dealer's clock."""
    start, end = session.start.astimezone(), session.end.astimezone()
    records = "1 record" if session.records == 1 else f"{session.records} records"
    return f"{start:%Y-%m-%d %H:%M} to {end:%H:%M}, {records}"
