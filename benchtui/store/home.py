"""Where a shop lives: what differs between a folder and a server, and nothing else.

`FolderHome` is here; ``benchtui.server`` has the other one.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from pathlib import Path
from typing import Any, Literal, Protocol, cast

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.closings import read_closings, write_closing
from benchtui.store.copies import Copies, Copy
from benchtui.store.files import DISK, Files, as_bench_error
from benchtui.store.kept import Kept
from benchtui.store.load import load
from benchtui.store.lock import HeldLock, Lock
from benchtui.store.place import KEEP, Place
from benchtui.store.presence import Presence
from benchtui.store.searching import LookUp
from benchtui.store.shape import check_parcel, in_order
from benchtui.store.storage import KeptStorage
from benchtui.store.watch import Watch, by_day, parcels_in

What = Literal["shop", "titles", "parcel", "letter"] | str
"""What is kept, or locked."""
_FOLDERS = (KEEP, "parcels", f"parcels/{KEEP}", "titles", "books", "keymaps", "exports")
_KNOWN = {"shop.json", "titles.json", "titles", "books", "keymaps", "parcels", "exports", "closed"}


def check_free(folder: Path, files: Files = DISK) -> None:
    """BenchError where a file is there, or a folder with something in it that is not a shop's."""
    if folder.is_file():
        raise BenchError("a file of that name is there", folder, "name a new or empty folder")
    with as_bench_error(folder):
        foreign = sorted(each for each in files.names(folder) if each not in _KNOWN and each[0] != ".")
    if foreign:
        said = f"the folder has other things in it ({foreign[0][:40]})"
        raise BenchError(said, folder, "name a new or empty folder")


class Present(Protocol):
    """Whether the shop is still where it was opened (see `Presence`)."""

    @property
    def gone(self) -> bool:
        """What the last look found."""

    @property
    def over_line(self) -> bool:
        """Whether it is reached over a line that comes back by itself."""

    def hold(self, known: str) -> None:
        """From now on this shop and no other, by its id."""

    def check(self) -> None:
        """Gone where it cannot be reached, or is not (any more) this shop."""

    def is_there(self) -> bool:
        """The same as an answer."""

    def free(self) -> None:
        """Lets go of what is held for it."""


class Watching(Protocol):
    """Notices which parcels changed (see `Watch`)."""

    pause: float

    def look(self, live: Iterable[str]) -> tuple[dict[str, str], bool]:
        """Parcel id -> what tells its present state from any other; and whether all were looked at."""

    def one(self, key: str) -> str:
        """The stamp of one parcel, looked at now."""

    def forget(self) -> None:
        """The next look is at all of them."""


class Home(Protocol):
    """``folder``: where, on this machine, books, lists, keymaps and caches stand; ``where``: what is said of
    the shop's place.
    """

    folder: Path
    files: Files

    @property
    def where(self) -> Path | str: ...

    @property
    def presence(self) -> Present: ...

    @property
    def calls_out(self) -> bool:
        """Whether what other benches change is heard of without asking (see `exchange` and `heard`)."""

    @property
    def looks_up(self) -> bool:
        """Whether it has an index of its own for look-ups (see `fitting`)."""

    @property
    def aside(self) -> str:
        """Where the version of a parcel goes that was not chosen, in words."""

    @property
    def may_write(self) -> bool:
        """False: whoever opens it here may only look."""

    def found(self, read_only: bool) -> None:
        """Before the shop is opened: BenchError where there is none."""

    def make(self) -> None:
        """A place for a new shop. BenchError where something else is there already."""

    def kept(self, kind: What, name: str, read_only: bool) -> Kept:
        """The documents of a parcel by its id, or of what the benches share: ``shop``, ``titles``."""

    def lock(self, kind: What, name: str, clock: Callable[[], str]) -> HeldLock:
        """The lock on these documents, or on a bench letter."""

    def watch(self) -> Watching: ...

    def parcel_ids(self) -> list[str]:
        """Oldest first, without reading any."""

    def read_parcel(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc], bool]:
        """Head, records in order, and whether it changes by growing. BenchError where it cannot be read."""

    def fitting(self, wanted: LookUp, among: Collection[str]) -> list[str] | None:
        """Which of these parcels must be read for that look-up; None where no index of the home tells."""

    def exchange(self) -> bool:
        """Brings the plain files here and elsewhere together; whether one changed here. Any thread may."""

    def heard(self) -> bool:
        """Whether something came from another bench since this was asked last."""

    def news(self) -> list[str]:
        """Plain files that were changed in two places at once, since this was asked last."""

    def copies(self) -> list[Copy]:
        """Copies that another program left beside the shop's files."""

    def closings(self) -> list[dict[str, Any]]:
        """Closed periods, oldest first."""

    def beside(self) -> Iterator[tuple[str, str]]:
        """Name and text of what is kept neither in ``folder`` nor with the documents in use: closed periods
        and versions of parcels that were set aside.
        """

    def write_closing(self, doc: dict[str, Any]) -> None:
        """One more, whole or not at all. BenchError where the day was closed before."""

    def draws(self) -> None:
        """The calling thread draws a screen too: it does not wait long for what may never be answered."""

    def close(self) -> None:
        """Lets go of it."""


class FolderHome:
    """A folder: every kept file with its side files, all of them plain text."""

    def __init__(self, folder: Path, files: Files) -> None:
        self.folder = folder
        self.files = files
        self.presence = Presence(folder, files)
        self.may_write, self.calls_out, self.looks_up = True, False, False
        self.aside = f"parcels/{KEEP}"
        self._copies: Copies | None = None

    @property
    def where(self) -> Path:
        """The folder."""
        return self.folder

    def found(self, read_only: bool) -> None:
        """What is in it is the owner's alone: senders are people, and a copied shop may stand open."""
        if not read_only:
            self.files.make_private(self.folder)

    def make(self) -> None:
        """The folder with those in it. BenchError where something else is there already."""
        check_free(self.folder, self.files)
        try:
            for each in _FOLDERS:
                self.files.make_folder(self.folder / each, above=True)
        except OSError as error:
            said = f"the folder cannot be made: {error.strerror or error}"
            raise BenchError(said, self.folder) from error
        self.files.make_private(self.folder)

    def kept(self, kind: What, name: str, read_only: bool) -> Kept:
        """One kept file."""
        return KeptStorage(self._place(kind, name), kind, self.files, read_only)

    def lock(self, kind: What, name: str, clock: Callable[[], str]) -> HeldLock:
        """The lock of a kept file, or the file of a bench letter."""
        letter = self.folder / KEEP / f"letter-{name}.lock"
        return Lock(letter if kind == "letter" else self._place(kind, name).lock, self.files, clock)

    def watch(self) -> Watch:
        """The stamps of the parcels' files."""
        return Watch(self.folder / "parcels", self.files)

    def parcel_ids(self) -> list[str]:
        """By the names of the files."""
        parcels = self.folder / "parcels"
        with as_bench_error(parcels):
            return sorted(parcels_in(self.files, parcels), key=by_day)

    def read_parcel(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc], bool]:
        """The history, most of a file, is not read."""
        place = self._place("parcel", parcel_id)
        loaded = load(self.files, place, "parcel", without="history")
        check_parcel(loaded.tables, parcel_id, place.main, loaded.whole)
        records = loaded.tables["records"]
        queue = [cast(RecordDoc, records[key]) for key in in_order(records)]
        return cast(HeadDoc, loaded.tables["head"]["head"]), queue, loaded.log_size > 0

    def fitting(self, wanted: LookUp, among: Collection[str]) -> list[str] | None:
        """A folder has none."""
        return None

    def exchange(self) -> bool:
        """The files are where all benches have them."""
        return False

    def heard(self) -> bool:
        """A folder says nothing by itself."""
        return False

    def news(self) -> list[str]:
        """There is one place only."""
        return []

    def copies(self) -> list[Copy]:
        """What folder-sync services and people left there."""
        if self._copies is None:
            self._copies = Copies(self.folder, self.files)
        return self._copies.all()

    def closings(self) -> list[dict[str, Any]]:
        """The files in ``closed``."""
        return read_closings(self.folder, self.files)

    def beside(self) -> Iterator[tuple[str, str]]:
        """All of it is in the folder."""
        return iter(())

    def write_closing(self, doc: dict[str, Any]) -> None:
        """One more file in ``closed``."""
        write_closing(self.folder, doc, self.files)

    def draws(self) -> None:
        """A disk is waited for."""

    def close(self) -> None:
        """Lets go of the file that is held open."""
        self.presence.free()

    def _place(self, kind: What, name: str) -> Place:
        return Place(
            self.folder / "parcels" / f"{name}.json" if kind == "parcel" else self.folder / f"{name}.json"
        )
