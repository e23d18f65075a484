"""One process plays many parcels through the real app: what grows that should not?

    python tests/bench/bench_long.py [PARCELS] [--every 50] [--size 80x24]      (Linux: reads /proc)

Each parcel is opened, three of the demo's records are identified (whatever is asked is answered, as what is
asked changes with what the shop learns), graded, priced, partly undone and redone, and taken in; its day is handed
on, pages are looked at, it is closed; then the next one, in the same shop and the same app, each on a day of its
own. Told every so many parcels: resident memory, open files, seconds and the p50 and p95 of a key since the last
line, and memory beside that after the first line.
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
from benchtui.bench.run import empty_demo, parse_size
from benchtui.desk.keyboard.script import Step, read_script
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

OPENING = """
n "Una Dovrick" enter
"b" enter "3" enter "48 EUR @ 0.8650 2026-11-16 invented" enter "3.50 EUR @ 0.8650 2026-11-16 invented" enter
escape
l "dovrick-list.csv" enter escape
"""
TITLES = ('"st" enter', '"co" enter', '"tin" enter')
GRADED = "v = x escape /"
DONE = 'u u u z z z k "8" enter'
TAKEN_IN = "\\"
CLOSING = """
ctrl+e
end escape ctrl+w escape ctrl+f "ferry" escape
home
c 1
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


def now_used() -> tuple[int, int]:
    """Resident memory in KiB, and the number of open files."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") // 1024, len(os.listdir("/proc/self/fd"))


class Dealer:
    """Presses keys, and keeps what each took."""

    def __init__(self, app: BenchApp, folder: Path) -> None:
        self.app = app
        self.took: list[float] = []
        self._file = folder / "parcel.keys"
        self._known: dict[str, tuple[Step, ...]] = {}

    async def press(self, keys: str) -> None:
        if keys not in self._known:
            self._file.write_text(keys)
            self._known[keys] = read_script(self._file).steps
        for step in self._known[keys]:
            self.took.append(await press(self.app, step))

    async def parcel(self) -> None:
        """One parcel, from the page of the one before. AssertionError unless all of it was done."""
        desk = self.app.desk
        await self.press(OPENING)
        for title in TITLES:
            await self.record(title)
        await self.press(CLOSING)
        assert desk.work.parcel is not None, desk.open.message
        states = [record["state"] for record in desk.work.parcel.records]
        assert states == ["taken-in"] * len(TITLES), f"{states}: {desk.open.message}"
        assert desk.work.parcel.closed, desk.open.message

    async def record(self, title: str) -> None:
        desk = self.app.desk
        await self.press(title)
        for _ in range(len(desk.work.record["parts"]) if desk.work.record else 0):
            await self.answers()
            await self.press(GRADED)
        await self.press(DONE)
        for _ in range(3):  # what is lacking is said the first time
            if (
                desk.work.record is not None
                and desk.work.record["state"] != "taken-in"
                and desk.work.record["parts"]
            ):
                await self.press("escape " + TAKEN_IN)

    async def answers(self) -> None:
        """The first answer to four questions; a line that opens takes a 1 for each side."""
        desk = self.app.desk
        for _ in range(4):
            if desk.asking.asked is not None:
                await self.press("1")
            for _ in range(3):
                if desk.open.line is not None:
                    await self.press('"1"')
            if desk.open.line is not None:
                await self.press("escape")


async def play_all(
    shop: Shop, days: Days, folder: Path, parcels: int, every: int, size: tuple[int, int]
) -> None:
    desk, notice = open_desk(shop, None, days.now)
    app = BenchApp(desk, error=notice)
    dealer, first, begun = Dealer(app, folder), 0, time.perf_counter()
    async with app.run_test(size=size, notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        for number in range(1, parcels + 1):
            days.passed = number
            await dealer.parcel()
            if number % every == 0 or number == parcels:
                gc.collect()
                memory, files = now_used()
                first = first or memory
                seconds, begun = time.perf_counter() - begun, time.perf_counter()
                print(f"after {number:5} parcels: {memory:7} KiB ({memory / first:.2f} x), {files} open files, "
                      f"{seconds:.0f} s, a key p50 {share(dealer.took, 50):.1f} p95 {share(dealer.took, 95):.1f} ms", flush=True)  # fmt: skip
                dealer.took = []


def main() -> None:
    parser = argparse.ArgumentParser(description="many parcels in one process")
    parser.add_argument("parcels", nargs="?", type=int, default=500)
    parser.add_argument("--every", type=int, default=50)
    parser.add_argument("--size", default="80x24")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-long-") as place:
        folder = Path(place)
        empty_demo(folder / "shop")
        days = Days()
        shop = Shop.open(folder / "shop", clock=days.text)
        try:
            size = parse_size(given.size)
            asyncio.run(play_all(shop, days, folder, given.parcels, given.every, size))
        finally:
            shop.close()


if __name__ == "__main__":
    main()
