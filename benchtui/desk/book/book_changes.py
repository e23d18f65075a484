"""Changes of the shop's books from their own pages: saved as made, undone there, also after a restart.

Kept apart from a parcel's history, since a book is changed without a copy in the hand too.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypedDict

from benchtui.base.errors import BenchError
from benchtui.base.reading import text_of
from benchtui.books.edit import BookEdit
from benchtui.books.patch import Patch, patch_from, patch_of, turn
from benchtui.books.shape import Clue, Word
from benchtui.books.text import replace_file
from benchtui.books.whole import title_row
from benchtui.desk.core.command import command_of
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.pages import OwnUndo, page_now
from benchtui.desk.own_book.growing import books_changed, find_again, own_book, read_again
from benchtui.knowledge.put import Books, forget_undone, last_taken, next_undone, take_again, take_out
from benchtui.model.record import TitleRef
from benchtui.model.title import title_ref

Edit = Callable[[BookEdit], object]
KEPT = 200
"""How many changes can be taken back."""


class SplitDoc(TypedDict):
    """A pressing split in two by a question: what each half was left with, by its id; what the whole one had
    shown, and whether that was marked as what sets it apart.
    """

    clue: str
    left: dict[str, dict[str, Word]]
    was: dict[str, Word]
    differed: bool


def home_of_title(desk: Desk, title_id: str) -> Path | None:
    """The shop's book file whose own title that is."""
    found = _books(desk).home_of_title(title_id)
    return found.path if found is not None else None


def home_of_pressing(desk: Desk, title_id: str, pressing_id: str) -> Path | None:
    """The shop's book file in which that pressing stands."""
    found = _books(desk).home_of(title_id, pressing_id)
    return found.path if found is not None else None


def _books(desk: Desk) -> Books:
    return Books(own_book(desk).parent, desk.currency)


def change(desk: Desk, say: str, path: Path, edit: Edit, title_id: str = "",
           also: tuple[Path, Edit] | None = None, made: dict[str, Any] | None = None,
           split: SplitDoc | None = None) -> None:  # fmt: skip
    """One change of a book, or of two together (``also``): written, noted for undo, read again. BenchError,
    and nothing done, else. ``made``: a title made on the bench, as the shop keeps it, that goes with it.
    ``split``: what it splits in two.
    """
    desk.shop.presence.check()
    books = _books(desk)
    for at, each in ((path, edit), *((also,) if also else ())):
        each(books.book(at))
    patches = [(at.name, patch_of(None if before is None else text_of(before, at), after).doc())
               for at, (before, after) in books.save().items()]  # fmt: skip
    if not patches and made is None:
        desk.say(f"nothing to change: {say}")
        return
    log = _read(desk)
    (file, patch), *others = patches or [("", [])]
    entry: dict[str, Any] = {"say": say, "file": file, "patch": patch, "with": others, "title": title_id}
    if made is not None:
        desk.shop.drop_title(title_id)
        entry["made"] = made
    if split is not None:
        entry["split"] = split
    entry["taken"] = _last_taken(desk)
    entries = [*log["entries"][: log["at"]], entry][-KEPT:]
    _write(desk, entries, len(entries))
    forget_undone(desk.shop.path)
    _again(desk, title_id)
    _done_last(desk, say)
    desk.say(say, "done")


def turn_change(desk: Desk, back: bool) -> None:
    """Take the last change back (or a table that came in after it), or do it again, in the same order.

    What else was written in the book since stays.
    """
    log = _read(desk)
    at = log["at"] - 1 if back else log["at"]
    if _table_is_last(desk, log) if back else _table_is_next(desk, log):
        try:
            lines = take_out(desk.shop.path) if back else take_again(desk.shop.path)
        finally:
            books_changed(desk)
        desk.say("; ".join(lines), "done")
        return
    entry = log["entries"][at]
    patches = [(entry["file"], entry["patch"]), *entry.get("with", [])] if entry["file"] else []
    stays = _turn(desk, patches, back)
    if stays:
        desk.refuse(f"{stays} was changed there since: '{entry['say']}' stays as it is now")
        return
    _write(desk, log["entries"], at if back else at + 1)
    if entry.get("made") and back:
        desk.shop.add_title(entry["made"])
    elif entry.get("made"):
        desk.shop.drop_title(str(entry["title"]))
    _again(desk, str(entry.get("title") or ""))
    _done_last(desk, "" if back else str(entry["say"]))
    desk.say(f"{'taken back' if back else 'done again'}: {entry['say']}", "done")


def _done_last(desk: Desk, say: str) -> None:
    """Note what was done in the books behind the last action in the parcel; "" for nothing that stands. With
    a page that takes it back: the one it was done on, but for a title's, which may be another's by then.
    """
    parcel = desk.work.parcel
    last = parcel.next_undo if parcel is not None else None
    on = page_now(desk)
    opener = on.opener if on is not None and on.opener not in ("", "book-page") else "book-titles"
    where = command_of(opener).short
    desk.work.in_books = (say, where, (parcel.id, last.n)) if say and parcel and last else ("", "", ("", -1))


def _turn(desk: Desk, patches: list[tuple[str, Any]], back: bool) -> str:
    """All of them, or none: then the name of the book that was changed there since."""
    done: list[tuple[Path, Patch]] = []
    for file, doc in patches:
        patch, path = patch_from(doc), own_book(desk).parent / str(file)
        if patch is None or not turn(path, patch, back):
            for other, turned in done:
                turn(other, turned, not back)
            return path.name
        done.append((path, patch))
    return ""


def why_not_turn(desk: Desk, back: bool) -> str:
    """In short why nothing can be taken back (or done again) in the books."""
    log = _read(desk)
    if back:
        left = log["at"] > 0 or _table_is_last(desk, log)
    else:
        left = log["at"] < len(log["entries"]) or _table_is_next(desk, log)
    return "" if left else f"nothing {'left to undo' if back else 'to redo'} in the books"


OF_THE_BOOKS = OwnUndo(why_not_turn, turn_change)


def _last_taken(desk: Desk) -> str:
    """When the last table (or another dealer's book) was taken in; "" for none."""
    last = last_taken(desk.shop.path)
    return last.at if last is not None else ""


def _table_is_last(desk: Desk, log: dict[str, Any]) -> bool:
    """Whether a table came in after the last change of these pages that still stands."""
    before = log["entries"][log["at"] - 1].get("taken", "") if log["at"] else ""
    return _last_taken(desk) > before


def _table_is_next(desk: Desk, log: dict[str, Any]) -> bool:
    """Whether a table that was taken out came in before the next change that would be done again."""
    undone = next_undone(desk.shop.path)
    following = log["entries"][log["at"]].get("taken", "") if log["at"] < len(log["entries"]) else None
    return undone is not None and (following is None or undone.at <= following)


def split_of(desk: Desk, pressings: set[str]) -> SplitDoc | None:
    """The last split that made these two pressings of one."""
    log = _read(desk)
    for entry in reversed(log["entries"][: log["at"]]):
        split: Any = entry.get("split") or {}
        if SplitDoc.__required_keys__ <= set(split) and set(split["left"]) == pressings:
            found: SplitDoc = split
            return found
    return None


def home_of_clue(desk: Desk, clue: Clue) -> Path | None:
    """The shop's own book file that has the question; None where another has it."""
    head = next((one for one in desk.library.books() if one.id == clue.book), None)
    return Path(head.path) if head is not None and Path(head.path).parent == own_book(desk).parent else None


def _again(desk: Desk, title_id: str) -> None:
    """The books as they are now: for the search, and in the records at work that have the title."""
    read_again(desk)
    known = desk.library.title(title_id) if title_id else None
    if known is None:
        if title_id:
            find_again(desk, title_id)
        return
    row = title_row(known)
    desk.finder.add(row)
    ref = title_ref(row)
    parcel = desk.work.parcel
    if parcel is None or parcel.read_only or parcel.closed:
        return
    stale = [one["id"] for one in desk.work.records if one["title"] and _other(one["title"], ref)]
    if stale:
        with desk.act(f"title card: {ref['artist']}, {ref['title']}") as changed:
            for record_id in stale:
                changed.record(record_id)["title"] = ref


def _other(kept: TitleRef, ref: TitleRef) -> bool:
    return kept["id"] == ref["id"] and kept != ref


def _file(desk: Desk) -> Path:
    return desk.shop.path / ".keep" / "book-changes.json"


def _read(desk: Desk) -> dict[str, Any]:
    """``entries`` oldest first, ``at``: how many of them stand. A file that is damaged is an empty one."""
    try:
        log = json.loads(_file(desk).read_text("utf-8"))
        entries = [one for one in log["entries"] if {"say", "file", "patch"} <= set(one)]
        return {"entries": entries, "at": min(int(log["at"]), len(entries))}
    except (OSError, ValueError, KeyError, TypeError):
        return {"entries": [], "at": 0}


def _write(desk: Desk, entries: list[dict[str, Any]], at: int) -> None:
    try:
        _file(desk).parent.mkdir(exist_ok=True)
        replace_file(_file(desk), json.dumps({"entries": entries, "at": at}, ensure_ascii=False))
    except (OSError, BenchError):
        desk.say("the change is saved, but could not be noted for undo", "refused")
