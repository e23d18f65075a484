"""Load: a shop of many parcels beside an empty one, and one parcel of 500 records with full history.

    python tests/bench/store_load.py [PARCELS] [FOLDER]

Prints medians in ms, ratios against the empty shop, and memory. A given FOLDER is kept and used again: making
2,000 parcels is 60,000 writes that wait for the disk, some six minutes.
"""

import itertools
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from benchtui.model.record import new_part
from benchtui.store import Parcel, Shop

WORDS = [
    "night",
    "day",
    "ferry",
    "lamp",
    "river",
    "glass",
    "iron",
    "paper",
    "winter",
    "harbour",
    "signal",
    "orchard",
    "copper",
    "window",
    "garden",
]


def fill(shop: Shop, parcel: Parcel, seed: int) -> None:
    """Every record of the parcel taken in: title, parts, a dozen answers, a grade a part, a number."""
    for at, record in enumerate(parcel.records):
        with parcel.action(f"record {at + 1} taken in") as change:
            doc: Any = change.record(record["id"])
            words = [WORDS[(seed * 7 + at * 3 + n * 5) % len(WORDS)] for n in range(3)]
            doc["title"] = {"id": f"t-{seed}-{at}", "artist": words[0].title(), "title": " ".join(words).title(),
                            "catalogue": f"QM {seed}{at:02d}"}  # fmt: skip
            doc["parts"] = [new_part(kind) for kind in ("disc", "cover", "inner")]
            doc["answers"] = [answer(doc["parts"][n % 3]["id"], n) for n in range(12)]
            for part in doc["parts"]:
                part["grades"].append(grade())
            doc["stock"] = shop.reserve_stock(parcel.id, record["id"])
            doc["state"] = "taken-in"
            doc["taken_in_at"] = f"{parcel.head['opened']}T09:{at % 60:02d}:00Z"


def answer(part: str, number: int) -> dict[str, Any]:
    return {"part": part, "place": "label A", "clue": f"clue-{number}", "answer": "gold", "value": None, "how": "seen",
            "text": "gold print on black", "book": "tarrowick@1a2b3c4d", "at": "2026-11-25T09:00:00Z"}  # fmt: skip


def grade() -> dict[str, Any]:
    return {
        "when": "arrived",
        "side": "",
        "grade": "VG",
        "shade": "+",
        "scale": "american",
        "at": "2026-11-25T09:00:00Z",
    }


def tally(records: list[Any]) -> dict[str, Any]:
    counts: dict[str, Any] = {}
    for record in records:
        for each in record["answers"]:
            by = counts.setdefault(each["clue"], {})
            by[each["answer"]] = by.get(each["answer"], 0) + 1
    return counts


def median_ms(act: Callable[[], Any], times: int = 7) -> float:
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        act()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def start(path: Path) -> None:
    """What a bench does before its first screen."""
    shop = Shop.open(path)
    _ = shop.settings, shop.senders, shop.made_titles(), shop.picks(), shop.sales_seen()
    shop.open_parcel(str(shop.last_parcel()))
    shop.close()


def measure(path: Path) -> dict[str, float]:
    """Each job of the bench that might grow with the shop; the caches as a bench leaves them."""
    for cache in (*(path / ".keep").glob("index*"), path / ".keep" / "counts.json"):
        cache.unlink(missing_ok=True)
    anew = Shop.open(path)
    begun = time.perf_counter()
    anew.read_in_steps()
    steps = [time.perf_counter()]
    while anew.catch_up(tally) is not None:
        steps.append(time.perf_counter())
    anew.find("x")
    anew.counts(tally)
    made = (time.perf_counter() - begun) * 1000
    between = [(one - before) * 1000 for before, one in itertools.pairwise(steps)]
    anew.close()
    found = {"start, last parcel open": median_ms(lambda: start(path))}
    shop = Shop.open(path)
    shop.read_in_steps()  # as the bench is
    while shop.catch_up(tally) is not None:
        pass
    parcel = shop.open_parcel(str(shop.last_parcel()))
    record = parcel.records[3]
    stock = str(record["stock"])

    def key() -> Any:
        with parcel.action("note") as change:
            change.record(record["id"])["note"] += "x"

    def fresh_shop(act: Callable[[Shop], Any]) -> Callable[[], None]:
        return lambda: (act(Shop.open(path, read_only=True)), None)[1]

    found["a key"] = median_ms(key, 200)
    found["a letter in a line"] = median_ms(lambda: parcel.place(draft=next(drafts)), 200)
    found["a stock number"] = median_ms(lambda: shop.reserve_stock(parcel.id, next(names)), 50)
    found["list of parcels, first time"] = median_ms(fresh_shop(lambda each: each.parcels()))
    found["list of parcels, again"] = median_ms(shop.parcels, 20)
    found["list of parcels after a key"] = median_ms(lambda: (key(), shop.parcels()), 20)
    found["find by stock number, first time"] = median_ms(fresh_shop(lambda each: each.find(stock)))
    found["find by stock number, again"] = median_ms(lambda: shop.find(stock), 20)
    found["find by title, again"] = median_ms(lambda: shop.find("night ferry"), 20)
    found["what is in stock, first time"] = median_ms(fresh_shop(lambda each: each.stock_by_title()))
    found["what is in stock, again"] = median_ms(shop.stock_by_title, 20)
    found["what is in stock after a key"] = median_ms(lambda: (key(), shop.stock_by_title()), 20)
    found["the work list"] = median_ms(shop.waiting, 20)
    found["parcels of a day, first time"] = median_ms(fresh_shop(lambda each: each.taken_in("2026-11-25")))
    found["learnt counts, first time"] = median_ms(fresh_shop(lambda each: each.counts(tally)))
    found["learnt counts after a key"] = median_ms(lambda: (key(), shop.counts(tally)), 20)
    found["index and counts made anew"] = made
    found["of that the longest step"] = max(between, default=made)
    shop.close()
    return found


drafts: Iterator[Any] = ({"line": "note", "text": "x" * n, "at": n} for n in range(1, 10**9))
names = (f"r-{time.time_ns()}-{n}" for n in range(10**9))


def build(path: Path, parcels: int) -> None:
    shop = Shop.create(path)
    for number in range(parcels):
        day = f"20{10 + number // 336:02d}-{1 + number // 28 % 12:02d}-{1 + number % 28:02d}"
        parcel = shop.new_parcel({"opened": "2026-11-25" if number == parcels - 1 else day}, 15)
        fill(shop, parcel, number)
        parcel.close()
        if number % 500 == 499:
            print(f"{number + 1} parcels made", file=sys.stderr, flush=True)
    shop.parcels()
    shop.counts(tally)
    shop.close()


def large_parcel(path: Path) -> None:
    """One parcel of 500 records with full history: p50, p95 and the longest of 1,500 keys."""
    shop = Shop.create(path)
    parcel = shop.new_parcel({"opened": "2026-11-25"}, 500)
    fill(shop, parcel, 1)
    taken = []
    for number in range(1500):
        record = parcel.records[number % 500]
        begun = time.perf_counter()
        with parcel.action("grade of disc 1: VG+") as change:
            change.record(record["id"])["parts"][0]["grades"].append(grade())  # type: ignore[arg-type]
        taken.append((time.perf_counter() - begun) * 1000)
    taken.sort()
    size = (path / "parcels" / f"{parcel.id}.json").stat().st_size
    print(f"500 records, {len(parcel.history)} actions of history, file {size / 1e6:.1f} MB:")
    print(f"  a key durable: p50 {taken[750]:.2f}  p95 {taken[1425]:.2f}  longest {taken[-1]:.1f} ms")
    typed = sorted(median_ms(lambda: parcel.place(draft=next(drafts)), 1) for _ in range(300))
    print(f"  a letter in a line: p50 {typed[150]:.2f}  p95 {typed[285]:.2f}  longest {typed[-1]:.1f} ms")
    print(f"  undo {median_ms(parcel.undo, 100):.2f}  redo {median_ms(parcel.redo, 100):.2f} ms")
    parcel.close()
    print(f"  opening it {median_ms(lambda: shop.open_parcel(parcel.id).close(), 5):.0f} ms")
    shop.close()


def main() -> None:
    if len(sys.argv) > 3:  # a process of its own, for memory
        start(Path(sys.argv[3]))
        shop = Shop.open(sys.argv[3])
        _ = (
            shop.open_parcel(str(shop.last_parcel())),
            shop.parcels(),
            shop.find("night"),
            shop.counts(tally),
        )
        status = Path("/proc/self/status").read_text()
        print(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")))
        shop.close()
        return
    parcels = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    with tempfile.TemporaryDirectory() as folder:
        large_parcel(Path(folder) / "large")
        small = Path(folder) / "small"
        build(small, 1)
        path = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(folder) / "many"
        if not path.exists():
            begun = time.perf_counter()
            build(path, parcels)
            print(f"{parcels} parcels of 15 made in {time.perf_counter() - begun:.0f} s")
        one, many = measure(small), measure(path)
        print(f"{'':36}{'1 parcel':>10}{parcels:>8} parcels   ratio   (medians, ms)")
        for name, value in one.items():
            print(f"{name:36}{value:10.2f}{many[name]:16.2f}{many[name] / value:8.1f}")
        run = [sys.executable, __file__, "0", "0"]
        told = [subprocess.check_output([*run, str(each)], text=True).strip() for each in (small, path)]
        print(f"memory after all of these in a process of its own: {told[0]} and {told[1]} KiB (Linux)")


if __name__ == "__main__":
    main()
