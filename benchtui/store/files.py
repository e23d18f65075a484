"""Every system call the store makes, one small method each, so that a test can fail or tear any of them."""

import contextlib
import errno
import os
import stat
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError

_NOFOLLOW = getattr(os, "O_NOFOLLOW", 0)
_BINARY = getattr(os, "O_BINARY", 0)
_NONBLOCK = getattr(os, "O_NONBLOCK", 0)
# A parcel of 500 records with full history is 2 MB; a shop of 30,000 records 1 MB.
LARGEST = 200 * 1024 * 1024
# Locked far behind any text, since a Windows lock would also hide the text that says who holds it.
_LOCKED_BYTE = 0x7FFF0000
LOCK_TEXT = 256


class Stamp(NamedTuple):
    """What tells one version of a file from the next; equal stamps mean the same bytes."""

    inode: int
    size: int
    changed: int
    regular: bool = True

    def same_file(self, other: "Stamp | None") -> bool:
        """Whether it is the same file of the same size; its time may be set late, on network folders."""
        return other is not None and (self.inode, self.size) == (other.inode, other.size)


def _stamp(seen: os.stat_result) -> Stamp:
    return Stamp(seen.st_ino, seen.st_size, seen.st_mtime_ns, stat.S_ISREG(seen.st_mode))


class Files:
    """The file system. Methods raise OSError and nothing else; links are never followed."""

    def look(self, path: Path) -> Stamp | None:
        """The file's stamp, or None where there is nothing of that name."""
        try:
            seen = os.lstat(path)
        except (FileNotFoundError, NotADirectoryError):
            return None
        return _stamp(seen)

    def read(self, path: Path, size: int = -1, offset: int = 0) -> bytes:
        """``size`` bytes, or all, from ``offset`` on. OSError for what is no plain file or far too large."""
        # Without waiting: a pipe of that name would otherwise hold the bench until somebody writes to it.
        handle = os.open(path, os.O_RDONLY | _NOFOLLOW | _BINARY | _NONBLOCK)
        with os.fdopen(handle, "rb") as stream:
            seen = os.fstat(handle)
            if not stat.S_ISREG(seen.st_mode) or (size < 0 and seen.st_size - offset > LARGEST):
                raise OSError(errno.EFBIG, "it is not a plain file, or far too large")
            stream.seek(offset)
            return stream.read(size)

    def names(self, folder: Path, ending: str = "") -> dict[str, Stamp]:
        """Name and stamp of every entry whose name ends so; empty where the folder is missing."""
        found: dict[str, Stamp] = {}
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if entry.name.endswith(ending):
                        with contextlib.suppress(FileNotFoundError):
                            # On Windows a folder's own entries lack the inode: ask the file.
                            windows = sys.platform == "win32"
                            seen = os.lstat(entry.path) if windows else entry.stat(follow_symlinks=False)
                            found[entry.name] = _stamp(seen)
        except (FileNotFoundError, NotADirectoryError):
            return {}
        return found

    def make_folder(self, path: Path, above: bool = False) -> None:
        """The folder, private to its owner (0700); ``above``: and those over it where they are missing.

        Without ``above`` a FileNotFoundError where the folder over it is missing: a shop whose folder went
        away is not made anew by what is written into it.
        """
        if not path.is_dir():
            if above and not path.parent.is_dir():
                self.make_folder(path.parent, above)
            with contextlib.suppress(FileExistsError):
                os.mkdir(path, 0o700)
                self.sync_folder(path.parent)

    def make_private(self, folder: Path) -> None:
        """Nobody but the owner may look into the folder (POSIX; where it is not ours it stays as it is)."""
        if sys.platform != "win32":
            with contextlib.suppress(OSError):
                if os.stat(folder).st_mode & 0o077:
                    os.chmod(folder, 0o700)

    def create(self, path: Path) -> int:
        """A new file, private to its owner (0600); FileExistsError where there is one."""
        return os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | _NOFOLLOW | _BINARY, 0o600)

    def extend(self, path: Path) -> int:
        """An existing file, opened for writing at its end."""
        return os.open(path, os.O_WRONLY | os.O_APPEND | _NOFOLLOW | _BINARY)

    def write(self, handle: int, data: bytes) -> int:
        """As many bytes as the system takes at once."""
        return os.write(handle, data)

    def sync(self, handle: int) -> None:
        """The file's bytes are on the disk when this returns."""
        _sync_handle(handle)

    def cut(self, handle: int, size: int) -> None:
        """The file ends after ``size`` bytes."""
        os.ftruncate(handle, size)

    def close(self, handle: int) -> None:
        """Ends the use of a handle."""
        os.close(handle)

    def replace(self, source: Path, target: Path) -> None:
        """Rename over ``target`` in one step; Windows refuses while somebody reads it, so try for a while."""
        for _ in range(20 if sys.platform == "win32" else 0):
            with contextlib.suppress(PermissionError):
                return os.replace(source, target)
            time.sleep(0.01)
        return os.replace(source, target)

    def link(self, source: Path, target: Path) -> None:
        """A second name for the same file."""
        if os.link in os.supports_follow_symlinks:
            os.link(source, target, follow_symlinks=False)
        else:
            os.link(source, target)

    def remove(self, path: Path) -> None:
        """The name goes; nothing happens where there is none."""
        with contextlib.suppress(FileNotFoundError):
            os.unlink(path)

    def sync_folder(self, folder: Path) -> None:
        """New, renamed and removed names are on the disk when this returns (where the platform can)."""
        if sys.platform != "win32":
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)

    def lock(self, path: Path) -> int:
        """An exclusive lock that ends with the process; BlockingIOError where somebody has it."""
        handle = os.open(path, os.O_RDWR | os.O_CREAT | _NOFOLLOW | _BINARY, 0o600)
        try:
            _lock_handle(handle)
        except BaseException:
            os.close(handle)
            raise
        return handle

    def is_at(self, handle: int, path: Path) -> bool:
        """Whether the open file is the one that stands at the path."""
        try:
            there = os.lstat(path)
        except (FileNotFoundError, NotADirectoryError):
            return False
        return os.path.samestat(os.fstat(handle), there)

    def mark(self, handle: int, text: bytes) -> None:
        """The text of a locked file, always of one length: to cut a file costs more than all the rest."""
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, text[:LOCK_TEXT].ljust(LOCK_TEXT - 1) + b"\n")


if sys.platform == "win32":
    import msvcrt

    _sync_handle = os.fsync

    def _lock_handle(handle: int) -> None:
        os.lseek(handle, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except PermissionError as error:
            raise BlockingIOError(*error.args) from error
else:
    import fcntl

    def _sync_handle(handle: int) -> None:
        # macOS leaves bytes in the drive's own cache after fsync; this is its way to ask for more.
        if hasattr(fcntl, "F_FULLFSYNC"):
            with contextlib.suppress(OSError):
                fcntl.fcntl(handle, fcntl.F_FULLFSYNC)
                return
        os.fsync(handle)

    def _lock_handle(handle: int) -> None:
        # flock, not lockf: a POSIX record lock is lost as soon as the same process
        # opens and closes the file again, for instance to read who holds it.
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


DISK = Files()


@contextlib.contextmanager
def as_bench_error(where: Path) -> Iterator[None]:
    """Turns what the system says while a folder is looked at into a BenchError."""
    try:
        yield
    except OSError as error:
        said = f"this cannot be read: {error.strerror or error}"
        raise BenchError(said, where, "check that you may read the folder and its files") from error


def write_all(files: Files, handle: int, data: bytes) -> None:
    """Every byte, however many calls it takes; OSError when the system takes none."""
    view = memoryview(data)
    while view:
        taken = files.write(handle, bytes(view) if len(view) < len(data) else data)
        if taken <= 0:
            raise OSError(f"{len(view)} bytes could not be written")
        view = view[taken:]


def write_new(files: Files, path: Path, data: bytes) -> None:
    """A whole new file on the disk; a left-over of that name is removed first, a failed one afterwards."""
    files.remove(path)
    handle = files.create(path)
    try:
        try:
            write_all(files, handle, data)
            files.sync(handle)
        finally:
            files.close(handle)
    except BaseException:
        with contextlib.suppress(OSError):
            files.remove(path)
        raise
