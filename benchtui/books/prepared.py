"""A book prepared for reading title by title.

TOML has to be read whole, which takes seconds for 5,000 titles. So the first opening writes the book
down once more as lines: a stamp of the source file, the head (clues, ciphers, numbering), one short row
a title for the completion, and one body a title, sorted, found by bisection in the file. Later openings
read the stamp and the head only. The file can be thrown away at any time; head, rows and each body bear
a checksum, so that a damaged one is noticed where it is read, and thrown away.
"""

import hashlib
import io
import json
import os
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, astuple, dataclass, fields
from itertools import pairwise
from pathlib import Path
from typing import Any, BinaryIO
from zlib import crc32

from benchtui.base.errors import BenchError
from benchtui.base.reading import check_ordinary
from benchtui.base.shipped import shipped
from benchtui.books.shape import BookHead
from benchtui.books.toml_file import read_bytes
from benchtui.books.whole import checked, digest_of, title_row
from benchtui.model.title import Title

VERSION = 4
SUFFIX = ".prepared"
ROW = [column.name for column in fields(Title)]
"""What a row of the completion holds; a prepared file of other columns is made anew."""
SMALL_BYTES = 2_048
"""A book up to this size is read from its TOML at every start: that is quicker than it is worth a file."""


class StaleBookError(BenchError):
    """Somebody else prepared the book anew (its file was changed) since this program opened it."""

    def __init__(self, path: str) -> None:
        super().__init__("the book was changed while it was open", path, "start again to read it anew")


class DamagedBookError(BenchError):
    """A prepared file is not as it was written; it has been thrown away."""

    def __init__(self, file: Path) -> None:
        with suppress(OSError):
            file.unlink()
        super().__init__("the prepared book was damaged", file, "start again: it is made anew")


@dataclass(frozen=True, slots=True)
class Prepared:
    """A book's stamp, its head tables, and where its titles are: in ``file``, or in ``memory``.

    Reading raises StaleBookError where the prepared file is no longer the one that was opened, and
    DamagedBookError where what it reads is not what was written.
    """

    first: bytes
    head: BookHead
    tables: dict[str, Any]
    rows_at: int
    bodies_at: int
    end: int
    rows_sum: bytes = b""
    file: Path | None = None
    memory: bytes = b""

    def rows(self) -> Iterator[Title]:
        """One short row a title, in the book's order."""
        with self._open() as stream:
            stream.seek(self.rows_at)
            text = stream.read(self.bodies_at - self.rows_at)
        if _sum(text) != self.rows_sum:
            raise self._damaged()
        return (Title(*row) for row in json.loads(text))

    def title_table(self, title_id: str) -> dict[str, Any] | None:
        """The table of a title of this book."""
        found: dict[str, Any] | None = self._find("=" + title_id)
        return found

    def added(self, title_id: str) -> list[dict[str, Any]]:
        """Tables of pressings that this book adds to a title."""
        return list(self._find("+" + title_id) or ())

    def _find(self, key: str) -> Any:
        wanted = json.dumps(key).encode()
        low, high = self.bodies_at, self.end
        with self._open() as stream:
            while low < high:
                line, start, after = _line_around(stream, (low + high) // 2, low)
                check, _, rest = line.partition(b"\t")
                if check != _sum(rest):
                    raise self._damaged()
                found, _, body = rest.partition(b"\t")
                if found == wanted:
                    return json.loads(body)
                low, high = (after, high) if found < wanted else (low, start)
        return None

    def _damaged(self) -> DamagedBookError:
        return DamagedBookError(self.file or Path(self.head.path))

    def _open(self) -> BinaryIO:
        if self.file is None:
            return io.BytesIO(self.memory)
        try:
            stream = self.file.open("rb")
        except OSError:
            raise StaleBookError(self.head.path) from None
        if stream.readline() != self.first:
            stream.close()
            raise StaleBookError(self.head.path)
        return stream


def _line_around(stream: BinaryIO, middle: int, low: int) -> tuple[bytes, int, int]:
    """The line that holds byte ``middle``, where it starts and ends; the lines begin at ``low``."""
    start, step = middle, 256
    while start > low:
        back = max(low, start - step)
        stream.seek(back)
        if (found := stream.read(start - back).rfind(b"\n")) >= 0:
            start = back + found + 1
            break
        start, step = back, step * 2
    stream.seek(start)
    return stream.readline(), start, stream.tell()


def prepare(path: Path, cache: Path | None = None) -> Prepared:
    """The book at that path, from what was prepared if it is still true, else made anew.

    ``cache``: the folder used where the book's own folder cannot be written or is the program's. Neither
    being writable is no fault: the book is then read from its TOML. BenchError for a book that is unusable.
    """
    check_ordinary(path, right="a readable book")
    status = path.stat()
    if status.st_size <= SMALL_BYTES:
        return _read(_blob(path, read_bytes(path), {}), path, None)
    stamp = _stamp(status)
    places = _places(path, cache)
    old = next((found for place in places if (found := _load(place, path)) is not None), None)
    if old is not None and old[1] == stamp:
        return old[0]
    data = read_bytes(path)
    blob = _restamped(old[0], data, stamp) if old else None
    blob = blob or _blob(path, data, stamp)
    kept = next((place for place in places if _write(place, blob)), None)
    return _read(blob, path, kept)


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
    if cache is None:
        import platformdirs  # only a large book needs it, and a start is short

        cache = Path(platformdirs.user_cache_dir("benchtui", appauthor=False)) / "books"
    full = path.resolve()
    hidden = cache / (hashlib.sha256(str(full).encode()).hexdigest()[:24] + SUFFIX)
    ours = (Path(__file__).resolve().parent, shipped("demo").resolve())
    if any(full.is_relative_to(folder) for folder in ours):
        return [hidden]
    return [path.with_name(path.name + SUFFIX), hidden]


def _blob(path: Path, data: bytes, stamp: dict[str, int]) -> bytes:
    """The whole prepared book. Every table is read once here, so that later openings need not check."""
    book = checked(data, path)
    bodies: dict[str, Any] = {
        "=" + title.id: raw for title, raw in zip(book.titles, book.bodies, strict=True)
    }
    bodies |= {"+" + title_id: raws for title_id, raws in book.added.items()}
    rows = [title_row(title) for title in book.titles]
    return _joined(stamp, book.head, book.head_tables, rows, bodies)


def _joined(
    stamp: dict[str, int], head: BookHead, tables: dict[str, Any], rows: list[Title], bodies: dict[str, Any]
) -> bytes:
    parts = [
        _line({"head": asdict(head), "tables": tables}),
        _line([astuple(row) for row in rows]),
        b"".join(_sum(line) + b"\t" + line for line in sorted(_keyed(*pair) for pair in bodies.items())),
    ]
    return _first_line(stamp, head.digest, parts) + b"".join(parts)


def _first_line(stamp: dict[str, int], digest: str, parts: list[bytes]) -> bytes:
    sizes, sums = [len(part) for part in parts], [_sum(part).decode() for part in parts]
    first = {"version": VERSION, "row": ROW, "stamp": stamp, "digest": digest, "sizes": sizes, "sums": sums}
    return _line(first)


def _keyed(key: str, body: Any) -> bytes:
    return json.dumps(key).encode() + b"\t" + _line(body)


def _sum(text: bytes) -> bytes:
    return b"%08x" % crc32(text)


def _line(value: Any) -> bytes:
    # default=str: a book may hold a bare TOML date; it is told as a fault before anybody reads it back
    return json.dumps(value, ensure_ascii=True, separators=(",", ":"), default=str).encode() + b"\n"


def _read(blob: bytes, path: Path, kept: Path | None) -> Prepared:
    with io.BytesIO(blob) as stream:
        return _opened(stream, stream.readline(), path, kept, b"" if kept else blob)


def _opened(stream: BinaryIO, first: bytes, path: Path, file: Path | None, memory: bytes) -> Prepared:
    named = json.loads(first)
    sizes, sums = named["sizes"], named["sums"]
    rows_at = stream.tell() + sizes[0]
    text = stream.read(sizes[0])
    if _sum(text).decode() != sums[0]:
        raise ValueError("the head is damaged")
    head = json.loads(text)
    bodies_at = rows_at + sizes[1]
    book = BookHead(**{**head["head"], "path": str(path)})
    end, rows_sum = bodies_at + sizes[2], sums[1].encode()
    return Prepared(first, book, head["tables"], rows_at, bodies_at, end, rows_sum, file, memory)


def _load(place: Path, path: Path) -> tuple[Prepared, dict[str, int]] | None:
    """A prepared file and the stamp it bears; None where there is none or it is not whole."""
    try:
        with place.open("rb") as stream:
            line = stream.readline()
            first = json.loads(line)
            whole = stream.tell() + sum(first["sizes"])
            if (first["version"], first["row"]) != (VERSION, ROW) or os.fstat(
                stream.fileno()
            ).st_size != whole:
                return None
            return _opened(stream, line, path, place, b""), first["stamp"]
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def _restamped(old: Prepared, data: bytes, stamp: dict[str, int]) -> bytes | None:
    """The old text under a new stamp where the book was touched or copied but not changed."""
    if old.head.digest != digest_of(data) or old.file is None:
        return None
    try:
        _, _, rest = old.file.read_bytes().partition(b"\n")
    except OSError:
        return None
    start = old.end - len(rest)
    cuts = [0, old.rows_at - start, old.bodies_at - start, len(rest)]
    parts = [rest[low:high] for low, high in pairwise(cuts)]
    if [_sum(part).decode() for part in parts] != json.loads(old.first)["sums"]:
        return None
    return _first_line(stamp, old.head.digest, parts) + rest


def _write(place: Path, blob: bytes) -> bool:
    """Puts the prepared file in place as a whole; False where that cannot be done."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=place.parent, prefix=place.name)
    except OSError:
        return False
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(blob)
        os.replace(name, place)
        return True
    except OSError:
        Path(name).unlink(missing_ok=True)
        return False
