"""Housekeeping while nobody presses a key, Python's garbage collection first of all."""

import asyncio
import gc
from collections.abc import Callable

REST = 0.25
"""Seconds without a key after which the bench is at rest."""
AT_MOST = 100_000
"""New objects after which the collector runs all the same; a key makes some thousands."""
WHOLE_EVERY = 20


class Tidy:
    """The collector of a process that is all the app's own. Made once its lists and books are loaded: a
    collector that walks through those again and again stops the screen. ``also`` is done at each rest.
    """

    def __init__(self, also: Callable[[], None]) -> None:
        self._also = also
        gc.freeze()  # without looking through it first: nothing made at a start is waste
        gc.set_threshold(AT_MOST, 20, 100)
        self._next: asyncio.TimerHandle | None = None
        self._rests = 0

    def key_pressed(self) -> None:
        """Wait for a rest from here on."""
        if self._next is not None:
            self._next.cancel()
        self._next = asyncio.get_running_loop().call_later(REST, self._rest)

    def _rest(self) -> None:
        self._next = None
        self._rests += 1
        gc.collect(2 if self._rests % WHOLE_EVERY == 0 else 1)
        self._also()
