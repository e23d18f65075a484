"""Changes a record whose parcel may be closed already: then as a dated correction."""

from collections.abc import Iterator
from contextlib import contextmanager

from benchtui.desk.core.closed_books import change_booked_into
from benchtui.desk.core.desk import Desk
from benchtui.store import Change


@contextmanager
def dated(desk: Desk, say: str) -> Iterator[Change]:
    """One action as ``desk.act`` does it; in a closed parcel a dated correction, which undo leaves alone.

    For work that goes on after the parcel was closed: chores, play tests, descriptions, later grades.
    """
    parcel = desk.work.parcel
    if parcel is None or not parcel.closed:
        with desk.act(say, late=True) as change:
            yield change
        return
    with parcel.correct(say) as change:
        yield change
        change.head["cursor"] = desk.cursor()
        change.head["draft"] = None
        booked = change_booked_into(change, desk.settings, desk.today(), parcel.head)
    desk.say(f"{say}; the parcel is closed: kept as a dated correction{booked}", "done")
    desk.watch_trouble()
