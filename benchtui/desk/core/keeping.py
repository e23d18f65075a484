"""What the disk does not take: said at once, kept in sight, saved by itself, never given up unasked."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.store import Unsaved


def saved(desk: Desk) -> bool:
    """Wait until all that is accepted is on the disk, before it is shown as such; False where how that went
    has something to say.
    """
    desk.shop.background_save.settle()
    if not desk.background.unwatched:
        return True
    before, desk.background.unwatched = desk.open.message, False
    desk.watch_saving()
    return desk.open.message == before


def _first(unsaved: Unsaved) -> str:
    """What has to be done before anything can be saved."""
    if unsaved.over_line:
        return "wait until the server answers"
    return "put the shop back where it was" if unsaved.gone else "free some space on the disk first"


def save_again(desk: Desk) -> bool:
    """Try once more to save what is in memory only; whether all is saved."""
    if desk.background.unsaved is not None:
        desk.shop.save_again()
    desk.watch_saving()
    return desk.background.unsaved is None


def hold(desk: Desk) -> None:
    """Before the parcel is let go. BenchError where something of it is in memory only."""
    parcel = desk.work.parcel
    if parcel is None or parcel.trouble is None:
        return
    parcel.save_again()
    desk.watch_saving()
    if (left := parcel.unsaved) is not None and not left.slight:
        said = f"parcel {parcel.id} stays open: {left.words()} in memory only"
        raise BenchError(said, "", _first(left))


def all_saved(desk: Desk, said: str) -> None:
    """BenchError, saying so and how much it is, where anything is in memory only and cannot be saved now."""
    save_again(desk)
    if desk.background.unsaved is not None and not desk.background.unsaved.slight:
        left = desk.background.unsaved
        raise BenchError(f"{said}: {left.words()} in memory only", "", _first(left))


def write_soon(desk: Desk, what: str, write: Callable[[], object]) -> None:
    """Say at once what is being written, which may take a while, and write it when that has been seen."""
    if not desk.background.patient:
        write()
        return
    desk.say(f"writing {what} ...")
    desk.background.writing = write


def exports(desk: Desk) -> Path:
    """The folder of what was handed out, there before anything is written into it.

    BenchError too while anything is in memory only: files are made from what is on the disk.
    """
    all_saved(desk, "nothing can be exported meanwhile")
    desk.shop.presence.check()
    folder = desk.shop.path / "exports"
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise BenchError(f"the exports folder cannot be made: {error.strerror or error}", folder) from None
    return folder


def ask_leave(desk: Desk) -> None:
    """Leave, but not with anything in memory only unless that is given up in so many words."""
    save_again(desk)
    left = desk.background.unsaved
    if left is None or left.slight:
        desk.open.leaving = True
        return
    done = "the shop is back" if left.gone else "room was made"
    done = "the server answers again" if left.over_line else done
    choices = (
        Choice("s", f"{done}: save and leave", partial(ask_leave, desk)),
        Choice("w", "carry on", partial(_work_on, desk)),
        Choice("g", "leave without saving: it is lost", partial(_give_up, desk)),
    )
    about = f"{left.words()} in memory only. {left.why}"
    desk.open.menu = Menu("Leave without saving?", choices, about, "unsaved", over=True)
    desk.say(f"the bench stays open: {_first(left)}, or give up what is not saved", "refused")


def _work_on(desk: Desk) -> None:
    desk.say("")


def _give_up(desk: Desk) -> None:
    desk.open.leaving = True
