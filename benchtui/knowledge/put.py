"""Writes what a table or another dealer's book brings, whole or not at all, and takes that out again.

What every book was before and after is kept in the shop's ``.keep/taken``, so that undo can give the pieces
back that came, also where something else was changed in the book since.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.reading import text_of
from benchtui.books.blocks import Piece, split_pieces
from benchtui.books.edit import NEW_HEAD, BookEdit, Table, open_edit, save
from benchtui.books.patch import patch_of, text_at, turned_text
from benchtui.books.text import put_back, replace_file
from benchtui.books.toml_file import read_bytes
from benchtui.knowledge.one_pressing import passing, taken_over
from benchtui.knowledge.plan import Plan, PressingPlan
from benchtui.knowledge.take import clue_tables

KEPT = 8
"""How many times undo can go back."""
UNDONE = ".undone"
"""What a note of something taken in ends in once it is taken out again."""


@dataclass
class Books:
    """The shop's book files while they are written together: each is opened once, all are saved or none."""

    folder: Path
    currency: str = ""
    open: dict[Path, BookEdit] = field(default_factory=dict)
    _before: dict[Path, bytes | None] = field(default_factory=dict)
    _texts: dict[Path, bytes] = field(default_factory=dict)
    """Of the books that were looked into and name no title asked for so far."""

    def book(self, path: Path, head: str = "") -> BookEdit:
        """The book of that file, begun with ``head`` where there is none."""
        if path not in self.open:
            self._before[path] = read_bytes(path) if path.exists() else None
            self.open[path] = open_edit(path, "" if head else self.currency, head or NEW_HEAD)
        return self.open[path]

    def home_of(self, title_id: str, pressing_id: str) -> BookEdit | None:
        """The book in which that pressing stands."""
        naming = self._naming(pressing_id)
        return next((one for one in naming if one.pressing(title_id, pressing_id)), None)

    def home_of_title(self, title_id: str) -> BookEdit | None:
        """The book whose own title that is."""
        return next((one for one in self._naming(title_id) if one.has_title(title_id)), None)

    def _naming(self, named: str) -> Iterator[BookEdit]:
        """The books in which that id stands; one that cannot be edited has nothing that could be changed."""
        for path in sorted(self.folder.glob("*.toml")):
            with suppress(BenchError):
                if path not in self.open and path not in self._texts:
                    self._texts[path] = read_bytes(path)
                if path in self.open or named.encode() in self._texts[path]:
                    yield self.book(path)

    def save(self) -> dict[Path, tuple[bytes | None, str]]:
        """Saves all that changed; what each was before, and is now. BenchError: nothing is changed."""
        changed = {path: book for path, book in self.open.items() if _differs(book, self._before[path])}
        done: list[Path] = []
        try:
            for path, book in changed.items():
                save(book)
                done.append(path)
        except BenchError:
            for path in done:
                put_back(path, self._before[path])
            raise
        return {path: (self._before[path], book.text) for path, book in changed.items()}


def _differs(book: BookEdit, before: bytes | None) -> bool:
    return before is None or book.text != text_of(before, book.path)


@contextmanager
def journalled(shop: Path, what: str, currency: str = "") -> Iterator[Books]:
    """The shop's books to be changed together; kept for undo under the words ``what``."""
    books = Books(shop / "books", currency)
    yield books
    saved = books.save()
    if saved:
        _keep(shop, what, saved)


def put(plan: Plan, shop: Path, into: Path, head: str = "") -> None:
    """Writes the plan. ``into``: the book that takes what is new; ``head``: its ``[book]`` where it is made
    for this. BenchError: nothing is written.
    """
    with journalled(shop, f"{plan.table.path.name} into {into.stem}", plan.into.currency) as books:
        book = books.book(into, head)
        for table in clue_tables(plan):
            book.put_clue(table)
        for clue, table in plan.answers:
            book.put_answer(clue.id, table)
        _put_titles(plan, book, books)
        _put_pressings(plan, book, books)


def _put_titles(plan: Plan, book: BookEdit, books: Books) -> None:
    new = {one.id for one in (*plan.new_titles, *plan.unwritten)}
    for title_id, fields in plan.cards:
        if title_id in new:
            book.put_title(fields)
        elif (home := books.home_of_title(title_id)) is not None:
            home.change_title(title_id, fields)


def _put_pressings(plan: Plan, book: BookEdit, books: Books) -> None:
    for one in plan.pressings:
        if one.how == "new":
            table = dict(one.fields)
            number = 2
            while books.home_of(one.title.id, table["id"]) is not None:  # retired, but its id lives on
                table["id"], number = f"{one.id}-{number}", number + 1
            book.put_pressing(one.title.id, table)
            _take_grown(one, table, book, books)
        elif one.how == "changed":
            home = books.home_of(one.title.id, one.id)
            if home is None:
                raise BenchError(f"no book of the shop has the pressing {one.id!r} any more", book.path)
            home.change_pressing(one.title.id, one.id, one.fields)


def _take_grown(one: PressingPlan, table: Table, book: BookEdit, books: Books) -> None:
    """The pressing grown here that the row is passes to it."""
    home = books.home_of(one.title.id, one.takes) if one.takes else None
    if home is None:
        return
    given = home.pressing(one.title.id, one.takes) or {}
    same_money = home.head().get("currency", "") == book.head().get("currency", "")
    book.change_pressing(one.title.id, table["id"], taken_over(table, given, same_money))
    home.change_pressing(one.title.id, one.takes, passing(table["id"], one.name))


# -- undo -------------------------------------------------------------------------------------------------


class Taken(NamedTuple):
    """One taking in: when, its words, and each book's text before and after."""

    path: Path
    at: str
    what: str
    books: Mapping[str, tuple[str | None, str | None]]


def _folder(shop: Path) -> Path:
    return shop / ".keep" / "taken"


def _keep(shop: Path, what: str, saved: Mapping[Path, tuple[bytes | None, str]]) -> None:
    folder = _folder(shop)
    texts = {
        path.name: [None if before is None else text_of(before, path), after]
        for path, (before, after) in saved.items()
    }
    at = datetime.now(UTC).isoformat(timespec="microseconds")
    folder.mkdir(parents=True, exist_ok=True)
    forget_undone(shop)
    _note(_file(shop, at), at, what, texts)
    for old in sorted(folder.glob("*.json"))[:-KEPT]:
        old.unlink(missing_ok=True)


def _note(path: Path, at: str, what: str, texts: Mapping[str, Any]) -> None:
    replace_file(path, json.dumps({"at": at, "what": what, "books": texts}, ensure_ascii=False))


def last_taken(shop: Path) -> Taken | None:
    """What was taken in last and is not taken out yet."""
    return next(_kept(sorted(_folder(shop).glob("*.json"), reverse=True)), None)


def still_taken(shop: Path, at: str) -> bool:
    """Whether what was taken in then has not been taken out again."""
    return _file(shop, at).exists()


def _file(shop: Path, at: str) -> Path:
    return _folder(shop) / f"{at.replace(':', '')}.json"


def next_undone(shop: Path) -> Taken | None:
    """What was taken out and would be taken in again first; its books' texts before and after *that*."""
    return next(_kept(sorted(_folder(shop).glob(f"*{UNDONE}"))), None)


def _kept(paths: Iterable[Path]) -> Iterator[Taken]:
    for path in paths:
        with suppress(OSError, ValueError, LookupError, TypeError, AttributeError):
            found = json.loads(path.read_text("utf-8"))
            books = {str(name): (pair[0], pair[1]) for name, pair in found["books"].items()}
            yield Taken(path, str(found["at"]), str(found["what"]), books)


def forget_undone(shop: Path) -> None:
    """Something else was done since: what was taken out is not taken in again."""
    for path in _folder(shop).glob(f"*{UNDONE}"):
        path.unlink(missing_ok=True)


def take_out(shop: Path) -> list[str]:
    """Takes out what was taken in last; in words what became of each book. BenchError: there is nothing."""
    taken = last_taken(shop)
    if taken is None:
        raise BenchError("nothing was taken into a book", shop, "use benchtui book take FILE first")
    told, texts = [], {}
    for name, (before, after) in taken.books.items():
        path = shop / "books" / name
        there = text_at(path)
        told.append(_take_out_of(path, before, after or ""))
        texts[name] = [text_at(path), there]
    _note(taken.path.with_suffix(UNDONE), taken.at, taken.what, texts)
    taken.path.unlink(missing_ok=True)
    return [f"{taken.what}: taken out again", *told]


def take_again(shop: Path) -> list[str]:
    """Takes in again what was taken out, exactly as it stood; what was changed elsewhere in the books since
    stays. BenchError, and nothing done, where there is nothing, or where it was changed just there.
    """
    taken = next_undone(shop)
    if taken is None:
        raise BenchError("nothing was taken out of the books", shop, "benchtui book undo takes a table out")
    texts: dict[str, list[str | None]] = {}
    for name, (without, there) in taken.books.items():
        path = shop / "books" / name
        texts[name] = [text_at(path), _again(path, without, there, taken.what)]
    for name, (now, text) in texts.items():
        if text is None or now is None or text == there:
            put_back(shop / "books" / name, None if text is None else text.encode())
        else:
            save(BookEdit(shop / "books" / name, text))
    _note(taken.path.with_suffix(".json"), taken.at, taken.what, texts)
    taken.path.unlink(missing_ok=True)
    return [f"{taken.what}: taken in again"]


def _again(path: Path, without: str | None, there: str | None, what: str) -> str | None:
    """The book's text with what had been taken out of it; None for no file."""
    now = text_at(path)
    if now == without:
        return there
    text = turned_text(now, patch_of(without, there), back=False) if now and there else None
    if text is None:
        right = "take it in once more from its file"
        raise BenchError(f"was changed since '{what}' was taken out", path, right)
    return text


def _take_out_of(path: Path, before: str | None, after: str) -> str:
    if not path.exists():
        return f"{path.name} is not there any more"
    now = text_of(read_bytes(path), path)
    if now == after:
        put_back(path, None if before is None else before.encode())
        return f"{path.name} is as it was" if before is not None else f"{path.name} is gone again"
    text, stays = reverted(now, before or "", after)
    save(BookEdit(path, text))
    kept = f"; changed since, so it stays: {', '.join(stays[:6])}" if stays else ""
    return f"{path.name}: what came is out, what was changed since is kept{kept}"


def reverted(now: str, before: str, after: str) -> tuple[str, list[str]]:
    """The text with the pieces that came taken out (or as they were), and those that were changed since.

    What was changed since stays, and with it the title it belongs to and the clues it speaks of.
    """
    old, new, here = _by_key(before), _by_key(after), _keyed(now)
    came = {key for key, text in new.items() if old.get(key) != text}
    changed = {key for key, piece in here if key in came and piece.text.strip() != new[key].strip()}
    since = [(key, piece) for key, piece in here if key in changed or key not in new]
    owners = {key[1] for key, _ in since if len(key) > 2}
    spoken = "\n".join(piece.text for _, piece in since)
    pieces = []
    for key, piece in here:
        owned = key[1] in owners if len(key) == 2 else key[0].startswith("clue") and key[1] in owners
        kept = key not in came or key in changed or owned or (key[0].startswith("clue") and key[1] in spoken)
        if kept:
            pieces.append(piece.text)
        elif key in old:
            pieces.append(old[key])
    stays = [" ".join(filter(None, key[1:])) or key[0] for key, _ in here if key in changed]
    return "".join(_without_empty(pieces)), stays


def _without_empty(texts: list[str]) -> list[str]:
    """Without additions that add nothing any more."""
    kept = []
    for at, text in enumerate(texts):
        follows = texts[at + 1] if at + 1 < len(texts) else ""
        alone = text.lstrip().startswith("[[add]]") and not follows.lstrip("# \n").startswith("[[add.")
        if not alone:
            kept.append(text)
    return kept


def _keyed(text: str) -> list[tuple[tuple[str, ...], Piece]]:
    """Each piece with what names it: its path, its owner's id, its own."""
    owner, seen, found = "", {}, []  # type: ignore[var-annotated]
    for piece in split_pieces(text) or []:
        names = piece.names
        if len(piece.path) < 2:
            owner = names.get("id") or names.get("title") or names.get("clue") or ""
            key: tuple[str, ...] = (".".join(piece.path), owner)
        else:
            key = (".".join(piece.path), owner, names.get("id", ""))
        seen[key] = seen.get(key, 0) + 1
        found.append((key if seen[key] == 1 else (*key, str(seen[key])), piece))
    return found


def _by_key(text: str) -> dict[tuple[str, ...], str]:
    return {key: piece.text for key, piece in _keyed(text)}
