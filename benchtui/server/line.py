"""The line to the server: one session, one statement at a time, and what happens when it drops.

While it is down every question is answered at once with `NoLine`; a thread tries meanwhile to bring it back.
psycopg is imported here, when a shop is on a server, and nowhere else.
"""

import contextlib
import random
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.server.address import AT_THE_OTHER_END, WATCHFUL, checked, told
from benchtui.server.silence import Silence
from benchtui.store.presence import Gone

if TYPE_CHECKING:
    import psycopg

OLDEST = 14
TRIES = 6
"""So often is a statement made again that the server broke off for another's sake (40001, 40P01)."""
PAUSE = 1.0
"""Seconds between two tries to reach the server again."""
ANSWERED_WITHIN = 10.0
"""Seconds of silence in the midst of a statement after which the line has dropped: a server that hangs keeps
its connection, and no keepalive tells.
"""
SCREEN_WAITS = 3.0
"""The same for whoever draws the screen; longer than the server waits for a lock."""
SAVE_WAITS = 1.0
"""Seconds for which the screen waits for a statement that another thread asks, such as a save."""
AWAY = "the server cannot be reached: NOT SAVED"
SILENT = "the server does not answer"
Rows = list[tuple[Any, ...]]


class NoLine(Gone):
    """The server cannot be reached just now; what was asked may or may not have been done."""

    said = AWAY


class Line:
    """``name``: by which the server knows this bench's sessions. ``begin`` is called with every new session
    before anything else is asked; what it raises ends the session.
    """

    def __init__(self, address: str, name: str, begin: Callable[["psycopg.Connection[Any]"], None]) -> None:
        self.where = told(address)
        self.sessions = 0
        """How many sessions there were: what was held in an older one is lost."""
        self._address = checked(address)
        self._name = name
        self._begin = begin
        self.screen: threading.Thread | None = None
        """Who draws the screen, and so does not wait long."""
        self._turn = threading.RLock()
        self._session: psycopg.Connection[Any] | None = None
        self._silence = Silence(self._patience)
        self._why = "not opened yet"
        self._ended = threading.Event()
        self._caller: threading.Thread | None = None

    def open(self) -> None:
        """The first session. BenchError, in one line, where there is none to be had."""
        self._session = self._called()
        self.sessions += 1

    @property
    def up(self) -> bool:
        """Whether there is a session that answers, as far as is known."""
        return self._session is not None and not self.overdue

    @property
    def overdue(self) -> bool:
        """Whether a statement is under way that the screen waits for no longer: so a little before such a
        wait is over, that no second one follows it.
        """
        since = self._silence.since if self._session is not None else None
        return since is not None and time.monotonic() - since > 0.8 * SAVE_WAITS

    @property
    def why(self) -> str:
        """Why there is none."""
        return SILENT if self.overdue else self._why

    def ask(self, statement: str, values: Sequence[Any] | dict[str, Any] = ()) -> Rows:
        """One statement, which is one transaction: its rows. NoLine where it is not known what came of it;
        another BenchError where the server refused it.
        """
        return self.do(lambda session: _rows(session.execute(statement.encode(), values or None)))

    @contextlib.contextmanager
    def together(self) -> Iterator[Callable[..., Rows]]:
        """Several statements as one transaction that sees one moment of the shop."""
        with self._my_turn() as session, self._heeding(session), session.transaction():
            session.execute(b"SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
            yield lambda statement, values=(): _rows(session.execute(statement.encode(), values or None))

    def heard(self) -> list[str]:
        """What the server called out since this was asked last; never waits, and tells nothing while a
        statement is under way.
        """
        if self._session is None or not self._turn.acquire(blocking=False):
            return []
        try:
            calls: list[str] = []
            with contextlib.suppress(BenchError), self._heeding(self._session):
                calls += [call.payload for call in self._session.notifies(timeout=0)]
            return calls
        finally:
            self._turn.release()

    def bring_back(self) -> bool:
        """Whether there is a session that answers; where there is none, a thread calls the server."""
        if (
            self._session is None
            and not self._ended.is_set()
            and (self._caller is None or not self._caller.is_alive())
        ):
            self._caller = threading.Thread(target=self._call_until_there, name="benchtui-line", daemon=True)
            self._caller.start()
        return self.up

    def close(self) -> None:
        """Ends the session; one that does not answer is left to whoever waits for it."""
        self._ended.set()
        if self.overdue:
            return
        with self._turn:
            session, self._session = self._session, None
            if session is not None:
                with contextlib.suppress(Exception):
                    session.close()

    def do(self, work: Callable[["psycopg.Connection[Any]"], Rows]) -> Rows:
        """Some work with the session, made again where the server broke it off for another's sake."""
        for attempt in range(TRIES):
            with self._my_turn() as session:
                try:
                    with self._heeding(session):
                        return work(session)
                except TryAgain:
                    if attempt == TRIES - 1:
                        raise
            time.sleep(random.uniform(0.001, 0.01) * (attempt + 1))
        raise AssertionError("not reached")

    @contextlib.contextmanager
    def _my_turn(self) -> Iterator["psycopg.Connection[Any]"]:
        """The session, for one thread at a time. NoLine where there is none, or it does not answer."""
        waits = self.soon() if self._is_screen() else ANSWERED_WITHIN
        if self.overdue or not self._turn.acquire(timeout=waits):
            raise NoLine(SILENT, self.where)
        try:
            if self._session is None:
                raise NoLine(self._why, self.where)
            yield self._session
        finally:
            self._turn.release()

    def soon(self) -> float:
        """Seconds for which the screen still waits for a statement that another thread asks."""
        return 0 if self.overdue else SAVE_WAITS

    def _patience(self) -> float:
        return SCREEN_WAITS if self._is_screen() else ANSWERED_WITHIN

    def _is_screen(self) -> bool:
        return threading.current_thread() is self.screen

    @contextlib.contextmanager
    def _heeding(self, session: "psycopg.Connection[Any]") -> Iterator[None]:
        """What goes wrong with the session, as ours."""
        import psycopg

        try:
            yield
        except (psycopg.errors.SerializationFailure, psycopg.errors.DeadlockDetected) as error:
            raise TryAgain(_first_line(error), self.where) from error
        except psycopg.Error as error:
            if session.closed or session.broken:
                self._lost(_first_line(error))
                raise NoLine(self._why, self.where) from error
            raise Refused(f"the server refuses it ({_first_line(error)})", self.where) from error
        except BenchError:
            raise
        except BaseException:  # a key that stops the program in the midst of a statement
            if session.closed or session.broken:
                self._lost("broken off")
            raise

    def _lost(self, why: str) -> None:
        self._session, self._why = None, why
        self.bring_back()

    def _call_until_there(self) -> None:
        while not self._ended.is_set():
            try:
                session = self._called()
            except BenchError as error:
                self._why = error.what
                self._ended.wait(PAUSE)
                continue
            with self._turn:
                if self._ended.is_set():
                    session.close()
                else:
                    self._session = session
                    self.sessions += 1
            return

    def _called(self) -> "psycopg.Connection[Any]":
        try:
            import psycopg
            from psycopg.conninfo import conninfo_to_dict
        except ImportError as error:
            right = "install what it needs: pip install 'benchtui[server]'"
            raise BenchError(f"a shop on a server cannot be opened ({error})", self.where, right) from error

        try:
            given = conninfo_to_dict(self._address)
            mine = {name: value for name, value in WATCHFUL.items() if name not in given}
            session = psycopg.connect(
                self._address,
                autocommit=True,
                application_name=self._name,
                **mine,  # type: ignore[arg-type]
            )
        except psycopg.Error as error:
            raise BenchError(_first_line(error), self.where, _right(error)) from error
        self._silence.heed(session)
        try:
            with self._heeding_first():
                _checked_session(session, self.where)
                for name, value in AT_THE_OTHER_END.items():
                    session.execute("SELECT set_config(%s, %s, false)", (name, value))
                self._begin(session)
        except BaseException:
            session.close()
            raise
        return session

    @contextlib.contextmanager
    def _heeding_first(self) -> Iterator[None]:
        import psycopg

        try:
            yield
        except psycopg.Error as error:
            raise BenchError(f"the server refuses it ({_first_line(error)})", self.where) from error


class Refused(BenchError):  # noqa: N818  (named for what the server did)
    """The server will not do it; nothing was done."""


class TryAgain(BenchError):  # noqa: N818  (named for what is to be done)
    """The server broke it off for another's sake; nothing was done."""


def _checked_session(session: "psycopg.Connection[Any]", where: str) -> None:
    """BenchError for a server too old, or a session that is not ours alone."""
    if session.info.server_version < OLDEST * 10_000:
        said = f"the server is PostgreSQL {session.info.server_version // 10_000}, which is too old"
        raise BenchError(said, where, f"use PostgreSQL {OLDEST} or newer")
    pid = session.execute("SELECT pg_backend_pid()").fetchone()
    if pid is None or pid[0] != session.info.backend_pid:
        said = "there is a connection pooler before the server, and a parcel needs a session of its own"
        raise BenchError(said, where, "use the server's own port")


def _rows(cursor: "psycopg.Cursor[Any]") -> Rows:
    return cursor.fetchall() if cursor.description else []


def _first_line(error: Exception) -> str:
    """What the server or its library says, without the server's hints and addresses of a second try."""
    primary = getattr(getattr(error, "diag", None), "message_primary", None)
    lines = [line.strip() for line in str(primary or error).splitlines() if line.strip()]
    return (lines[0] if lines else type(error).__name__)[:300]


def _right(error: Exception) -> str:
    """What is to be done about a server that lets nobody in."""
    said = str(error)
    if "password" in said:
        return "use a password file (PGPASSFILE, or ~/.pgpass with mode 600), or a service file"
    if "does not exist" in said and "database" in said:
        return "name an existing database; whoever runs the server makes one with: createdb NAME"
    if "role" in said and "does not exist" in said:
        return "name a role of that server: postgresql://ROLE@host/database"
    return "check that a server runs there and lets you in"
