"""Forgetting a person at the bench: what would go and what stays is said first, then one key does it."""

from functools import partial

from benchtui.desk.core import keeping
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine
from benchtui.desk.core.lives import parcel_for
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, open_line
from benchtui.export.forget import LAW, forget, person_of, still_named, told, would_forget
from benchtui.money.forgetting import Person


@command(
    "forget",
    "bench",
    "forget a person: take their name out of the shop",
    short="forget",
    group="Record",
    also="privacy private person delete remove erase data name address",
    changes="nothing",
    order=372,
)
def open_forget(desk: Desk) -> None:
    open_line(desk, "forget", "forget", about="the whole name, as it was typed; first you see what would go")


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    keeping.all_saved(desk, "nobody can be forgotten meanwhile")
    person = person_of(desk.shop, line.text)
    close_line(desk)
    desk.open.left = {}
    desk.place()  # the line's own text is kept with the parcel, and would be found
    parcels = would_forget(desk.shop, person)
    if not person.removed:
        desk.say("; ".join(told(person, [], False)[1:]) or f"nobody has that name: {person.name}")
        return
    go = Choice("1", f"forget {person.name} for good", partial(_forget, desk, person, parcels))
    about = "; ".join(told(person, parcels, False)[:-1])
    desk.open.menu = Menu(f"Forget {person.name}?", (go,), f"{about}. {LAW}", "forget")


def _forget(desk: Desk, person: Person, parcels: list[str]) -> None:
    desk.open.menu = None
    missed = forget(desk.shop, person, parcels, partial(parcel_for, desk))
    desk.weighings.forget()
    still = still_named(desk.shop, person)
    said = told(person, parcels, True)[:-1]
    said += [f"not done: {one}" for one in missed]
    said += [f"still names them: {', '.join(still[:4])}"] if still else []
    desk.say("; ".join(said), "clash" if missed else "done")


LINES["forget"] = LineKind(_take)
