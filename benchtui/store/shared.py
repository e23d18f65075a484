"""A file that several benches share (shop.json, titles.json): lock, read again, change, write, unlock."""

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import cast

from benchtui.errors import BenchError
from benchtui.store.codec import Doc, Tables
from benchtui.store.files import Files
from benchtui.store.lock import Lock, now
from benchtui.store.place import Place
from benchtui.store.shape import check_shared
from benchtui.store.storage import KeptStorage
from benchtui.store.tables import KeptDB, KeptTable


class SharedFile:
    """One shared file. ``docs`` is always what the disk has; ``change`` is one transaction on it.

    A file that is not there is empty, and made by the first change.
    """

    def __init__(self, path: Path, kind: str, files: Files, read_only: bool,
                 clock: Callable[[], str] = now) -> None:  # fmt: skip
        self._place = Place(path)
        self._db = KeptDB(self._place, kind, files, read_only, storage=KeptStorage)
        self._lock = Lock(self._place.lock, files, clock)
        self._known = False
        self._changing = False

    @property
    def _storage(self) -> KeptStorage:
        return cast(KeptStorage, self._db.storage)

    @property
    def notice(self) -> str:
        """What was wrong with the file when it was read."""
        return self._storage.notice

    def exists(self) -> bool:
        """Whether there is such a file, or at least its previous copy."""
        return self._storage.exists()

    def create(self, tables: Tables) -> None:
        """The first version of the file. BenchError where there is one, or it cannot be written."""
        self._lock.wait()
        try:
            if self.exists():
                raise BenchError("there is such a file already", self._place.main)
            self._storage.begin(tables)
            self._storage.fold()
            self._known = self._storage.trouble is None
            if not self._known:
                raise BenchError(str(self._storage.trouble), "", "room on the disk and the right to write")
        finally:
            self._lock.free()

    def docs(self, table: str) -> dict[str, Doc]:
        """The documents of a table by id. Never to be changed."""
        if not self._changing:
            self._look_again()
        return self._db.docs(table)

    def held(self, table: str) -> dict[str, Doc]:
        """The same as last read here, without a look at the disk: others' changes show after the next one."""
        return self._db.docs(table) if self._known else self.docs(table)

    @contextlib.contextmanager
    def change(self) -> Iterator[Callable[[str], KeptTable]]:
        """The tables for one transaction. BenchError where it cannot be saved: then nothing has changed."""
        if self._storage.read_only:
            raise BenchError("this shop is open for reading only", self._place.main)
        self._lock.wait()
        try:
            self._look_again()
            self._changing = True
            with self._storage.hold():
                yield self._db.kept
            if self._storage.trouble is not None:
                raise BenchError(str(self._storage.trouble), "", "room on the disk and the right to write")
        except BaseException:
            self._known = False
            raise
        finally:
            self._changing = False
            self._storage.release()
            self._lock.free()

    def fold(self) -> None:
        """Leaves the main file whole, if nobody else is at it."""
        if not self._known or not self._storage.unfolded:
            return
        with contextlib.suppress(BenchError):
            self._lock.take()
            try:
                if not self._storage.stale():
                    self._storage.fold()
            finally:
                self._lock.free()

    def _look_again(self) -> None:
        """What others have changed; nearly always a few lines at the end of the log."""
        if self._known and (not self._storage.stale() or self._storage.catch_up()):
            return
        if self.exists():
            self._storage.load()
            if not self._storage.whole:
                check_shared(self._storage.kind, self._storage.tables, self._place.main)
        else:
            self._storage.begin({})
        self._known = True
