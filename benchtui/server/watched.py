"""A session that does not wait for ever: a server that hangs keeps its connection, and no keepalive tells.

Imported only with psycopg.
"""

import time
from collections.abc import Callable
from typing import Any

import psycopg
from psycopg.abc import RV, PQGen


class Watched(psycopg.Connection[Any]):
    """Ends itself, as if the line had dropped, when nothing came or went for ``patience()`` seconds while an
    answer was waited for.
    """

    patience: Callable[[], float] = staticmethod(lambda: 10.0)
    silent_since: float | None = None
    """When the statement under way was last heard of (monotonic); None where none is under way."""

    def wait(self, gen: PQGen[RV], interval: float = 0.1, timeout: float | None = None) -> RV:
        """As psycopg's own, for which ``timeout`` is of a question that may go unanswered."""
        if timeout is not None:
            return super().wait(gen, interval, timeout)
        try:
            return super().wait(self._in_time(gen), interval)
        finally:
            self.silent_since = None

    def _in_time(self, gen: PQGen[RV]) -> PQGen[RV]:
        """The same steps; OperationalError, and the session is closed, where the other end is silent."""
        patience, self.silent_since = self.patience(), time.monotonic()
        try:
            wants = next(gen)
            while True:
                ready = yield wants
                if ready:
                    self.silent_since = time.monotonic()
                elif time.monotonic() - self.silent_since > patience:
                    self.close()
                    raise psycopg.OperationalError("the server does not answer")
                wants = gen.send(ready)
        except StopIteration as end:
            value: RV = end.value
            return value
