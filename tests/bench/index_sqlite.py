"""The index over all parcels as it is, beside the same held by the standard library's sqlite3.

    python tests/bench/index_sqlite.py [--parcels 2000] [--records 30] [--json]

Made-up parcels go into both; then in turn, medians in milliseconds of processor time: opening (a new process has
nothing in memory), a search for two words, one for a word that only one record has, the copies of a title that
are in stock, and one parcel changed and kept. The sqlite3 side is the simplest that gives the same answers: a
table of parcels, one of records with their folded text, and an index by title.
"""

import argparse
import random
import sqlite3
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

from measuring import SYLLABLES, median, tell

from benchtui.model.parcel import HeadDoc
from benchtui.store.entries import Entry, entry_of
from benchtui.store.files import Files
from benchtui.store.indexfile import IndexFile
from benchtui.store.instock import InStock
from benchtui.store.rows import Row
from benchtui.store.searching import Wanted

SHAPE = """
CREATE TABLE parcel (id TEXT PRIMARY KEY, stamp TEXT, live INTEGER, sender TEXT, summary TEXT);
CREATE TABLE record (parcel TEXT, no INTEGER, id TEXT, stock TEXT, artist TEXT, title TEXT, catalogue TEXT,
    state TEXT, title_id TEXT, held TEXT, day TEXT, text TEXT);
CREATE INDEX of_parcel ON record (parcel);
CREATE INDEX of_title ON record (title_id) WHERE held != '';
"""


def made_up(parcels: int, records: int) -> dict[str, list[Row]]:
    rng = random.Random(1)
    words = ["".join(rng.choice(SYLLABLES) for _ in range(3)) for _ in range(6000)]
    found = {}
    for no in range(parcels):
        rows = []
        for at in range(records):
            artist, title = (" ".join(rng.choice(words) for _ in range(2)).title() for _ in range(2))
            stock = f"A{no * records + at:05}"
            rows.append(Row(f"r-{no}-{at}", at, stock, artist, title, f"BM {rng.randrange(9000)}", "taken-in",
                            f"t-{rng.randrange(9000)}", f"{stock} VG+/VG 9.00", "BM 1 A/1", "2026-01-02"))  # fmt: skip
        found[f"2026-{no // 336 + 1:02}-{no // 12 % 28 + 1:02}-{no % 12 + 1}"] = rows
    return found


def head_of(key: str) -> HeadDoc:
    head: Any = {"id": key, "sender": None, "terms": "bought", "state": "open", "opened": key[:10],
                 "expected": 0, "revision": 1}  # fmt: skip
    found: HeadDoc = head
    return found


class Lines:
    """As it is."""

    def __init__(self, folder: Path) -> None:
        self._file = IndexFile(folder / "index.lines", Files())
        self.entries: dict[str, Entry] = {}

    def fill(self, parcels: dict[str, list[Row]]) -> None:
        self.entries = {key: entry_of(head_of(key), rows, "s", False) for key, rows in parcels.items()}
        self._file.keep(self.entries, set(self.entries))

    def open(self) -> None:
        self.entries = {}
        for _ in self._file.read(self.entries):
            pass

    def find(self, text: str) -> list[Any]:
        return [one.record for one in Wanted(text, 50, {}).among(self.entries.values())]

    def held(self, title_id: str) -> str:
        return InStock(list(self.entries.values())).get(title_id, "")

    def change(self, key: str, rows: list[Row]) -> None:
        self.entries[key] = entry_of(head_of(key), rows, "s2", False)
        self._file.keep(self.entries, {key})


class Sqlite:
    """The same in a database."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / "index.sqlite"
        self.open()
        self._db.executescript(SHAPE)

    def open(self) -> None:
        self._db = sqlite3.connect(self._path)
        self._db.execute("PRAGMA synchronous=OFF")
        self._db.execute("SELECT count(*) FROM sqlite_schema").fetchone()

    def fill(self, parcels: dict[str, list[Row]]) -> None:
        with self._db:
            for key, rows in parcels.items():
                self._put(key, rows)

    def _put(self, key: str, rows: list[Row]) -> None:
        self._db.execute("DELETE FROM record WHERE parcel = ?", (key,))
        self._db.execute("INSERT OR REPLACE INTO parcel VALUES (?, 's', 0, NULL, '{}')", (key,))
        told = ((key, r.no, r.id, r.stock, r.artist, r.title, r.catalogue, r.state, r.title_id, r.held,
                 r.taken_in, f"\t{r.text()}\t") for r in rows)  # fmt: skip
        self._db.executemany("INSERT INTO record VALUES (?,?,?,?,?,?,?,?,?,?,?,?)", told)

    def find(self, text: str) -> list[Any]:
        words = text.casefold().split()
        where = " AND ".join("instr(text, ?)" for _ in words)
        order = "ORDER BY instr(text, ?) = 0, parcel, no LIMIT 50"
        rows = self._db.execute(
            f"SELECT id FROM record WHERE {where} {order}", (*words, "\t" + " ".join(words) + "\t")
        )
        return [row[0] for row in rows]

    def held(self, title_id: str) -> str:
        rows = self._db.execute("SELECT held FROM record WHERE title_id = ? AND held != '' ORDER BY parcel, no",
                                (title_id,)).fetchall()  # fmt: skip
        more = f" and {len(rows) - 1} more" if len(rows) > 1 else ""
        return rows[-1][0] + more if rows else ""

    def change(self, key: str, rows: list[Row]) -> None:
        with self._db:
            self._put(key, rows)


def took(work: Callable[[], object], times: int = 7) -> float:
    found = []
    for _ in range(times):
        begun = time.process_time()
        work()
        found.append((time.process_time() - begun) * 1000)
    return median(found)


def measured(side: "Lines | Sqlite", parcels: dict[str, list[Row]]) -> dict[str, float]:
    side.fill(parcels)
    key, rows = list(parcels.items())[len(parcels) // 2]
    two = " ".join([rows[3].artist.split()[0][:4], rows[3].title.split()[1][:4]])
    tracemalloc.start()
    side.open()
    kept = tracemalloc.get_traced_memory()[0] / 1e6
    tracemalloc.stop()
    return {
        "open": took(side.open),
        "two words": took(lambda: side.find(two)),
        "a number": took(lambda: side.find(rows[5].stock)),
        "a title held": took(lambda: side.held(rows[7].title_id)),
        "a parcel changed": took(lambda: side.change(key, rows)),
        "memory, MB": round(kept, 1),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description="the index as it is, beside sqlite3")
    parser.add_argument("--parcels", type=int, default=2000)
    parser.add_argument("--records", type=int, default=30)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    parcels = made_up(given.parcels, given.records)
    with tempfile.TemporaryDirectory(prefix="index-sqlite-") as place:
        sides: dict[str, Lines | Sqlite] = {"as it is": Lines(Path(place)), "sqlite3": Sqlite(Path(place))}
        found = {name: measured(side, parcels) for name, side in sides.items()}
        row = parcels[next(reversed(parcels))][2]
        same = [sorted(side.find(row.artist.split()[0])) for side in sides.values()]
        assert same[0] == same[1], "the two give different answers"
        sizes = {path.name: path.stat().st_size // 1000 for path in Path(place).iterdir()}
    names = list(next(iter(found.values())))
    lines = [f"{'':12}" + "".join(f"{name:>18}" for name in names)]
    lines += [f"{name:12}" + "".join(f"{row[one]:18.2f}" for one in names) for name, row in found.items()]
    tell({"ms": found, "kB": sizes}, [*lines, f"kB on the disk: {sizes}"], given.json)


if __name__ == "__main__":
    main()
