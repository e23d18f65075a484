"""A shop on a PostgreSQL server as the store sees it (see ``benchtui.store.home``)."""

import hashlib
import threading
from collections.abc import Callable, Collection, Iterator
from pathlib import Path
from typing import Any, cast

from platformdirs import user_data_path

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.server.documents import ServerDocuments, brought_forward, tables_of
from benchtui.server.found import fitting
from benchtui.server.hold import ServerLock, ServerPresence, ServerWatch
from benchtui.server.line import NoLine, Rows
from benchtui.server.mirror import Mirror
from benchtui.server.session import Session
from benchtui.store.closings import read_closing
from benchtui.store.codec import canonical
from benchtui.store.copies import Copy
from benchtui.store.files import DISK
from benchtui.store.migrate import SCHEMA
from benchtui.store.searching import LookUp
from benchtui.store.shape import check_parcel, in_order
from benchtui.store.watch import by_day

_RECORDS = (
    "SELECT name, documents, tbl, id, body FROM docs JOIN kept USING (name)"
    " WHERE name = ANY (%s) AND tbl <> 'history' ORDER BY name, place"
)
AHEAD = 40
"""Parcels asked for at once where all are read."""


class ServerHome:
    """One bench's way to the shop at that address. BenchError, in one line, where there is no way.

    ``folder``: where this machine keeps its copy of the shop's plain files; the user's data folder.
    """

    def __init__(self, address: str, folder: Path | None = None) -> None:
        self.address = address
        self.calls_out = self.looks_up = True
        self.aside = "the shop's database"
        self._heard = 0
        self._next: dict[str, tuple[int, Rows]] = {}
        self._read_last = ""
        self.session = Session(address)
        self.folder = folder or user_data_path("benchtui") / "servers" / self.session.mark
        self.files = DISK
        self.presence = ServerPresence(self.session)
        self._mirror = Mirror(self.session, self.folder)

    @property
    def where(self) -> str:
        """The address, without what is nobody's business."""
        return self.session.line.where

    @property
    def made(self) -> bool:
        """Whether there is a shop."""
        return self.session.made

    @property
    def may_write(self) -> bool:
        """Whether the role may change the shop."""
        return self.session.may_write

    def found(self, read_only: bool) -> None:
        """The shop's plain files, as the server has them."""
        self._mirror.make()
        self.session.hear()
        self.exchange()

    def make(self) -> None:
        """The tables."""
        self.session.make()
        self._mirror.make()

    def kept(self, kind: str, name: str, read_only: bool) -> ServerDocuments:
        """The documents of that name."""
        return ServerDocuments(self.session, kind, name, read_only or not self.session.may_write)

    def lock(self, kind: str, name: str, clock: Callable[[], str]) -> ServerLock:
        """The lock of that name."""
        return ServerLock(self.session, kind, name)

    def watch(self) -> ServerWatch:
        """What the server calls out."""
        return ServerWatch(self.session)

    def parcel_ids(self) -> list[str]:
        """As far as was heard."""
        self.session.hear()
        return sorted(self.session.parcels, key=by_day)

    def read_parcel(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc], bool]:
        """The history stays where it is."""
        where = f"{self.where} (parcel {parcel_id})"
        rows = self._rows_of(parcel_id)
        tables = tables_of(rows, 1, where)
        tables = brought_forward("parcel", rows[0][0] if rows else SCHEMA, tables, where)
        check_parcel(tables, parcel_id, where, whole=True)
        records = tables["records"]
        queue = [cast(RecordDoc, records[key]) for key in in_order(records)]
        return cast(HeadDoc, tables["head"]["head"]), queue, False

    def _rows_of(self, parcel_id: str) -> Rows:
        """One question; who reads one parcel after the other gets the next ones with it."""
        known = self.session.parcels
        if parcel_id in self._next and self._next[parcel_id][0] == known.get(parcel_id):
            return self._next.pop(parcel_id)[1]
        names = [parcel_id]
        if self._read_last and self._read_last != parcel_id:
            order = list(known)
            at = order.index(parcel_id) if parcel_id in known else 0
            if at and order[at - 1] == self._read_last:
                names = order[at : at + AHEAD]
        self._read_last = names[-1]
        self._fetch(names)
        return self._next.pop(parcel_id)[1]

    def _fetch(self, names: list[str]) -> None:
        known = self.session.parcels
        found: dict[str, Rows] = {name: [] for name in names}
        for name, *row in self.session.line.ask(_RECORDS, (names,)):
            found[name].append(tuple(row))
        self._next = {name: (known.get(name, 0), rows) for name, rows in found.items()}

    def fitting(self, wanted: LookUp, among: Collection[str]) -> list[str] | None:
        """As the server's index of the records tells; their documents come with one more question."""
        try:
            names = [name for name in fitting(self.session.line.ask, wanted) if name in among]
            self._fetch(names)
        except BenchError:
            return None
        return names

    def copies(self) -> list[Copy]:
        """No program leaves copies in a database."""
        return []

    def closings(self) -> list[dict[str, Any]]:
        """Those in the table of files, under the names they have in a folder."""
        rows = self.session.line.ask(
            "SELECT name, body FROM files WHERE starts_with(name, 'closed/') ORDER BY name"
        )
        return [self._closing(name, bytes(body)) for name, body in rows]

    def _closing(self, name: str, body: bytes) -> dict[str, Any]:
        try:
            doc = read_closing(body)
        except ValueError as error:
            said = f"{name} cannot be read: {error}"
            raise BenchError(said, self.where, "put it back from a backup") from error
        if not isinstance(doc, dict) or f"closed/{doc.get('through')}.json" != name:
            raise BenchError(
                f"{name} is not the closed period that its name says", self.where, "restore a backup"
            )
        return doc

    def beside(self) -> Iterator[tuple[str, str]]:
        """Closed periods, and each document of a version set aside."""
        rows = self.session.line.ask("SELECT name, body FROM files WHERE starts_with(name, 'closed/')")
        yield from ((name, bytes(body).decode("utf-8", "replace")) for name, body in rows)
        yield from self.session.line.ask(
            "SELECT name, body FROM docs JOIN kept USING (name) WHERE kind IN ('other', 'kept') ORDER BY name"
        )

    def write_closing(self, doc: dict[str, Any]) -> None:
        """One more row."""
        body = canonical(doc).encode()
        made = self.session.line.ask(
            "INSERT INTO files (name, digest, body) VALUES (%s, %s, %s) ON CONFLICT DO NOTHING RETURNING 1",
            (f"closed/{doc['through']}.json", hashlib.sha256(body).hexdigest(), body),
        )
        if not made:
            said = f"the books are closed to {doc['through']} already"
            raise BenchError(said, self.where, "enter a later day")

    def exchange(self) -> bool:
        """Brings the plain files here and on the server together; whether one changed here."""
        return self._mirror.exchange() if self.presence.is_there() else False

    def heard(self) -> bool:
        """Whether the server called something out since this was asked last."""
        self.session.hear()
        before, self._heard = self._heard, self.session.changes
        return self._heard != before

    def news(self) -> list[str]:
        """Files that were changed on two machines."""
        return self._mirror.news()

    def draws(self) -> None:
        """What the server does not answer at once is waited for briefly: see `Line`."""
        self.session.line.screen = threading.current_thread()

    def close(self) -> None:
        """Hands over what changed here, and leaves. What cannot be handed over now goes at the next start."""
        try:
            self.session.hear()
            if self.session.made:
                self.exchange()
        except NoLine:
            pass
        finally:
            self.session.close()
