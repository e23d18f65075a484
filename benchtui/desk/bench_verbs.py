"""Undo, redo, leaving, the theme: what concerns the bench itself."""

from benchtui.desk import grow, hand, keeping
from benchtui.desk.command import Legend, command
from benchtui.desk.core import Desk
from benchtui.desk.needs import unless
from benchtui.model.record import part_of
from benchtui.store import Parcel


def _to_undo(desk: Desk) -> str:
    here = desk.work.parcel
    if here is None:
        return "no parcel is open"
    if here.closed:
        return "the parcel is closed"
    last = len(here.history) - here.head["undone"] - 1
    if last < 0 or here.history[last].kept:
        return "nothing to take back"
    return unless(not is_of_a_past_day(desk, here), "that day is over")


@command(
    "undo",
    "bench",
    "take back the last thing done",
    short="undo",
    group="Bench",
    also="back revert cancel mistake",
    legend=Legend(record=130, untitled=70),
    needs=[_to_undo],
    one_write=True,
    often=100,
    order=500,
)
@command(
    "page-undo",
    "page",
    "take back the last thing done",
    short="undo",
    also="back revert cancel mistake",
    needs=[_to_undo],
    one_write=True,
    offered=80,
    order=880,
)
def undo(desk: Desk) -> None:
    _turn(desk, back=True)


def _to_redo(desk: Desk) -> str:
    here = desk.work.parcel
    if here is None:
        return "no parcel is open"
    return unless(here.head["undone"] > 0 and not here.closed, "nothing to do again")


@command(
    "redo",
    "bench",
    "do again what was taken back",
    short="redo",
    group="Bench",
    also="again forward repeat",
    needs=[_to_redo],
    one_write=True,
    order=510,
)
@command(
    "page-redo",
    "page",
    "do again what was taken back",
    short="redo",
    also="again forward repeat",
    needs=[_to_redo],
    one_write=True,
    offered=90,
    order=890,
)
def redo(desk: Desk) -> None:
    _turn(desk, back=False)


def _turn(desk: Desk, back: bool) -> None:
    parcel = desk.work.parcel
    if parcel is None:
        desk.refuse("no parcel is open")
        return
    if back and is_of_a_past_day(desk, parcel):
        desk.refuse("a day that is over is not taken back: correct the event on the record's page")
        return
    if back and _crosses(desk, parcel):
        return
    turning = grow.about_to_turn(desk, back)
    said = parcel.undo() if back else parcel.redo()
    if said is None:
        desk.refuse("nothing left to take back" if back else "nothing to do again")
        return
    desk.weighings.forget_counts()
    book = grow.turn_book(desk, turning, back)
    _find_hand(desk, said)
    desk.say(f"{'taken back' if back else 'done again'}: {said}{book}", "done")
    desk.work.turned = "undo" if back else ""
    desk.place()


def _crosses(desk: Desk, parcel: Parcel) -> bool:
    """Whether undo after undo would now take another record out of the stock: said first, once."""
    done = parcel.history[: len(parcel.history) - parcel.head["undone"]]
    words = done[-1].say.split() if done else []
    here = str(desk.work.record["no"]) if desk.work.record is not None else ""
    crossing = words[:1] == ["record"] and words[2:4] == ["taken", "in"] and words[1] != here
    if not crossing or desk.work.turned != "undo":
        return False
    desk.work.turned = "asked"
    desk.refuse(f"that was all of record {here}; once more takes back: {done[-1].say}")
    return True


def is_of_a_past_day(desk: Desk, parcel: Parcel) -> bool:
    """Whether the entry that undo would take back holds an event of a record's life dated before today."""
    done = parcel.history[: len(parcel.history) - parcel.head["undone"]]
    if not done:
        return False
    return any(
        isinstance(event, dict) and str(event.get("at", "")) < desk.today()
        for path, _, after in done[-1].ops
        if len(path) > 2 and path[0] == "records" and path[2] == "life"
        for event in after
    )


def _find_hand(desk: Desk, said: str) -> None:
    """After going back or forth stand at the record it concerned, with a part that is really there."""
    words = said.split()
    if words[:1] == ["record"] and len(words) > 1:
        number = words[1].strip(":,")
        there = next((record for record in desk.work.records if str(record["no"]) == number), None)
        if there is not None and there["id"] != desk.work.record_id:
            desk.work.record_id, desk.work.part_id, desk.open.page = there["id"], None, None
    record = desk.work.record
    if record is None:
        desk.work.record_id = desk.work.part_id = desk.asking.asked = None
        desk.asking.order = []
        return
    part = part_of(record, desk.work.part_id) or next(iter(hand.in_hand_order(record)), None)
    hand.take(
        desk,
        record,
        part["id"] if part else None,
        desk.work.side if part and part["id"] == desk.work.part_id else "",
    )


@command(
    "quit",
    "any",
    "leave the bench; everything is kept",
    short="leave",
    also="exit leave stop close end",
    legend=Legend(record=230, untitled=90, nothing=40),
    changes="nothing",
    offered=240,
    order=560,
)
def leave(desk: Desk) -> None:
    """Leave the bench; where something could not be saved, that is asked first."""
    keeping.ask_leave(desk)


@command(
    "theme",
    "bench",
    "change between light and dark",
    short="theme",
    group="Bench",
    also="dark light colours colors look",
    changes="nothing",
    offered=230,
    order=550,
)
def theme(desk: Desk) -> None:
    dark = desk.settings.get("theme", "dark") != "light"
    desk.shop.change_settings(theme="light" if dark else "dark")
    desk.say("light" if dark else "dark")
