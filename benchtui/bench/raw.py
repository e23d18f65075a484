"""The terminal raw and without echo, from the first moment of a start to the last of an end.

Keys pressed while the program still loads must not be echoed, edited by the kernel or turned into signals:
they wait, in order, and the bench takes them when it is up. The attributes that the terminal had are kept
here, and given back at every end, failure and suspension; Textual never sees the terminal's own (`terminal`).
"""

import atexit
import os
import select
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any, NoReturn

if sys.platform != "win32":
    import termios
    import tty

_ENDS = ("SIGTERM", "SIGHUP", "SIGINT")


class RawTerminal:
    """The terminal on standard input. Where there is none, and on Windows, nothing is done."""

    def __init__(self) -> None:
        self._before: list[Any] | None = None
        self._ahead = b""

    def take(self) -> None:
        """Raw and without echo; again after each `give_back`. What was typed before the first is kept."""
        if sys.platform == "win32" or (handle := handle_of_keys()) is None:
            return
        with suppress(termios.error):
            now = termios.tcgetattr(handle)
            first = self._before is None
            if first:
                self._before = [*now[:6], list(now[6])]
                atexit.register(self.give_back)
            now[tty.LFLAG] &= ~(termios.ECHO | termios.ICANON | termios.IEXTEN | termios.ISIG)
            now[tty.IFLAG] &= ~(
                termios.IXON | termios.IXOFF | termios.ICRNL | termios.INLCR | termios.IGNCR
            )  # no key is kept back or changed
            now[tty.CC][termios.VMIN], now[tty.CC][termios.VTIME] = 1, 0
            termios.tcsetattr(handle, termios.TCSANOW, now)
            if first:
                self._ahead = self._typed_ahead(handle)

    def give_back(self) -> None:
        """The terminal as it was before the first `take`; what was typed and not read is dropped."""
        handle = handle_of_keys()
        if sys.platform != "win32" and self._before is not None and handle is not None:
            with suppress(termios.error):
                termios.tcflush(handle, termios.TCIFLUSH)
                termios.tcsetattr(handle, termios.TCSANOW, self._before)

    def ahead(self) -> bytes:
        """What was typed before the terminal was raw; asked for once."""
        ahead, self._ahead = self._ahead, b""
        return ahead

    def _typed_ahead(self, handle: int) -> bytes:
        """As the keys that were pressed: a line mode turns Enter into a newline, and Ctrl-D into a nought."""
        typed = b""
        while select.select([handle], [], [], 0)[0] and (data := os.read(handle, 4096)):
            typed += data
        end_of_file = self._before[tty.CC][termios.VEOF] if self._before else b"\x04"
        return typed.replace(b"\n", b"\r").replace(b"\0", end_of_file)


TERMINAL = RawTerminal()


def handle_of_keys() -> int | None:
    """The file handle that keys come from; None where standard input is no terminal."""
    with suppress(AttributeError, OSError, ValueError):  # closed, or replaced by something without a handle
        handle = sys.__stdin__.fileno()  # type: ignore[union-attr]
        return handle if os.isatty(handle) else None
    return None


@contextmanager
def raw_terminal() -> Iterator[None]:
    """The terminal raw while inside. A signal to end gives it back, and so does Ctrl-Z from outside."""
    if sys.platform == "win32" or handle_of_keys() is None:
        yield
        return
    for name in _ENDS:
        signal.signal(getattr(signal, name), _end)
    signal.signal(signal.SIGTSTP, _stop)
    signal.signal(signal.SIGCONT, _go_on)
    TERMINAL.take()
    try:
        yield
    finally:
        TERMINAL.give_back()


def _end(number: int, frame: FrameType | None) -> NoReturn:
    raise SystemExit(128 + number)


def _stop(number: int, frame: FrameType | None) -> None:
    TERMINAL.give_back()
    os.kill(os.getpid(), signal.SIGSTOP)


def _go_on(number: int, frame: FrameType | None) -> None:
    TERMINAL.take()
