"""A whole shop as one zip file, which is read back and checked before it counts as a backup."""

import hashlib
import json
import os
import shutil
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.filename import name_fault
from benchtui.store.codec import encode
from benchtui.store.files import DISK
from benchtui.store.load import body_of, load, main_text
from benchtui.store.lock import now
from benchtui.store.log import Header
from benchtui.store.place import KEEP, Place
from benchtui.store.shop import Shop, no_shop

MANIFEST = "backup.json"
Progress = Callable[[float], object]
WRITING, CHECKING, UNPACKED = 0.7, 0.3, 0.8
"""How much of a backup is its writing, of a restore its checking, and what is done once it is unpacked."""
_BLOCK = 1024 * 1024
_LARGEST_MANIFEST = 64 * _BLOCK
MOST_FILES, MOST_BYTES = 200_000, 64 << 30
UNDOUBTED, MOST_TIMES = 1 << 30, 200
"""What a backup may hold, whatever its own list says: so many files and bytes; above the third, no more than
so many times the bytes of the zip itself.
"""


def backup(shop: Path, target: Path, progress: Progress | None = None) -> str:
    """Writes the shop into a new zip file; gives one line on what is in it.

    Benches may be at work meanwhile: each file goes in as it stands at one moment, the log folded in. What
    cannot be read as what it should be goes in byte by byte, and is named. BenchError where the target exists
    or lies in the shop, or where anything fails; then no target is left behind. ``progress`` is called with
    the share done; what it raises ends it likewise.
    """
    shop, target = shop.absolute(), target.absolute()
    if not (shop / "shop.json").exists():
        raise no_shop(shop)
    if target.exists():
        raise BenchError("that file exists already", target, "choose a new file name")
    if fault := name_fault(target.name):
        raise BenchError(fault, target, "choose another file name")
    if shop in target.parents:
        raise BenchError(
            "a backup in the shop's own folder", target, "choose another folder, best on another disk"
        )
    part = target.with_name(target.name + ".part")
    try:
        DISK.remove(part)
        handle = DISK.create(part)
        try:
            with os.fdopen(handle, "wb") as stream:
                summary = _write(shop, stream, _share(progress, 0.0, WRITING))
                stream.flush()
                DISK.sync(stream.fileno())
            check_backup(part, _share(progress, WRITING, 1.0))
            DISK.replace(part, target)
            DISK.sync_folder(target.parent)
        finally:
            DISK.remove(part)
    except (OSError, zipfile.BadZipFile) as error:
        said = f"the backup cannot be written: {getattr(error, 'strerror', None) or error}"
        raise BenchError(said, target, "free some space, and check that you may write there") from error
    return f"{target}: {summary}"


def check_backup(path: Path, progress: Progress | None = None) -> str:
    """Reads every file in the zip against its checksum; gives one line, or BenchError for the first fault."""
    with _opened(path) as archive:
        manifest = _manifest(archive, path)
        count = _Count(sum(size for size, _ in manifest["files"].values()), progress)
        for name, (size, digest) in manifest["files"].items():
            found = hashlib.sha256()
            for block in _blocks(archive, path, name, size):
                found.update(block)
                count.add(len(block))
            if found.hexdigest() != digest:
                raise BenchError(f"{name[:80]} is damaged", path, "use another backup")
        return _line(manifest)


def restore(path: Path, shop: Path, progress: Progress | None = None) -> str:
    """Checks the zip, unpacks it into a new folder and opens every file there; gives one line.

    BenchError where the folder exists and is not empty, or where the zip is damaged: then nothing is made,
    nor where ``progress``, called with the share done, raises anything.
    """
    shop = shop.absolute()
    if shop.exists() and (not shop.is_dir() or any(shop.iterdir())):
        raise BenchError("the folder is not empty", shop, "name a new or empty folder")
    summary = check_backup(path, _share(progress, 0.0, CHECKING))
    beside = shop.with_name(shop.name + ".restoring")
    try:
        shutil.rmtree(beside, ignore_errors=True)
        with _opened(path) as archive:
            _unpack(archive, path, beside, _share(progress, CHECKING, UNPACKED))
        troubles = _troubles(beside, _share(progress, UNPACKED, 1.0))
        if shop.exists():
            shop.rmdir()
        DISK.replace(beside, shop)
    except OSError as error:
        raise BenchError(f"the backup cannot be unpacked: {error.strerror or error}", shop) from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return f"{shop}: {summary}" + "".join(f"; {each}" for each in troubles)


class _Count:
    """Bytes done of so many, told as a share."""

    def __init__(self, whole: int, progress: Progress | None) -> None:
        self._whole, self._progress, self._done = max(1, whole), progress, 0

    def add(self, size: int) -> None:
        self._done += size
        if self._progress is not None:
            self._progress(min(1.0, self._done / self._whole))


def _share(progress: Progress | None, start: float, end: float) -> Progress | None:
    """The progress of one stage of the whole."""
    return None if progress is None else lambda done: progress(start + (end - start) * done)


def _write(shop: Path, stream: Any, progress: Progress | None) -> str:
    files: dict[str, tuple[int, str]] = {}
    raw: list[str] = []
    count = _Count(sum((shop / name).stat().st_size for name in _names(shop)), progress)
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in _names(shop):
            blocks, whole = _content(shop, name)
            if not whole:
                raw.append(name)
            size, found = 0, hashlib.sha256()
            with archive.open(zipfile.ZipInfo(name), "w", force_zip64=True) as member:
                for block in blocks:
                    for piece in _cut(block):
                        member.write(piece)
                        found.update(piece)
                        count.add(len(piece))
                    size += len(block)
            files[name] = (size, found.hexdigest())
        manifest = {"version": 1, "at": now(), "files": files, "unreadable": raw}
        archive.writestr(zipfile.ZipInfo(MANIFEST), json.dumps(manifest))
    return _line(manifest)


def _names(shop: Path) -> Iterator[str]:
    """Every plain file of the shop but side files; links are left out."""
    for folder, inner, names in os.walk(shop):
        inner[:] = sorted(name for name in inner if name != KEEP)
        for name in sorted(names):
            path = Path(folder) / name
            if path.is_file() and not path.is_symlink() and not name.endswith((".new", ".part", MANIFEST)):
                yield path.relative_to(shop).as_posix()


def _content(shop: Path, name: str) -> tuple[Iterator[bytes], bool]:
    """The file's blocks: a kept file as one text of this moment, or as it is where it cannot be read."""
    kind = _kind(name)
    if kind:
        try:
            loaded = load(DISK, Place(shop / name), kind)
        except BenchError:
            return _raw(shop / name), False
        texts = {
            table: {key: encode(doc) for key, doc in docs.items()} for table, docs in loaded.tables.items()
        }
        header = Header(loaded.generation, loaded.before, loaded.count)
        return iter([main_text(kind, header, body_of(loaded.tables, texts))]), True
    return _raw(shop / name), True


def _cut(block: bytes) -> Iterator[bytes]:
    """A large text in pieces, so that its compressing can be stopped."""
    for at in range(0, len(block), _BLOCK):
        yield block[at : at + _BLOCK]


def _kind(name: str) -> str:
    if name in ("shop.json", "titles.json"):
        return name.partition(".")[0]
    return "parcel" if PurePosixPath(name).parent.name == "parcels" and name.endswith(".json") else ""


def _raw(path: Path) -> Iterator[bytes]:
    with path.open("rb") as stream:
        while block := stream.read(_BLOCK):
            yield block


def _opened(path: Path) -> zipfile.ZipFile:
    try:
        return zipfile.ZipFile(path)
    except (OSError, zipfile.BadZipFile, NotImplementedError, ValueError) as error:
        raise BenchError(
            f"this is not a backup: {error}", path, "use a zip file that 'backup' wrote"
        ) from error


def _manifest(archive: zipfile.ZipFile, path: Path) -> dict[str, Any]:
    try:
        raw = b"".join(_blocks(archive, path, MANIFEST, _LARGEST_MANIFEST, exact=False))
        manifest: dict[str, Any] = json.loads(raw)
        named = {name: (_size(size), str(digest)) for name, (size, digest) in manifest["files"].items()}
        if manifest["version"] != 1 or not all(map(_is_safe, named)):
            raise ValueError("its list of files was not written by benchtui")
        if not all(type(name) is str for name in manifest.get("unreadable") or []):
            raise ValueError("its list of files that could not be read was not written by benchtui")
        _limit(named, path)
        if sorted([*named, MANIFEST]) != sorted(archive.namelist()):
            raise ValueError("it does not hold the files it lists")
    except (KeyError, TypeError, AttributeError, RecursionError) as error:
        what = "this is not a backup: its list of files is damaged"
        raise BenchError(what, path, "use a zip file that 'backup' wrote") from error
    except ValueError as error:
        raise BenchError(
            f"this is not a backup: {error}"[:300], path, "use a zip file that 'backup' wrote"
        ) from error
    return {**manifest, "files": named}


def _size(value: Any) -> int:
    if type(value) is not int or value < 0:
        raise ValueError(f"{str(value)[:40]!r} is not a file size")
    return value


def _limit(named: dict[str, tuple[int, str]], path: Path) -> None:
    """ValueError for more than any shop holds: a small zip may unpack to more than the disk has."""
    whole, packed = sum(size for size, _ in named.values()), path.stat().st_size
    if len(named) > MOST_FILES:
        raise ValueError(f"it lists {len(named)} files, and a shop has at most {MOST_FILES}")
    if whole > MOST_BYTES or whole > max(UNDOUBTED, MOST_TIMES * packed):
        raise ValueError(f"{packed} bytes would unpack to {whole}, which no shop does")


def _is_safe(name: str) -> bool:
    """Whether the name stays in the folder it is unpacked in, on every platform."""
    parts = name.split("/")
    return not any(part in ("", ".", "..") or set(part) & set('\\:\0<>"|?*') for part in parts)


def _blocks(
    archive: zipfile.ZipFile, path: Path, name: str, size: int, exact: bool = True
) -> Iterator[bytes]:
    """The member's bytes, never more than ``size``; BenchError where they are more, fewer or damaged."""
    left = size
    try:
        with archive.open(name) as member:
            while block := member.read(min(_BLOCK, left + 1)):
                left -= len(block)
                if left < 0:
                    break
                yield block
    except (
        OSError,
        zipfile.BadZipFile,
        EOFError,
        KeyError,
        NotImplementedError,
        RuntimeError,
        ValueError,
    ) as error:
        raise BenchError(f"{name[:80]} cannot be read: {error}", path, "use another backup") from error
    except zlib.error as error:
        raise BenchError(f"{name[:80]} is damaged: {error}", path, "use another backup") from error
    if left < 0 or (exact and left > 0):
        raise BenchError(f"{name[:80]} has the wrong size", path, "use another backup")


def _unpack(archive: zipfile.ZipFile, path: Path, folder: Path, progress: Progress | None) -> None:
    files = _manifest(archive, path)["files"]
    count = _Count(sum(size for size, _ in files.values()), progress)
    for name, (size, _) in files.items():
        target = folder / name
        DISK.make_folder(target.parent, above=True)
        with os.fdopen(DISK.create(target), "wb") as stream:
            for block in _blocks(archive, path, name, size):
                stream.write(block)
                count.add(len(block))
            stream.flush()
            DISK.sync(stream.fileno())
    for each in ("parcels", "titles", "books", "keymaps", "exports"):
        DISK.make_folder(folder / each, above=True)


def _troubles(folder: Path, progress: Progress | None) -> list[str]:
    """What cannot be opened of a shop just unpacked."""
    shop = Shop.open(folder, read_only=True)
    if progress is not None:
        progress(0.0)
    return [each.trouble for each in shop.parcels() if each.trouble]


def _line(manifest: dict[str, Any]) -> str:
    files, unreadable = manifest["files"], manifest.get("unreadable") or []
    parcels = sum(_kind(name) == "parcel" for name in files)
    size = sum(size for size, _ in files.values())
    summary = f"{parcels} parcels, {len(files)} files, {size / 1e6:.1f} MB, checked"
    return summary + (f"; unreadable, kept as they are: {', '.join(unreadable[:5])}" if unreadable else "")
