"""A small index over all parcels, so that lists and look-ups do not read 2,000 files.

The parcels are the truth: an entry counts only while the stamps of its file and log are those it was made
from, so the index may be lost, old or damaged at any time and is then made again.
"""

import contextlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from benchtui.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.codec import Doc
from benchtui.store.files import Files, told, write_new
from benchtui.store.instock import StockWords
from benchtui.store.load import load
from benchtui.store.log import line_of, read_line
from benchtui.store.place import KEEP, Place
from benchtui.store.rows import Found, Row, Waiting, row_of
from benchtui.store.shape import check_parcel, in_order
from benchtui.store.watch import Watch, by_day

_VERSION = 7
SAVE_AFTER = 50
WARM_AT_ONCE = 64
"""Parcels whose rows are made between two breaths: about 2 ms."""
Here = Callable[[str], tuple[HeadDoc, list[RecordDoc]] | None]
"""Head and records of a parcel that this bench has open for writing, all saved; None for any other."""


@dataclass(frozen=True, slots=True)
class Summary:
    """One parcel in a line. ``counts``: records by state. ``trouble``: why it cannot be read, else ""."""

    id: str
    sender: str | None
    terms: str
    state: str
    opened: str
    expected: int
    counts: dict[str, int]
    revision: int
    trouble: str = ""


class Index:
    """The index of one shop, kept in ``.keep``; summaries and records apart, as lists need no records."""

    def __init__(self, shop: Path, files: Files, read_only: bool, here: Here = lambda _: None) -> None:
        self._parcels = shop / "parcels"
        self._keep = shop / KEEP
        self._files = files
        self._read_only = read_only
        self._watch = Watch(self._parcels, files)
        self._heads: dict[str, Doc] | None = None
        self._here = here
        self._rows: dict[str, Doc] | None = None
        self._stock = StockWords()
        self._texts: dict[str, str] = {}
        self._summaries: list[Summary] | None = None
        self._unsaved = 0

    def summaries(self) -> list[Summary]:
        """Every parcel, oldest first."""
        heads = self._up_to_date()
        if self._summaries is None:
            self._summaries = [_summary(key, heads[key]) for key in sorted(heads, key=by_day)]
        return list(self._summaries)

    def ids(self) -> list[str]:
        """The ids of all parcels, oldest first, without reading any."""
        with told(self._parcels):
            return sorted((name[:-5] for name in self._files.names(self._parcels, ".json")), key=by_day)

    def find(self, text: str, limit: int, senders: Mapping[str, str]) -> list[Found]:
        """Records whose stock number, artist, title, catalogue number or sender hold every word of ``text``.

        ``senders``: names by id. A stock or catalogue number typed in full comes first, what only the
        sender's name made fit last.
        """
        words = text.casefold().split()
        found: list[tuple[bool, bool, Found]] = []
        exact = text.strip().casefold()
        for key, rows in self._all_rows() if words else ():
            who = senders.get((self._heads or {}).get(key, {}).get("sender") or "", "")
            theirs = [word in who.casefold() for word in words] if who else [False] * len(words)
            whole = self._text_of(key, rows)
            if not all(own or word in whole for word, own in zip(words, theirs, strict=True)):
                continue
            for row in rows:
                told = row.text()
                if all(own or word in told for word, own in zip(words, theirs, strict=True)):
                    number = exact in (row.stock.casefold(), row.catalogue.casefold())
                    by_sender = not all(word in told for word in words)
                    hit = Found(key, row.id, row.no, row.stock, row.artist, row.title, row.catalogue,
                                row.state, who)  # fmt: skip
                    found.append((not number, by_sender, hit))
        found.sort(key=lambda one: one[:2])
        return [hit for _, _, hit in found[:limit]]

    def _text_of(self, key: str, rows: list[Row]) -> str:
        """All that can be found in a parcel, in one text: most parcels are ruled out by one look at it."""
        if key not in self._texts:
            self._texts[key] = "\n".join(row.text() for row in rows)
        return self._texts[key]

    def stock(self) -> dict[str, str]:
        """Title id -> what of it is in stock, in words (not to be changed): the newest, and how many more."""
        return self._stock.said(self._all_rows())

    def waiting(self) -> list[Waiting]:
        """Every chore not done yet, in the order of parcels and queue."""
        return [one for key, rows in self._all_rows() for row in rows for one in row.waiting(key)]

    def taken_in(self, day: str) -> list[str]:
        """The parcels with a record taken in on that day (start of the ISO time), oldest first."""
        return [key for key, rows in self._all_rows() if any(row.taken_in.startswith(day) for row in rows)]

    def numbers(self) -> list[tuple[str, str, str]]:
        """Stock number, parcel and record of every record that has a number."""
        return [(row.stock, key, row.id) for key, rows in self._all_rows() for row in rows if row.stock]

    def save(self) -> None:
        """Keeps the index, best effort: not being able to costs time at the next start, nothing else."""
        if self._read_only or not self._unsaved:
            return
        with contextlib.suppress(OSError, BenchError):
            self._save("index.json", self._heads or {})
            self._save("index-records.json", {key: _kept(doc) for key, doc in (self._rows or {}).items()})
            self._unsaved = 0

    def warm(self) -> Iterator[None]:
        """What the first look-up would do at once, in steps, so that a screen can show between them."""
        self._up_to_date()
        yield
        if self._rows is None:
            self._rows = self._saved("index-records.json")
        for n, key in enumerate(list(self._rows)):
            if (doc := self._rows.get(key)) is not None:
                _rows_of(doc)
            if n % WARM_AT_ONCE == 0:
                yield

    def _all_rows(self) -> Iterator[tuple[str, list[Row]]]:
        if self._rows is None:
            self._rows = self._saved("index-records.json")
        self._up_to_date()
        for key in sorted(self._rows, key=by_day):
            yield key, _rows_of(self._rows[key])

    def _up_to_date(self) -> dict[str, Doc]:
        """Reads again what changed, and gives the heads."""
        if self._heads is None:
            self._heads = self._saved("index.json")
        stamps = self._watch.stamps([key for key, head in self._heads.items() if head.get("live")])
        stale = {key for key, stamp in stamps.items() if self._heads.get(key, {}).get("stamp") != stamp}
        if self._rows is not None:
            stale |= {key for key, stamp in stamps.items() if self._rows.get(key, {}).get("stamp") != stamp}
        gone = [key for key in self._heads if key not in stamps]
        if stale or gone:
            self._read_again(self._heads, stale, gone, stamps)
        return self._heads

    def _read_again(
        self, heads: dict[str, Doc], stale: set[str], gone: list[str], stamps: dict[str, list[int]]
    ) -> None:
        if self._rows is None:
            self._rows = self._saved("index-records.json")
        for key in gone:
            heads.pop(key)
            self._rows.pop(key, None)
        for key in stale:
            self._read_one(heads, self._rows, key, stamps[key])
        self._summaries = None
        self._unsaved += len(stale) + len(gone)
        if self._unsaved >= SAVE_AFTER:
            self.save()

    def _read_one(self, heads: dict[str, Doc], rows: dict[str, Doc], key: str, stamp: list[int]) -> None:
        """A parcel open here is not read from the disk; where only its cursor moved, nothing is made anew."""
        here = self._here(key)
        same = here is not None and heads.get(key, {}).get("revision") == here[0]["revision"]
        if here is not None and same and key in rows:
            heads[key]["stamp"] = rows[key]["stamp"] = stamp
            return
        if here is not None:
            head, made = _told(here[0], here[1], live=True)
        else:
            head, made = _read(self._files, self._parcels / f"{key}.json", key)
        heads[key] = {**head, "stamp": stamp}
        rows[key] = {"read": made, "stamp": stamp}
        self._texts.pop(key, None)

    def _saved(self, name: str) -> dict[str, Doc]:
        try:
            said = read_line(self._files.read(self._keep / name).rstrip(b"\n"))
            return dict(said["of"]) if said["version"] == _VERSION else {}
        except (OSError, ValueError, KeyError, TypeError):
            return {}

    def _save(self, name: str, of: dict[str, Doc]) -> None:
        beside = self._keep / f"{name}.new"
        write_new(self._files, beside, line_of({"version": _VERSION, "of": of}))
        self._files.replace(beside, self._keep / name)


def _summary(key: str, head: Doc) -> Summary:
    return Summary(id=key, **{name: value for name, value in head.items() if name not in ("stamp", "live")})


def _rows_of(doc: Doc) -> list[Row]:
    """A parcel's rows, made from the file's when they are first asked for."""
    if "read" not in doc:
        doc["read"] = [Row(*row) for row in doc["rows"]]
    rows: list[Row] = doc["read"]
    return rows


def _kept(doc: Doc) -> Doc:
    """A parcel's rows as the file holds them."""
    rows = [row.kept() for row in doc["read"]] if "read" in doc else doc["rows"]
    return {"rows": rows, "stamp": doc["stamp"]}


def _read(files: Files, path: Path, parcel_id: str) -> tuple[Doc, list[Row]]:
    """One parcel's summary and rows; a file that cannot be read is a summary that says so."""
    try:
        loaded = load(files, Place(path), "parcel", without="history")
        check_parcel(loaded.tables, parcel_id, path, loaded.whole)
    except BenchError as error:
        blank = {"sender": None, "terms": "", "state": "unreadable", "opened": "", "expected": 0}
        return {**blank, "counts": {}, "revision": -1, "trouble": error.one_line(), "live": True}, []
    head, records = loaded.tables["head"]["head"], loaded.tables["records"]
    queue = [cast(RecordDoc, records[key]) for key in in_order(records)]
    return _told(cast(HeadDoc, head), queue, live=loaded.log_size > 0)


def _told(head: HeadDoc, records: list[RecordDoc], live: bool) -> tuple[Doc, list[Row]]:
    counts: dict[str, int] = {}
    for record in records:
        counts[record["state"]] = counts.get(record["state"], 0) + 1
    doc = cast(Doc, head)
    kept = {key: doc[key] for key in ("sender", "terms", "state", "opened", "expected", "revision")}
    return {**kept, "counts": counts, "live": live}, [row_of(record) for record in records]
