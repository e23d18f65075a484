"""The terminal under the bench: the end from outside, and bytes that are no text.

A hang-up, a kill that asks, Ctrl-C as a signal: everything accepted is on the disk already, and so is the
open line. What is left to do is to give the terminal back as it was and to let go of the parcel.
"""

import asyncio
import os
import signal
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING

from benchtui.base.errors import BenchError

if TYPE_CHECKING:
    from textual.driver import Driver

OTHER_PAGE = "\x1b[?1049h"

NAMES = ("SIGHUP", "SIGTERM", "SIGINT")
HUNG_UP = 128 + 1
PATIENCE = 5.0
"""Seconds until the process ends by force; a terminal that has gone may never take a byte."""
Leave = Callable[[int], None]


def need_terminal() -> None:
    """BenchError where there is no terminal to read keys from and to draw on."""
    streams = (sys.__stdin__, sys.__stderr__)  # where Textual reads and draws
    if not all(stream is not None and stream.isatty() for stream in streams):
        raise BenchError("there is no terminal here", "", "'benchtui play KEYS' needs none")


def quiet_streams() -> None:
    """What is printed from here on goes nowhere: Python's last flush would fail where the terminal has gone,
    and change the exit code to 120.
    """
    with suppress(OSError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (1, 2):
            os.dup2(nowhere, stream)


def heed_signals(leave: Leave) -> None:
    """From now on each of the signals calls ``leave`` with the exit code shells give it, 128 + its number."""
    loop = asyncio.get_running_loop()
    for name in NAMES:
        number = getattr(signal, name, None)
        if number is not None:
            with suppress(NotImplementedError, RuntimeError, ValueError):  # Windows; not the main thread
                loop.add_signal_handler(number, end, leave, 128 + number)


def end(leave: Leave, code: int) -> None:
    """Leave, and end the process by force where that takes too long."""
    last = threading.Timer(PATIENCE, os._exit, (code,))
    last.daemon = True
    last.start()
    leave(code)


def hardened(driver: "type[Driver]", leave: Leave, entered: bool = False) -> "type[Driver]":
    """The terminal's driver, but for bytes that are no UTF-8, which are passed over, and a terminal that has
    gone, which is a hang-up. Textual's own ends the program for both. ``entered``: the first screen stands on
    the terminal's other page already, which going there once more would wipe.
    """
    if not hasattr(driver, "run_input_thread") or not hasattr(driver, "_run_input_thread"):
        return driver  # Windows, or none

    class Hardened(driver):  # type: ignore[valid-type, misc]
        def _run_input_thread(self) -> None:
            while not self.exit_event.is_set():
                try:
                    self.run_input_thread()
                except UnicodeDecodeError:
                    continue
                except OSError:
                    self._app.call_later(end, leave, HUNG_UP)
                    return

        def write(self, data: str) -> None:
            if not (entered and data == OTHER_PAGE):
                super().write(data)

    return Hardened
