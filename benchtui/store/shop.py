"""The shop: one folder with everything in it; parcels, senders, titles, stock numbers, settings."""

import contextlib
import shlex
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record, new_id
from benchtui.store.codec import Tables, fresh
from benchtui.store.copies import Copy
from benchtui.store.counts import Count, CountCache
from benchtui.store.entries import GIVEN_UP, Summary
from benchtui.store.files import DISK, Files
from benchtui.store.home import FolderHome, Home
from benchtui.store.index import Index, nothing_more
from benchtui.store.load import checked_id
from benchtui.store.lock import Held, HeldLock, ParcelHeld, now
from benchtui.store.moves import finish_moves
from benchtui.store.numbers import number_faults
from benchtui.store.parcel import Parcel
from benchtui.store.pending import Sheet
from benchtui.store.rows import Found, Had, Waiting
from benchtui.store.shared_facts import DEFAULTS, SharedFacts, last_parcels
from benchtui.store.stock import Stock
from benchtui.store.tables import KeptDB
from benchtui.store.unsaved import Unsaved
from benchtui.store.versions import TwoVersions, Which

FEW = 32
"""Parcels of which so many are read at once when nothing is known of them: about 50 ms."""
PAUSE = 1.0
COUNTING = "5"
"""The way in which records are counted (``evidence/learn.py``); with another all are counted anew."""


def no_shop(where: Path | str) -> BenchError:
    """What is said of a place that holds no shop: how one is made."""
    right = f"name a shop's folder by --shop, or make one here: benchtui --shop {shlex.quote(str(where))}"
    with contextlib.suppress(OSError):
        if isinstance(where, Path) and where.exists() and (not where.is_dir() or any(where.iterdir())):
            right = "name a shop's folder by --shop, or a new one: the shop is made when the bench opens it"
    return BenchError("there is no shop here", where, right)


class Shop(SharedFacts):
    """An open shop. Made by `create` or `open`; `close` lets go of its locks."""

    def __init__(self, home: Home, read_only: bool, clock: Callable[[], str]) -> None:
        super().__init__(home, read_only, clock)
        self._stock = Stock(home, self._file, clock)
        self._index = Index(home, read_only, self._here)
        self._counts = CountCache(home.folder, home.files, read_only)
        self._open: list[Parcel] = []
        self._given_up: Unsaved | None = None
        self._index.ahead = self._ahead
        self._index.is_there = self._counts.is_there = self.presence.is_there

    @classmethod
    def create(cls, path: Path | str | Home, *, currency: str = "GBP", scale: str = "american",
               letter: str = "A", name: str = "", files: Files = DISK,
               clock: Callable[[], str] = now) -> "Shop":  # fmt: skip
        """A new shop in an empty or new folder, or in another home. BenchError where something else is there
        already.
        """
        shop = cls(_home(path, files), False, clock)
        if shop._file.exists():
            right = "name another folder, or open this one"
            raise BenchError("there is already a shop here", shop.home.where, right)
        shop.home.make()
        settings = {**DEFAULTS, "currency": currency, "scale": scale, "letter": letter, "name": name}
        if not shop._titles.exists():
            shop._titles.create({"titles": {}, "picks": {}})
        mark = {"shop": {"id": new_id("shop")}}
        tables = {"shop": mark, "settings": {"settings": settings}, "senders": {}, "sales": {}, "stock": {}}
        shop._file.create(tables)
        shop._hold_together()
        return shop

    @classmethod
    def open(cls, path: Path | str | Home, *, read_only: bool = False, letter: str | None = None,
             files: Files = DISK, clock: Callable[[], str] = now) -> "Shop":  # fmt: skip
        """An existing shop. ``letter``: this bench's letter, or Held where another bench has it."""
        home = _home(path, files)
        shop = cls(home, read_only or not home.may_write, clock)
        try:
            shop._begin_work(letter)
        except BaseException:
            home.close()
            raise
        return shop

    def _begin_work(self, letter: str | None) -> None:
        if not self._file.exists():
            raise no_shop(self.home.where)
        _ = self.settings  # read, so that what is wrong with the file is told now
        self.home.found(self.read_only)
        if not self.read_only:
            self._hold_together()
            if letter is not None:
                self._stock.take_letter(letter, strict=True)
            finish_moves(self)

    def parcels(self, whole: bool = False) -> list[Summary]:
        """Every parcel in a line, oldest first, but those given up; ``whole``: each of them read (see
        `read_in_steps`).
        """
        return [one for one in self._index.summaries(whole) if one.state != GIVEN_UP]

    def given_up(self) -> list[Summary]:
        """Parcels that somebody gave up as begun by mistake, oldest first."""
        return [one for one in self._index.summaries() if one.state == GIVEN_UP]

    def copies(self) -> list[Copy]:
        """Copies of its files that another program left in the shop, each with what differs."""
        return self.home.copies() if self.presence.is_there() else []

    def parcel_ids(self) -> list[str]:
        """The ids of all parcels, oldest first; reads no file."""
        return self._index.ids()

    def find(self, text: str, limit: int = 50, whole: bool = False) -> list[Found]:
        """Records over all parcels by stock number, artist, title, runout, catalogue number or sender."""
        names = {key: str(one["name"]) for key, one in self.senders.items()}
        return self._index.find(text, limit, names, whole)

    def records_of_title(self, artist: str, title: str) -> list[tuple[str, str]]:
        """Parcel and record of every record of that artist and title that the shop has had, oldest first."""
        return self._index.of_title(artist, title)

    def stock_by_title(self) -> Mapping[str, str]:
        """Title id -> what of it is in stock, in words; what was sold, handed back or set apart is not."""
        return self._index.stock()

    def titles_had(self) -> dict[str, Had]:
        """Title id -> what the shop's records say of it, and how many there are, sold ones too."""
        found: dict[str, Had] = {}
        for _, rows in self._index.rows():
            for row in rows:
                if row.title_id:
                    before = found.get(row.title_id, Had())
                    held = before.held + bool(row.held)
                    found[row.title_id] = Had(row.artist, row.title, row.catalogue, before.records + 1, held)
        return found

    def titles_by_parcel(self) -> Iterator[tuple[str, set[str]]]:
        """Each parcel with the ids of its records' titles, one a step: for work between the keys."""
        return ((key, {row.title_id for row in rows if row.title_id}) for key, rows in self._index.rows())

    def read_in_steps(self, count_records: Count | None = None, rule: str = COUNTING) -> None:
        """For a bench that goes on with `catch_up` between its keys: in a large shop no look-up waits then.

        What other benches do in parcels of theirs may show a second late. Whatever leaves the shop or adds up
        (days, work, counts, numbers) still waits for every parcel. ``count_records``: what is read for a
        look-up is counted too.
        """
        if count_records is not None:
            self._note_counts(count_records, rule)
        self._index.read_in_steps(FEW, PAUSE)

    @property
    def still_reading(self) -> bool:
        """Whether `catch_up` has more to do."""
        return self._index.patient

    def catch_up(self, count_records: Count, rule: str = COUNTING) -> float | None:
        """Index and counts brought up to date for a few milliseconds; the share done, None once all is known
        (at once for who does not read in steps). After a BenchError there is no more to do: look-ups wait for
        all again, and meet what is wrong themselves.
        """
        if not self._index.patient:
            return None
        done = None
        try:
            done = self._catch_up(count_records, rule)
        finally:
            if done is None:
                self._index.patient, self._index.also = False, nothing_more
        if done is None:
            self._index.save()
            self._counts.save()
        return done

    def _catch_up(self, count_records: Count, rule: str) -> float | None:
        self._note_counts(count_records, rule)
        if (done := self._index.catch_up()) is not None:
            return done / 2
        done = self._counts.catch_up(self._revisions(), self._records_of, count_records, rule)
        return None if done is None else (1 + done) / 2

    def waiting(self) -> list[Waiting]:
        """Every chore not done yet, over all parcels."""
        return self._index.waiting()

    def taken_in(self, day: str) -> list[str]:
        """Ids of the parcels with a record taken in on that day (``2026-11-25``, UTC)."""
        return self._index.taken_in(day)

    def set_apart(self, day: str) -> list[str]:
        """Ids of the parcels with a record that is set apart since that day (UTC)."""
        return self._index.set_apart(day)

    def number_faults(self) -> list[str]:
        """Where the stock numbers in the parcels and those reserved disagree, a line each."""
        return number_faults(self.stock_numbers(), self._index.numbers())

    def forget_index(self) -> None:
        """What the index kept of parcels as they were is written over."""
        self._index.save_anew()

    def new_parcel(self, head_fields: dict[str, Any], expected: int = 0) -> Parcel:
        """A new parcel with ``expected`` empty records, open and on the disk; BenchError if not saved."""
        if not 0 <= expected <= 100_000:
            raise BenchError(f"{expected} records expected", "expected", "give 0 to 100000")
        self._may_change()
        self.presence.check()
        self._stock.take_letter(str(self.settings["letter"]))
        self._stock.settle()
        with self._file.change():  # under the shop's lock no two benches choose the same id
            parcel_id = self._next_id(str(head_fields.get("opened") or self.clock())[:10])
            fixed = {"id": parcel_id, "expected": expected}
            head = {**new_head(parcel_id), "begun": self.clock(), **fresh(head_fields), **fixed}
            records = {doc["id"]: dict(doc) for doc in map(empty_record, range(1, expected + 1))}
            lock = self._lock(parcel_id)
            try:
                db = self._new_db(parcel_id)
                _begin(db, {"head": {"head": head}, "records": records, "history": {}})
            except BaseException:
                lock.free()
                raise
        self._index.look_again()
        return self._opened(parcel_id, db, lock)

    def open_parcel(self, parcel_id: str, read_only: bool = False, passing: bool = False,
                    version: Which | None = None) -> Parcel:  # fmt: skip
        """A parcel of this shop. ParcelHeld where another bench has it; BenchError for a bad id or file.

        ``passing``: only for a moment; this bench will not return to it at its next start. ``version``: which
        one holds where there are two; without it TwoVersions then, except for reading.
        """
        read_only = read_only or self.read_only
        db = self._db(parcel_id, read_only)
        storage = db.storage
        if not read_only:
            self._stock.take_letter(str(self.settings["letter"]))
        lock = None if read_only else self._lock(parcel_id)
        try:
            storage.load()
            if storage.unfit and not read_only:
                if version is None:
                    raise TwoVersions(storage.notice, storage.versions())
                storage.choose(version)
                if lock is not None:
                    lock.note(storage.saved_position)
            storage.begin_sitting()
            return self._opened(parcel_id, db, lock, passing)
        except BaseException:
            if lock is not None:
                lock.free()
            raise

    def last_parcel(self) -> str | None:
        """The parcel that the bench with this one's letter was at last; for one that is new to the shop,
        the one that the shop's own letter was at.
        """
        kept, mine = last_parcels(self.settings), str(self.settings["letter"])
        if not self.read_only:
            with contextlib.suppress(BenchError):  # no letter to be had: said when a parcel is opened
                return kept.get(self.letter) or kept.get(mine)
        return kept.get(mine)

    def read_parcel(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc]]:
        """Head and records of a parcel as they stand on the disk, without its history: for what goes through
        all parcels. BenchError where it cannot be read.
        """
        self._db(parcel_id, read_only=True)
        return self.home.read_parcel(parcel_id)[:2]

    @property
    def letter(self) -> str:
        """The bench letter this bench holds: the shop's, or the next free one where that is in use."""
        return self._stock.take_letter(str(self.settings["letter"]))

    def reserve_stock(self, parcel_id: str, record_id: str) -> str:
        """The record's stock number, such as A00001: the same one whenever it is asked for again."""
        self._may_change()
        self._stock.take_letter(str(self.settings["letter"]))
        return self._stock.reserve(parcel_id, record_id)

    def stock_numbers(self) -> dict[str, tuple[str, str]]:
        """Every number ever reserved, with its parcel and record."""
        return self._stock.reserved()

    def counts(self, count_records: Count, rule: str = COUNTING) -> dict[str, Any]:
        """What ``count_records`` gives for every parcel, added up; each parcel is counted once a revision.

        ``rule`` names the way of counting and must change with it. The result is not to be changed.
        """
        return self._counts.total(self._revisions(), self._records_of, count_records, rule)

    def counts_so_far(self, artist: str = "", title: str = "", rule: str = COUNTING) -> dict[str, Any]:
        """The same as last known, with the parcels that hold that title where the home can name them."""
        self._index.read_title(artist, title)
        return self._counts.last(rule)

    def _note_counts(self, count_records: Count, rule: str) -> None:
        """Every parcel that is read from now on is counted too."""
        self._index.also = lambda head, records: self._counts.note(head, records, count_records, rule)

    def unsaved(self) -> Unsaved | None:
        """What is in memory only, of the parcels open here and of the whole shop; None where all is saved.

        After `close`: what was given up.
        """
        found = self._given_up
        for parcel in self._open:
            if (mine := parcel.unsaved) is not None:
                found = mine.joined(found)
        for file in (self._file, self._titles):
            if file.trouble is not None:
                ours = Unsaved(file.trouble, shared=file.unsaved, room=file.room)
                found = ours if found is None else found.joined(ours)
        if found is None:
            return None
        return found._replace(gone=self.presence.gone, over_line=self.presence.over_line)

    def news(self) -> list[str]:
        """What was found in the place of files open here, and put aside, since this was asked last."""
        told = [*(each.news for each in self._open), self._file.news, self._titles.news, self.home.news]
        return [line for ask in told for line in ask()]

    def save_again(self) -> None:
        """Tries once more to save all that is in memory only."""
        for parcel in self._open:
            if parcel.is_open:
                parcel.save_again()
        with contextlib.suppress(BenchError):
            self.settle()

    def save_in_background(self) -> None:
        """From now on an action on a parcel returns while it is still on its way to the disk: what a dealer
        is shown as accepted must have been waited for (`Parcel.settle`). Any other save waits by itself.
        """
        self.background_save.wanted = True
        self.home.draws()

    def closings(self) -> list[dict[str, Any]]:
        """Closed periods as they were written down, oldest first. BenchError for one that is no such file."""
        return self.home.closings()

    def close_through(self, doc: dict[str, Any]) -> None:
        """Writes a closing down; from then on nothing is entered on its last day or before."""
        self._may_change()
        self.presence.check()
        with self._file.change() as kept:  # under the shop's lock: two benches do not close the same day
            self.home.write_closing(doc)
            old = self._file.docs("settings").get("settings", {})
            closed = {"closed_through": str(doc["through"]), "closed_at": str(doc["closed_at"])}
            kept("settings").put("settings", {**old, **closed})

    def close(self) -> None:
        """Closes the parcels opened here and lets go of every lock. What cannot be saved is given up."""
        for parcel in [each for each in self._open if each.is_open]:
            parcel.close()
            if parcel.given_up is not None:
                self._given_up = parcel.given_up.joined(self._given_up)
        if self.presence.is_there():
            self._index.save()
            self._counts.save()
            if not self.read_only:
                self._file.fold()
                self._titles.fold()
        self._stock.free()
        self.home.close()

    def _before_save(self, parcel_id: str, lock: HeldLock | None) -> None:
        """No parcel is saved anywhere but in its own shop, under its lock, nor before what it refers to:
        people, titles, stock numbers.
        """
        self.presence.check()
        if lock is not None:
            with _held_elsewhere(parcel_id):
                lock.keep()
        self.settle()
        self._stock.settle()

    def _may_change(self) -> None:
        if self.read_only:
            raise BenchError("this shop is open for reading only", self.home.where)

    def _records_of(self, parcel_id: str) -> list[RecordDoc]:
        here = self._here(parcel_id)
        if here is not None:
            return here[1]
        return self.home.read_parcel(parcel_id)[1]

    def _revisions(self) -> dict[str, int]:
        return {each.id: each.revision for each in self.parcels(whole=True) if not each.trouble}

    def _here(self, parcel_id: str) -> tuple[HeadDoc, list[RecordDoc]] | None:
        """What index and counts need not read from the disk: a parcel open here to write, all saved."""
        for parcel in self._open:
            if parcel.id == parcel_id and parcel.is_open and parcel.trouble_so_far is None:
                return parcel.head, parcel.records
        return None

    def _ahead(self) -> dict[str, tuple[HeadDoc, list[RecordDoc]]]:
        """Parcels open here that cannot be saved just now."""
        return {each.id: (each.head, each.records) for each in self._open if each.unsaved is not None}

    def _db(self, parcel_id: str, read_only: bool) -> KeptDB:
        """What is kept of a parcel. BenchError where there is none."""
        self.presence.check()
        db = self._new_db(parcel_id, read_only)
        if not db.storage.exists():
            said = f"there is no parcel {parcel_id}"
            raise BenchError(said, db.storage.where, "one of this shop's parcels")
        return db

    def _new_db(self, parcel_id: str, read_only: bool = False) -> KeptDB:
        name = checked_id(parcel_id, "parcel")
        return KeptDB(storage=lambda: self.home.kept("parcel", name, read_only))

    def _lock(self, parcel_id: str) -> HeldLock:
        lock = self.home.lock("parcel", parcel_id, self.clock)
        with _held_elsewhere(parcel_id):
            lock.take(f"parcel: {parcel_id}\n")
        return lock

    def _opened(self, parcel_id: str, db: KeptDB, lock: HeldLock | None, passing: bool = False) -> Parcel:
        parcel = Parcel(parcel_id, db, lock, self.clock, self._stock.of, self._closed_at)
        storage = db.storage
        storage.before_save = partial(self._before_save, parcel_id, lock)
        storage.background_save, storage.waits = self.background_save, False
        if lock is not None:
            self._open = [each for each in self._open if each.is_open]
            self._open.append(parcel)
            self._index.opened(parcel_id)
            if not passing and last_parcels(self.settings).get(self._stock.letter) != parcel_id:
                with contextlib.suppress(BenchError):
                    self._file.apply(
                        partial(_note_parcel, self._stock.letter, parcel_id), self.may_keep_pending, False
                    )
        return parcel

    def _next_id(self, day: str) -> str:
        taken = [int(each.rpartition("-")[2]) for each in self._index.ids() if each.startswith(f"{day}-")
                 and each.rpartition("-")[2].isdecimal()]  # fmt: skip
        return checked_id(f"{day}-{max(taken, default=0) + 1}", "date")


@contextlib.contextmanager
def _held_elsewhere(parcel_id: str) -> Iterator[None]:
    """Says of a parcel's lock who has it."""
    try:
        yield
    except Held as held:
        said = f"parcel {parcel_id} is open on another bench: {held.who} has it since {held.since}"
        right = "close it there, or open it for reading"
        raise ParcelHeld(said, "", right, held.who, held.since) from held


def _note_parcel(letter: str, parcel_id: str, sheet: Sheet) -> None:
    old = sheet.docs("settings").get("settings", {})
    kept = {**last_parcels(old), letter: parcel_id}
    rest = {key: value for key, value in old.items() if key != "last_parcel"}
    sheet.put("settings", "settings", {**rest, "last_parcels": kept})


def _begin(db: KeptDB, tables: Tables) -> None:
    """Saves the first version of a parcel. BenchError where that cannot be done."""
    db.storage.begin(tables)
    db.storage.fold()
    if db.storage.trouble is not None:
        db.storage.take_back()  # nobody has seen it
        raise BenchError(db.storage.trouble, "", "free some space, and check that you may write there")


def _home(path: Path | str | Home, files: Files) -> Home:
    """A folder, unless a home is given already."""
    return FolderHome(_folder(path), files) if isinstance(path, (str, Path)) else path


def _folder(path: Path | str) -> Path:
    """The path made absolute. BenchError for what can be no path."""
    folder = path_from(path, "name a folder")
    try:
        return folder.absolute()
    except OSError as error:  # the folder that one stood in is gone
        raise BenchError(f"this is not a path: {error}", folder, "name a folder") from error
