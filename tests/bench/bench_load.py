"""End to end at a shop of many parcels beside an empty one, in a pseudo-terminal.

    python tests/bench/bench_load.py [PARCELS] [FOLDER] [--starts 5] [--rounds 4] [--json]        (POSIX)

Both shops hold the same last parcel of fifteen, the large one besides PARCELS of fifteen records and SALES sales
seen (a FOLDER given is made once, by store_load.py's means, and used again). Told, in milliseconds and as a ratio:
start to first full screen; start with the index lost, and how long until all parcels are read again, the longest
key meanwhile; key to last byte on the bench, in the list of parcels, in the search line by number and by title;
``benchtui export intake --day today``, and the memory of the bench at the end.
"""

import argparse
import os
import re
import shutil
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

from bench_terminal import PYTHON, Terminal
from measuring import median, share, tell
from store_load import build

from benchtui.bench.run import parse_size
from benchtui.store import Shop

SALES = 2000
MARKS = ("taken in", "leave")
LIST, SEARCH = "\x1b[F", "\x06"  # End and ctrl+f of the map for two hands
GROUPS: dict[str, list[str]] = {
    "note of a record, a letter": ["s", *"played twice", "\x1b"],
    "list of parcels opened": [LIST, "\x1b"],
    "down and up the list": [LIST, *["\x1b[B"] * 4, *["\x1b[A"] * 4, "\x1b"],
    "search by stock number": [SEARCH, *"a00004", "\x1b"],
    "search by title": [SEARCH, *"night ferry", "\x1b"],
}


def sell(shop: Path, sales: int) -> None:
    """Sales seen of as many titles."""
    opened = Shop.open(shop)
    if len(opened.sales_seen()) < sales:
        opened.add_sales([{"title": f"t-{n % 500}-{n % 15}", "minor": 900 + n, "currency": "GBP", "grade": "VG+",
                           "day": f"2026-{1 + n % 11:02d}-{1 + n % 28:02d}", "where": "fair"} for n in range(sales)])  # fmt: skip
    opened.close()


def command(shop: Path, *more: str) -> list[str]:
    return [PYTHON, "-m", "benchtui", "--shop", str(shop), *more]


def starts(shops: dict[str, Path], times: int, size: tuple[int, int]) -> dict[str, list[float]]:
    """Every start in turn, the first not counted."""
    found: dict[str, list[float]] = {name: [] for name in shops}
    for turn in range(times + 1):
        for name, shop in shops.items():
            terminal = Terminal(command(shop), size)
            ms = terminal.full_screen(MARKS)
            terminal.end()
            if turn:
                found[name].append(ms)
    return found


def keys(shops: dict[str, Path], rounds: int, size: tuple[int, int]) -> tuple[dict[str, Any], dict[str, int]]:
    """Key to last byte, a key to each shop in turn; and the KiB of each bench at the end."""
    terminals = {name: Terminal(command(shop), size) for name, shop in shops.items()}
    for terminal in terminals.values():
        terminal.full_screen(MARKS)
        terminal.drain(2.0)
    found: dict[str, Any] = {group: {name: [] for name in shops} for group in GROUPS}
    for _ in range(rounds):
        for group, pressed in GROUPS.items():
            for key in pressed:
                for name, terminal in terminals.items():
                    took = terminal.key(key)
                    if took is not None and key != "\x1b":
                        found[group][name].append(took[0])
                    if key == "\x1b":  # else the next key would be taken for its end
                        time.sleep(0.15)
                        terminal.drain(0.05)
    memory = {name: resident(terminal.pid) for name, terminal in terminals.items()}
    for terminal in terminals.values():
        terminal.end()
    return found, memory


def resident(process: int) -> int:
    status = Path(f"/proc/{process}/status")
    found = re.search(r"VmRSS:\s+(\d+)", status.read_text()) if status.exists() else None
    return int(found[1]) if found else 0


def without_index(shop: Path, size: tuple[int, int], small: bool) -> dict[str, float]:
    """The index lost: first screen, the longest key pressed meanwhile, and until all is read again.

    A small shop is read before its first screen; as many keys are pressed there for comparison.
    """
    for name in ("index.lines", "index.json", "index-records.json", "counts.json"):
        (shop / ".keep" / name).unlink(missing_ok=True)
    terminal = Terminal(command(shop), size)
    first = whole = terminal.full_screen(MARKS)
    took = []
    terminal.key("s")
    for letter in "while it reads all parcels again " * (2 if small else 40):
        if (shop / ".keep" / "counts.json").exists():
            break
        took.append((terminal.key(letter) or (0.0, 0))[0])
        whole = first if small else (time.perf_counter() - terminal.begun) * 1000
    terminal.end()
    return {
        "first screen": first,
        "all read": whole,
        "longest key": max(took, default=0.0),
        "p50 key": share(took, 50),
    }


def exports(shops: dict[str, Path], times: int, folder: Path) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {name: [] for name in shops}
    for turn in range(times + 1):
        for name, shop in shops.items():
            begun = time.perf_counter()
            out = str(folder / f"{turn}-{name.replace(' ', '-')}.csv")
            subprocess.run(command(shop, "export", "intake", "--day", "2026-11-25", "--out", out), check=True,
                           stdout=subprocess.DEVNULL)  # fmt: skip
            if turn:
                found[name].append((time.perf_counter() - begun) * 1000)
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description="a shop of many parcels beside an empty one, end to end")
    parser.add_argument("parcels", nargs="?", type=int, default=2000)
    parser.add_argument("folder", nargs="?")
    parser.add_argument("--starts", type=int, default=5)
    parser.add_argument("--rounds", type=int, default=4)
    parser.add_argument("--size", default="120x40")
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    size = parse_size(given.size)
    with tempfile.TemporaryDirectory(prefix="bench-load-") as place:
        folder = Path(place)
        shops = {"empty": folder / "empty", "large": folder / "large"}
        build(shops["empty"], 1)
        made = Path(given.folder) if given.folder else folder / "made"
        if not made.exists():
            build(made, given.parcels)
        shutil.copytree(made, shops["large"])
        sell(shops["large"], SALES)
        lost = {name: without_index(shop, size, name == "empty") for name, shop in shops.items()}
        begun = starts(shops, given.starts, size)
        pressed, memory = keys(shops, given.rounds, size)
        handed = exports(shops, given.starts, folder)
    rows: dict[str, tuple[float, float]] = {
        "start to first full screen": (median(begun["empty"]), median(begun["large"]))
    }
    for name in lost["empty"]:
        rows[f"index lost: {name}"] = (lost["empty"][name], lost["large"][name])
    for group, by in pressed.items():
        for percent in (50, 95):
            rows[f"{group}, p{percent}"] = (share(by["empty"], percent), share(by["large"], percent))
    rows["export intake of the day"] = (median(handed["empty"]), median(handed["large"]))
    rows["memory of the bench, KiB"] = (memory["empty"], memory["large"])
    lines = [f"{'':36}{'empty':>10}{given.parcels:>8} parcels   ratio   (ms)"]
    lines += [
        f"{name:36}{one:10.1f}{many:16.1f}{many / max(one, 0.01):8.2f}" for name, (one, many) in rows.items()
    ]
    tell({name: {"empty": one, "large": many} for name, (one, many) in rows.items()}, lines, given.json)


if __name__ == "__main__":
    main()
