"""One process plays many parcels through the real app: what grows that should not?

    python tests/bench/bench_long.py [PARCELS] [--every 50] [--size 80x24]      (Linux: reads /proc)

Each parcel is opened, played record by record (three of the demo's records, with runouts, faults and prices),
undone and redone a little, looked at on its pages, its day handed on, and closed; then the next one, in the
same shop and the same app, each on a day of its own. Told every so many parcels: resident memory, open files, seconds and the p50 and p95
of a key since the last line; at the end, memory beside that after the first line.
"""

import argparse
import asyncio
import gc
import os
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

os.environ.setdefault("TEXTUAL_FPS", "1000")  # nobody looks: no key waits for the next frame

from measuring import press, share

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import empty_demo, parse_size, script_path
from benchtui.bench.script import Step, read_script
from benchtui.bench.start import open_desk
from benchtui.store import Shop

OPENING = """
n "Una Brannick" enter
"b" enter "3" enter "48 EUR @ 0.8650 2026-11-16 invented" enter "3.50 EUR @ 0.8650 2026-11-16 invented" enter
escape
l "brannick-list.csv" enter escape
"""
CLOSING = """
ctrl+e
home
c c
"""
FIRST_DAY = datetime(2024, 1, 1, 10, tzinfo=UTC)


class Days:
    """A clock that stands at ten in the morning of one day after another."""

    def __init__(self) -> None:
        self.passed = 0

    def now(self) -> datetime:
        return FIRST_DAY + timedelta(days=self.passed)

    def text(self) -> str:
        return self.now().strftime("%Y-%m-%dT%H:%M:%SZ")


def three_records() -> str:
    """The keys of the first three records of the demo's parcel, the last of them partly undone and redone."""
    text = script_path("fifteen").read_text("utf-8")
    keys = text[text.index("# 1:") : text.index("# 4:")].rstrip()
    keys, taken_in = keys.rsplit(maxsplit=1)
    return f"{keys}\nu u u z z z\n{taken_in}\n"


def now_used() -> tuple[int, int]:
    """Resident memory in KiB, and the number of open files."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") // 1024, len(os.listdir("/proc/self/fd"))


async def play_one(app: BenchApp, steps: list[Step]) -> list[float]:
    """One parcel from the page of the last; the milliseconds of each key. AssertionError unless all was done."""
    took = [await press(app, step) for step in steps]
    parcel = app.desk.parcel
    assert parcel is not None, app.desk.message
    states = [record["state"] for record in parcel.records]
    assert states == ["taken-in"] * 3, f"{states}: {app.desk.message}"
    assert parcel.closed, app.desk.message
    return took


async def play_all(
    shop: Shop, days: Days, steps: list[Step], parcels: int, every: int, size: tuple[int, int]
) -> None:
    desk, notice = open_desk(shop, None, days.now)
    app = BenchApp(desk, error=notice)
    first, took, begun = 0, [], time.perf_counter()
    async with app.run_test(size=size, notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        for number in range(1, parcels + 1):
            days.passed = number
            took += await play_one(app, steps)
            if number % every == 0 or number == parcels:
                gc.collect()
                memory, files = now_used()
                first = first or memory
                seconds, begun = time.perf_counter() - begun, time.perf_counter()
                print(f"after {number:5} parcels: {memory:7} KiB ({memory / first:.2f} x), {files} open files, "
                      f"{seconds:.0f} s, a key p50 {share(took, 50):.1f} p95 {share(took, 95):.1f} ms", flush=True)  # fmt: skip
                took = []


def main() -> None:
    parser = argparse.ArgumentParser(description="many parcels in one process")
    parser.add_argument("parcels", nargs="?", type=int, default=500)
    parser.add_argument("--every", type=int, default=50)
    parser.add_argument("--size", default="80x24")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-long-") as place:
        folder = Path(place)
        empty_demo(folder / "shop")
        keys = folder / "parcel.keys"
        keys.write_text(OPENING + three_records() + CLOSING)
        days = Days()
        shop = Shop.open(folder / "shop", clock=days.text)
        try:
            steps = list(read_script(keys).steps)
            size = parse_size(given.size)
            asyncio.run(play_all(shop, days, steps, given.parcels, given.every, size))
        finally:
            shop.close()


if __name__ == "__main__":
    main()
