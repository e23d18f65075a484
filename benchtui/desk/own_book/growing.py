"""The shop's own book changed from the bench: written first, kept with the action, taken back by undo.

Undo turns back only what its action changed there: whatever else somebody wrote since stays, also after a
restart. Where that very place has changed, the book stays, and that is said.
"""

from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.books.edit import BookEdit, edited, open_edit
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.patch import Patch, patch_from, patch_of, text_at, turn
from benchtui.desk.core.desk import Desk
from benchtui.desk.hand import hand
from benchtui.desk.own_book.otherwise import look_again
from benchtui.model.title import Title
from benchtui.store import Entry

IN_BOOK = "the shop's book"
Grown = Mapping[str, Any]
"""What ``Desk.act`` keeps with an action that changed the book."""


def own_book(desk: Desk) -> Path:
    """The file of the shop's own book, be it there or not."""
    return desk.shop.path / "books" / OWN_BOOK


def is_own(desk: Desk, title_id: str, pressing_id: str) -> bool:
    """Whether that pressing stands in the shop's own book; not where that cannot be edited."""
    with suppress(BenchError):
        return open_edit(own_book(desk)).pressing(title_id, pressing_id) is not None
    return False


def change_book(desk: Desk, edit: Callable[[BookEdit], object]) -> Patch:
    """Change the shop's own book and read the books again. BenchError, and nothing done, where it cannot."""
    desk.shop.presence.check()
    path = own_book(desk)
    before = text_at(path)
    with edited(path, desk.currency) as book:
        edit(book)
    patch = patch_of(before, text_at(path) or "")
    read_again(desk)
    return patch


def grow(desk: Desk, edit: Callable[[BookEdit], object], use: Callable[[Grown], None]) -> None:
    """The book first, so that no record ever refers to what no book has; it goes back if the rest fails.

    ``use`` is the action in the parcel: it hands on what it is given to ``Desk.act``.
    """
    patch = change_book(desk, edit)
    try:
        use({"book": OWN_BOOK, "patch": patch.doc()})
    except BenchError:
        turn(own_book(desk), patch, back=True)
        read_again(desk)
        raise


def read_again(desk: Desk) -> None:
    """The library as it is now; whatever was weighed with the old one is weighed anew."""
    before = desk.library
    desk.references = desk.references._replace(library=before.reopened())
    desk.weighings.forget_counts()
    _ask_what_applies(desk)
    look_again(desk, before)


def _ask_what_applies(desk: Desk) -> None:
    """A question that is no longer asked of the part in the hand, such as another company's now, goes."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    here = {clue.id for clue in desk.library.clues_for(record, part, volunteered=True)}
    if any(asked != hand.HERE and asked[1] not in here for asked in desk.asking.order):
        hand.take(desk, record, part["id"], desk.work.side)


def books_changed(desk: Desk) -> None:
    """The library and the finder as the books are now."""
    before = {title.id: title for title in desk.library.titles()}
    read_again(desk)
    now = {title.id: title for title in desk.library.titles()}
    for title_id, title in now.items():
        if before.get(title_id) != title:
            desk.finder.add(title)
    find_again(desk, *(before.keys() - now.keys()))


def find_again(desk: Desk, *title_ids: str) -> None:
    """The search knows titles that no book has as the shop has them: made on the bench, or no more."""
    made = {str(one["id"]): one for one in desk.shop.made_titles()} if title_ids else {}
    desk.finder.drop(*(one for one in title_ids if one not in made))
    for doc in (made[one] for one in title_ids if one in made):
        desk.finder.add(Title(**{name: value for name, value in doc.items() if name in Title._fields}))


def turn_book(desk: Desk, entry: Entry, back: bool) -> str:
    """Take the book back (or forth) with the entry just turned; what is to be said of it, "" for nothing."""
    was: Mapping[str, Any] = entry.was or {}
    if not was.get("book"):
        return ""
    patch, path = patch_from(was.get("patch")), own_book(desk)
    stays = f"; but {IN_BOOK} stays as it is now ({path.name})"
    try:
        if patch is None or not turn(path, patch, back):
            return stays
        read_again(desk)
    except BenchError as error:
        return f"; but {IN_BOOK} stays as it is: {error.one_line()}"
    record = desk.work.record
    if record is not None and record["title"] is not None:
        tell_finder(desk, record["title"]["id"])
    return f"; {IN_BOOK} too"


def tell_finder(desk: Desk, title_id: str) -> None:
    """The pick list says how many pressings are known now."""
    listed, known = desk.finder.by_id(title_id), desk.library.title(title_id)
    if listed is not None:
        desk.finder.add(listed._replace(pressings=len(known.pressings) if known else 0))
