"""A parcel whose files are not of one piece: both versions are offered, and nothing is changed before."""

from functools import partial

from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.session.resume import resume
from benchtui.store import Which


def offer(desk: Desk) -> None:
    """The choices, where the parcel on the bench is open for reading because it has two versions."""
    if desk.work.parcel is None or not desk.work.parcel.has_two_versions:
        return
    choices = [
        Choice(str(n), version.words, partial(_go_on, desk, version.which))
        for n, version in enumerate(desk.work.parcel.versions, 1)
    ]
    choices.append(
        Choice(str(len(choices) + 1), "neither yet: open it for reading only", partial(_read, desk))
    )
    about = f"{desk.work.parcel.notice}. The one that is not chosen is kept in {desk.shop.home.aside}."
    desk.open.menu = Menu(
        "Two versions of this parcel: which one holds?", tuple(choices), about, "versions", over=True
    )


def offer_meanwhile(desk: Desk) -> None:
    """The same where another bench took the parcel while the shop could not be reached from here."""
    if desk.work.parcel is not None and desk.work.parcel.has_two_versions and desk.open.menu is None:
        resume(desk)
        offer(desk)


def _go_on(desk: Desk, which: Which) -> None:
    """Open it again, for work, in the version chosen."""
    parcel = desk.work.parcel
    assert parcel is not None
    opened = desk.shop.open_parcel(parcel.id, version=which)
    parcel.close()
    desk.work.parcel = opened
    desk.weighings.forget_counts()
    resume(desk)
    desk.say(f"chosen; the other version is kept in {desk.shop.home.aside}", "done")


def _read(desk: Desk) -> None:
    desk.say("open for reading only; opened again, the parcel asks again")
