"""The documents of one parcel, or of one file that benches share: in memory, changed one transaction at a
time. How they are read and saved is told by where the shop is: `storage` in a folder, ``benchtui.server``.
"""

import contextlib
from abc import abstractmethod
from collections.abc import Callable, Iterator
from pathlib import Path

from tinydb.storages import Storage

from benchtui.base.errors import BenchError
from benchtui.store.background_save import BackgroundSave
from benchtui.store.codec import Doc, Tables
from benchtui.store.saved_position import SavedPosition
from benchtui.store.versions import Version, Which


class Kept(Storage):
    """Tables of documents that outlive the program. ``where`` names them in what is said of them.

    ``before_save`` is called before each save, and may hold it back with a BenchError; ``after_save`` once
    everything is saved. ``waits`` False: where its shop saves in the background, a change may be on its way
    when `hold` returns; `settle` waits for it.
    """

    def __init__(self, kind: str, where: Path | str, read_only: bool = False) -> None:
        self.kind = kind
        self.where = where
        self.read_only = read_only
        self.trouble_so_far: str | None = None
        """The same as ``trouble`` without waiting for a save that is under way."""
        self.before_save: Callable[[], None] = nothing
        self.after_save: Callable[[], None] = nothing
        self.replaced: Callable[[], None] = nothing
        """Called where other documents took the place of those in memory, which are kept aside."""
        self.background_save = BackgroundSave()
        self.waits = True
        self._before: dict[tuple[str, str], Doc | None] = {}
        self._depth = 0

    # -- what every home does in its own way -----------------------------------------------------------

    @property
    @abstractmethod
    def tables(self) -> Tables:
        """The documents by table and id. Never to be changed but through `put` and `drop`."""

    @abstractmethod
    def exists(self) -> bool:
        """Whether there is anything to load."""

    @abstractmethod
    def load(self) -> None:
        """Reads all of it. BenchError where it cannot be used."""

    @abstractmethod
    def load_shared(self, known: bool) -> None:
        """The same for a file that benches share, which nobody opens; ``known``: it was read before."""

    @abstractmethod
    def catch_up(self) -> bool:
        """Takes over what others have saved since; False where all must be read anew instead."""

    @abstractmethod
    def stale(self) -> bool:
        """Whether others have saved something since."""

    @abstractmethod
    def begin(self, tables: Tables) -> None:
        """What does not exist yet, with these tables; nothing is saved before the first commit."""

    @abstractmethod
    def take_back(self) -> None:
        """What was begun and could not be saved whole: nothing of it is to stay."""

    @abstractmethod
    def settle(self) -> None:
        """Waits for the save under way, and answers its failure as any other's."""

    @abstractmethod
    def save_again(self) -> None:
        """Tries once more to save what memory is ahead by."""

    @abstractmethod
    def fold(self) -> None:
        """Leaves it as who reads it next finds it quickest; what was begun is saved by it."""

    @abstractmethod
    def _commit(self) -> None:
        """Saves what `touched` tells, and forgets it. A failure to save ends in ``trouble``."""

    # -- what some have --------------------------------------------------------------------------------

    @property
    def whole(self) -> bool:
        """Whether a checksum vouches for it as it was read, so that its inside needs no look."""
        return True

    @property
    def notice(self) -> str:
        """What was wrong with it when it was read."""
        return ""

    @property
    def unfit(self) -> str:
        """Why there are two versions of it, between which somebody must choose, else ""."""
        return ""

    @property
    def unfolded(self) -> bool:
        """Whether `fold` has something to do."""
        return False

    @property
    def room(self) -> int:
        """Bytes that must be free before what is in memory can be saved."""
        return 0

    def versions(self) -> tuple[Version, ...]:
        """The versions of it to choose from, where it is ``unfit``."""
        return ()

    def choose(self, which: Which) -> None:
        """Goes on with that version, and keeps the other aside. BenchError where it cannot be had or kept."""

    def begin_sitting(self) -> None:
        """A bench begins to work on it."""

    def tidy(self) -> None:
        """While nobody waits, what a later save would have to do besides."""

    def release(self) -> None:
        """Lets go of what is held between two saves."""

    def news(self) -> list[str]:
        """What was found changed by something else than a bench since this was asked last."""
        return []

    @property
    def saved_position(self) -> SavedPosition:
        """How far it goes, as it was read or last saved."""
        return SavedPosition("", 0)

    # -- what TinyDB asks for ------------------------------------------------------------------------------

    def read(self) -> Tables | None:
        """The tables, or None where there are none yet."""
        return dict(self.tables) or None

    def write(self, data: Tables) -> None:
        """Nothing changes a whole store at once: see `tables`."""
        raise TypeError(f"{self.where} is changed by put and drop, within hold")

    # -- one transaction at a time ---------------------------------------------------------------------

    @property
    def trouble(self) -> str | None:
        """Why the last change is not saved (memory is ahead), in one line, else None."""
        self.settle()
        return self.trouble_so_far

    @property
    def touched(self) -> dict[tuple[str, str], tuple[Doc | None, Doc | None]]:
        """Within `hold`: table and id of what was changed so far, as it was and as it is now."""
        return {key: (old, self.tables[key[0]].get(key[1])) for key, old in self._before.items()}

    def put(self, table: str, doc_id: str, doc: Doc) -> None:
        """Sets a document, within `hold`. It belongs to the storage from now on."""
        docs = self.tables.setdefault(table, {})
        self._before.setdefault((table, doc_id), docs.get(doc_id))
        docs[doc_id] = doc

    def drop(self, table: str, doc_id: str) -> None:
        """Removes a document, within `hold`."""
        docs = self.tables.setdefault(table, {})
        self._before.setdefault((table, doc_id), docs.get(doc_id))
        docs.pop(doc_id, None)

    @contextlib.contextmanager
    def hold(self) -> Iterator[None]:
        """One transaction: all changes inside are saved together at the end, or none after an exception."""
        if self.read_only:
            raise BenchError("this is open for reading only", self.where, "close it elsewhere first")
        if self._depth == 0:
            self._make_ready()
        self._depth += 1
        try:
            yield
            if self._depth == 1:
                self._commit()
        except BaseException:
            if self._depth == 1:
                self._roll_back()
            raise
        finally:
            self._depth -= 1

    def _make_ready(self) -> None:
        """Before memory goes further than what is saved or on its way."""
        self.settle()

    def _roll_back(self) -> None:
        for (table, doc_id), old in self._before.items():
            if old is None:
                self.tables[table].pop(doc_id, None)
            else:
                self.tables[table][doc_id] = old
        self._before = {}


def nothing() -> None:
    """What there is to do before and after a save, unless somebody says otherwise."""
