"""Mutated files of every kind: python tests/bench/store_fuzz.py [FILES] [SEED]

Each file is opened, or refused in one line; never another exception, more than two seconds, or a file changed.
Kinds: parcel, its log, shop, titles, index, book, prepared book, scales, keymap, layout, template, title list,
prepared list, sales seen, key script, backup. Prints how many of each were opened and refused, and every fault found.
"""

import contextlib
import io
import json
import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "titles"))

from found import find, load_lists
from mutations import mutated, mutated_values
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.library import Library
from benchtui.books.prepared import SMALL_BYTES
from benchtui.books.scales import load_scales
from benchtui.desk.keyboard.keymap_file import load_keymap
from benchtui.desk.keyboard.script import read_script
from benchtui.export.describe import DEFAULT, description_columns, load_templates
from benchtui.export.intake import COLUMNS
from benchtui.export.layout import load_layout
from benchtui.money.sales import read_sales
from benchtui.store import Shop
from benchtui.store.backup import backup, check_backup
from benchtui.titles.finder import Finder
from benchtui.titles.takein import take_in

# Caches may be made again when they cannot be used.
MADE_AGAIN = (".index", ".prepared")
COLUMN_NAMES = tuple(column.name for column, _ in COLUMNS) + tuple(
    column.name for column, _ in description_columns(load_templates(None)[DEFAULT], DEFAULT)
)
Kind = tuple[Path, Callable[[], Any]]


def read_shop(path: Path) -> None:
    """Everything a bench reads at its start, and an action in memory on whatever could be opened."""
    shop = Shop.open(path, read_only=True)
    _ = shop.settings, shop.senders, shop.made_titles(), shop.picks(), shop.sales_seen(), shop.stock_numbers()
    shop.counts(lambda records: {"n": len(records)})
    shop.find("a")
    for summary in shop.parcels():
        parcel = shop.open_parcel(summary.id)
        _ = [record["note"] for record in parcel.records], canonical(parcel)


def work_in(path: Path) -> None:
    """Reads, and then works in a copy: an action, undo, redo, a stock number."""
    read_shop(path)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(shutil.copytree(path, Path(folder) / "shop"))
        shop = Shop.open(copy)
        try:
            for key in shop.parcel_ids():
                parcel = shop.open_parcel(key)
                if not parcel.closed and parcel.records:
                    with parcel.action("note") as change:
                        change.record(parcel.records[0]["id"])["note"] += "x"
                        change.move(parcel.records[0]["id"], 2)
                while parcel.undo():
                    pass
                while parcel.redo():
                    pass
                shop.reserve_stock(key, "r-1")
        finally:
            shop.close()


def read_book(folder: Path) -> None:
    library = Library.open([folder])
    for title in list(library.titles())[:40]:
        library.title(title.id)


def read_lists(folder: Path) -> None:
    find(Finder(load_lists(folder)), "night fe")


def read_seen(path: Path, settings: dict[str, Any]) -> None:
    import datetime

    scales = load_scales([])
    read_sales(path, settings, datetime.date(2026, 11, 25), scales, known=set(), title_of=lambda text: text)


def kinds_in(folder: Path) -> dict[str, Kind]:
    """One good file of each kind, and what reads it."""
    path = folder / "shop"
    shop = Shop.create(path)
    shop.add_sender("Ada Quill")
    shop.add_title({"id": "t-1", "artist": "Ada Quill", "title": "Night Ferry"})
    parcel = shop.new_parcel({"opened": "2026-11-25"}, 4)
    for number, record in enumerate(parcel.records):
        with parcel.action("note") as change:
            change.record(record["id"])["note"] = f"number {number}"
            change.record(record["id"])["stock"] = shop.reserve_stock(parcel.id, record["id"])
    shop.parcels()
    shop.counts(lambda records: {"n": len(records)})
    shop.close()
    killed = Shop.open(path)
    again = killed.open_parcel(parcel.id)
    for number in range(5):
        with again.action("more") as change:
            change.head["note"] = str(number)
    again._storage.release()  # left as after a kill: a log that is in use
    demo = shipped("demo")
    for name in ("books", "scales", "keys", "lists", "made"):
        (folder / name).mkdir()
    book = next(iter(sorted((demo / "shop" / "books").glob("*.toml"))))
    shutil.copy(book, folder / "books" / "own.toml")
    shutil.copy(shipped("keymaps") / "two-hands.toml", folder / "keys" / "own.toml")
    shutil.copytree(demo / "shop" / "templates", folder / "words" / "templates")
    shutil.copytree(demo / "shop" / "exports" / "layouts", folder / "words" / "exports" / "layouts")
    (folder / "large").mkdir()
    large = folder / "large" / "own.toml"
    large.write_bytes(book.read_bytes() + b"\n# " + b"-" * SMALL_BYTES)
    read_book(folder / "large")
    scales = Path(sys.modules[load_scales.__module__].__file__ or "").with_name("scales.toml")
    shutil.copy(scales, folder / "scales" / "scales.toml")
    shutil.copy(demo / "titles.csv", folder / "list.csv")
    shutil.copy(demo / "fifteen.keys", folder / "own.keys")
    shutil.copy(demo / "sales_seen.csv", folder / "seen.csv")
    take_in(folder / "list.csv", folder / "lists")
    load_lists(folder / "lists")
    backup(path, folder / "b.zip")
    bare = without_checksums(path, folder / "bare")
    keep, name = path / "parcels" / ".keep", f"{parcel.id}.json"
    prepared = max(
        (each for each in (folder / "lists").rglob("*") if each.is_file()),
        key=lambda each: each.stat().st_size,
    )
    settings = Shop.open(path, read_only=True).settings

    def listed() -> None:
        shutil.rmtree(folder / "made", ignore_errors=True)
        take_in(folder / "list.csv", folder / "made")

    return {
        "parcel": (path / "parcels" / name, lambda: read_shop(path)),
        "its log": (keep / f"{name}.log", lambda: read_shop(path)),
        "shop": (path / "shop.json", lambda: read_shop(path)),
        "titles": (path / "titles.json", lambda: read_shop(path)),
        "parcel by hand": (bare / "parcels" / name, lambda: work_in(bare)),
        "shop by hand": (bare / "shop.json", lambda: work_in(bare)),
        "titles by hand": (bare / "titles.json", lambda: work_in(bare)),
        "index": (path / ".keep" / "index.lines", lambda: read_shop(path)),
        "counts": (path / ".keep" / "counts.json", lambda: read_shop(path)),
        "book": (folder / "books" / "own.toml", lambda: read_book(folder / "books")),
        "prepared book": (large.with_name("own.toml.prepared"), lambda: read_book(folder / "large")),
        "layout": (
            folder / "words" / "exports" / "layouts" / "web.toml",
            lambda: load_layout(folder / "words", "web", COLUMN_NAMES),
        ),
        "template": (
            folder / "words" / "templates" / "letter.txt",
            lambda: load_templates(folder / "words"),
        ),
        "scales": (folder / "scales" / "scales.toml", lambda: load_scales([folder / "scales"])),
        "keymap": (folder / "keys" / "own.toml", lambda: load_keymap(folder / "keys" / "own.toml", None)),
        "title list": (folder / "list.csv", listed),
        "prepared list": (prepared, lambda: read_lists(folder / "lists")),
        "sales seen": (folder / "seen.csv", lambda: read_seen(folder / "seen.csv", settings)),
        "key script": (folder / "own.keys", lambda: read_script(folder / "own.keys")),
        "backup": (folder / "b.zip", lambda: check_backup(folder / "b.zip")),
    }


def without_checksums(path: Path, bare: Path) -> Path:
    """The shop as if written by hand: no checksum vouches for anything, and no copy stands in."""
    shutil.copytree(path, bare, ignore=shutil.ignore_patterns(".keep"))
    for each in bare.rglob("*.json"):
        tables = json.loads(each.read_text(encoding="utf-8"))
        tables["_meta"]["1"].pop("sum")
        each.write_text(json.dumps(tables), encoding="utf-8")
    return bare


def try_one(path: Path, read: Callable[[], Any], bad: bytes) -> tuple[str, str]:
    """How it went: opened, refused or a fault; and what was said."""
    path.write_bytes(bad)
    begun = time.perf_counter()
    how, said = "opened", ""
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            read()
    except BenchError as error:
        how, said = "refused", str(error)
    except RecursionError as error:
        how, said = "fault", repr(error)[:200]
    except Exception as error:
        how, said = "fault", f"{type(error).__name__}: {str(error)[:200]}"
    if "\n" in said:
        how = "fault"
    if time.perf_counter() - begun > 2:
        how, said = "fault", f"took {time.perf_counter() - begun:.1f} s; {said[:100]}"
    if path.read_bytes() != bad and path.suffix not in MADE_AGAIN:
        how, said = "fault", f"the file was changed; {said[:100]}"
    return how, said


def main() -> int:
    files = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    wanted = sys.argv[3:]
    told: dict[str, Counter[str]] = {}
    faults: dict[tuple[str, str], int] = {}
    with tempfile.TemporaryDirectory() as folder:
        kinds = {name: kind for name, kind in kinds_in(Path(folder)).items() if not wanted or name in wanted}
        good = {name: path.read_bytes() for name, (path, _) in kinds.items()}
        for name, (path, read) in kinds.items():
            how, said = try_one(path, read, good[name])
            if how != "opened":
                print(f"{name}: the good file was not opened: {said}")
                return 1
        for number in range(files):
            name = list(kinds)[number % len(kinds)]
            path, read = kinds[name]
            values = name.endswith("by hand") and chance.random() < 0.7
            how, said = try_one(path, read, (mutated_values if values else mutated)(good[name], chance))
            told.setdefault(name, Counter())[how] += 1
            if how == "fault":
                faults[name, said] = faults.get((name, said), 0) + 1
            path.write_bytes(good[name])
    for name, counts in told.items():
        print(f"{name:18}{dict(counts)}")
    print(f"{files} files, {sum(faults.values())} faults")
    for (name, said), times in sorted(faults.items(), key=lambda item: -item[1])[:40]:
        print(f"  {name}: {said} ({times} times)")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
