"""A small index over all parcels, so that lists and look-ups do not read 2,000 files.

The parcels are the truth: an entry counts only while the stamps of its file and log are those it was made
from, so the index may be lost, old or damaged at any time and is then made again.
"""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchtui.errors import BenchError
from benchtui.model.record import RecordDoc
from benchtui.store.codec import Doc, decode, encode
from benchtui.store.files import Files, Stamp, write_new
from benchtui.store.load import load
from benchtui.store.place import KEEP, Place
from benchtui.store.shape import check_parcel, in_order

_VERSION = 3


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


@dataclass(frozen=True, slots=True)
class Found:
    """One record that a look-up over all parcels found."""

    parcel: str
    record: str
    no: int
    stock: str
    artist: str
    title: str
    catalogue: str
    state: str


class Index:
    """The index of one shop, kept in ``.keep``; summaries and records apart, as lists need no records."""

    def __init__(self, shop: Path, files: Files, read_only: bool) -> None:
        self._parcels = shop / "parcels"
        self._keep = shop / KEEP
        self._files = files
        self._read_only = read_only
        self._heads: dict[str, Doc] | None = None
        self._rows: dict[str, Doc] | None = None

    def summaries(self) -> list[Summary]:
        """Every parcel, oldest first."""
        self._bring_up_to_date()
        heads = self._heads or {}
        order = sorted(heads, key=_by_day)
        return [Summary(id=key, **{k: v for k, v in heads[key].items() if k != "stamp"}) for key in order]

    def ids(self) -> list[str]:
        """The ids of all parcels, oldest first, without reading any."""
        names = self._files.names(self._parcels)
        return sorted((name[:-5] for name in names if name.endswith(".json")), key=_by_day)

    def find(self, text: str, limit: int) -> list[Found]:
        """Records whose stock number, artist, title or catalogue number hold every word of ``text``.

        A stock or catalogue number typed in full comes first.
        """
        words = text.casefold().split()
        found = []
        for row in self._all_rows() if words else ():
            if all(word in row[-1] for word in words):
                found.append(Found(*row[:-2]))
        exact = text.strip().casefold()
        found.sort(key=lambda hit: exact not in (hit.stock.casefold(), hit.catalogue.casefold()))
        return found[:limit]

    def taken_in(self, day: str) -> list[str]:
        """The parcels with a record taken in on that day (start of the ISO time), oldest first."""
        return list(dict.fromkeys(row[0] for row in self._all_rows() if row[-2].startswith(day)))

    def _all_rows(self) -> Iterator[list[Any]]:
        self._bring_up_to_date()
        if self._rows is None:
            self._rows = self._saved("index-records.json")
            self._bring_up_to_date()
        for key in sorted(self._rows, key=_by_day):
            for row in self._rows[key]["rows"]:
                yield [key, *row]

    def _bring_up_to_date(self) -> None:
        if self._heads is None:
            self._heads = self._saved("index.json")
        stamps = self._stamps()
        stale = [key for key, stamp in stamps.items() if self._heads.get(key, {}).get("stamp") != stamp]
        if self._rows is not None:
            stale += [key for key, stamp in stamps.items() if self._rows.get(key, {}).get("stamp") != stamp]
        gone = [key for key in self._heads if key not in stamps]
        if not stale and not gone:
            return
        if self._rows is None:
            self._rows = self._saved("index-records.json")
        for key in gone:
            self._heads.pop(key)
            self._rows.pop(key, None)
        for key in dict.fromkeys(stale):
            head, rows = _read(self._files, self._parcels / f"{key}.json", key)
            self._heads[key] = {**head, "stamp": stamps[key]}
            self._rows[key] = {"rows": rows, "stamp": stamps[key]}
        self._save("index.json", self._heads)
        self._save("index-records.json", self._rows)

    def _stamps(self) -> dict[str, list[int]]:
        logs = self._files.names(self._parcels / KEEP)
        none = Stamp(0, 0, 0)
        stamps = {}
        for name, main in self._files.names(self._parcels).items():
            if name.endswith(".json"):
                log = logs.get(f"{name}.log", none)
                stamps[name[:-5]] = [main.inode, main.size, main.changed, log.inode, log.size, log.changed]
        return stamps

    def _saved(self, name: str) -> dict[str, Doc]:
        try:
            said = decode(self._files.read(self._keep / name))
            of = said["of"]
            if said["version"] == _VERSION and all(isinstance(doc["stamp"], list) for doc in of.values()):
                return dict(of)
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            pass
        return {}

    def _save(self, name: str, of: dict[str, Doc]) -> None:
        """Best effort: not being able to keep the index costs time, nothing else."""
        if self._read_only:
            return
        beside = self._keep / f"{name}.new"
        with contextlib.suppress(OSError, BenchError):
            write_new(self._files, beside, encode({"version": _VERSION, "of": of}).encode())
            self._files.replace(beside, self._keep / name)


def _read(files: Files, path: Path, parcel_id: str) -> tuple[Doc, list[list[Any]]]:
    """One parcel's summary and rows; a file that cannot be read is a summary that says so."""
    try:
        loaded = load(files, Place(path), "parcel")
        check_parcel(loaded.tables, parcel_id, path)
    except BenchError as error:
        blank = {"sender": None, "terms": "", "state": "unreadable", "opened": "", "expected": 0}
        return {**blank, "counts": {}, "revision": -1, "trouble": error.one_line()}, []
    head, records = loaded.tables["head"]["head"], loaded.tables["records"]
    counts: dict[str, int] = {}
    for record in records.values():
        counts[record["state"]] = counts.get(record["state"], 0) + 1
    kept = {key: head[key] for key in ("sender", "terms", "state", "opened", "expected", "revision")}
    rows = [_row(records[key]) for key in in_order(records)]
    return {**kept, "counts": counts}, rows


def _row(record: Any) -> list[Any]:
    doc: RecordDoc = record
    title = doc["title"] or {"artist": "", "title": "", "catalogue": ""}
    told = [doc["stock"] or "", title.get("artist", ""), title.get("title", ""), title.get("catalogue", "")]
    text = " ".join(str(each) for each in told).casefold()
    return [doc["id"], doc["no"], *told, doc["state"], doc.get("taken_in_at") or "", text]


def _by_day(parcel_id: str) -> tuple[str, int, str]:
    """Ids are a day and a number: 2026-11-25-10 comes after 2026-11-25-9."""
    day, _, number = parcel_id.rpartition("-")
    return (day, int(number), "") if number.isdecimal() else (parcel_id, 0, parcel_id)
