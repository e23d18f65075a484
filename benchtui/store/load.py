"""Reading a kept file: the main file, or the previous copy where it is damaged, and the logs that follow."""

import re
import zlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.filename import name_fault
from benchtui.store.codec import Tables, decode, encode, too_deep
from benchtui.store.files import LARGEST, Files, Stamp, as_bench_error
from benchtui.store.log import HEADER_SIZE, Header, header_of, last_change, play
from benchtui.store.migrate import SCHEMA, migrate
from benchtui.store.place import Place
from benchtui.store.saved_position import SavedPosition, noted_position

META = "_meta"
LED_KEPT = 40
"""Logs that a main file names: one that went on somewhere else through more than these is told as another."""


class Damaged(BenchError):  # noqa: N818  (named for the fault, as BenchError's children are)
    """The file cannot be read as what it should be; the previous copy may stand in."""


class Led(NamedTuple):
    """A log that led to a main file: its name, and as far as it was accepted its size and checksum."""

    name: str
    size: int
    sum: int


def after(led: tuple[Led, ...], last: Led) -> tuple[Led, ...]:
    """The logs that may stand beside the next main file. A rename that a power cut takes back shows an
    older one again.
    """
    return (last, *(one for one in led if one.name != last.name))[:LED_KEPT]


@dataclass(slots=True)
class Loaded:
    """A kept file as read, and as it stands now.

    ``whole``: a checksum vouches for every byte, so that this program wrote it. ``count`` changes since the
    file began, ``base_count`` of them in the main file of this ``generation``; ``noted``: the count in the
    lock's note. ``log_open``: the log may be written on from where it ends (``log_size``); its first
    ``log_good`` bytes were played, ``log_sum`` is their checksum; ``log_named``: it has a header, with
    ``log_name`` in it. ``led``: the logs that led to this main file. ``unfit``: why main file, log and note
    cannot be of one piece, else "". ``rescued``: this is not the main file. ``aside``: damaged files to keep,
    and why. ``seen``: stamps of main and log, None where not known.
    """

    tables: Tables
    generation: str = ""
    before: str = ""
    count: int = 0
    base_count: int = 0
    schema: int = SCHEMA
    whole: bool = True
    notice: str = ""
    rescued: bool = False
    log_open: bool = False
    log_named: bool = False
    log_size: int = 0
    log_good: int = 0
    log_sum: int = 0
    log_name: str = ""
    led: tuple[Led, ...] = ()
    noted: int = 0
    unfit: str = ""
    aside: dict[Path, str] = field(default_factory=dict)
    seen: tuple[Stamp | None, Stamp | None] | None = None


def body_of(tables: Tables, texts: dict[str, dict[str, str]]) -> bytes:
    """The tables as JSON text, one document a line, from the documents' own texts."""
    parts: list[str] = []
    for table in tables:
        mine = texts[table]
        rows = ",\n".join(f"{encode(doc_id)}:{mine[doc_id]}" for doc_id in tables[table])
        parts.append(f",{encode(table)}:{{\n{rows}\n}}\n")
    return ("".join(parts) + "}\n").encode()


def main_text(kind: str, header: Header, body: bytes, led: tuple[Led, ...] = ()) -> bytes:
    """A whole main file. Its first line holds the schema version and the checksum of all that follows."""
    meta = {
        "kind": kind,
        "schema": SCHEMA,
        "generation": header.generation,
        "before": header.before,
        "count": header.count,
        "led": [[one.name, one.size, one.sum] for one in led],
        "sum": f"{zlib.crc32(body):08x}",
    }
    return f'{{"{META}":{{"1":{encode(meta)}}}\n'.encode() + body


def look_at(files: Files, place: Place) -> tuple[Stamp | None, Stamp | None]:
    """The stamps of main file and log."""
    return files.look(place.main), files.look(place.log)


def load(files: Files, place: Place, kind: str, without: str = "") -> Loaded:
    """The file's present state. Without a lock the files may change underfoot: then it is read again.

    ``without``: a table that need not be read (a parcel's history is most of it); it may be missing then.
    Damaged (or another BenchError) where neither the main file nor the previous copy can be used.
    """
    with as_bench_error(place.main):
        for attempt in range(8):
            seen = look_at(files, place)
            position = None if without else noted_position(files, place)
            try:
                loaded = _load_once(files, place, kind, without)
            except BenchError:
                if attempt == 7 or look_at(files, place)[0] == seen[0]:
                    raise
                continue
            if look_at(files, place) == seen:
                break
        loaded.seen = seen
        if position is not None:
            _told_short(loaded, place, position)
        if loaded.unfit and not loaded.notice:
            loaded.notice = f"{place.main.name}: {loaded.unfit}"
        return loaded


def _load_once(files: Files, place: Place, kind: str, without: str) -> Loaded:
    try:
        loaded = _base(files, place.main, kind, without)
    except Damaged as fault:
        loaded = _previous(files, place, kind, fault)
    _replay(files, place, loaded, without)
    if loaded.schema < SCHEMA:
        loaded.tables = migrate(kind, loaded.schema, loaded.tables, place.main)
    return loaded


def read_alone(files: Files, path: Path, kind: str) -> Loaded:
    """That file by itself, whatever its name, without any log. Damaged where it cannot be used."""
    with as_bench_error(path):
        loaded = _base(files, path, kind)
    if loaded.schema < SCHEMA:
        loaded.tables = migrate(kind, loaded.schema, loaded.tables, path)
    return loaded


def brought_forward(files: Files, place: Place, path: Path, kind: str) -> Loaded:
    """What the logs give on the main file or the previous copy (``path``), told by itself.

    Damaged, or another BenchError, where that file cannot be used.
    """
    with as_bench_error(path):
        loaded = read_alone(files, path, kind)
        loaded.rescued = True
        _replay(files, place, loaded, "")
    loaded.aside.clear()
    return loaded


def _told_short(loaded: Loaded, place: Place, position: SavedPosition) -> None:
    """Says what was once on the disk and is not in the files any more."""
    missing = position.changes - loaded.count
    loaded.noted = position.changes
    if loaded.notice or loaded.unfit:
        return
    if missing <= 0:
        if _is_beside(loaded, position):
            loaded.unfit = f"{ELSEWHERE}: what was saved here last did not lead to it"
        return
    lacks = f"the last {missing} changes are" if missing > 1 else "the last change is"
    if position.generation != loaded.generation:
        loaded.unfit = f"{OLDER}: {lacks} not in it"
    else:
        loaded.notice = f"{place.main.name}: {lacks} missing: {place.log.name} was cut short or removed"


def _is_beside(loaded: Loaded, position: SavedPosition) -> bool:
    """Whether a main file that came with its own log, or none, does not go back to what was noted here.

    Not known of files written before notes and main files named logs.
    """
    names = {loaded.log_name, *(one.name for one in loaded.led)}
    known = position.log and loaded.led
    return bool(known) and position.generation != loaded.generation and position.log not in names


def _previous(files: Files, place: Place, kind: str, fault: Damaged) -> Loaded:
    try:
        loaded = _base(files, place.previous, kind)
    except BenchError:
        raise fault from None
    loaded.notice = f"{place.main.name}: {fault.what}; opened from the previous copy; check the last record"
    loaded.rescued = True
    if files.look(place.main) is not None:
        loaded.aside[place.main] = "damaged"
    return loaded


def _replay(files: Files, place: Place, loaded: Loaded, without: str) -> None:
    """Brings the state forward by the logs. The old log only matters to the previous copy."""
    for path in (place.old_log, place.log) if loaded.rescued else (place.log,):
        if files.look(path) is None:
            continue
        header = header_of(_bytes(files, path, HEADER_SIZE))
        loaded.log_named = header is not None
        if header is not None and not loaded.rescued and header.generation != loaded.generation:
            if not without:
                loaded.unfit = _unfit(_bytes(files, path), header, loaded)
            continue  # else it led to this main file
        raw = _bytes(files, path)
        played = play(raw, loaded.tables, loaded.generation, loaded.count, without)
        if played.belongs and played.header is not None:
            loaded.generation, loaded.before = played.header.generation, played.header.before
            loaded.count = played.count
        if path == place.log:
            loaded.log_open = played.belongs and not played.torn and not loaded.rescued
            loaded.log_size = len(raw) if played.belongs else 0
            loaded.log_good = played.good
            loaded.log_name = header.name if header is not None else ""
            loaded.log_sum = zlib.crc32(raw[: played.good])
            if header is not None and not played.belongs:
                said = f"{path.name} belongs to another version of it, and is kept aside"
                loaded.notice = f"{loaded.notice}; {said}" if loaded.notice else said
                loaded.aside[path] = "foreign"
        if played.lost and (played.belongs or path == place.log):
            said = f"{path.name}: damaged; the last {played.lost} changes in it could not be read"
            loaded.notice = f"{loaded.notice}; {said}" if loaded.notice else said
            loaded.aside[path] = "damaged"


OLDER = "this is an older version of the file than was saved here"
ELSEWHERE = "this version of the file was written somewhere else"


def _unfit(log: bytes, header: Header, loaded: Loaded) -> str:
    """Why the log is none that led to this main file; "" where it is one."""
    last = last_change(log)
    if (more := last - loaded.count) > 0:
        return f"{OLDER}: its log holds {more} later change{'s' * (more != 1)}"
    if not loaded.led:
        return ""  # written before main files said so
    led = next((one for one in loaded.led if one.name == header.name), None)
    whole = len(log) >= (led.size if led else 0) and log.count(b"\0") == 0
    if led is None or (whole and zlib.crc32(log[: led.size]) != led.sum):
        return f"{ELSEWHERE}: the log beside it did not lead to it"
    return ""


def _base(files: Files, path: Path, kind: str, without: str = "") -> Loaded:
    raw = _bytes(files, path)
    try:
        tables = decode(_cut_out(raw, without))
        meta = _meta(tables, path, kind)
        whole = "sum" in meta
        if without and not (whole and meta["schema"] == SCHEMA):
            tables = decode(raw)
            meta = _meta(tables, path, kind)
        if not whole:
            too_deep(tables)
    except ValueError as error:
        raise Damaged(f"the file is damaged ({error})", path, f"use a {kind} file") from error
    body = raw[raw.find(b"\n") + 1 :]
    if whole and meta["sum"] != f"{zlib.crc32(body):08x}":
        raise Damaged("the file is damaged (its checksum does not fit)", path, f"a {kind} file as saved")
    for name, docs in tables.items():
        if not isinstance(docs, dict) or not all(isinstance(doc, dict) for doc in docs.values()):
            raise Damaged(f"the table {name[:40]!r} is not a table", path, f"use a {kind} file")
    count = meta.get("count", 0)
    if type(count) is not int or type(meta.get("generation", "")) is not str:
        raise Damaged("its first line is damaged", path, f"use a {kind} file")
    generation, before = str(meta.get("generation", "")), str(meta.get("before", ""))
    return Loaded(tables, generation, before, count, count, meta["schema"], whole, led=_led(meta, path, kind))


def _led(meta: dict[str, Any], path: Path, kind: str) -> tuple[Led, ...]:
    try:
        return tuple(Led(str(name), int(size), int(of)) for name, size, of in meta.get("led", []))
    except (TypeError, ValueError) as error:
        raise Damaged("its first line is damaged", path, f"use a {kind} file") from error


def _cut_out(raw: bytes, table: str) -> bytes:
    """The text without its last table, if that is its name; a line never begins so inside a document."""
    at = raw.find(f'\n,"{table}":{{\n'.encode()) if table else -1
    if at < 0 or raw.find(b'\n,"', at + 1) >= 0 or not raw.endswith(b"\n}\n}\n"):
        return raw
    return raw[: at + 1] + b"}\n"


def _meta(tables: Any, path: Path, kind: str) -> dict[str, Any]:
    """Takes the meta table out and checks it: kind and version."""
    meta = tables.pop(META, None) if isinstance(tables, dict) else None
    meta = meta.get("1") if isinstance(meta, dict) else None
    if not isinstance(meta, dict) or type(meta.get("schema")) is not int:
        raise Damaged("the file does not say what it is", path, f"a {kind} file of this program")
    if meta["schema"] > SCHEMA:
        said = f"it was written by a newer version (schema {meta['schema']})"
        raise BenchError(said, path, f"this program reads up to {SCHEMA}: update it")
    if meta["schema"] < 1:
        raise Damaged(f"there is no schema {meta['schema']}", path, f"1 to {SCHEMA}")
    if meta.get("kind", kind) != kind:
        raise BenchError(f"this is a {str(meta['kind'])[:40]} file", path, f"use a {kind} file")
    return meta


def _bytes(files: Files, path: Path, size: int = -1) -> bytes:
    """The file's bytes, or the first ``size``. Links, what is no plain file, and giants are refused."""
    try:
        stamp = files.look(path)
        if stamp is None:
            raise Damaged("there is no such file", path)
        if not stamp.regular:
            raise BenchError("this is a link, or not a plain file", path, "put the file itself there")
        if stamp.size > LARGEST:
            raise BenchError(
                f"the file is too large ({stamp.size} bytes)", path, f"use a file of at most {LARGEST}"
            )
        return files.read(path, size)
    except FileNotFoundError as error:
        raise Damaged("there is no such file", path) from error
    except PermissionError as error:
        raise BenchError("the file may not be read", path, "let this user read the file") from error
    except OSError as error:
        raise Damaged(f"the file cannot be read: {error.strerror or error}", path) from error


_ID = re.compile(r"[0-9A-Za-z][0-9A-Za-z_.-]{0,99}")


def checked_id(text: str, what: str) -> str:
    """The id as given, if it is safe in a file name; BenchError for anything that could lead elsewhere."""
    if not _ID.fullmatch(str(text)) or ".." in text or name_fault(str(text)):
        raise BenchError(
            f"{str(text)[:60]!r} is no {what}", "", "use letters, digits, hyphens and single dots"
        )
    return text
