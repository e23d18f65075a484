"""A file that several benches share (shop.json, titles.json): lock, read again, change, write, unlock.

What cannot be saved is refused (`change`), or kept pending (`apply` with ``keep``): then it is in memory, is
seen by every reader here, and goes to the disk with the next save that succeeds.
"""

import contextlib
from collections.abc import Callable, Iterator

from benchtui.base.errors import BenchError
from benchtui.store.background_save import BackgroundSave
from benchtui.store.codec import Doc, Tables
from benchtui.store.home import Home
from benchtui.store.kept import Kept
from benchtui.store.lock import Held
from benchtui.store.pending import Ahead, Make, NotSaved, PendingChange, Touched, taken_back
from benchtui.store.tables import KeptDB, KeptTable

_RIGHT = "free some space, and check that you may write there"


class SharedFile:
    """One shared file. ``docs`` is what the disk has, and what is pending; ``change`` is one transaction on
    it.

    A file that is not there is empty, and made by the first change.
    """

    def __init__(self, home: Home, kind: str, read_only: bool, clock: Callable[[], str],
                 background_save: BackgroundSave) -> None:  # fmt: skip
        self._presence = home.presence
        self._db = KeptDB(storage=lambda: home.kept(kind, kind, read_only))
        self._storage.background_save = background_save
        self._lock = home.lock(kind, kind, clock)
        self._storage.after_save = lambda: self._lock.note(self._storage.saved_position)
        self._known = False
        self._changing = False
        self._pending: list[PendingChange] = []
        self._ahead: Ahead | None = None
        self._why = ""
        self.room = 0
        """Bytes that would have to be free before what is pending can be saved."""

    @property
    def _storage(self) -> Kept:
        return self._db.storage

    @property
    def notice(self) -> str:
        """What was wrong with the file when it was read."""
        return self._storage.notice

    @property
    def unsaved(self) -> int:
        """So many changes are in memory only (ranks of titles picked are not counted)."""
        return sum(pending.needed for pending in self._pending)

    @property
    def trouble(self) -> str | None:
        """Why they are, in one line; None where all is saved."""
        return self._why if self.unsaved else None

    def exists(self) -> bool:
        """Whether there is such a file, or at least its previous copy."""
        return self._storage.exists()

    def create(self, tables: Tables) -> None:
        """The first version of the file. BenchError where there is one, or it cannot be written."""
        self._lock.wait()
        try:
            if self.exists():
                raise BenchError("that file exists already", self._storage.where)
            self._storage.begin(tables)
            self._storage.fold()
            self._known = self._storage.trouble is None
            if not self._known:
                raise BenchError(str(self._storage.trouble), "", _RIGHT)
        finally:
            self._lock.free()

    def docs(self, table: str) -> dict[str, Doc]:
        """The documents of a table by id. Never to be changed."""
        if self._changing:
            return self._db.docs(table)
        self._look_again()
        return self._seen(table)

    def held(self, table: str) -> dict[str, Doc]:
        """The same as last read here, without a look at the disk: others' changes show after the next one."""
        return self._seen(table) if self._known else self.docs(table)

    @contextlib.contextmanager
    def change(self) -> Iterator[Callable[[str], KeptTable]]:
        """The tables for one transaction. BenchError where it cannot be saved: then nothing has changed.

        What reached the disk of a refused change all the same is taken back by the next one.
        """
        touched: Touched = {}
        try:
            with self._locked():
                with self._storage.hold():
                    yield self._db.kept
                    touched = self._storage.touched
                self._saved()
        except NotSaved:
            if touched:
                self._keep_pending(taken_back(touched))
            raise

    def apply(self, make: Make, keep: bool = False, needed: bool = True) -> None:
        """Makes the change as one transaction; ``keep``: where it cannot be saved it is pending, not refused.

        ``needed``: parcels may refer to what it makes, so none is saved before it is.
        """
        if not keep:
            with self.change() as kept:
                make(_OnDisk(self._db, kept))
            return
        touched: Touched | None = None
        try:
            with self._locked():
                with self._storage.hold():
                    make(_OnDisk(self._db, self._db.kept))
                    touched = self._storage.touched
                self._saved()
        except NotSaved as refused:
            if touched is None:  # it was not tried: what is wrong with it, if anything, is said now
                seen = self._look_ahead()
                make(seen)
                result = seen.put_here
            else:
                result = {key: after for key, (_, after) in touched.items()}
            self._why, self.room = refused.what, self._storage.room
            self._keep_pending(PendingChange(make, needed, result))

    def settle(self) -> None:
        """Writes down what is pending. NotSaved where it cannot be done now and parcels must wait for it."""
        if not self._pending:
            return
        try:
            with self._locked():
                pass
        except NotSaved:
            if self.unsaved:
                raise

    def fold(self) -> None:
        """Leaves the main file whole, if nobody else is at it."""
        with contextlib.suppress(BenchError):
            self.settle()
        if not self._known or not self._storage.unfolded:
            return
        with contextlib.suppress(BenchError):
            self._lock.take()
            try:
                if not self._storage.stale():
                    self._storage.fold()
            finally:
                self._lock.free()

    @contextlib.contextmanager
    def _locked(self) -> Iterator[None]:
        """The file held against others, as it is on the disk, with what was pending made. NotSaved where
        not.
        """
        if self._storage.read_only:
            raise BenchError("this shop is open for reading only", self._storage.where)
        self._take_lock()
        try:
            self._look_again()
            self._changing = True
            if self._pending:
                with self._storage.hold():
                    for pending in self._pending:
                        pending.play(_OnDisk(self._db, self._db.kept))
                self._saved()
                self._pending, self._ahead = [], None
            yield
        except BaseException:
            self._known = False
            raise
        finally:
            self._changing = False
            self._storage.release()
            self._lock.free()

    def _take_lock(self) -> None:
        try:
            self._presence.check()
            self._lock.wait()
        except Held:
            raise
        except BenchError as error:
            raise NotSaved(error.what, error.where, error.right) from error

    def _saved(self) -> None:
        if self._storage.trouble is not None:
            raise NotSaved(self._storage.trouble, "", _RIGHT)

    def _keep_pending(self, pending: PendingChange) -> None:
        self._pending.append(pending)
        self._ahead = None

    def _seen(self, table: str) -> dict[str, Doc]:
        if not self._pending:
            return self._db.docs(table)
        if self._ahead is None:
            self._ahead = self._look_ahead()
        return self._ahead.docs(table)

    def _look_ahead(self) -> Ahead:
        """The tables with what is pending made on them."""
        self._look_again()
        ahead = Ahead(self._storage.tables)
        for pending in self._pending:
            pending.play(ahead)
        ahead.put_here.clear()
        return ahead

    def _look_again(self) -> None:
        """What others have changed; nearly always a few lines at the end of the log.

        Where the shop is gone, what is known of it stays.
        """
        if self._known and not (self._stale() and self._presence.is_there()):
            return
        self._ahead = None
        if self._known and self._storage.catch_up():
            return
        if self.exists():
            self._storage.load_shared(self._known)
        else:
            self._storage.begin({})
        self._known = True

    def news(self) -> list[str]:
        """What was found in the place of this file and put aside since this was asked last."""
        return self._storage.news()

    def _stale(self) -> bool:
        """Whether the file is not the one known; a folder that cannot be looked into holds no other."""
        try:
            return self._storage.stale()
        except BenchError:
            return True


class _OnDisk:
    """The file itself, within a transaction."""

    def __init__(self, db: KeptDB, kept: Callable[[str], KeptTable]) -> None:
        self._db = db
        self._kept = kept

    def docs(self, table: str) -> dict[str, Doc]:
        return self._db.docs(table)

    def put(self, table: str, doc_id: str, doc: Doc | None) -> None:
        if doc is None:
            self._kept(table).drop(doc_id)
        else:
            self._kept(table).put(doc_id, doc)
