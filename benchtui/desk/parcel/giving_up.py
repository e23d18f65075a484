"""A parcel that was begun by mistake is given up: it leaves the list, its file and its number stay.

Only one with nothing in it that counts: no record begun, no cost, no bill, no line of the sender's list, no
private seller. Whatever else was typed (sender, carrier, days, notes) stays in its file, and comes back when
it is taken up again. Its number is never given to another parcel.
"""

from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.core import keeping
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.desk.core.lives import parcel_for
from benchtui.desk.core.needs import unless
from benchtui.desk.parcel.opening import why_reading
from benchtui.desk.parcel.parcel import sender_name
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store import Parcel, Summary

_MOST = 8
"""So many that were given up are offered, the latest first."""


def what_is_in(head: HeadDoc, records: list[RecordDoc]) -> list[str]:
    """What keeps the parcel from being given up, in a few words each."""
    begun = [one for one in records if one["state"] != "empty"]
    found = [
        _many(len(begun), "record"),
        _many(len(head["charges"]), "cost"),
        _many(len(head.get("late") or ()), "late bill"),
        _many(len(head["list"]), "line", " of the sender's list"),
        "a private seller" if head.get("seller") else "",
    ]
    return [one for one in found if one]


def _many(count: int, what: str, more: str = "") -> str:
    return f"{count} {what}{'' if count == 1 else 's'}{more}" if count else ""


def _chosen(desk: Desk) -> str:
    """The id of the parcel that is meant: the one marked in the list, else the one on the bench; "" for
    none.
    """
    if desk.open.page is not None and desk.open.page.name == "parcels":
        found = desk.shop.parcels()
        return found[desk.open.page.at(len(found))].id if found else ""
    return desk.work.parcel.id if desk.work.parcel is not None else ""


def _kept_by(desk: Desk) -> str:
    """Why the parcel that is meant cannot be given up; "" where it can."""
    if not (chosen := _chosen(desk)):
        return "no parcel yet"
    here = desk.work.parcel
    if here is None or here.id != chosen:
        try:
            head, records = desk.shop.read_parcel(chosen)
        except BenchError as error:
            return error.one_line()
    elif here.read_only:
        return f"open for reading only: {why_reading(here)}"
    else:
        head, records = here.head, here.records
    found = what_is_in(head, records)
    return f"parcel {chosen} holds {', '.join(found)}" if found else ""


@command(
    "parcel-give-up",
    "page",
    "give up a parcel that was begun by mistake",
    short="give up",
    also="delete remove drop discard cancel mistake empty parcel wrong",
    needs=[_kept_by],
    changes="nothing",
    on=("parcel", "parcels"),
    order=875,
)
def ask_give_up(desk: Desk) -> None:
    """Ask first; one with anything in it is refused, and says what."""
    chosen = _chosen(desk)
    senders = {one.id: one.sender for one in desk.shop.parcels()}
    sender = sender_name(desk, senders.get(chosen))
    desk.open.menu = Menu(
        f"Give up parcel {chosen}{f' of {sender}' if sender else ''}?",
        (Choice("g", "give it up", partial(give_up, desk, chosen)), Choice("n", "keep it", lambda: None)),
        "Nothing is in it. Its number is not given to another parcel. "
        f"{desk.key('parcels-take-up')} on the page of all parcels brings it back as it is.",
        "give-up",
    )


def give_up(desk: Desk, parcel_id: str) -> None:
    """Mark it, let go of it, and show the page of all parcels."""
    with parcel_for(desk, parcel_id) as parcel:
        if found := what_is_in(parcel.head, parcel.records):  # another bench may have put it in meanwhile
            raise BenchError(f"parcel {parcel.id} stays: it holds {', '.join(found)}")
        _write(parcel, "parcel given up", desk.now())
    if desk.work.parcel is not None and desk.work.parcel.id == parcel_id:
        keeping.hold(desk)
        desk.work.parcel.close()
        desk.work.parcel = None
        desk.work.record_id = desk.work.part_id = desk.asking.asked = None
        desk.asking.order = []
        desk.weighings.forget()
    desk.open.page = Page("parcels", max(0, len(desk.shop.parcels()) - 1))
    desk.say(f"parcel {parcel_id} given up; {desk.key('parcels-take-up')} takes it up again", "done")
    desk.place()


def _write(parcel: Parcel, say: str, now: str) -> None:
    """``now`` "": it is taken up again. Undo stops here: what it would show is not on the bench."""
    with parcel.correct(say) if parcel.closed else parcel.action(say, kept=True) as change:
        if now:
            change.head["given_up"] = now
        else:
            change.head.pop("given_up", None)


def _none_given_up(desk: Desk) -> str:
    return unless(desk.shop.given_up(), "no parcel was given up")


@command(
    "parcels-take-up",
    "page",
    "take up a parcel again that was given up",
    short="take up again",
    also="undo give up back restore bring parcel",
    needs=[_none_given_up],
    changes="nothing",
    on=("parcels",),
    order=876,
)
def take_up(desk: Desk) -> None:
    """The only one at once; of several somebody chooses."""
    found = desk.shop.given_up()[: -_MOST - 1 : -1]
    if len(found) == 1:
        _take_up(desk, found[0].id)
        return
    choices = tuple(
        Choice(str(n), _named(desk, one), partial(_take_up, desk, one.id)) for n, one in enumerate(found, 1)
    )
    desk.open.menu = Menu(
        "Take up which parcel?", choices, "Each was given up with nothing in it.", "take-up"
    )


def _named(desk: Desk, one: Summary) -> str:
    return ", ".join(filter(None, (one.id, sender_name(desk, one.sender))))


def _take_up(desk: Desk, parcel_id: str) -> None:
    with parcel_for(desk, parcel_id) as parcel:
        _write(parcel, "parcel taken up again", "")
    ids = [one.id for one in desk.shop.parcels()]
    desk.open.page = Page("parcels", ids.index(parcel_id) if parcel_id in ids else 0)
    desk.say(f"parcel {parcel_id} is back in the list: {desk.key('page-enter')} opens it", "done")
    desk.place()
