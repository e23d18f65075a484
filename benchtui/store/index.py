"""A small index over all parcels, so that lists and look-ups do not read 2,000 files.

The parcels are the truth: an entry counts only while the stamps of its file and log are those it was made
from, so the index may be lost, old or damaged at any time and is then made again.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from time import perf_counter

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.entries import Entry, Summary, entry_of, unread, unreadable
from benchtui.store.home import Home
from benchtui.store.indexfile import IndexFile
from benchtui.store.instock import InStock, StockSoFar
from benchtui.store.place import KEEP
from benchtui.store.rows import Found, Row, Waiting, row_of
from benchtui.store.searching import InStockOf, LookUp, OfTitle, Wanted
from benchtui.store.watch import by_day

SAVE_AFTER = 50
STEP = 0.004
"""Seconds of reading between two breaths."""
Here = Callable[[str], tuple[HeadDoc, list[RecordDoc]] | None]
"""Head and records of a parcel that this bench has open for writing, all saved; None for any other."""


class Index:
    """The index of one shop, kept in ``.keep``.

    ``patient``: somebody goes on with `catch_up` until nothing is left to read. Until then list, look-up and
    stock tell what is known so far; whatever leaves the shop or adds up still waits for all of it.
    """

    def __init__(self, home: Home, read_only: bool, here: Here = lambda _: None) -> None:
        self.patient = False
        self.also: Callable[[HeadDoc, list[RecordDoc]], None] = nothing_more
        """Told of every parcel that is read from the disk."""
        self.ahead: Callable[[], Mapping[str, tuple[HeadDoc, list[RecordDoc]]]] = dict
        """Head and records of the parcels open here that are ahead of the disk; they are never kept."""
        self.is_there: Callable[[], bool] = lambda: True
        """Whether the shop is where it was opened; else what is known of it stays, and is not kept."""
        self._home = home
        self._read_only = read_only
        self._here = here
        self._watch = home.watch()
        self._file = IndexFile(home.folder / KEEP / "index.lines", home.files)
        self._entries: dict[str, Entry] = {}
        self._reading: Iterator[None] | None = self._file.read(self._entries)
        self._live: set[str] = set()
        self._ours: set[str] = set()
        self._behind: dict[str, str] = {}
        self._most_behind = 0
        self._order: list[str] | None = None
        self._summaries: list[Summary] | None = None
        self._stock: InStock | None = None
        self._unsaved: set[str] = set()
        self._made: tuple[str, dict[str, tuple[RecordDoc, Row]]] = ("", {})

    def summaries(self, whole: bool = False) -> list[Summary]:
        """Every parcel, oldest first; ``whole``: none that was not read yet, also where we are patient."""
        self._look(whole)
        if self._summaries is None:
            known = self._entries
            self._summaries = [
                known[key].summary if key in known else unread(key) for key in self._in_order()
            ]
        return list(self._summaries)

    def ids(self) -> list[str]:
        """The ids of all parcels, oldest first, without reading any."""
        return self._home.parcel_ids()

    def find(self, text: str, limit: int, senders: Mapping[str, str], whole: bool = False) -> list[Found]:
        """Records whose stock number, artist, title, runouts, catalogue number or sender hold every word of
        ``text``.

        ``senders``: names by id. A stock or catalogue number typed in full comes first, what only the
        sender's name made fit last.
        """
        wanted = Wanted(text, limit, senders)
        if not wanted.words:
            return []
        self._look()
        self._read_fitting(wanted, whole)
        return wanted.among(self._present())

    def _read_fitting(self, wanted: LookUp, whole: bool = False) -> None:
        """Of what is not read yet: where an index of the home's tells, what holds the records wanted, and
        what held them when it was read last; for ``whole``, without such an index all, with it all that
        changed.
        """
        if not self._behind:
            return
        fitting = self._home.fitting(wanted, self._behind.keys()) if self.is_there() else None
        if fitting is None:
            if whole:
                self._read_behind()
            return
        known = {key: self._entries[key] for key in self._behind if key in self._entries}
        changed = [key for key, entry in known.items() if whole or wanted.held_by(entry)]
        for key in dict.fromkeys([*fitting, *changed]):
            self._read_one(key, self._behind[key])

    def of_title(self, artist: str, title: str) -> list[tuple[str, str]]:
        """Parcel and record of every record of that artist and title, the oldest parcel first."""
        self._look()
        self._read_fitting(wanted := OfTitle(artist, title))
        return wanted.among(self._present())

    def read_title(self, artist: str, title: str) -> None:
        """Reads what holds that title, where an index of the home's names it."""
        if self._home.looks_up and (artist or title):
            self._look()
            self._read_fitting(OfTitle(artist, title))

    def stock(self) -> Mapping[str, str]:
        """Title id -> what of it is in stock, in words: the newest, and how many more."""
        self._look()
        return StockSoFar(self._stock_with) if self._behind else self._stock_known()

    def _stock_with(self, title_id: str) -> Mapping[str, str]:
        """What is known to be in stock, with all of that title where the home has an index."""
        self._read_fitting(InStockOf(title_id))
        return self._stock_known()

    def _stock_known(self) -> Mapping[str, str]:
        if self._stock is None:
            self._stock = InStock(list(self._known()))
        return self._stock

    def rows(self) -> Iterator[tuple[str, list[Row]]]:
        """Each parcel that is known with its records' rows, the oldest first; one parcel a step."""
        self._look()
        for entry in list(self._known()):
            yield entry.summary.id, entry.rows()

    def waiting(self) -> list[Waiting]:
        """Every chore not done yet, in the order of parcels and queue."""
        self._look(whole=True)
        return [one for entry in self._present() for one in entry.chores()]

    def taken_in(self, day: str) -> list[str]:
        """The parcels with a record taken in on that day (start of the ISO time), oldest first."""
        self._look(whole=True)
        return [entry.summary.id for entry in self._known() if f" {day}" in entry.days]

    def set_apart(self, day: str) -> list[str]:
        """The same for parcels with a record that is set apart since that day."""
        self._look(whole=True)
        return [entry.summary.id for entry in self._known() if f" {day}" in entry.apart]

    def numbers(self) -> list[tuple[str, str, str]]:
        """Stock number, parcel and record of every record that has a number."""
        self._look(whole=True)
        return [(row.stock, entry.summary.id, row.id) for entry in self._known() for row in entry.rows()
                if row.stock]  # fmt: skip

    def read_in_steps(self, few: int, pause: float) -> None:
        """From now on a look at all files comes at most every ``pause`` seconds; and in a shop of more than
        ``few`` parcels, they are read in steps (see `catch_up`)."""
        self._watch.pause = pause
        self.patient = len(self._home.parcel_ids()) > few

    def look_again(self) -> None:
        """The next look is at every file: a parcel came here."""
        self._watch.forget()

    def opened(self, key: str) -> None:
        """The parcel was opened here to write: it is looked at whenever anything is."""
        self._ours.add(key)

    def catch_up(self) -> float | None:
        """Reads for a few milliseconds what changed since; the share done, or None once nothing is left."""
        if self._reading is not None:
            if next(self._reading, self) is self:
                self._opened()
            return 0.0
        if not self._behind:
            self._look_around()
        self._most_behind = max(self._most_behind, len(self._behind))
        self._read_behind(perf_counter() + STEP)
        return 1 - len(self._behind) / self._most_behind if self._behind else None

    def save(self) -> None:
        """Keeps the index, best effort: not being able to costs time at the next start, nothing else."""
        if self._read_only or not self.is_there():
            return
        if self._reading is None:
            self._let_go()
        if self._unsaved:
            self._file.keep(self._entries, self._unsaved)
            self._unsaved = set()

    def save_anew(self) -> None:
        """Keeps the index as it is now, with nothing older left in its file."""
        self._look(whole=True)
        self._file.anew()
        self._unsaved = set(self._entries)
        self.save()

    def _present(self) -> Iterable[Entry]:
        """All that is known, and of parcels that cannot be saved just now what is in memory."""
        ahead = self.ahead()
        for entry in self._known():
            here = ahead.get(entry.summary.id)
            yield entry if here is None else entry_of(here[0], [row_of(one) for one in here[1]], "", True)

    def _known(self) -> Iterable[Entry]:
        return (self._entries[key] for key in self._in_order() if key in self._entries)

    def _in_order(self) -> list[str]:
        if self._order is None:
            self._order = sorted({**self._entries, **self._behind}, key=by_day)
        return self._order

    def _look(self, whole: bool = False) -> None:
        """All entries as the disk has them; where we are patient, as far as they are read."""
        if self._reading is not None:
            for _ in self._reading:
                pass
            self._opened()
        self._look_around()
        if whole or not self.patient:
            self._read_behind()

    def _opened(self) -> None:
        self._reading = None
        self._live = {key for key, entry in self._entries.items() if entry.live}

    def _look_around(self) -> None:
        """Which entries are behind their files, and which have none any more."""
        if not self.is_there():
            return
        self._let_go()
        stamps, at_all = self._watch.look(self._live | self._ours)
        for key in stamps if at_all else (self._live | self._ours) & stamps.keys():
            entry = self._entries.get(key)
            if entry is None or entry.stamp != stamps[key]:
                self._put(key, None, stamps[key])
        if at_all:
            for key in [key for key in {**self._entries, **self._behind} if key not in stamps]:
                self._drop(key)

    def _let_go(self) -> None:
        """A parcel that was open here is read once more from the disk: is its log still in use?"""
        for key in [key for key in self._ours if self._here(key) is None]:
            self._ours.discard(key)
            self._made = ("", {})
            self._read_one(key, self._watch.one(key))

    def _read_behind(self, until: float = float("inf")) -> None:
        while self._behind:
            key = next(iter(self._behind))
            self._read_one(key, self._behind[key])
            if perf_counter() >= until:
                break
        if len(self._unsaved) >= SAVE_AFTER:
            self.save()

    def _read_one(self, key: str, stamp: str) -> None:
        """A parcel open here is not read from the disk; where only its cursor moved, nothing is made anew."""
        here, entry = self._here(key), self._entries.get(key)
        if here is None:
            self._put(key, self._read(key, stamp), stamp)
        elif entry is not None and entry.summary.revision == here[0]["revision"] and entry.live:
            entry.stamp = stamp
            self._behind.pop(key, None)
        else:
            self._put(key, entry_of(here[0], self._rows_here(key, here[1]), stamp, live=True), stamp)

    def _read(self, key: str, stamp: str) -> Entry:
        """The entry of the parcel on the disk; a file that cannot be read is an entry that says so."""
        try:
            head, records, live = self._home.read_parcel(key)
        except BenchError as error:
            return unreadable(key, error.one_line(), stamp)
        self.also(head, records)
        return entry_of(head, [row_of(record) for record in records], stamp, live)

    def _rows_here(self, key: str, records: list[RecordDoc]) -> list[Row]:
        """The rows of a parcel open here; a record that is the same document has the same row."""
        old = self._made[1] if self._made[0] == key else {}
        made: dict[str, tuple[RecordDoc, Row]] = {}
        for record in records:
            doc, row = old.get(record["id"], (None, None))
            made[record["id"]] = (record, row if row is not None and doc is record else row_of(record))
        self._made = (key, made)
        return [row for _, row in made.values()]

    def _put(self, key: str, entry: Entry | None, stamp: str) -> None:
        """The entry as read, or (None) the news that it is behind; what is known so far stays until then."""
        self._summaries = self._stock = None
        if key not in self._entries and key not in self._behind:
            self._order = None
        if entry is None:
            self._behind[key] = stamp
            return
        self._behind.pop(key, None)
        self._entries[key] = entry
        self._unsaved.add(key)
        (self._live.add if entry.live else self._live.discard)(key)

    def _drop(self, key: str) -> None:
        self._summaries = self._stock = self._order = None
        self._behind.pop(key, None)
        self._live.discard(key)
        if self._entries.pop(key, None) is not None:
            self._unsaved.add(key)


def nothing_more(head: HeadDoc, records: list[RecordDoc]) -> None:
    """What else is to be done with a parcel that was read, unless somebody says otherwise."""
