"""Operating system locks on side files, whose text says who holds them."""

import contextlib
import getpass
import os
import platform
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from benchtui.base.errors import BenchError
from benchtui.store.files import Files
from benchtui.store.saved_position import SavedPosition, position_in, position_line

_HANDLES: set[int] = set()


def _let_go_in_child() -> None:
    """A forked child (an indexer, say) must not hold the locks on when its parent has died."""
    while _HANDLES:
        with contextlib.suppress(OSError):
            os.close(_HANDLES.pop())


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_let_go_in_child)


class Held(BenchError):  # noqa: N818  (named for the state it tells)
    """Somebody else has the lock: ``who`` and ``since`` (ISO time, UTC) as they wrote it down."""

    def __init__(self, what: str, where: str | Path, right: str, who: str, since: str) -> None:
        self.who = who
        self.since = since
        super().__init__(what, where, right)


class ParcelHeld(Held):
    """The parcel is open on another bench."""


def now() -> str:
    """The present moment, ISO 8601 in UTC to the second."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def whoami() -> str:
    """This process in words: user, machine, process id."""
    try:
        user = getpass.getuser()
    except (OSError, KeyError, ImportError):
        user = "somebody"
    return f"{user} on {platform.node() or 'this machine'} (process {os.getpid()})"


class HeldLock(Protocol):
    """What one bench has and no other, in a folder or on a server."""

    def take(self, note: str = "") -> None:
        """The lock at once, or Held. One left by a dead process is free."""

    def wait(self, seconds: float = 10.0) -> None:
        """The lock, as soon as it is free; Held after ``seconds``."""

    def keep(self) -> None:
        """Takes it again where it was lost meanwhile; Held where somebody else has it now."""

    def note(self, position: SavedPosition) -> None:
        """Notes beside it how far a file goes, where that can be cut short from outside."""

    def free(self) -> None:
        """Lets go."""


class Lock:
    """One side file. The file stays when the lock goes: a vanished lock file would let two benches in."""

    def __init__(self, path: Path, files: Files, clock: Callable[[], str] = now) -> None:
        self.path = path
        self._files = files
        self._clock = clock
        self._handle: int | None = None
        self._position = self._who = self._said = ""

    def take(self, note: str = "") -> None:
        """The lock at once, or Held. One left by a dead process is free: the system let go of it."""
        try:
            self._files.make_folder(self.path.parent)
            self._handle = self._files.lock(self.path)
        except BlockingIOError as error:
            who, since = self.holder()
            said = f"{who} has it since {since}"
            raise Held(
                said, self.path, "close it there first, or open it here for reading", who, since
            ) from error
        except OSError as error:
            right = "use a folder you can write to, with working locks (some network folders have none)"
            raise BenchError(f"no lock is possible: {error.strerror or error}", self.path, right) from error
        _HANDLES.add(self._handle)
        self._said = note
        self._who = f"who: {whoami()}\nsince: {self._clock()}\n{note}"
        with contextlib.suppress(OSError):
            old = position_in(self._files.read(self.path).decode("utf-8", "replace"))
            self._position = position_line(old) if old else ""
        self._mark()

    def keep(self) -> None:
        """Takes the lock again where its file is another one now: the folder went away and came back.

        Held where somebody else took it meanwhile; it is then ours no longer until this succeeds.
        """
        with contextlib.suppress(OSError):
            if self._handle is not None and self._files.is_at(self._handle, self.path):
                return
        self.free()
        self.take(self._said)

    def note(self, position: SavedPosition) -> None:
        """Writes beside the holder how far the file just saved goes. Nothing where it is not held."""
        self._position = position_line(position)
        self._mark()

    def _mark(self) -> None:
        if self._handle is not None:
            with contextlib.suppress(OSError):  # on a full disk the lock holds all the same
                self._files.mark(self._handle, (self._position + self._who).encode())

    def wait(self, seconds: float = 10.0) -> None:
        """The lock, as soon as it is free; Held after ``seconds``."""
        until = time.monotonic() + seconds
        pause = 0.001
        while True:
            try:
                return self.take()
            except Held:
                if time.monotonic() > until:
                    raise
            time.sleep(pause)
            pause = min(pause * 1.5, 0.02)

    def holder(self) -> tuple[str, str]:
        """Who and since when, as the lock file says; "another bench" where it cannot be read."""
        try:
            lines = self._files.read(self.path).decode("utf-8", "replace").splitlines()
        except OSError:
            lines = []
        said = dict(line.strip().split(": ", 1) for line in lines if ": " in line)
        return said.get("who", "another bench"), said.get("since", "a while ago")

    def free(self) -> None:
        """Lets go. Closing the handle is what frees it, on every platform."""
        if self._handle is not None:
            handle, self._handle = self._handle, None
            _HANDLES.discard(handle)
            with contextlib.suppress(OSError):
                self._files.close(handle)
