"""Every fault at every call of a played parcel: python tests/bench/store_faults.py [SEEDS]

For each way of stopping or failing and each call: the shop is opened again from what the (simulated) disk
kept, as after a kill and as after a power cut, and must be before or after the step that was interrupted.
"""

import contextlib
import random
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "store"))

from flaky import right_on_a_flaky_disk
from kills import states_of_a_parcel
from played import SHOP, World, state_of, steps_of_a_parcel
from simdisk import Crash, Faulty, SimDisk

from benchtui.base.errors import BenchError

STOPS = ("stop", "stop after", "tear")
FAILS = ("ENOSPC", "EIO", "EINTR", "EROFS", "short", "lost sync")


def stopped(states: list[str], fault: str, at: int, seed: int) -> bool:
    disk = SimDisk()
    world = World(Faulty(disk, at, fault))
    with contextlib.suppress(Crash):
        world.play(steps_of_a_parcel())
    left = disk.crash(random.Random(seed * 100_003 + at), kill_only=seed == 0)
    return state_of(SHOP, left) in states[world.done : world.done + 2]


def failed(states: list[str], fault: str, at: int, seed: int) -> bool:
    """The failing step is tried again; at the end nothing is missing, also after a power cut."""
    disk = SimDisk()
    world = World(Faulty(disk, at, fault))
    for _ in range(3):
        with contextlib.suppress(BenchError):
            world.play(steps_of_a_parcel())
        for parcel in world.parcels:
            parcel.save_again()
    left = disk.crash(random.Random(seed * 100_003 + at), kill_only=seed == 0)
    return world.done == len(states) - 1 and state_of(SHOP, left) == states[-1]


def main() -> int:
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 4
    states = states_of_a_parcel()
    counting = Faulty(SimDisk(), -1, "none")
    World(counting).play(steps_of_a_parcel())
    runs, wrong = Counter[str](), []
    for fault, check in [*((each, stopped) for each in STOPS), *((each, failed) for each in FAILS)]:
        for at in range(counting.made):
            for seed in range(seeds):
                runs[fault] += 1
                if not check(states, fault, at, seed):
                    wrong.append((fault, at, seed))
    print(
        f"{len(states) - 1} steps, {counting.made} calls, {seeds} outcomes each (one a kill, the rest power cuts)"
    )
    print("runs:", dict(runs), "together", sum(runs.values()))
    flaky = [seed for seed in range(100 * seeds) if not right_on_a_flaky_disk(seed)]
    print(
        f"on a disk where one call in twelve fails: {100 * seeds} plays, wrong: {len(flaky)} {flaky[:8] or ''}"
    )
    print(f"shops in any other state: {len(wrong)} {wrong[:8] or ''}")
    return 1 if wrong or flaky else 0


if __name__ == "__main__":
    sys.exit(main())
