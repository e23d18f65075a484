"""What the disk does not take: said at once, kept in sight, saved by itself, never given up unasked."""

from pathlib import Path
from typing import TYPE_CHECKING

from benchtui.base.errors import BenchError
from benchtui.desk.shapes import Choice, Menu
from benchtui.store import Unsaved

if TYPE_CHECKING:
    from benchtui.desk.core import Desk

WHAT_TO_DO = "Free some space there ({} MB) and carry on; it will save by itself"
WHERE_IS_IT = "Put its folder back where it was and work on: it is kept in memory and saved by itself"


def watch(desk: "Desk") -> None:
    """Say that the disk takes nothing, or takes it again, behind what the key itself had to say."""
    before, desk.background.unsaved = desk.background.unsaved, desk.shop.unsaved()
    if before is None and desk.background.unsaved is not None:
        desk.say(
            _behind(desk, told(desk.background.unsaved)), "clash" if desk.open.tone == "clash" else "refused"
        )
    elif before is not None and desk.background.unsaved is None:
        desk.say(_behind(desk, f"everything is saved again: {before.words()}"), "done")
    for line in desk.shop.news():
        desk.say(_behind(desk, line), "clash")


def saved(desk: "Desk") -> bool:
    """Wait until all that is accepted is on the disk, before it is shown as such; False where how that went
    has something to say.
    """
    desk.shop.behind.settle()
    if not desk.background.unwatched:
        return True
    before, desk.background.unwatched = desk.open.message, False
    watch(desk)
    return desk.open.message == before


def told(unsaved: Unsaved) -> str:
    """Why nothing is saved and what is to be done about it."""
    if unsaved.gone:
        return f"{unsaved.why}. {WHERE_IS_IT}"
    megabytes = max(1, -(-unsaved.room // 100_000)) / 10
    return f"{unsaved.why}. {WHAT_TO_DO.format(megabytes)}"


def _first(unsaved: Unsaved) -> str:
    """What has to be done before anything can be saved."""
    return "put the shop back where it was" if unsaved.gone else "free some space on the disk first"


def _behind(desk: "Desk", words: str) -> str:
    return f"{desk.open.message}. {words}" if desk.open.message and desk.open.tone != "plain" else words


def save_again(desk: "Desk") -> bool:
    """Try once more to save what is in memory only; whether all is saved."""
    if desk.background.unsaved is not None:
        desk.shop.save_again()
    watch(desk)
    return desk.background.unsaved is None


def hold(desk: "Desk") -> None:
    """Before the parcel is let go. BenchError where something of it is in memory only."""
    parcel = desk.work.parcel
    if parcel is None or parcel.trouble is None:
        return
    parcel.save_again()
    watch(desk)
    if (left := parcel.unsaved) is not None and not left.slight:
        said = f"parcel {parcel.id} stays open: {left.words()} in memory only"
        raise BenchError(said, "", _first(left))


def all_saved(desk: "Desk", said: str) -> None:
    """BenchError, saying so and how much it is, where anything is in memory only and cannot be saved now."""
    save_again(desk)
    if desk.background.unsaved is not None and not desk.background.unsaved.slight:
        left = desk.background.unsaved
        raise BenchError(f"{said}: {left.words()} in memory only", "", _first(left))


def exports(desk: "Desk") -> Path:
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


def ask_leave(desk: "Desk") -> None:
    """Leave, but not with anything in memory only unless that is given up in so many words."""
    save_again(desk)
    left = desk.background.unsaved
    if left is None or left.slight:
        desk.open.leaving = True
        return
    done = "the shop is back" if left.gone else "room was made"
    choices = (
        Choice("s", f"{done}: save and leave", ask_leave),
        Choice("w", "carry on", _work_on),
        Choice("g", "leave without saving: it is lost", _give_up),
    )
    about = f"{left.words()} in memory only. {left.why}"
    desk.open.menu = Menu("Leave without saving?", choices, about, "unsaved", over=True)
    desk.say(f"not left: {_first(left)}, or give up what is not saved", "refused")


def _work_on(desk: "Desk") -> None:
    desk.say("")


def _give_up(desk: "Desk") -> None:
    desk.open.leaving = True
