"""SIGKILL during a start, a fold, a restore, a title take-in, a migration (POSIX):

    python tests/bench/store_kills_at_work.py [KILLS of each] [SEED]

Each work runs in a child that is killed at a random moment; then the shop must open, say nothing is wrong, and be
as before or after the work; and the same work, done again, must succeed.
"""

import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))

from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.cli import main as command
from benchtui.cli.check_shop import check_shop
from benchtui.store import Shop
from benchtui.store.backup import backup, restore

OLD = Path(__file__).parents[1] / "store" / "version-1"
PARCEL = "2026-11-25-1"
Work = Callable[[Path], object]
Found = Callable[[Path], str]


def made(path: Path) -> Path:
    """A shop whose last sitting was killed: 60 records, some 200 changes still in the log."""
    shop = Shop.create(path)
    shop.add_sender("Una Dovrick")
    parcel = shop.new_parcel({"opened": "2026-11-25"}, 60)
    for n in range(200):
        with parcel.action(f"note {n}") as change:
            change.record(parcel.records[n % 60]["id"])["note"] = f"note {n} " + "x" * 200
    shutil.copytree(path, path.with_name("killed"))
    shop.close()
    return path.with_name("killed")


def start(path: Path) -> None:
    shop = Shop.open(path)
    shop.open_parcel(shop.parcel_ids()[-1])
    shop.close()


def folds(path: Path) -> None:
    shop = Shop.open(path)
    parcel = shop.open_parcel(PARCEL)
    kept: Any = parcel._storage
    kept._writer.fold_next = True
    kept.fold()
    shop.close()


def take_in(path: Path) -> None:
    with open(os.devnull, "w") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
        command(["titles", str(path.parent / "list.csv"), "--shop", str(path)])


def migrated(path: Path) -> None:
    shop = Shop.open(path)
    for parcel_id in shop.parcel_ids():
        parcel = shop.open_parcel(parcel_id)
        parcel.place(draft=None)
        parcel._storage.fold()
    shop.close()


def content(path: Path) -> str:
    """What a dealer has in it; the BenchErrors of opening it go up."""
    shop = Shop.open(path, read_only=True)
    parcels = [shop.open_parcel(key) for key in shop.parcel_ids()]
    troubles = [one.notice for one in parcels if one.notice] + ([shop.notice] if shop.notice else [])
    if troubles:
        raise BenchError("; ".join(troubles))
    return "".join(canonical(one) for one in parcels) + str(sorted(map(str, shop.senders.values())))


def restored(path: Path) -> str:
    """Nothing at all, or a whole shop."""
    return content(path) if path.exists() else "nothing"


def with_lists(path: Path) -> str:
    faults = [line for line in check_shop(path) if "/titles/" in line]
    if faults:
        raise BenchError(faults[0])
    return content(path) + str(len(list((path / "titles").glob("*.csv"))))


def killed(work: Work, path: Path, after: float) -> None:
    child = os.fork()
    if child == 0:
        try:
            work(path)
        finally:
            os._exit(0)
    time.sleep(after)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def runs(
    name: str, work: Work, found: Found, before: Path | None, folder: Path, kills: int, seed: int
) -> int:
    """So many kills of one work; how many left anything but before or after, or could not be done again."""
    rng, came, wrong = random.Random(seed), Counter[str](), 0
    whole = folder / "whole"

    def fresh(path: Path) -> Path:
        shutil.rmtree(path, ignore_errors=True)
        if before is not None:
            shutil.copytree(before, path)
        return path

    states = [found(fresh(whole))]
    begun = time.perf_counter()
    work(fresh(whole))
    longest = time.perf_counter() - begun
    states.append(found(whole))
    for _ in range(kills):
        path = fresh(folder / "at-work")
        killed(work, path, rng.uniform(0, longest * 1.2))
        try:
            left = found(path)
            came["before" if left == states[0] else "after" if left == states[1] else "OTHER"] += 1
            work(path)
            wrong += left not in states or found(path) != states[1]
        except BenchError as error:
            wrong += 1
            print(f"{name}: {error.one_line()}", file=sys.stderr)
    print(f"{name:<10} {kills} kills in {longest * 1000:6.1f} ms of work: {dict(came)}, wrong: {wrong}")
    return wrong


def main() -> int:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory(prefix="store-kills-") as name:
        folder = Path(name)
        shop = made(folder / "shop")
        archive = folder / "backup.zip"
        backup(shop, archive)
        rows = [f"Singer {n},Title {n},XQ {n}\n" for n in range(3000)]
        (folder / "list.csv").write_text("artist,title,catalogue\n" + "".join(rows))
        wrong = runs("start", start, content, shop, folder, kills, seed)
        wrong += runs("fold", folds, content, shop, folder, kills, seed + 1)
        wrong += runs("restore", lambda path: path.exists() or restore(archive, path), restored, None, folder,
                      kills, seed + 2)  # fmt: skip
        wrong += runs("migration", migrated, content, OLD, folder, kills, seed + 3)
        wrong += runs("take-in", take_in, with_lists, shop, folder, kills, seed + 4)
    print(f"{5 * kills} kills, {wrong} wrong, {time.perf_counter() - begun:.0f} s")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
