"""A title taken out: of the page of all titles, or with the undo of the action that made it."""

from collections.abc import Mapping
from typing import Any

from benchtui.books.joins import all_ids
from benchtui.desk.book.book_changes import change, home_of_title
from benchtui.desk.book.book_titles import marked_title
from benchtui.desk.core.desk import Desk
from benchtui.desk.own_book.growing import find_again, own_book, turn_book
from benchtui.store import Entry, Parcel


def drop_title(desk: Desk) -> None:
    """The marked title, made here or of the shop's own book, that no record has; undo brings it back."""
    title = marked_title(desk)
    if title is None:
        desk.refuse("no title is marked")
        return
    if desk.shop.still_reading:
        desk.refuse("the parcels are still being read: try again in a moment")
        return
    count = _records_of(desk, title.id)
    if count:
        has = "1 record has" if count == 1 else f"{count} records have"
        desk.refuse(
            f"'{title.title}' stays: {has} it; give {'it' if count == 1 else 'them'} another title first"
        )
        return
    path = own_book(desk) if home_of_title(desk, title.id) == own_book(desk) else None
    made = next((one for one in desk.shop.made_titles() if one["id"] == title.id), None)
    if path is None and (made is None or title.book):
        desk.refuse(f"'{title.title}' is of the book '{title.book}': only titles of your own are taken out")
        return
    change(
        desk, f"taken out: {title.artist}, {title.title}", path or own_book(desk),
        lambda book: book.drop_title(title.id), title.id, made=made,
    )  # fmt: skip


def _records_of(desk: Desk, title_id: str) -> int:
    """How many records of any parcel have the title, or one that was joined to it, sold ones too."""
    ids, every = set(all_ids(desk.library.joins, title_id)), desk.shop.titles_had()
    here = sum(one["title"] is not None and one["title"]["id"] in ids for one in desk.work.records)
    return max(here, sum(every[one].records for one in ids & every.keys()))


def turn_last(desk: Desk, parcel: Parcel, back: bool) -> tuple[Entry, str] | None:
    """Undo or redo one action whole: the parcel, the book and the title made with it; it, and what is to be
    said of the book. None where there was nothing.
    """
    entry = parcel.next_undo if back else parcel.next_redo
    if entry is None or (parcel.undo() if back else parcel.redo()) is None:
        return None
    return entry, turn_rest(desk, entry, back)


def turn_rest(desk: Desk, entry: Entry, back: bool) -> str:
    """What an action changed beside the parcel: the book, which it says, and its new title."""
    book = turn_book(desk, entry, back)
    turn_new_title(desk, entry, back)
    return book


def turn_new_title(desk: Desk, entry: Entry, back: bool) -> None:
    """With the action that made a title its title goes, where nothing else has it, and comes again."""
    was: Mapping[str, Any] = entry.was or {}
    doc = was.get("new_title")
    if not isinstance(doc, dict) or "id" not in doc:
        return
    title_id = str(doc["id"])
    if not back:
        desk.shop.add_title(doc)
    elif _is_free(desk, title_id):
        desk.shop.drop_title(title_id)
    else:
        return
    find_again(desk, title_id)


def _is_free(desk: Desk, title_id: str) -> bool:
    """Whether no book speaks of it and no other record has it; unknown, as long as parcels are being read."""
    if desk.shop.still_reading or desk.library.title(title_id) is not None:
        return False
    here = desk.work.parcel.id if desk.work.parcel is not None else ""
    if any(one["title"] is not None and one["title"]["id"] == title_id for one in desk.work.records):
        return False
    return not any(title_id in ids for parcel, ids in desk.shop.titles_by_parcel() if parcel != here)
