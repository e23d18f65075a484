"""Undo and redo: by what an action changed and what was shown before it, never by its words."""

from typing import Any, NamedTuple

from benchtui.desk.ask.asking import HERE, is_runout
from benchtui.desk.book.book_drop import turn_last
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.core.needs import unless
from benchtui.desk.core.pages import OwnUndo, page_now
from benchtui.desk.hand import hand
from benchtui.model.parcel import new_head
from benchtui.model.record import RecordDoc, part_of
from benchtui.store import Entry, Parcel

_PUT_RIGHT = "'correct' on a record's page, 'bill back' on the parcel's, or a line typed anew puts it right"


def _own(desk: Desk) -> OwnUndo | None:
    """What undoes on the open page, where its changes are not a parcel's."""
    kind = page_now(desk)
    return kind.undo if kind is not None else None


def _to_undo(desk: Desk) -> str:
    if (own := _own(desk)) is not None:
        return own.why_not(desk, True)
    here = desk.parcel
    if here.closed:
        return f"nothing is undone in a closed parcel: {_PUT_RIGHT}"
    if here.next_undo is None:
        left = f"nothing left to undo{'; ' + _still_empty(here) if is_untouched(desk) else ''}"
        return unless(_begun_by_mistake(desk, here), left)
    if is_of_a_past_day(desk, here):
        return "undo does not reach into a day that is over: correct the event on the record's page"
    return _in_the_books(desk, here.next_undo) or _at_another(desk, here.next_undo, back=True)


@command(
    "undo",
    "bench",
    "undo the last thing done",
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
    "undo the last thing done",
    short="undo",
    also="back revert cancel mistake",
    needs=[_to_undo],
    one_write=True,
    offered=80,
    order=880,
)
def undo(desk: Desk) -> None:
    """The last thing done in the parcel; on a page of the books the last change of those."""
    own = _own(desk)
    own.turn(desk, True) if own is not None else _turn(desk, back=True)


def _to_redo(desk: Desk) -> str:
    if (own := _own(desk)) is not None:
        return own.why_not(desk, False)
    entry = desk.parcel.next_redo
    return _at_another(desk, entry, back=False) if entry is not None else "nothing to redo"


@command(
    "redo",
    "bench",
    "redo what was undone",
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
    "redo what was undone",
    short="redo",
    also="again forward repeat",
    needs=[_to_redo],
    one_write=True,
    offered=90,
    order=890,
)
def redo(desk: Desk) -> None:
    own = _own(desk)
    own.turn(desk, False) if own is not None else _turn(desk, back=False)


def _turn(desk: Desk, back: bool) -> None:
    parcel = desk.parcel
    entry = parcel.next_undo if back else parcel.next_redo
    if entry is None:
        _go_back(desk, parcel)
        return
    turned = turn_last(desk, parcel, back)
    desk.weighings.forget_counts()
    book = turned[1] if turned else ""
    _show_again(desk, parcel, entry, back)
    desk.say(f"{'taken back' if back else 'done again'}: {entry.say}{book}", "done")
    desk.work.turned, desk.work.refused = "undo" if back else "redo", ""
    desk.place()


def _go_back(desk: Desk, parcel: Parcel) -> None:
    """From a parcel begun a moment ago, in which nothing was entered, to the one before it."""
    before, desk.work.before, desk.work.left_empty = desk.work.before, None, parcel.id
    if before is not None:
        before[1]()
    desk.say(f"back at parcel {desk.parcel.id}; {_still_empty(parcel)}", "done")


def _still_empty(parcel: Parcel) -> str:
    return f"parcel {parcel.id} is still empty: the next new parcel of today takes its place"


def _begun_by_mistake(desk: Desk, parcel: Parcel) -> bool:
    before = desk.work.before
    return before is not None and before[0] == parcel.id and is_untouched(desk)


def is_untouched(desk: Desk) -> bool:
    """Whether the parcel on the bench was begun today and nothing was ever entered in it."""
    here = desk.work.parcel
    if here is None or here.read_only or here.records or here.next_undo or here.next_redo:
        return False
    new = new_head(here.id)
    fixed = ("id", "opened", "cursor", "revision", "begun", "sessions", "draft")
    entered = {name for name, value in here.head.items() if name not in fixed and value != new.get(name)}
    return here.head["opened"] == desk.today() and not entered


def _in_the_books(desk: Desk, entry: Entry) -> str:
    """That something was done in the books since: said first, each time anew, with where it is undone."""
    say, where, behind = desk.work.in_books
    if behind != (desk.parcel.id, entry.n) or desk.work.turned == "undo" or _is_pressed_again(desk, "undo"):
        return ""
    there = f"{desk.key('commands')} '{where}' and {desk.key('page-undo')} there"
    return f"done last, in the books: {say}; {there} take it back; press again to undo {entry.say}"


def _is_pressed_again(desk: Desk, which: str) -> bool:
    return desk.work.refused.removeprefix("page-") == which


def _at_another(desk: Desk, entry: Entry, back: bool) -> str:
    """That it would change another record than the one on the bench: said first, each time anew."""
    record, which = desk.work.record, "undo" if back else "redo"
    if record is None or not _is_of_another(desk, record, entry, back) or _is_pressed_again(desk, which):
        return ""
    again = desk.work.turned == which
    if back:
        done = (
            f"all later steps at record {record['no']} are undone"
            if again
            else "done last, at another record"
        )
    else:
        done = f"no step at record {record['no']} is left" if again else "undone last, at another record"
    return f"{done}: {entry.say}; press again to {which} that"


def _is_of_another(desk: Desk, record: RecordDoc, entry: Entry, back: bool) -> bool:
    """Whether it changed another record alone. Not asked on a page of the parcel, which shows them all, or on
    the one where it was done, nor of the record just taken in, while the next one is empty.
    """
    page = desk.open.page
    if page is not None and (page.name != "otherwise" or page.data.get("done") == entry.n):
        return False
    changed = {str(path[1]) for path, _, _ in entry.ops if path[0] == "records" and len(path) > 1}
    others = changed & {one["id"] for one in desk.work.records}
    if not others or record["id"] in others:
        return False
    just_now = back and desk.work.turned != "undo" and record["title"] is None
    return not (just_now and any(entry.gives(one, "taken_in_at") for one in others))


def is_of_a_past_day(desk: Desk, parcel: Parcel) -> bool:
    """Whether the entry that undo would take back holds an event of a record's life dated before today."""
    entry = parcel.next_undo
    return entry is not None and any(
        isinstance(event, dict) and str(event.get("at", "")) < desk.today()
        for path, _, after in entry.ops
        if len(path) > 2 and path[0] == "records" and path[2] == "life"
        for event in after
    )


class _Shown(NamedTuple):
    """What an entry says was shown before it. ``passed``: questions passed over, each with its part."""

    record: str | None
    part: str | None
    side: str
    asked: Asked | None
    passed: tuple[tuple[str, Asked], ...]
    held: bool


def _before(entry: Entry | None) -> _Shown | None:
    """None for an entry of an earlier version, or one that was edited by hand into something else."""
    was: Any = entry.was if entry is not None else None
    try:
        asked, passed = was["clue"], was["passed"]
        return _Shown(
            was["record"],
            was["part"],
            str(was["side"]),
            (str(asked[0]), str(asked[1])) if asked else None,
            tuple((str(part), (str(place), str(clue))) for part, place, clue in passed),
            was.get("held") is True,
        )
    except (TypeError, KeyError, IndexError, ValueError):
        return None


def _show_again(desk: Desk, parcel: Parcel, entry: Entry, back: bool) -> None:
    """Show what was shown before the action; done again, what was shown after it, where that is known."""
    was = _before(entry)
    following = None if back else _before(parcel.next_redo)
    stood = following if was and following and following.record == was.record else was
    here = [record["id"] for record in desk.work.records]
    about = stood.record if stood else next((one for one in entry.concerns() if one in here), None)
    if about in here and about != desk.work.record_id:
        desk.work.record_id, desk.work.part_id, desk.open.page = about, None, None
        desk.asking.trail, desk.asking.passed = [], []
    record = desk.work.record
    if record is None:
        desk.work.record_id = desk.work.part_id = desk.asking.asked = None
        desk.asking.order = []
        return
    if stood is not None:
        desk.asking.passed = list(stood.passed)
    part_id, side = (stood.part, stood.side) if stood else (desk.work.part_id, desk.work.side)
    part = part_of(record, part_id)
    if part is not None:
        hand.take(desk, record, part_id, side)
        if stood is not None and (back or stood is following):
            desk.work.held = stood.held
            _ask_again(desk, stood.asked)
    else:
        first = next(iter(hand.in_hand_order(record)), None)
        hand.take(desk, record, first["id"] if first else None)


def _ask_again(desk: Desk, asked: Asked | None) -> None:
    """The question that was shown, none where none was; what the book has lost since is not asked."""
    if asked is None or asked == HERE or is_runout(desk, asked) or desk.library.clue(asked[1]) is not None:
        if asked is not None and asked not in desk.asking.order:
            desk.asking.order.append(asked)
        desk.asking.asked = asked
