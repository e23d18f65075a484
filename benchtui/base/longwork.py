"""Work of the command line that takes a while: a bar where somebody sees it, Ctrl-C that leaves nothing half.

The work is handed a function to call with the share done, 0 to 1, every few milliseconds. Ctrl-C makes the
next such call raise ``Stopped``, so that the work ends between two steps, where it can clear up; a second
Ctrl-C ends it at once.
"""

import os
import shutil
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any, TextIO

Progress = Callable[[float], object]
AFTER = 0.5
"""Seconds before a bar appears: what is over sooner needs none."""
EVERY = 0.1
LONGEST = 40


class Stopped(KeyboardInterrupt):
    """Stopped by the user. ``args[0]``: what became of it, for the one line that says so."""

    def __str__(self) -> str:
        return str(self.args[0])


class Bar:
    """A bar on one line of a terminal: ``backup [#######...........]  38 %``; elsewhere nothing."""

    def __init__(
        self, what: str, stream: TextIO | None = None, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._what, self._clock = what, clock
        self._stream = sys.stderr if stream is None else stream
        self._seen = _is_seen(self._stream)
        self._start = self._drawn_at = clock()
        self._drawn = ""

    def show(self, done: float) -> None:
        """So much is done; drawn after a while, and then a few times a second; all of it: gone again."""
        if done >= 1:
            self.wipe()
            return
        now = self._clock()
        if not self._seen or now - self._start < AFTER or (self._drawn and now - self._drawn_at < EVERY):
            return
        text = self._text(min(1.0, max(0.0, done)))
        self._drawn_at = now
        if text != self._drawn:
            self._put(text)

    def _text(self, done: float) -> str:
        columns = shutil.get_terminal_size().columns
        room = min(LONGEST, columns - len(self._what) - 11)
        if room < 4:
            return f"{done * 100:3.0f} %"[: max(1, columns - 1)]
        full = int(done * room)
        return f"{self._what} [{'#' * full}{'.' * (room - full)}] {done * 100:3.0f} %"

    def _put(self, text: str) -> None:
        self._stream.write("\r" + text + " " * (len(self._drawn) - len(text)))
        self._stream.flush()
        self._drawn = text

    def wipe(self) -> None:
        """Leave the line as it was."""
        if self._drawn:
            self._put("")
            self._stream.write("\r")
            self._stream.flush()
            self._drawn = ""


@contextmanager
def waiting(words: str, stream: TextIO | None = None, after: float = AFTER) -> Iterator[None]:
    """Says what is waited for, on a terminal and after a while, where the work cannot tell how far it is."""
    stream = sys.stderr if stream is None else stream
    if not _is_seen(stream):
        yield
        return
    said: list[str] = []

    def say() -> None:
        said.append(words[: max(1, shutil.get_terminal_size().columns - 1)])
        stream.write("\r" + said[0])
        stream.flush()

    timer = threading.Timer(after, say)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        if said:
            stream.write("\r" + " " * len(said[0]) + "\r")
            stream.flush()


def _is_seen(stream: TextIO) -> bool:
    return stream.isatty() and os.environ.get("TERM") != "dumb"


@contextmanager
def long_work(what: str, left: str) -> Iterator[Progress]:
    """The function to call with the share done. ``left``: what is said to be so once it was stopped.

    Raises Stopped from that function after Ctrl-C. Work that comes to its end first is done, and counts.
    """
    bar = Bar(what)
    asked: list[int] = []

    def heard(number: int, frame: FrameType | None) -> None:
        if asked:
            raise Stopped(left)
        asked.append(number)

    def step(done: float) -> None:
        if asked:
            raise Stopped(left)
        bar.show(done)

    before = _listen(heard)
    try:
        yield step
    finally:
        bar.wipe()
        if before is not None:
            signal.signal(signal.SIGINT, before)


def _listen(heard: Callable[[int, FrameType | None], None]) -> Any:
    """Takes Ctrl-C over; what held before. None where it is to be ignored, and beside the main thread."""
    if threading.current_thread() is not threading.main_thread():
        return None
    if signal.getsignal(signal.SIGINT) in (signal.SIG_IGN, None):
        return None
    return signal.signal(signal.SIGINT, heard)
