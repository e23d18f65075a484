"""Who has what: locks that the server frees when a bench is gone, a token that outlives them, the line."""

import contextlib
import time
from collections.abc import Iterable

from benchtui.base.errors import BenchError
from benchtui.server.address import number_of
from benchtui.server.line import NoLine, Refused
from benchtui.server.session import Session
from benchtui.store.lock import Held
from benchtui.store.saved_position import SavedPosition

_HOLDER = """
SELECT who, since FROM benches JOIN pg_stat_activity ON application_name = 'benchtui ' || bench
JOIN pg_locks USING (pid) WHERE locktype = 'advisory' AND granted AND objsubid = 1
AND ((classid::bigint << 32) | objid::bigint) = %s LIMIT 1"""


class ServerLock:
    """An advisory lock of the session. A parcel's is taken with a new token: whoever had it before, and does
    not know yet that the line dropped, can save nothing more.
    """

    def __init__(self, session: Session, kind: str, name: str) -> None:
        self._session = session
        self._kind, self._name = kind, name
        self._number = number_of(session.mark, kind, name)
        self._in_session = 0

    def take(self, note: str = "") -> None:
        """The lock at once, or Held."""
        mine = self._session.locks.get(self._number) == self._session.line.sessions
        if mine or not self._session.line.ask("SELECT pg_try_advisory_lock(%s)", (self._number,))[0][0]:
            raise self._held()
        self._taken()

    def wait(self, seconds: float = 10.0) -> None:
        """The lock, as soon as it is free; Held after so long. The server itself waits less for a lock."""
        end = time.monotonic() + seconds
        while True:
            try:
                self._session.line.ask("SELECT pg_advisory_lock(%s)", (self._number,))
                return self._taken()
            except Refused as refused:
                if time.monotonic() > end:
                    raise self._held() from refused

    def keep(self) -> None:
        """Takes it again in a new session; Held where another bench was quicker."""
        if self._in_session != self._session.line.sessions or not self._session.line.up:
            self._in_session = 0
            self.take()

    def note(self, position: SavedPosition) -> None:
        """The server's own log tells how far it goes."""

    def free(self) -> None:
        """Lets go."""
        if self._in_session and self._in_session == self._session.line.sessions:
            with contextlib.suppress(BenchError):
                self._session.line.ask("SELECT pg_advisory_unlock(%s)", (self._number,))
            self._session.locks.pop(self._number, None)
        self._in_session = 0

    def _taken(self) -> None:
        self._in_session = self._session.locks[self._number] = self._session.line.sessions
        if self._kind == "parcel":
            counted = self._session.line.ask(
                "UPDATE kept SET token = token + 1 WHERE name = %s RETURNING token", (self._name,)
            )
            self._session.tokens[self._name] = counted[0][0] if counted else 1
        elif self._kind in ("shop", "titles"):
            for row in self._session.line.ask("SELECT revision FROM kept WHERE name = %s", (self._name,)):
                self._session.note(self._kind, self._name, row[0])

    def _held(self) -> Held:
        found = self._session.line.ask(_HOLDER, (self._number,))
        who, since = found[0] if found else ("another bench", "a while ago")
        said = f"{who} has it since {since}"
        right = "close it there first, or open it here for reading"
        return Held(said, self._session.line.where, right, who, since)


class ServerPresence:
    """Whether the server can be reached."""

    def __init__(self, session: Session) -> None:
        self._session = session

    over_line = True

    @property
    def gone(self) -> bool:
        """Whether the line is down, as far as is known."""
        return not self._session.line.up

    def hold(self, known: str) -> None:
        """The session knows its shop by its mark."""

    def check(self) -> None:
        """NoLine, and the server is called again meanwhile."""
        if not self._session.line.bring_back():
            raise NoLine(self._session.line.why, self._session.line.where)

    def is_there(self) -> bool:
        """The same as an answer."""
        return self._session.line.bring_back()

    def free(self) -> None:
        """Nothing is held for it."""


class ServerWatch:
    """The revisions of all parcels, as the server calls them out."""

    def __init__(self, session: Session) -> None:
        self.pause = 0.0
        self._session = session
        self._seen = -1

    def look(self, live: Iterable[str]) -> tuple[dict[str, str], bool]:
        """All of them where any changed; asks nothing."""
        self._session.hear()
        changed, self._seen = self._session.news != self._seen, self._session.news
        if not changed:
            return {key: self.one(key) for key in live}, False
        return {key: self.one(key) for key in self._session.parcels}, True

    def one(self, key: str) -> str:
        """Its revision, and which shop's."""
        return f"{self._session.mark} {self._session.parcels.get(key, 0)}"

    def forget(self) -> None:
        """The next look is at all of them."""
        self._seen = -1
