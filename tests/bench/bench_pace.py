"""From a key to the screen at rest, without a terminal, beside an empty Textual app driven the same way.

    python tests/bench/bench_pace.py [--rounds 3] [--keys 400] [--size 120x40] [--pause 25] [--json]

Every shop is played with demo/resume.keys, each in a process of its own; the empty app (empty_app.py) gets
as many keys, letters, typed into its Input. The rounds alternate over all of them. The time of a key is that
of benchtui.bench.play: from handing it to the driver until no message waits and nothing is left to paint.
Between two keys it waits --pause ms, as hands do: Textual paints at most sixty times a second, so that keys
pressed without a pause measure that clock (some 16 ms, the empty app's too) and not the work.
Title lists are loaded before the first key. Prints p50 and p95 in ms, each the median of the rounds, and the
ratio of each to the empty app's of the same round, again the median. A time is noise on a shared machine; the
ratios are the steadier figure. Processor time a key stands beside for that reason.
"""

import argparse
import asyncio
import json
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from measuring import EMPTY, PYTHON, SHOPS, median, press, share, take_in_made_up, tell
from textual.app import App

from benchtui.bench.app import BenchApp
from benchtui.bench.play import rest
from benchtui.bench.run import parse_size, script_path
from benchtui.desk.keyboard.script import Step, read_script, typed
from benchtui.desk.session.start import open_desk
from benchtui.store import Shop

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
PANGRAM = "six jars of old vinyl make quick bench work "


async def drive(
    app: App[Any], steps: list[Step], size: tuple[int, int], pause: float
) -> dict[str, list[float]]:
    """Wall and processor time of every key, in ms."""
    wall, cpu = [], []
    async with app.run_test(size=size, notifications=False, tooltips=False):
        await app.workers.wait_for_complete()
        await rest(app)
        for step in steps:
            await asyncio.sleep(pause / 1000)
            begun = time.process_time()
            wall.append(await press(app, step))
            cpu.append((time.process_time() - begun) * 1000)
    return {"wall": wall, "cpu": cpu}


def one(name: str, shop: str, keys: int, size: tuple[int, int], pause: float) -> dict[str, list[float]]:
    """One process: one app, its keys."""
    script = [step for step in read_script(script_path("resume")).steps if step.kind == "key"][:keys]
    if name == EMPTY:
        from empty_app import EmptyApp

        letters = [typed(PANGRAM[at % len(PANGRAM)], 1) for at in range(len(script))]
        return asyncio.run(drive(EmptyApp(), letters, size, pause))
    opened = Shop.open(shop)
    try:
        desk, notice = open_desk(opened, None, lambda: NOW)
        return asyncio.run(drive(BenchApp(desk, error=notice), script, size, pause))
    finally:
        opened.close()


def measured(rounds: int, keys: int, size: str, pause: float) -> dict[str, list[dict[str, list[float]]]]:
    """Every app in every round, in turn."""
    found: dict[str, list[dict[str, list[float]]]] = {name: [] for name in (EMPTY, *SHOPS)}
    with tempfile.TemporaryDirectory(prefix="bench-pace-") as place:
        folder = Path(place)
        titles = take_in_made_up(folder)
        for turn in range(rounds):
            for name in found:
                shop = folder / f"{turn}-{name.replace(' ', '-')}"
                if name != EMPTY:
                    SHOPS[name](shop, titles)
                command = [PYTHON, __file__, "--one", name, "--shop", str(shop), "--keys", str(keys)]
                told = subprocess.check_output([*command, "--size", size, "--pause", str(pause)], text=True)
                found[name].append(json.loads(told))
    return found


def figures(found: dict[str, list[dict[str, list[float]]]]) -> dict[str, Any]:
    """Medians over the rounds; ratios within a round, then their median."""
    told: dict[str, Any] = {}
    for name, rounds in found.items():
        row: dict[str, Any] = {"keys": len(rounds[0]["wall"])}
        for clock in ("wall", "cpu"):
            for percent in (50, 95):
                times = [share(one[clock], percent) for one in rounds]
                beside = [share(one[clock], percent) for one in found[EMPTY]]
                row[f"{clock}_p{percent}"] = median(times)
                row[f"{clock}_p{percent}_ratio"] = median(
                    t / b for t, b in zip(times, beside, strict=True) if b
                )
        told[name] = row
    return told


def main() -> None:
    parser = argparse.ArgumentParser(description="from a key to the screen at rest, headless")
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--keys", type=int, default=400)
    parser.add_argument("--size", default="120x40")
    parser.add_argument("--pause", type=float, default=25.0, help="ms between two keys")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--one", help=argparse.SUPPRESS)
    parser.add_argument("--shop", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.one:
        json.dump(one(given.one, given.shop, given.keys, parse_size(given.size), given.pause), sys.stdout)
        return
    told = figures(measured(given.rounds, given.keys, given.size, given.pause))
    lines = [
        f"{'key to rest, ms, ' + given.size:22}{'p50':>8}{'p95':>8}  beside empty p50, p95   (cpu p50, p95)"
    ]
    for name, row in told.items():
        lines.append(
            f"{name:22}{row['wall_p50']:8.2f}{row['wall_p95']:8.2f}  "
            f"{row['wall_p50_ratio']:8.1f} x {row['wall_p95_ratio']:6.1f} x"
            f"   ({row['cpu_p50']:.2f}, {row['cpu_p95']:.2f}; {row['cpu_p50_ratio']:.1f} x, {row['cpu_p95_ratio']:.1f} x)"
        )
    tell(
        {"size": given.size, "pause_ms": given.pause, "rounds": given.rounds, "apps": told}, lines, given.json
    )


if __name__ == "__main__":
    main()
