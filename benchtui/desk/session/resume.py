"""Being where one was: record, part, question, and the text that stood in an open line."""

from typing import Any

from benchtui.desk.core.desk import AT_THE_BENCH, Desk, OpenLine, Page
from benchtui.desk.core.learn import learn_all, learn_first
from benchtui.desk.core.pages import pages
from benchtui.desk.hand import hand
from benchtui.desk.keyboard.find_command import page_again
from benchtui.desk.line.lines import LINES, refresh
from benchtui.desk.queue import queue
from benchtui.model.record import part_of


def resume(desk: Desk) -> None:
    """Put the desk where the parcel's cursor says; one that no longer fits gives the first open record."""
    parcel = desk.work.parcel
    desk.open.page = desk.open.menu = desk.open.line = None
    desk.tally.record_since = desk.clock()
    if parcel is None:
        desk.open.page = Page("parcels")
        return
    cursor: Any = parcel.head["cursor"] or {}
    desk.open.left = {str(key): str(text) for key, text in (cursor.get("left") or {}).items()}
    record = next((one for one in desk.work.records if one["id"] == cursor.get("record")), None)
    if record is None:
        desk.work.record_id = desk.work.part_id = desk.asking.asked = None
        desk.asking.order = []
        if cursor.get("view") == "parcel" or not desk.work.records or parcel.head["state"] == "closed":
            desk.open.page = Page("parcel")
        else:
            first = next(
                (one for one in desk.work.records if one["state"] != "taken-in"), desk.work.records[0]
            )
            queue.arrive(desk, first)
            return
    else:
        desk.work.record_id = record["id"]
        _restore_hand(desk, record, cursor)
        view = str(cursor.get("view"))
        if view != AT_THE_BENCH and (kind := pages().get(view)) is not None and kind.restored:
            desk.open.page = Page(kind.id)
    _restore_draft(desk, parcel.head["draft"])


def _restore_hand(desk: Desk, record: Any, cursor: Any) -> None:
    """The order of questions stays as it stood when the part was taken up, whatever has been learnt since."""
    part = part_of(record, cursor.get("part"))
    if part is None:
        first = next(iter(hand.in_hand_order(record)), None)
        hand.take(desk, record, first["id"] if first else None)
        return
    desk.work.part_id, desk.work.side = part["id"], str(cursor.get("side", ""))
    desk.work.held = cursor.get("held") is True
    desk.work.taken = [str(one) for one in cursor.get("taken", [])]
    desk.asking.order = [(str(asked[0]), str(asked[1])) for asked in cursor.get("order", [])]
    asked = cursor.get("clue")
    desk.asking.asked = (str(asked[0]), str(asked[1])) if asked else None


def _restore_draft(desk: Desk, draft: Any) -> None:
    name = str(draft.get("line")) if draft else ""
    for learn_more in (learn_first, learn_all):
        if name and name not in LINES:
            learn_more()  # a line of a room that is not learnt yet
    if name not in LINES:
        return
    if name == "command":
        page_again(desk, dict(draft.get("data") or {}))
    label, about = str(draft.get("label") or name), str(draft.get("about", ""))
    text = str(draft.get("text", ""))
    desk.open.line = OpenLine(name, label, text, about, data=dict(draft.get("data") or {}), back=text)
    refresh(desk)
    desk.say("back where you were: the line still has what you typed")
