"""Handing a finished text out: whole files only, and a pipe that may close early."""

import contextlib
import errno
import os
import sys
from pathlib import Path
from secrets import token_hex

from benchtui.base.errors import BenchError

Out = str | Path | None


def put_out(data: bytes, out: Out) -> None:
    """To the file ``out``; None or ``-`` is standard output."""
    if out is None or str(out) == "-":
        to_stdout(data)
    else:
        write_whole(Path(out), data)


def write_whole(path: Path, data: bytes) -> None:
    """The file is there whole or as it was before: written beside, flushed to disk, renamed over. A new one
    is its owner's alone.

    What is no ordinary file (a pipe, a device) is written to as it stands: renaming over it would
    destroy it. BenchError where the path cannot be written.
    """
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            path.write_bytes(data)
        else:
            _replace(path.resolve(), data)
    except OSError as error:
        raise BenchError(
            "cannot be written: " + (error.strerror or str(error)), path, _right(error)
        ) from error


def to_stdout(data: bytes) -> None:
    """Bytes to standard output; a reader that has seen enough (``| head``) is no error."""
    stream = sys.stdout
    try:
        stream.flush()
        binary = getattr(stream, "buffer", None)
        if binary is None:  # replaced by a text stream, as test runners do
            stream.write(data.decode("utf-8"))
        else:
            binary.write(data)
        stream.flush()
    except OSError as error:
        # Windows says EINVAL where the others say EPIPE.
        if error.errno not in (errno.EPIPE, errno.EINVAL):
            raise BenchError(
                "cannot be written: " + (error.strerror or str(error)), "standard output"
            ) from error
        _silence(stream)


def _silence(stream: object) -> None:
    """Python flushes standard output once more when it ends; give it somewhere to go."""
    with contextlib.suppress(OSError, AttributeError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())  # type: ignore[attr-defined]


def _replace(path: Path, data: bytes) -> None:
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, "it is a folder")
    beside = path.with_name(f".{path.name[:100]}.{token_hex(4)}.new")
    try:
        with open(beside, "xb", opener=_private) as file:
            if path.exists():  # whoever was let in by hand stays let in
                beside.chmod(path.stat().st_mode & 0o777)
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _right(error: OSError) -> str:
    if error.errno == errno.EISDIR:
        return "name a file in it"
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return "the folder must exist"
    if error.errno == errno.ENOSPC:
        return "free some space and export again"
    return "choose a place you may write to"
