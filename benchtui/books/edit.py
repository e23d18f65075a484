"""Edits a book's file: a title's card, a pressing, a clue or an answer put in or changed.

Only the piece that changes goes through tomlkit, so that comments, order and every other byte stay as
somebody wrote them. What was written is read back and compared before it replaces anything; a file is
written once for all the changes of one ``with edited(path) as book``, and whole or not at all.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.base.reading import text_of, toml_of
from benchtui.books.blocks import LARGE, Piece, split_pieces
from benchtui.books.rewrite import kept_words, rewritten, written
from benchtui.books.text import replace_file
from benchtui.books.toml_file import read_bytes
from benchtui.books.whole import checked

Table = dict[str, Any]
_INNER = {"title": "pressing", "clue": "answer"}
Places = tuple[dict[tuple[str, str], int], dict[tuple[str, str], list[int]]]
NEW_HEAD = '[book]\nname = "The shop\'s own"\n'


class BookEdit:
    """A book's text while it is edited. Tables are plain ones, as ``tomllib`` gives them, told by their id.
    A BenchError from any call leaves the text as it was before that call.
    """

    def __init__(self, path: Path, text: str) -> None:
        self.path = path
        self.crlf = "\r\n" in text
        pieces = split_pieces(text.replace("\r\n", "\n") if self.crlf else text)
        if pieces is None:
            toml_of(text, path)  # a file that is no TOML is told as that, with its line
            right = "write its tables under headers such as [[title]], each with its own parts below it"
            raise BenchError("its tables are in an order the bench cannot edit", path, right)
        self._pieces = pieces
        self._touched: set[int] = set()
        self._places: Places | None = None

    @property
    def text(self) -> str:
        """The whole book as it is now."""
        whole = "".join(piece.text for piece in self._pieces)
        return whole.replace("\n", "\r\n") if self.crlf else whole

    def changed_text(self) -> str:
        """The head and what was changed, as a book of its own: what a large book is checked by."""
        kept, owner = [], -1
        for at, piece in enumerate(self._pieces):
            owner = at if len(piece.path) == 1 else owner
            touched = id(piece) in self._touched
            if touched and owner >= 0 and owner != at and owner not in kept:
                kept.append(owner)
            if touched or piece.path == ("book",):
                kept.append(at)
        return "".join(self._pieces[at].text for at in kept)

    # -- looking --------------------------------------------------------------------------------------

    def head(self) -> Table:
        """The ``[book]`` table."""
        return next((dict(piece.table) for piece in self._pieces if piece.path == ("book",)), {})

    def ids(self, kind: str) -> list[str]:
        """Ids of the book's own ``title`` or ``clue`` tables, in its order."""
        return [key[1] for key in self._index() if key[0] == kind]

    def has_title(self, title_id: str) -> bool:
        """Whether that is a title of its own."""
        return ("title", title_id) in self._index()

    def others(self) -> list[tuple[tuple[str, ...], Table]]:
        """The book's ciphers and numbering rules, each with the name of its header."""
        paths = (("cipher",), ("numbering",))
        return [(piece.path, dict(piece.table)) for piece in self._pieces if piece.path in paths]

    def answers_added(self) -> dict[str, list[Table]]:
        """Id of a clue of another book -> the answers that this book adds to it."""
        keys = [(key, places) for key, places in self._found()[1].items() if key[0] == "clue"]
        found = {key[1]: [one for at in places for one in self._inner(at, "answer")] for key, places in keys}
        return {clue: answers for clue, answers in found.items() if answers}

    def pressings(self) -> list[tuple[str, Table]]:
        """Every pressing that stands in this book, after the id of its title."""
        found = self._found()
        owners = [(key[1], at) for key, at in found[0].items() if key[0] == "title"]
        owners += [(key[1], at) for key, places in found[1].items() if key[0] == "title" for at in places]
        return [(title, one) for title, at in owners for one in self._inner(at, "pressing")]

    def title(self, title_id: str) -> Table | None:
        """A title of this book with its pressings."""
        return self._whole("title", title_id)

    def clue(self, clue_id: str) -> Table | None:
        """A clue of this book with its answers."""
        return self._whole("clue", clue_id)

    def pressing(self, title_id: str, pressing_id: str) -> Table | None:
        """A pressing of that title, of this book's own, of another's, or of one joined to it."""
        return self._find("title", self._owner_of(title_id, pressing_id), pressing_id)

    def _owner_of(self, title_id: str, pressing_id: str) -> str:
        """Under which title's id the pressing stands: this one, or one that is joined to it; "" for none."""
        if self._find("title", title_id, pressing_id) is not None:
            return title_id
        owner = ""
        for piece in self._pieces:
            if piece.path in (("title",), ("add",)):
                owner = piece.names.get("id") or piece.names.get("title") or ""
            if piece.path[-1:] == ("pressing",) and piece.names.get("id") == pressing_id:
                return owner
            inline = piece.path in (("title",), ("add",)) and "pressing" in piece.text
            if inline and any(one.get("id") == pressing_id for one in piece.table.get("pressing", [])):
                return owner
        return title_id

    def answer(self, clue_id: str, answer_id: str) -> Table | None:
        """An answer of that clue, whether the clue stands in this book or in another."""
        return self._find("clue", clue_id, answer_id)

    # -- changing -------------------------------------------------------------------------------------

    def put_head(self, fields: Mapping[str, Any]) -> None:
        """Changes fields of ``[book]``; a field of None goes."""
        at = next((at for at, piece in enumerate(self._pieces) if piece.path == ("book",)), None)
        if at is None:
            self._insert(0, Piece(("book",), "[book]\n\n"))
            at = 0
        self._set(at, _merged(self._pieces[at].table, fields))

    def put_title(self, table: Table) -> None:
        """A title's card, put in or changed; its pressings are put with it where the table has any.

        Pressings that the book has already and the table does not name stay.
        """
        self._put("title", table)

    def drop_title(self, title_id: str) -> None:
        """Takes the title out with its pressings, and what the book adds to another book's; nothing where
        there is none. Remarks above what follows stay.
        """
        for at in sorted(self._owners("title", title_id), reverse=True):
            end = self._end(at)
            _, tail = self._pieces[end - 1].parted()
            del self._pieces[at:end]
            if at and tail.strip():
                before = self._pieces[at - 1]
                self._replace(at - 1, Piece(before.path, before.text + tail))
        self._places = None

    def put_clue(self, table: Table) -> None:
        """A clue, put in or changed; answers that the table does not name stay."""
        self._put("clue", table)

    def put_pressing(self, title_id: str, table: Table) -> None:
        """A pressing, put in or changed; of a title that another book has, as an ``[[add]]``."""
        self._put_inner("title", title_id, table)

    def put_answer(self, clue_id: str, table: Table) -> None:
        """An answer, put in or changed; of a clue that another book has, as an ``[[add]]``."""
        self._put_inner("clue", clue_id, table)

    def change_title(self, title_id: str, fields: Mapping[str, Any]) -> None:
        """Changes fields of a title's card; a field of None goes. BenchError where it has no such title."""
        at = self._index().get(("title", title_id))
        if at is None:
            raise BenchError(f"has no title {title_id!r}", self.path)
        self._set(at, _merged(self._pieces[at].table, fields))

    def change_clue(self, clue_id: str, fields: Mapping[str, Any]) -> None:
        """Changes fields of a clue; a field of None goes. BenchError where the book has no such clue."""
        at = self._index().get(("clue", clue_id))
        if at is None:
            raise BenchError(f"has no clue {clue_id!r}", self.path)
        self._set(at, _merged(self._pieces[at].table, fields))

    def change_pressing(self, title_id: str, pressing_id: str, fields: Mapping[str, Any]) -> None:
        """Changes fields of a pressing there is; a field of None goes. BenchError where there is none."""
        table = self.pressing(title_id, pressing_id)
        if table is None:
            raise BenchError(f"has no pressing {pressing_id!r} of {title_id!r}", self.path)
        self._put_inner("title", self._owner_of(title_id, pressing_id), _merged(table, fields))

    # -- pieces ---------------------------------------------------------------------------------------

    def _index(self) -> dict[tuple[str, str], int]:
        return self._found()[0]

    def _adds(self, kind: str, whose: str) -> list[int]:
        return self._found()[1].get((kind, whose), [])

    def _found(self) -> Places:
        """Where each title and clue begins, and each piece that adds to one of another book."""
        if self._places is None:
            self._places = {}, {}
            for at, piece in enumerate(self._pieces):
                _note(self._places, at, piece)
        return self._places

    def _end(self, at: int) -> int:
        """The place after the last piece that belongs to the one at that place."""
        end = at + 1
        while end < len(self._pieces) and len(self._pieces[end].path) > 1:
            end += 1
        return end

    def _inner(self, at: int, inner: str) -> list[Table]:
        """Pressings (answers) of the piece at that place, written inside it or below it."""
        below = [dict(one.table) for one in self._pieces[at + 1 : self._end(at)]]
        return [*deepcopy(self._pieces[at].table.get(inner, [])), *below]

    def _whole(self, kind: str, one_id: str) -> Table | None:
        at = self._index().get((kind, one_id))
        if at is None:
            return None
        inner = self._inner(at, _INNER[kind])
        return dict(self._pieces[at].table) | ({_INNER[kind]: inner} if inner else {})

    def _owners(self, kind: str, whose: str) -> list[int]:
        own = self._index().get((kind, whose))
        return ([] if own is None else [own]) + self._adds(kind, whose)

    def _find(self, kind: str, whose: str, one_id: str) -> Table | None:
        every = (one for at in self._owners(kind, whose) for one in self._inner(at, _INNER[kind]))
        return next((one for one in every if one.get("id") == one_id), None)

    def _put(self, kind: str, table: Table) -> None:
        inner = _INNER[kind]
        own, parts = {name: value for name, value in table.items() if name != inner}, table.get(inner, [])
        at = self._index().get((kind, str(table["id"])))
        if at is None:
            self._append(Piece((kind,), written((kind,), own)))
        else:
            kept = self._pieces[at].table.get(inner)
            self._set(at, own | ({inner: kept} if kept else {}))
        for part in parts:
            self._put_inner(kind, str(table["id"]), part)

    def _put_inner(self, kind: str, whose: str, table: Table) -> None:
        inner = _INNER[kind]
        owners = self._owners(kind, whose)
        for at in owners:
            if self._change_at(at, inner, table):
                return
        if not owners:
            self._append(Piece(("add",), written(("add",), {kind: whose})))
            owners = [len(self._pieces) - 1]
        at = owners[0]
        if inner in self._pieces[at].table:
            held = dict(self._pieces[at].table)
            self._set(at, held | {inner: [*held[inner], table]})
            return
        path = (*self._pieces[at].path, inner)
        self._insert(self._end(at), Piece(path, written(path, table)))

    def _change_at(self, at: int, inner: str, table: Table) -> bool:
        """Whether the pressing (answer) was there, and is now as the table says."""
        held = dict(self._pieces[at].table)
        if any(one.get("id") == table["id"] for one in held.get(inner, [])):
            changed = [table if one.get("id") == table["id"] else one for one in held[inner]]
            self._set(at, held | {inner: changed})
            return True
        for place in range(at + 1, self._end(at)):
            if self._pieces[place].names.get("id") == table["id"]:
                self._set(place, table)
                return True
        return False

    def _set(self, at: int, table: Table) -> None:
        piece = self._pieces[at]
        table = kept_words(table, piece.table)
        if piece.table == table:
            return
        changed = Piece(piece.path, rewritten(piece, table, self.path))
        self._pieces[at] = changed
        self._touched.add(id(changed))
        if piece.names.get("id") != changed.names.get("id"):
            self._places = None

    def _append(self, piece: Piece) -> None:
        self._insert(len(self._pieces), piece)

    def _insert(self, at: int, piece: Piece) -> None:
        """Puts a piece in, an empty line above it."""
        if at:
            before = self._pieces[at - 1]
            body, tail = before.parted()
            kept = body.rstrip("\n") + "\n" + (tail.rstrip("\n") + "\n" if tail.strip() else "") + "\n"
            if kept.strip():
                self._replace(at - 1, Piece(before.path, kept))
        added = piece if at == len(self._pieces) else Piece(piece.path, piece.text + "\n")
        self._pieces.insert(at, added)
        self._touched.add(id(added))
        if self._places is not None:  # a table of many rows comes piece by piece: not looked through anew
            own, adds = self._places
            for key, place in own.items():
                own[key] = place + (place >= at)
            for key, places in adds.items():
                adds[key] = [place + (place >= at) for place in places]
            _note(self._places, at, added)

    def _replace(self, at: int, piece: Piece) -> None:
        """The same piece with other space below it."""
        if id(self._pieces[at]) in self._touched:
            self._touched.add(id(piece))
        self._pieces[at] = piece


def _note(places: Places, at: int, piece: Piece) -> None:
    own, adds = places
    if piece.path in (("title",), ("clue",)):
        own.setdefault((piece.path[0], piece.names.get("id", "")), at)
    elif piece.path == ("add",):
        for kind in _INNER.keys() & piece.names.keys():
            adds.setdefault((kind, piece.names[kind]), []).append(at)


def _merged(table: Mapping[str, Any], fields: Mapping[str, Any]) -> Table:
    return {name: value for name, value in {**table, **fields}.items() if value is not None}


# -- a file -----------------------------------------------------------------------------------------------


def open_edit(path: Path, currency: str = "", head: str = NEW_HEAD) -> BookEdit:
    """The book in that file, or a new one with ``head`` and the currency. BenchError where it cannot be
    read or edited.
    """
    if path.exists():
        text = text_of(read_bytes(path), path)
        return BookEdit(path, text)
    return BookEdit(path, head + (f'currency = "{currency}"\n' if currency else ""))


@contextmanager
def edited(path: Path, currency: str = "", head: str = NEW_HEAD) -> Iterator[BookEdit]:
    """A book to be changed; what was changed is written once at the end, whole or, where anything fails,
    not at all. BenchError where the book is unusable, before or after.
    """
    book = open_edit(path, currency, head)
    before = book.text
    yield book
    if book.text != before or not path.exists():
        save(book)


def save(book: BookEdit, check: Callable[[bytes, Path], object] = checked) -> None:
    """Reads the edited book back and puts it in the place of its file; of a large one what was changed.

    Every other byte of it is as it was, so that what it said before is what it says now.
    """
    text = book.text
    read = text if len(text) <= LARGE or not book.path.exists() else book.changed_text()
    check(read.encode("utf-8"), book.path)
    replace_file(book.path, text)
