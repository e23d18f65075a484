"""The longest stall of the screen while titles are typed in the running app, at 100,000 titles.

    python tests/bench/titles_stall.py [100000] [--titles 60]

The app runs headless on a copy of the demo shop with a made-up list attached. The keys of titles of that
list are pressed one after the other, some with a slip, and barcodes are scanned: their digits and Enter
without a pause between. While they are, a task of the app's own loop wakes every millisecond and notes how
late it comes: that is how long nothing else, a paint or the next key, could have happened. Beside it stands
what the thread worked between two wakings: on a machine shared with others the lateness holds their work too.
"""

import argparse
import asyncio
import random
import statistics
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from textual import events
from titles_size import bare, pairs, prepare, slip

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import copy_demo
from benchtui.desk.queue.background import load_on
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop
from benchtui.titles.barcode import check_digit
from benchtui.titles.listfile import write_list
from benchtui.titles.lists import load_steps

GOAL = 16.0
"""ms: one frame of a screen at 60 a second."""


@dataclass
class Watched:
    """For each waking: ms late by the clock, and ms that this thread worked since the waking before."""

    late: list[float] = field(default_factory=list)
    worked: list[float] = field(default_factory=list)
    doing: list[str] = field(default_factory=list)
    now: str = ""


async def watch(watched: Watched) -> None:
    """Notes how late each waking is."""
    while True:
        due, worked = time.perf_counter() + 0.001, time.thread_time()
        await asyncio.sleep(0.001)
        watched.late.append((time.perf_counter() - due) * 1000)
        watched.worked.append((time.thread_time() - worked) * 1000)
        watched.doing.append(watched.now)


async def press(app: BenchApp, key: str, char: str | None = None) -> float:
    """Presses one key; ms until the screen has come to rest."""
    driver = app._driver
    assert driver is not None
    event = events.Key(key, char)
    event.set_sender(app)
    begin = time.perf_counter()
    driver.send_message(event)
    return (await rest(app) - begin) * 1000


async def scan(app: BenchApp, digits: str) -> None:
    """Digits and Enter as a scanner sends them: nobody waits for the screen between them."""
    driver = app._driver
    assert driver is not None
    for key in (*digits, "enter"):
        event = events.Key(key, key if key.isdigit() else None)
        event.set_sender(app)
        driver.send_message(event)
        await asyncio.sleep(0.002)
    await rest(app)


async def type_titles(app: BenchApp, texts: list[str], scans: list[str], watched: Watched) -> list[float]:
    """Opens the title line, types each text, takes it away again; ms of each key. Then scans the barcodes."""
    times: list[float] = []
    async with app.run_test(size=(120, 40), notifications=False, tooltips=False):
        while load_on(app.desk):
            await asyncio.sleep(0)
        await rest(app)
        await asyncio.sleep(0.5)  # a dealer takes up the first record; the index of what is at hand is made
        watcher = asyncio.create_task(watch(watched))
        for text in texts:
            app.press_key(app.desk.references.keymap.first_key("find-title") or "")
            await rest(app)
            for char in text:
                watched.now = f"{text!r} at {char!r}"
                times.append(await press(app, "space" if char == " " else char, char))
            for _ in text:
                watched.now = f"{text!r} taken away"
                await press(app, "backspace")
            watched.now = f"{text!r} left"
            await press(app, "escape")
        for digits in scans:
            watched.now = f"scanned {digits}"
            app.press_key(app.desk.references.keymap.first_key("find-title") or "")
            await rest(app)
            await scan(app, digits)
            if app.desk.open.line is not None:
                await press(app, "escape")
        watcher.cancel()
    return times


def add_barcodes(folder: Path, rng: random.Random) -> list[str]:
    """A second list with 2,000 barcodes; some of them to be scanned, with some that nobody knows, some wrong."""
    codes = [f"{rng.randrange(10**11, 10**12)}" for _ in range(2_000)]
    codes = [code + check_digit(code) for code in codes]
    named = zip(pairs(2_000, 5), codes, strict=True)
    titles = [title._replace(id=f"b{no}", barcode=code) for no, (title, code) in enumerate(named)]
    for _ in write_list(folder / "0003-barcodes.csv", titles):
        pass
    for _ in load_steps(folder, apart=False):
        pass
    unknown = f"{rng.randrange(10**11, 10**12)}"
    wrong = codes[0][:-1] + str((int(codes[0][-1]) + 1) % 10)
    return [*codes[:10], unknown + check_digit(unknown), wrong]


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
        scans = add_barcodes(path / "titles", rng)
        shop = Shop.open(path)
        desk, _ = open_desk(shop)
        watched = Watched()
        app = BenchApp(desk, alone=True)
        times = sorted(asyncio.run(type_titles(app, texts, scans, watched)))
        shop.close()
    print(f"{options.count:,} titles, {len(times)} keys pressed")
    print(f"key to screen at rest: median {statistics.median(times):.1f} ms,", end=" ")
    print(f"95 % {times[int(len(times) * 0.95)]:.1f}, longest {times[-1]:.1f}")
    for kind in ("typed", "scanned"):
        turns = [
            no for no, doing in enumerate(watched.doing) if doing.startswith("scanned") == (kind == "scanned")
        ]
        for name, values in (("late by the clock", watched.late), ("work between wakings", watched.worked)):
            ordered = sorted((values[no], watched.doing[no]) for no in turns)
            at_999 = ordered[int(len(ordered) * 0.999)][0]
            longest, doing = ordered[-1]
            print(f"stall while {kind}, {name}: 99.9 % {at_999:.1f} ms, longest {longest:.1f} ({doing})")
        over = sum(watched.worked[no] > GOAL for no in turns)
        print(f"{over} of {len(turns)} turns worked longer than {GOAL:.0f} ms")


if __name__ == "__main__":
    main()
