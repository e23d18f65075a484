"""Real SIGKILLs of a process that plays a parcel on a real disk, at random moments."""

import multiprocessing
import os
import random
import signal
import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from played import World, state_of, steps_of_a_parcel
from simdisk import SimDisk

from benchtui.store import DISK

HOW: Any = multiprocessing.get_context("fork" if hasattr(os, "fork") else "spawn")


def states_of_a_parcel() -> list[str]:
    """The shop after 0, 1, 2 ... steps, as another process would find it."""
    disk = SimDisk()
    world = World(disk)
    seen = [""]
    for step in steps_of_a_parcel():
        step(world)
        seen.append(state_of(world.path, disk.crash(random.Random(0), kill_only=True)))
    return seen


def play(path: Path, told: Connection) -> None:
    """Plays the parcel, telling after each step that it was accepted."""
    world = World(DISK, path)
    told.send_bytes(b"ready")
    for step in steps_of_a_parcel():
        step(world)
        told.send_bytes(b".")
    told.send_bytes(b"done")
    time.sleep(60)


def length_of_a_play(path: Path) -> float:
    """Seconds that the parcel takes when nobody kills it."""
    world = World(DISK, path)
    begun = time.perf_counter()
    world.play(steps_of_a_parcel())
    world.shop.close()
    return time.perf_counter() - begun


def kill_one(path: Path, after: float, states: list[str]) -> tuple[int, bool]:
    """Kills a play after so many seconds: how many steps were accepted, and whether the shop is right."""
    ours, theirs = HOW.Pipe(duplex=False)
    child = HOW.Process(target=play, args=(path, theirs))
    child.start()
    theirs.close()
    ours.recv_bytes()
    time.sleep(after)
    os.kill(child.pid, signal.SIGKILL)
    child.join()
    accepted = 0
    try:
        while ours.recv_bytes() == b".":
            accepted += 1
    except EOFError:
        pass
    ours.close()
    return accepted, state_of(path, DISK) in states[accepted : accepted + 2]
