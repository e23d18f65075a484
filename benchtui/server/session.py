"""One bench's part of the shop on the server: its session, what it holds, and how far its saves have got."""

import contextlib
import secrets
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from threading import Timer
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.server import schema
from benchtui.server.line import Line, Rows
from benchtui.store.lock import now, whoami

if TYPE_CHECKING:
    import psycopg

TELL_AFTER = 0.25
"""Seconds after which others are told of a key. The server lets only one transaction at a time call out, and
holds the next until it is on the disk: sixteen benches that call out at each key wait for one another.
"""
LEFT_FOR = 30
"""Days after which the row of a bench that never came back goes."""
POLL = 1.0
"""Seconds between two looks at what a server does not call out (a standby)."""

_TELL = """
SELECT set_config('synchronous_commit', 'off', true), pg_notify(%s, 'parcel ' || name || ' ' || revision)
FROM unnest(%s::text[], %s::bigint[]) AS told (name, revision)"""


class Session:
    """``mark`` tells this shop from any other; ``made``: whether it is there already."""

    def __init__(self, address: str) -> None:
        self.bench = secrets.token_hex(8)
        self.schema = schema.OURS
        self.mark = ""
        self.made = False
        self.may_write = True
        self.locks: dict[int, int] = {}
        """Locks held here -> the session they were taken in. The server would give one twice to the same."""
        self.tokens: dict[str, int] = {}
        """Of the parcels held here: whoever takes one counts it up; who had it before saves nothing more."""
        self.shown: dict[str, int] = {}
        """Of all that is kept: the last revision that this bench heard of."""
        self.parcels: dict[str, int] = {}
        """The same of the parcels alone."""
        self.news = self.changes = 0
        """Counted up whenever a parcel changed, and whenever another bench changed anything."""
        self._done = 0
        self._in_doubt = 0
        self._outcome: dict[int, bool] = {}
        self._calls_out = True
        self._looked = 0.0
        self._fresh: list[tuple[str, str, int]] = []
        self._untold: dict[str, int] = {}
        self._teller: Timer | None = None
        self.line = Line(address, f"benchtui {self.bench}", self._begin)
        self.line.open()
        self.hear()

    # -- what was saved --------------------------------------------------------------------------------

    def next_save(self) -> int:
        """The number of a save that is about to be sent."""
        self._done += 1
        self._in_doubt = self._done
        return self._done

    def answered(self) -> None:
        """The server said what came of it."""
        self._in_doubt = 0

    def came_through(self, number: int) -> bool | None:
        """Of a save that nobody answered: whether the server has it; None while that cannot be asked."""
        return self._outcome.get(number)

    # -- what others do --------------------------------------------------------------------------------

    def hear(self) -> None:
        """Takes in what the server called out, and what a new session found; never waits."""
        fresh, self._fresh = self._fresh, []
        for kind, name, revision in fresh:
            self.changes += self.note(kind, name, revision)
        for call in self.line.heard():
            kind, _, rest = call.partition(" ")
            name, _, number = rest.rpartition(" ")
            if number.isdecimal():
                self.changes += self.note(kind, name, int(number))
        if not self._calls_out and time.monotonic() - self._looked > POLL and self.line.up:
            self.look_at_all()

    def note(self, kind: str, name: str, revision: int) -> bool:
        """That this is kept at that revision; whether that is later than was known."""
        if self.shown.get(name, -1) < revision:
            self.shown[name] = revision
            if kind == "parcel":
                self.parcels[name] = revision
                self.news += 1
            return True
        return False

    def tell_soon(self, parcel_id: str, revision: int) -> None:
        """Others hear of that revision of the parcel a moment later, of several only the last."""
        self._untold[parcel_id] = revision
        if self._teller is None or not self._teller.is_alive():
            self._teller = Timer(TELL_AFTER, self._tell)
            self._teller.daemon = True
            self._teller.start()

    def _tell(self) -> None:
        untold, self._untold = self._untold, {}
        if untold and self.line.up:
            with contextlib.suppress(BenchError):  # a new session compares all revisions
                self.line.ask(_TELL, (f"benchtui {self.mark}", list(untold), list(untold.values())))

    def look_at_all(self) -> None:
        """Every revision, asked for."""
        self._looked = time.monotonic()
        for kind, name, revision in self.line.ask("SELECT kind, name, shown FROM kept"):
            self.note(kind, name, revision)

    def make(self, fill: Callable[[Callable[..., Any]], None] = lambda _: None) -> None:
        """The tables of a new shop, with what ``fill`` puts into them or not at all; and a place in it."""

        def work(session: "psycopg.Connection[Any]") -> Rows:
            with session.transaction():
                schema.make(session, self.schema, self.mark, self.line.where)
                fill(lambda statement, values: session.execute(statement.encode(), values))
            schema.use_schema(session)
            self.join(session, schema.VERSION)
            return []

        self.line.do(work)
        self.hear()

    def close(self) -> None:
        """Leaves the shop."""
        if self._teller is not None:
            self._teller.cancel()
        self._tell()
        if self.line.up and self.made and self.may_write:
            with contextlib.suppress(BenchError):
                self.line.ask("DELETE FROM benches WHERE bench = %s", (self.bench,))
        self.line.close()

    # -- a new session ---------------------------------------------------------------------------------

    def _begin(self, session: "psycopg.Connection[Any]") -> None:
        self.schema = schema.use_schema(session)
        standby = session.execute("SELECT pg_is_in_recovery()").fetchone()
        self._calls_out = not (standby and standby[0])
        found = schema.version_of(session, self.schema)
        if found is None:
            if self.made:
                raise BenchError("the shop is not there any more", self.line.where)
            self.mark = self.mark or secrets.token_hex(8)
            return
        if self.made and found[0] != self.mark:
            raise BenchError("another shop is in its place", self.line.where)
        self.mark = found[0]
        self.join(session, found[1])

    def join(self, session: "psycopg.Connection[Any]", version: int) -> None:
        """Takes this bench's place in a shop that is there."""
        where = self.line.where
        row = session.execute(
            "SELECT has_table_privilege('docs', 'INSERT') AND NOT pg_is_in_recovery()"
        ).fetchone()
        self.may_write = bool(row and row[0])
        if self.may_write:
            schema.bring_up_to_date(session, self.schema, version, where)
        elif version != schema.VERSION:
            said = f"the shop is of another version ({version}) than this program's ({schema.VERSION})"
            raise BenchError(said, where, "open it once with a role that may change it")
        schema.at_work(session, self.schema, where)
        if self._calls_out:
            session.execute(f'LISTEN "benchtui {self.mark}"'.encode())
        if self.may_write:
            self._end_older(session)
        self._fresh = session.execute("SELECT kind, name, shown FROM kept").fetchall()
        self.made = True

    def _end_older(self, session: "psycopg.Connection[Any]") -> None:
        """No older session of this bench does anything more; then what came of its last save is known."""
        ended = session.execute(
            "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity"
            " WHERE application_name = %s AND pid <> pg_backend_pid()",
            (f"benchtui {self.bench}",),
        ).fetchall()
        if not all(row[0] for row in ended):
            raise BenchError("an older session of this bench does not end", self.line.where)
        session.execute("DELETE FROM benches WHERE since < %s", (_days_ago(LEFT_FOR),))
        row = session.execute(
            "INSERT INTO benches (bench, who, since) VALUES (%s, %s, %s)"
            " ON CONFLICT (bench) DO UPDATE SET since = excluded.since RETURNING done",
            (self.bench, whoami(), now()),
        ).fetchone()
        if self._in_doubt:
            self._outcome[self._in_doubt] = bool(row) and row is not None and row[0] >= self._in_doubt
            self._in_doubt = 0


def _days_ago(days: int) -> str:
    """That moment, as `now` writes it."""
    return (datetime.now(UTC) - timedelta(days=days)).strftime("%Y-%m-%dT%H:%M:%SZ")
