"""The terminal under the bench: the end from outside, and bytes that are no text.

A hang-up, a kill that asks, Ctrl-C as a signal: everything accepted is on the disk already, and so is the
open line. What is left to do is to give the terminal back as it was and to let go of the parcel.
"""

import asyncio
import os
import signal
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.bench.raw import TERMINAL, handle_of_keys

if sys.platform != "win32":
    from benchtui.bench.gate import Gate  # needs a POSIX terminal

if TYPE_CHECKING:
    from textual.driver import Driver
    from textual.message import Message

NAMES = ("SIGHUP", "SIGTERM", "SIGINT")
HUNG_UP = 128 + 1
PATIENCE = 20.0
"""Seconds until the process ends by force; a terminal that has gone may never take a byte."""
AT_A_TIME = 32
"""Keys that Textual is handed before the app has taken those before."""
LOOK_AGAIN = 0.005
Leave = Callable[[int], None]


def need_terminal() -> None:
    """BenchError where there is no terminal to read keys from and to draw on."""
    streams = (sys.__stdin__, sys.__stderr__)  # where Textual reads and draws
    if not all(stream is not None and stream.isatty() for stream in streams):
        raise BenchError("there is no terminal here", "", "use 'benchtui play KEYS', which needs none")


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
    last = threading.Timer(PATIENCE, _end_by_force, (code,))
    last.daemon = True
    last.start()
    leave(code)


def _end_by_force(code: int) -> None:
    TERMINAL.give_back()
    os._exit(code)


def hardened(driver: "type[Driver]", leave: Leave, backlog: Callable[[], int]) -> "type[Driver]":
    """The terminal's driver, but that a `Gate` reads the keys for it, and `TERMINAL` keeps the attributes.

    What a terminal may send by mistake neither ends nor deafens the bench, keys pressed before it was up are
    taken in order, a terminal that has gone is a hang-up. ``leave`` is called with the exit code then;
    ``backlog`` tells how many messages the app has not taken yet: keys are read only as it keeps up.
    """
    if sys.platform == "win32" or not hasattr(driver, "run_input_thread"):
        return driver

    class Hardened(driver):  # type: ignore[valid-type, misc]
        def __init__(self, *given: Any, **named: Any) -> None:
            super().__init__(*given, **named)
            self._bench_loop = asyncio.get_running_loop()
            self._stop_and_wake_between_steps()
            self._gate = Gate(handle_of_keys() or 0, self._terminal_gone)
            self.fileno = self._gate.fileno
            self._keys_sent = 0
            self._started = False

        def _stop_and_wake_between_steps(self) -> None:
            """Textual's handlers break into whatever runs, even into a start that is half done."""
            with suppress(NotImplementedError, RuntimeError, ValueError):  # not the main thread
                self._bench_loop.add_signal_handler(signal.SIGTSTP, self._sigtstp_application)
                self._bench_loop.add_signal_handler(signal.SIGCONT, self._sigcont_application)

        def start_application_mode(self) -> None:
            if self._started:  # woken from a stop that nobody told us of
                self.suspend_application_mode()
            self._started = True
            TERMINAL.take()
            super().start_application_mode()
            self._gate.start(TERMINAL.ahead())

        def stop_application_mode(self) -> None:
            self._started = False
            self._gate.stop()
            super().stop_application_mode()
            TERMINAL.give_back()

        def process_message(self, message: "Message") -> None:
            """Called in the thread that reads: it waits while the app has enough to do."""
            super().process_message(message)
            self._keys_sent += 1
            if self._keys_sent % AT_A_TIME == 0:
                with suppress(RuntimeError):  # the loop has ended
                    self._wait_for_app()

        def _wait_for_app(self) -> None:
            while not self.exit_event.is_set():
                seen = asyncio.run_coroutine_threadsafe(_nothing(), self._bench_loop)
                with suppress(TimeoutError):
                    seen.result(LOOK_AGAIN)
                if seen.done() and backlog() < AT_A_TIME:
                    return
                time.sleep(LOOK_AGAIN if seen.done() else 0)

        def _terminal_gone(self) -> None:
            with suppress(RuntimeError):
                self._bench_loop.call_soon_threadsafe(end, leave, HUNG_UP)

    return Hardened


async def _nothing() -> None:
    """Done once all that was asked of the loop before is done."""
