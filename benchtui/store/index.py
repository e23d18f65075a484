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
from benchtui.store.files import Files, write_new
from benchtui.store.load import load
from benchtui.store.place import KEEP, Place
from benchtui.store.shape import check_parcel, in_order
from benchtui.store.watch import Watch, by_day

_VERSION = 4
SAVE_AFTER = 50


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
        self._watch = Watch(self._parcels, files)
        self._heads: dict[str, Doc] | None = None
        self._rows: dict[str, Doc] | None = None
        self._texts: dict[str, list[str]] = {}
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
        return sorted((name[:-5] for name in self._files.names(self._parcels, ".json")), key=by_day)

    def find(self, text: str, limit: int) -> list[Found]:
        """Records whose stock number, artist, title or catalogue number hold every word of ``text``.

        A stock or catalogue number typed in full comes first.
        """
        words = text.casefold().split()
        found = []
        for key, rows in self._all_rows() if words else ():
            for at, told in enumerate(self._text_of(key, rows)):
                if all(word in told for word in words):
                    found.append(Found(key, *rows[at][:-1]))
        exact = text.strip().casefold()
        found.sort(key=lambda hit: exact not in (hit.stock.casefold(), hit.catalogue.casefold()))
        return found[:limit]

    def taken_in(self, day: str) -> list[str]:
        """The parcels with a record taken in on that day (start of the ISO time), oldest first."""
        return [key for key, rows in self._all_rows() if any(row[-1].startswith(day) for row in rows)]

    def save(self) -> None:
        """Keeps the index, best effort: not being able to costs time at the next start, nothing else."""
        if self._read_only or not self._unsaved:
            return
        with contextlib.suppress(OSError, BenchError):
            self._save("index.json", self._heads or {})
            self._save("index-records.json", self._rows or {})
            self._unsaved = 0

    def _text_of(self, key: str, rows: list[list[Any]]) -> list[str]:
        if key not in self._texts:
            self._texts[key] = [" ".join(map(str, row[2:6])).casefold() for row in rows]
        return self._texts[key]

    def _all_rows(self) -> Iterator[tuple[str, list[list[Any]]]]:
        if self._rows is None:
            self._rows = self._saved("index-records.json")
        self._up_to_date()
        for key in sorted(self._rows, key=by_day):
            yield key, self._rows[key]["rows"]

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
            head, rows = _read(self._files, self._parcels / f"{key}.json", key)
            heads[key] = {**head, "stamp": stamps[key]}
            self._rows[key] = {"rows": rows, "stamp": stamps[key]}
            self._texts.pop(key, None)
        self._summaries = None
        self._unsaved += len(stale) + len(gone)
        if self._unsaved >= SAVE_AFTER:
            self.save()

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
        beside = self._keep / f"{name}.new"
        write_new(self._files, beside, encode({"version": _VERSION, "of": of}).encode())
        self._files.replace(beside, self._keep / name)


def _summary(key: str, head: Doc) -> Summary:
    return Summary(id=key, **{name: value for name, value in head.items() if name not in ("stamp", "live")})


def _read(files: Files, path: Path, parcel_id: str) -> tuple[Doc, list[list[Any]]]:
    """One parcel's summary and rows; a file that cannot be read is a summary that says so."""
    try:
        loaded = load(files, Place(path), "parcel")
        check_parcel(loaded.tables, parcel_id, path, loaded.whole)
    except BenchError as error:
        blank = {"sender": None, "terms": "", "state": "unreadable", "opened": "", "expected": 0}
        return {**blank, "counts": {}, "revision": -1, "trouble": error.one_line(), "live": True}, []
    head, records = loaded.tables["head"]["head"], loaded.tables["records"]
    counts: dict[str, int] = {}
    for record in records.values():
        counts[record["state"]] = counts.get(record["state"], 0) + 1
    kept = {key: head[key] for key in ("sender", "terms", "state", "opened", "expected", "revision")}
    rows = [_row(records[key]) for key in in_order(records)]
    return {**kept, "counts": counts, "live": loaded.log_size > 0}, rows


def _row(record: Any) -> list[Any]:
    doc: RecordDoc = record
    title = doc["title"] or {"artist": "", "title": "", "catalogue": ""}
    told = [doc["stock"] or "", title.get("artist", ""), title.get("title", ""), title.get("catalogue", "")]
    return [doc["id"], doc["no"], *map(str, told), doc["state"], doc.get("taken_in_at") or ""]
