"""The longest stall of the screen while titles are typed in the running app, at 100,000 titles.

    python tests/bench/titles_stall.py [100000] [--titles 60]

The app runs headless on a copy of the demo shop with a made-up list attached. The keys of titles of that
list are pressed one after the other, some with a slip; while they are, a task of the app's own loop wakes
every millisecond and notes how late it comes: that is how long nothing else, a paint or the next key,
could have happened.
"""

import argparse
import asyncio
import random
import statistics
import tempfile
import time
from pathlib import Path

from textual import events
from titles_size import bare, pairs, prepare, slip

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import copy_demo
from benchtui.bench.start import open_desk
from benchtui.store import Shop
from benchtui.titles import Context, Finder, Hit


async def watch(lates: list[float]) -> None:
    """Notes how late each waking is, in ms."""
    while True:
        due = time.perf_counter() + 0.001
        await asyncio.sleep(0.001)
        lates.append((time.perf_counter() - due) * 1000)


async def press(app: BenchApp, key: str, char: str | None = None) -> float:
    """Presses one key; ms until the screen has come to rest."""
    driver = app._driver
    assert driver is not None
    event = events.Key(key, char)
    event.set_sender(app)
    begin = time.perf_counter()
    driver.send_message(event)
    return (await rest(app) - begin) * 1000


async def type_titles(app: BenchApp, texts: list[str], lates: list[float]) -> list[float]:
    """Opens the title line, types each text, takes it away again; ms of each key."""
    times: list[float] = []
    async with app.run_test(size=(120, 40), notifications=False, tooltips=False):
        while app.desk.load_lists():
            await asyncio.sleep(0)
        await rest(app)
        watcher = asyncio.create_task(watch(lates))
        for text in texts:
            app.press_key(app.desk.references.keymap.first_key("find-title") or "")
            await rest(app)
            for char in text:
                times.append(await press(app, "space" if char == " " else char, char))
            for _ in text:
                await press(app, "backspace")
            await press(app, "escape")
        watcher.cancel()
    return times


def timed(finder: Finder, spent: list[float]) -> None:
    """Notes what each search takes of the processor, in ms: what of a key is this room's."""
    plain = finder.find

    def find(typed: str, limit: int = 8, context: Context | None = None) -> list[Hit]:
        begin = time.process_time()
        hits = plain(typed, limit, context)
        spent.append((time.process_time() - begin) * 1000)
        return hits

    finder.find = find  # type: ignore[method-assign]


def main() -> None:
    """Prints the figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("count", type=int, nargs="?", default=100_000)
    parser.add_argument("--titles", type=int, default=60)
    options = parser.parse_args()
    rng = random.Random(3)
    sample = [bare(title)[:10].strip() for title in pairs(2_000, 1)]
    texts = [
        slip(text, rng) if no % 2 else text for no, text in enumerate(rng.sample(sample, options.titles))
    ]
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "shop"
        copy_demo(path)
        prepare(options.count, path / "titles")
        shop = Shop.open(path)
        desk, _ = open_desk(shop)
        lates: list[float] = []
        spent: list[float] = []
        timed(desk.finder, spent)
        times = sorted(asyncio.run(type_titles(BenchApp(desk), texts, lates)))
        shop.close()
    lates.sort()
    spent.sort()
    print(f"{options.count:,} titles, {len(times)} keys pressed")
    print(f"key to screen at rest: median {statistics.median(times):.1f} ms,", end=" ")
    print(f"95 % {times[int(len(times) * 0.95)]:.1f}, longest {times[-1]:.1f}")
    print(f"searching, of that: median {statistics.median(spent):.1f} ms, longest {spent[-1]:.1f}")
    print(f"stall of the loop: 99.9 % {lates[int(len(lates) * 0.999)]:.1f} ms, longest {lates[-1]:.1f} ms")


if __name__ == "__main__":
    main()
