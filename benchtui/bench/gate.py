"""The gate between the terminal and Textual: a thread reads the keys, and passes on what is safe.

What comes faster than the bench can take it waits here as bytes, not as events of Textual's; when it is more
text than a hand types ahead, it is a paste that the terminal did not mark as one, and is handed over as one.
"""

import fcntl
import os
import select
import termios
import threading
import time
from array import array
from collections import deque
from collections.abc import Callable
from contextlib import suppress

from benchtui.bench.keystream import MOST_PASTED, KeyStream, paste_of

AT_ONCE = 256
"""Bytes of keys that are passed on before the bench has taken those before."""
FLOOD = 4096
"""Signs of text that wait for the bench, above which they are a paste."""
FLOOD_ENDS = 0.2
"""Seconds of silence after which such a paste is over."""
LOOK_AGAIN, SETTLE = 0.005, 0.02


class Gate:
    """``fileno`` is what Textual reads in place of the terminal; ``gone`` is called when that has gone."""

    def __init__(self, terminal: int, gone: Callable[[], None]) -> None:
        self.fileno, self._out = os.pipe()
        self._wake, self._waker = os.pipe()
        os.set_blocking(self._out, False)
        self._terminal, self._gone = terminal, gone
        self._keys = KeyStream()
        self._units: deque[bytes] = deque()
        self._signs = 0
        self._flood: bytearray | None = None
        self._flooded = 0.0
        self._rest = b""
        self._thread: threading.Thread | None = None
        self._stopped = threading.Event()

    def start(self, ahead: bytes) -> None:
        """Read from now on, after what was typed ahead."""
        self._stopped.clear()
        if ahead:
            self._take(ahead, apart=True)
        self._thread = threading.Thread(target=self._run, name="bench-keys", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Leave the terminal alone; what was read and not passed on waits for the next start."""
        thread, self._thread = self._thread, None
        if thread is not None:
            self._stopped.set()
            os.write(self._waker, b"!")
            thread.join()
            os.read(self._wake, 1)

    def _run(self) -> None:
        apart = True  # what lies there has been waiting
        while not self._stopped.is_set():
            writing = [self._out] if self._rest else []
            patience = 0 if apart else self._patience()
            ready, _, _ = select.select([self._terminal, self._wake], writing, [], patience)
            if self._terminal in ready:
                try:
                    data = os.read(self._terminal, 1 << 16)
                except OSError:
                    data = b""
                if not data:
                    self._gone()
                    return
                self._take(data, apart)
            else:
                self._settle()
            apart = False
            self._pass_on()

    def _patience(self) -> float | None:
        """Seconds until something is to be done though no key comes."""
        if self._units:
            return LOOK_AGAIN
        return SETTLE if self._keys.is_waiting or self._flood is not None else None

    def _take(self, data: bytes, apart: bool) -> None:
        now = time.monotonic()
        if self._flood is not None:
            self._flood += data[: max(0, MOST_PASTED + 1 - len(self._flood))]
            self._flooded = now
            return
        self._put(self._keys.feed(data, now, apart))
        if self._signs > FLOOD:
            self._flood, self._flooded = bytearray(b"".join(self._units)), now
            self._units.clear()
            self._signs = 0

    def _settle(self) -> None:
        now = time.monotonic()
        self._put(self._keys.settle(now))
        if self._flood is not None and now - self._flooded >= FLOOD_ENDS:
            self._units.append(paste_of(bytes(self._flood)))
            self._flood = None

    def _put(self, units: list[bytes]) -> None:
        self._units.extend(units)
        self._signs += sum(map(_is_text, units))

    def _pass_on(self) -> None:
        """Keys a few at a time, a paste as fast as it goes."""
        if not self._rest and self._units and not self._unread():
            while self._units and len(self._rest) < AT_ONCE:
                unit = self._units.popleft()
                self._signs -= _is_text(unit)
                self._rest += unit
        with suppress(BlockingIOError):
            while self._rest:
                self._rest = self._rest[os.write(self._out, self._rest[: 1 << 16]) :]

    def _unread(self) -> int:
        """Bytes that Textual has not read yet."""
        count = array("i", [0])
        fcntl.ioctl(self.fileno, termios.FIONREAD, count)
        return count[0]


def _is_text(unit: bytes) -> bool:
    return unit[0] != 0x1B
