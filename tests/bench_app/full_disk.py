"""A disk that can be full: made to fail (anywhere), or a really tiny one (where it may be mounted)."""

import errno
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from bench_hands import Clock, Hands

from benchtui.desk.session.resume import resume
from benchtui.desk.session.start import open_desk
from benchtui.store import Files, Shop


class FillingDisk(Files):
    """The real files of a folder; while ``full``, no byte more goes in.

    As on a full disk names can still be changed and files taken away. What others than the store write is
    stopped at its sync.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.full = False
        self.refused = 0
        monkeypatch.setattr(os, "fsync", lambda handle: self._room())

    def write(self, handle: int, data: bytes) -> int:
        if self.full and len(data) > 1:
            super().write(handle, data[: len(data) // 2])
        self._room()
        return super().write(handle, data)

    def mark(self, handle: int, text: bytes) -> None:
        self._room()
        super().mark(handle, text)

    def _room(self) -> None:
        if self.full:
            self.refused += 1
            raise OSError(errno.ENOSPC, "No space left on device")


def sit_down_on(path: Path, disk: Files, keymap: str | None = None) -> Hands:
    """At the shop with that disk under it."""
    desk, notice = open_desk(Shop.open(path, files=disk), keymap, Clock())
    resume(desk)
    if notice:
        desk.refuse(notice)
    return Hands(desk)


@contextmanager
def tiny_disk(folder: Path, kib: int) -> Iterator[Path]:
    """A file system of so many KiB at ``folder``; the test is skipped where none can be mounted."""
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={kib}k", "tmpfs", str(folder)]
    allowed = sys.platform == "linux" and shutil.which("mount") and os.geteuid() == 0
    if not allowed or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a file system can only be mounted here by the superuser of a Linux machine")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def fill_up(path: Path) -> None:
    """Takes what room there is, to the last byte."""
    handle = os.open(path, os.O_CREAT | os.O_WRONLY)
    try:
        for size in (4096, 1):
            try:
                while os.write(handle, b"x" * size):
                    pass
            except OSError as error:
                if error.errno != errno.ENOSPC:
                    raise
    finally:
        os.close(handle)
