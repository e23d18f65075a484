"""Work to do, put on a record's list and taken off it."""

from benchtui.model.listing import online_at, same_place
from benchtui.model.record import ARRIVED, PACK, TAKE_DOWN, ChoreDoc, RecordDoc, new_id


def add_chore(record: RecordDoc, what: str, at: str, note: str = "", *, part: str = "", due: str = "") -> str:
    """Puts work on the list; ``due`` is the day it is wanted by. Its id."""
    chore: ChoreDoc = {
        "id": new_id("c"), "what": what, "part": part, "note": note, "by": "key", "at": at, "done": None,
    }  # fmt: skip
    if due:
        chore["due"] = due
    record["chores"].append(chore)
    return chore["id"]


def finish(record: RecordDoc, chore_id: str, day: str) -> None:
    """The work is done that day. Taking down is noted with the listing too."""
    for chore in record["chores"]:
        if chore["id"] == chore_id and not chore["done"]:
            chore["done"] = day
            if chore["what"] == TAKE_DOWN and chore["note"] in online_at(record.get("listing", [])):
                record["listing"] = [
                    *record.get("listing", []),
                    {"at": day, "what": "down", "place": chore["note"]},
                ]


def finish_all(record: RecordDoc, what: str, day: str, note: str | None = None) -> None:
    """All work of that kind (with that note) is done."""
    for chore in record["chores"]:
        if chore["what"] == what and note in (None, chore["note"]):
            finish(record, chore["id"], day)


def back_in_shop(record: RecordDoc) -> None:
    """It is here again, or was never gone: what its leaving had put on the list goes off it."""
    gone = (TAKE_DOWN, PACK, ARRIVED)
    record["chores"] = [one for one in record["chores"] if one["done"] or one["what"] not in gone]


def must_come_down(record: RecordDoc, at: str, day: str, sold_at: str = "") -> list[str]:
    """The record has left the shop: wherever it is online it must be taken down, which goes on its list. The
    place where it was sold took it down itself.
    """
    waiting = {one["note"] for one in record["chores"] if one["what"] == TAKE_DOWN and not one["done"]}
    places = [place for place in online_at(record.get("listing", [])) if place not in waiting]
    for place in places:
        chore = add_chore(record, TAKE_DOWN, at, place)
        if same_place(place, sold_at):
            finish(record, chore, day)
    return [place for place in places if not same_place(place, sold_at)]
