"""Life after the bench: a dated event written into the right parcel, whichever bench day that was."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core import keeping
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.late_change import dated
from benchtui.model.chores import back_in_shop, must_come_down
from benchtui.model.custody import approved
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.book import consignor
from benchtui.money.charges import own_terms
from benchtui.money.dated import value_on
from benchtui.money.life import When
from benchtui.money.standings import LEFT, standing
from benchtui.store import Change, Parcel

Make = Callable[[HeadDoc, RecordDoc, When], life.Event]
Then = Callable[[Desk, Change, str, Mapping[str, RecordDoc]], None]


@contextmanager
def parcel_for(desk: Desk, parcel_id: str) -> Iterator[Parcel]:
    """The parcel, open for work: the bench's own, or another one for as long as this takes.

    BenchError saying who has it where another bench does, and where it could not be saved.
    """
    here = desk.work.parcel
    if here is not None and here.id == parcel_id:
        if here.read_only:
            raise BenchError(
                f"parcel {parcel_id} is open for reading only: another bench has it", "", "enter it there"
            )
        yield here
        return
    keeping.all_saved(desk, f"nothing can be entered in parcel {parcel_id} meanwhile")
    other = desk.shop.open_parcel(parcel_id, passing=True)
    try:
        yield other
        _saved(other)
    finally:
        other.close()


def _saved(parcel: Parcel) -> None:
    """The other parcel is let go at once, so what the disk does not have would be lost."""
    if parcel.trouble:
        parcel.save_again()
    if parcel.trouble:
        raise BenchError(f"not entered: {parcel.trouble}", f"parcel {parcel.id}")


def changing(desk: Desk, parcel: Parcel, say: str) -> AbstractContextManager[Change]:
    """One action on that parcel; a dated correction where it is closed."""
    if parcel is desk.work.parcel:
        return dated(desk, say)
    return parcel.correct(say) if parcel.closed else parcel.action(say)


def when_on(desk: Desk, on: str) -> When:
    """The day an event happened, and what this shop has to say about days."""
    closed = str(desk.settings.get("closed_through") or "")
    return When(on, desk.clock().astimezone().date(), closed, desk.currency)


def enter_event(
    desk: Desk, parcel_id: str, record_id: str, on: str, make: Make, say: str, then: Then | None = None
) -> None:
    """Make the event and append it to the record's life, in one durable write; say so. ``then``: what else
    the same write changes, given the change, the parcel's id and the changed record by its id.

    BenchError where the event cannot be, where another bench has the parcel, or where it cannot be saved:
    then nothing is entered.
    """
    with parcel_for(desk, parcel_id) as parcel:
        event = make(parcel.head, parcel.record(record_id), when_on(desk, on))
        with changing(desk, parcel, say) as change:
            copy = change.record(record_id)
            copy["life"].append(event)
            down = must_come_down(copy, desk.now(), desk.today()) if event["what"] in LEFT else []
            if then is not None:  # before it is back: what had waited is known by its work
                then(desk, change, parcel_id, {record_id: copy})
            if event["what"] in ("returned", "corrected") and standing(copy).what not in LEFT:
                back_in_shop(copy)
    desk.say(say + to_take_down(down), "done")
    desk.watch_trouble()


def to_take_down(places: Iterable[str]) -> str:
    """What to say of the places where it is still listed."""
    named = ", ".join(dict.fromkeys(places))
    return f"; take it down at {named}: on the work list" if named else ""


def has_left(record: RecordDoc | None) -> bool:
    """Whether it is sold, handed back or scrapped: nothing more is at stake in it."""
    try:
        return record is not None and standing(record).what in LEFT
    except BenchError:
        return False


def with_reserve(desk: Desk, head: HeadDoc, record: RecordDoc) -> RecordDoc:
    """The record with the least price agreed for it: its own, else the one agreed with its sender; what the
    owner approved of since where that is less.
    """
    if own_terms(head, record) != "consigned":
        return record
    sender = desk.shop.senders.get(consignor(head, record) or "", {})
    least: Any = record.get("reserve") or value_on(sender.get("reserve"), desk.today())
    less = approved(record.get("custody", []))
    if least and less and less.get("currency") == least["currency"] and less["minor"] < least["minor"]:
        least = {"minor": less["minor"], "currency": less["currency"]}
    return {**record, "reserve": least}
