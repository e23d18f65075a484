"""The prepared index of a list: the piece's arrays in one file, mapped when it is opened.

Nothing is read at opening but a header of a kilobyte; the pages a search touches come from the disk's
cache. ``check_steps`` reads the rest once, in steps between the keys, before the list is searched: whatever
a disk or another program did to it, a search then finds what was written.
"""

import json
import mmap
import os
import struct
import sys
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any, BinaryIO
from zlib import crc32

from benchtui.base.errors import BenchError
from benchtui.titles.lexicon import Blob, Ints, Lexicon
from benchtui.titles.piece import Piece, Rows

MAGIC = b"BENCHTUI-TITLES\n"
VERSION = 5
"""Rises whenever the layout or the folding changes: an older index is then built again."""
ALIGN = 8
BLOCK = 1 << 20
HEAD = struct.Struct("<QQ")
"""The header's length and checksum."""
LEXICONS = ("words", "initials", "numbers", "joined")


def sections_of(piece: Piece) -> dict[str, tuple[str, Blob | Ints]]:
    """Every array of the piece under its name, with the kind of its numbers ("B" for text)."""
    parts: dict[str, tuple[str, Blob | Ints]] = {
        "rows": ("B", piece.rows.blob),
        "rows.at": ("Q", piece.rows.at),
        "plain": ("B", piece.plain.blob),
        "plain.at": ("Q", piece.plain.at),
        "split": ("H", piece.split),
        "skips": ("B", piece.skips),
        "starts": ("I", piece.starts),
        "ids": ("I", piece.ids),
    }
    for name in LEXICONS:
        lexicon: Lexicon = getattr(piece, name)
        parts[name] = ("B", lexicon.blob)
        parts[name + ".at"] = ("I", lexicon.at)
        parts[name + ".first"] = ("I", lexicon.first)
        parts[name + ".docs"] = ("I", lexicon.docs)
    return parts


def write_index(piece: Piece, path: Path, about: dict[str, Any]) -> Generator[float, None, None]:
    """Writes the index beside, then renames it into place; yields how much is done. ``about`` comes back at
    reading.
    """
    parts = sections_of(piece)
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    table, at, check = {}, 0, 0
    for name, (kind, values) in parts.items():
        size = memoryview(values).nbytes  # type: ignore[arg-type]
        table[name] = [kind, at, size]
        at += -(-size // ALIGN) * ALIGN
        for block in _blocks(values):
            check = crc32(block, check)
            yield 0.0
    about = {
        "version": VERSION,
        "order": sys.byteorder,
        "about": about,
        "table": table,
        "size": at,
        "crc": check,
    }
    header = json.dumps(about).encode()
    head = header + b" " * (-(len(header) + len(MAGIC) + HEAD.size) % ALIGN)
    try:
        with beside.open("wb") as file:
            file.write(MAGIC + HEAD.pack(len(head), crc32(head)) + head)
            for _, values in parts.values():
                yield from _write(file, values, at)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def _blocks(values: Blob | Ints) -> Iterator[memoryview]:
    flat = memoryview(values).cast("B") if len(values) else memoryview(b"")  # type: ignore[arg-type]
    return (flat[begin : begin + BLOCK] for begin in range(0, len(flat), BLOCK))


def _write(file: BinaryIO, values: Blob | Ints, total: int) -> Generator[float, None, None]:
    for block in _blocks(values):
        file.write(block)
        yield min(1.0, file.tell() / max(1, total))
    file.write(b"\0" * (-memoryview(values).nbytes % ALIGN))  # type: ignore[arg-type]


def check_steps(path: Path) -> Generator[None, None, bool]:
    """Whether every array is as it was written; reads all of it, in steps of a megabyte."""
    check = 0
    try:
        with path.open("rb") as file:
            header, base = _header(file)
            for _, at, size in header["table"].values():
                file.seek(base + at)
                while size > 0:
                    block = file.read(min(BLOCK, size))
                    if not block:
                        return False
                    check, size = crc32(block, check), size - len(block)
                    yield
    except (OSError, ValueError):
        return False
    return bool(check == header["crc"])


def is_sound(piece: Piece) -> bool:
    """Whether the index a piece is mapped from still holds what was written; reads all of it."""
    steps = check_steps(piece.index) if piece.index is not None else None
    while steps is not None:
        try:
            next(steps)
        except StopIteration as done:
            return bool(done.value)
    return True


def read_about(path: Path) -> dict[str, Any] | None:
    """What the index says it was made from; None where it is missing, torn, of another version or another
    machine.
    """
    try:
        with path.open("rb") as file:
            header, base = _header(file)
    except (OSError, ValueError):
        return None
    if header.get("version") != VERSION or header.get("order") != sys.byteorder:
        return None
    if path.stat().st_size < base + header["size"]:
        return None
    about: dict[str, Any] = header["about"]
    return about


def open_index(path: Path) -> Piece:
    """Maps the index. Raises BenchError where it cannot be used."""
    if read_about(path) is None:
        raise BenchError("this index cannot be used", path, "it is made again from its list")
    with path.open("rb") as file:
        header, base = _header(file)
        data = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
    views: dict[str, memoryview] = {}
    for name, (kind, at, size) in header["table"].items():
        part = data[base + at : base + at + size]
        views[name] = part if kind == "B" else part.cast(kind)
    lexicons = {
        name: Lexicon(views[name], views[name + ".at"], views[name + ".first"], views[name + ".docs"])
        for name in LEXICONS
    }
    return Piece(
        rows=Rows(views["rows"], views["rows.at"]),
        plain=Rows(views["plain"], views["plain.at"]),
        split=views["split"],
        skips=views["skips"],
        starts=views["starts"],
        ids=views["ids"],
        index=path,
        **lexicons,
    )


def _header(file: BinaryIO) -> tuple[dict[str, Any], int]:
    """The header and where the arrays begin. ValueError where it is not, sign for sign, what was written."""
    if file.read(len(MAGIC)) != MAGIC:
        raise ValueError("not an index of titles")
    start = file.read(HEAD.size)
    length, check = HEAD.unpack(start) if len(start) == HEAD.size else (0, 0)
    text = file.read(length) if 0 < length <= 1 << 20 else b""
    if not text or crc32(text) != check:
        raise ValueError("not an index of titles")
    header: dict[str, Any] = json.loads(text)
    return header, file.tell()
