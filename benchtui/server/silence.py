"""How long an answer is waited for: a server that hangs keeps its connection, and no keepalive tells."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import psycopg
    from psycopg.abc import RV, PQGen


class Silence:
    """Ends a session, as if the line had dropped, when nothing came or went for ``patience()`` seconds while
    an answer was waited for.
    """

    def __init__(self, patience: Callable[[], float]) -> None:
        self.since: float | None = None
        """When the statement under way was last heard of (monotonic); None where none is under way."""
        self._patience = patience

    def heed(self, session: "psycopg.Connection[Any]") -> None:
        """From now on that session's waits are watched, but those that may end without an answer."""
        own = session.wait

        def wait(gen: "PQGen[RV]", interval: float = 0.1, timeout: float | None = None) -> "RV":
            if timeout is not None:
                return own(gen, interval, timeout)
            try:
                return own(self._in_time(session, gen), interval)
            finally:
                self.since = None

        session.wait = wait  # type: ignore[method-assign]

    def _in_time(self, session: "psycopg.Connection[Any]", gen: "PQGen[RV]") -> "PQGen[RV]":
        """The same steps; OperationalError, and the session is closed, where the other end is silent."""
        import psycopg

        patience = self._patience()
        self.since = heard = time.monotonic()
        try:
            wants = next(gen)
            while True:
                ready = yield wants
                if ready:
                    self.since = heard = time.monotonic()
                elif time.monotonic() - heard > patience:
                    session.close()
                    raise psycopg.OperationalError("the server does not answer")
                wants = gen.send(ready)
        except StopIteration as end:
            value: RV = end.value
            return value
