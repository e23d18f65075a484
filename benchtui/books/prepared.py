"""A book prepared once, so that a start reads no more than the titles it needs.

TOML has to be read and checked whole, which takes seconds for 5,000 titles. So the first opening writes the
book down once more as lines of JSON: a stamp of the source file with a checksum of all that follows, the head
(clues, ciphers, numbering), the completion's rows, and a line a title, turned into a table when it is wanted.
Of a large book that was changed only the titles whose text is another are read again (``reread.py``).
The file can be thrown away at any time; one that is damaged, or of another version, is made anew.
"""

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any
from zlib import crc32

from benchtui.base.errors import BenchError
from benchtui.base.reading import check_ordinary
from benchtui.base.shipped import shipped
from benchtui.books.blocks import LARGE
from benchtui.books.cache import cache_folder, write_whole
from benchtui.books.clue_rows import clue_of, clue_row
from benchtui.books.read import read_clues
from benchtui.books.reread import Marks, headed, id_of, kept_of, marks_of, plain_text
from benchtui.books.row import Faults, Problem, Row
from benchtui.books.shape import Answer, BookHead, Clue
from benchtui.books.toml_file import read_bytes
from benchtui.books.whole import WholeBook, digest_of, title_row, usable
from benchtui.model.title import Title

VERSION = 10
SUFFIX = ".prepared"
ROW = [name for kind in (Title, Clue, Answer) for name in kind._fields]
"""What its rows hold; a prepared file of other columns is made anew."""
SMALL_BYTES = 2_048
"""A book up to this size is read from its TOML at every start: that is quicker than it is worth a file."""


@dataclass(frozen=True)
class Prepared:
    """A book as it was when it was opened: its head, its head tables, the texts of its rows and titles."""

    head: BookHead
    tables: dict[str, Any]
    row_text: bytes
    bodies: dict[bytes, bytes]
    aside: tuple[str, ...] = ()
    """What could not be read of it, a line each; the rest can be used."""

    def rows(self) -> Iterator[Title]:
        """One short row a title, in the book's order."""
        return (Title(*row) for row in json.loads(self.row_text))

    @cached_property
    def clues(self) -> tuple[Clue, ...]:
        """The clues of this book, in its order."""
        found: list[Clue] = []
        for entry in self.tables["clue"]:
            if isinstance(entry, list):
                found += (clue_of(row, self.head.id) for row in entry)
            else:
                found += read_clues(self.row(entry), self.head)
        return tuple(found)

    def row(self, raw: dict[str, Any]) -> Row:
        """A table of the book to be read; it was checked when the book was prepared."""
        return Row(raw, Faults(Path(self.head.path), str))

    def title_table(self, title_id: str) -> dict[str, Any] | None:
        """The table of a title of this book."""
        text = self.bodies.get(_json("=" + title_id))
        return None if text is None else json.loads(text)

    def added(self, title_id: str) -> list[dict[str, Any]]:
        """Tables of pressings that this book adds to a title."""
        return list(json.loads(self.bodies.get(_json("+" + title_id), b"[]")))


def prepare(path: Path, cache: Path | None = None) -> Prepared:
    """The book at that path, from what was prepared if it is still true, else made anew.

    ``cache``: the folder used where the book's own folder cannot be written or is the program's. Neither
    being writable is no fault: the book is then read from its TOML. BenchError for a book that is unusable.
    """
    check_ordinary(path, right="a readable book")
    status = path.stat()
    if status.st_size <= SMALL_BYTES:
        return _read(_text(path, read_bytes(path)), path)
    stamp = _stamp(status)
    places = _places(path, cache)
    old = next((found for place in places if (found := _load(place)) is not None), None)
    if old is not None and old[0]["stamp"] == stamp:
        return _read(old[1], path)
    data = read_bytes(path)
    # Touched or copied but not changed: the old text under a new stamp.
    same = old is not None and old[0]["digest"] == digest_of(data)
    text = old[1] if old is not None and same else _text(path, data, old[1] if old is not None else b"")
    first = {"version": VERSION, "row": ROW, "stamp": stamp, "digest": digest_of(data), "sum": crc32(text)}
    next((place for place in places if write_whole(place, _json(first) + b"\n" + text)), None)
    return _read(text, path)


def _stamp(status: os.stat_result) -> dict[str, int]:
    """What changes whenever somebody writes the file, be it to the same length."""
    return {
        "size": status.st_size,
        "mtime": status.st_mtime_ns,
        "ctime": status.st_ctime_ns,
        "inode": status.st_ino,
    }


def _places(path: Path, cache: Path | None) -> list[Path]:
    """Where a prepared book may stand: beside its file, unless that is the program's; then the cache."""
    cache = cache or cache_folder()
    full = path.resolve()
    hidden = cache / (hashlib.sha256(os.fsencode(full)).hexdigest()[:24] + SUFFIX)
    ours = (Path(__file__).resolve().parent, shipped("demo").resolve())
    if any(full.is_relative_to(folder) for folder in ours):
        return [hidden]
    return [path.with_name(path.name + SUFFIX), hidden]


def _text(path: Path, data: bytes, old: bytes = b"") -> bytes:
    """The whole prepared book. Every table is read once here, so that later openings need not check.

    ``old``: what was prepared of it before, of whose titles those that are as they were are taken over.
    """
    marks = marks_of(data) if len(data) > LARGE else None
    if marks is not None and old and (again := _changed(path, data, marks, old)) is not None:
        return again
    book, aside = usable(data, path)
    rows = [title_row(title) for title in book.titles]
    seen = marks.sound(rows, aside) if marks is not None else []
    seen = seen if len(seen) == len(rows) else []
    return _joined(book, aside, rows, list(map(_json, book.bodies)), seen)


def _changed(path: Path, data: bytes, marks: Marks, old: bytes) -> bytes | None:
    """The prepared book, of which only the titles that are another are read, and all that is no title.

    None where that cannot be done.
    """
    if (known := kept_of(old, marks)) is None:
        return None
    try:
        book, aside = usable(marks.text_without(known[1]).encode(), path)
    except BenchError:
        return None  # the whole file tells the line
    if (kept := headed(known[1], known[0], book.head)) is None:
        return None
    read = zip(book.titles, book.bodies, strict=True)
    fresh = {title.id: (title_row(title), _json(body)) for title, body in read}
    found = [kept.get(mark) or fresh.pop(id_of(text), None) for mark, text in marks.titles.items()]
    there = [one for one in found if one is not None]
    if fresh or (len(there) < len(found) and not aside):
        return None
    text = plain_text(data) if aside else ""
    aside = [one._replace(line=marks.line_in(text, known[1], one.line)) for one in aside]
    rows = [row for row, _ in there]
    head = book.head._replace(digest=digest_of(data))
    bodies = [body for _, body in there]
    return _joined(book._replace(head=head), aside, rows, bodies, marks.sound(rows, aside))


def _joined(
    book: WholeBook, aside: list[Problem], rows: list[Any], bodies: list[bytes], seen: list[str]
) -> bytes:
    """The lines of a prepared book; ``bodies`` and ``seen``, the digests of their texts, as the rows."""
    told = [one.one_line() for one in aside]
    clues = [_clue_entry(raw, book.head) for raw in book.head_tables["clue"]]
    tables = {**book.head_tables, "clue": clues}
    head = {"head": book.head._asdict(), "tables": tables, "aside": told, "marks": seen}
    by_id = {"=" + row[0]: body for row, body in zip(rows, bodies, strict=True)}
    keyed = [_json(key) + b"\t" + body for key, body in by_id.items()]
    keyed += [_json("+" + title_id) + b"\t" + _json(raws) for title_id, raws in book.added.items()]
    return b"\n".join([_json(head), _json(rows), *keyed])


def _clue_entry(raw: dict[str, Any], head: BookHead) -> Any:
    """The rows of a clue; as it stands where its answers go on with the years."""
    if "years" in raw:
        return raw
    return [clue_row(clue) for clue in read_clues(Row(raw, Faults(Path(head.path), str)), head)]


def _json(value: Any) -> bytes:
    """ASCII without a bare tab or line break."""
    # default=str: a book may hold a bare TOML date; it is told as a fault before anybody reads it back
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"), default=str).encode()


def _read(text: bytes, path: Path) -> Prepared:
    head, rows, *keyed = text.split(b"\n")
    book = json.loads(head)
    bodies = dict(line.split(b"\t", 1) for line in keyed)
    strangers = tuple(book["head"].get("strangers", ()))
    own = BookHead(**{**book["head"], "path": str(path), "strangers": strangers})
    return Prepared(own, book["tables"], rows, bodies, tuple(book["aside"]))


def _load(place: Path) -> tuple[dict[str, Any], bytes] | None:
    """The first line and the text of a prepared file; None where there is none or it is not whole."""
    try:
        line, _, text = place.read_bytes().partition(b"\n")
        first = json.loads(line)
        whole = (first["version"], first["row"], first["sum"]) == (VERSION, ROW, crc32(text))
        return (first, text) if whole and first["stamp"] and first["digest"] else None
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None
