"""Doing a command by its id, by a key or chosen from a list; and why it cannot be done now."""

from collections.abc import Callable
from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import Command, command_of
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pages import keys_now, pages
from benchtui.desk.hand.price_follows import price_before, tell_price
from benchtui.desk.line.lines import LINES
from benchtui.desk.parcel.opening import why_reading


def why_not(desk: Desk, action: str) -> str:
    """Why the command is refused where one stands; "" where it can be done. The list of all says the same."""
    one = command_of(action)
    if said := _barred(desk, one):
        return said
    if place := elsewhere(desk, one):
        return f"{one.short or one.words} works {place}"
    if not desk.open.sight.answers and (action.startswith("answer-") or action == "ditto"):
        # nobody answers what cannot be read
        return "the question did not fit the window: read it first, or make the window larger"
    try:
        return next((said for need in one.needs if (said := need(desk))), "")
    except BenchError as error:
        return error.one_line()


def _barred(desk: Desk, one: Command) -> str:
    """Why the parcel as a whole does not let it be done; "" where it does, or none is open."""
    parcel = desk.work.parcel
    if parcel is None or one.changes == "nothing":
        return ""
    if parcel.read_only:
        return f"open for reading only: {why_reading(parcel)}"
    if parcel.head["state"] == "closed" and (desk.open.page is None or one.changes == "queue"):
        later = f"{desk.key('record-page')}, the record in full, takes what is put right or comes later"
        return f"the parcel is closed: {'its queue stays' if one.changes == 'queue' else later}"
    return ""


def elsewhere(desk: Desk, one: Command) -> str:
    """Where a command of other pages works, "" where it works on the page that is open."""
    opened = desk.open.page.name if desk.open.page else ""
    if not one.on or opened in one.on or one.offered or one.id in keys_now(desk):
        return ""
    return with_keys(desk, pages()[one.on[0]].place or "on another page")


def with_keys(desk: Desk, words: str) -> str:
    """The words with a command in braces as its key."""
    start, _, rest = words.partition("{")
    name, _, end = rest.partition("}")
    return f"{start}{desk.key(name)}{end}" if name else words


def run(desk: Desk, action: str) -> None:
    """Do it, where nothing stands in the way; what goes wrong with input or files is said in one line, and
    nothing is half done.
    """
    one = command_of(action)
    guarded(desk, partial(_do, desk, action), one_write=_moves_on(desk, one))
    if one.after is not None:
        one.after(desk)


def _do(desk: Desk, action: str) -> None:
    said = why_not(desk, action)
    if not said:
        command_of(action).do(desk)
        return
    desk.work.refused = action
    desk.refuse(said)


def _moves_on(desk: Desk, one: Command) -> bool:
    """Whether the key may act and then move on within the parcel, which is to be one write."""
    if one.id == "line-accept" or one.id.startswith("pick-"):
        return desk.open.line is not None and LINES[desk.open.line.name].one_write
    return one.one_write


def write_now(desk: Desk) -> None:
    """Write what was said to be on its way."""
    write, desk.background.writing = desk.background.writing, None
    if write is not None:
        guarded(desk, write)


def guarded(desk: Desk, verb: Callable[[], object], one_write: bool = False) -> None:
    """Do it; what goes wrong is said in one line. What was shown before is kept with what it does."""
    outer = desk.stood
    desk.stood = outer or desk.stands()
    price = price_before(desk) if outer is None else None
    try:
        if one_write and desk.work.parcel is not None:
            with desk.one_write(desk.work.parcel):
                verb()
        else:
            verb()
    except BenchError as error:
        desk.refuse(error.one_line())
    except OSError as error:  # a disk that has gone: whatever no room has said more clearly
        desk.refuse(BenchError(error.strerror or str(error), str(error.filename or "")).one_line())
    finally:
        desk.stood = outer
    tell_price(desk, price)
    desk.watch_trouble()
