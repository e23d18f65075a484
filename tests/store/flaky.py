"""A parcel played on a disk where any call may fail, again and again."""

import contextlib
import json
import random
from typing import Any

from played import SHOP, World, state_of, steps_of_a_parcel
from simdisk import Faulty, SimDisk

from benchtui.base.errors import BenchError


def right_on_a_flaky_disk(seed: int) -> bool:
    """Plays every step until it is accepted and saved; whether power cuts always found before or after.

    On the way only parcels are compared: a shared change that was refused may be there until the next one
    takes it back. At the end all is compared: nothing is there twice.
    """
    played = steps_of_a_parcel()  # both parcels first, and without the move between the two
    steps = [*played[:3], played[22], *played[3:22], *played[23:24], *played[25:]]
    disk = SimDisk()
    world = World(disk)
    world.play(steps[:4])
    world.files = world.shop.home.files = Faulty(disk, seed, "flaky")
    for parcel in world.parcels:
        kept: Any = parcel._storage
        kept.files = kept._writer._files = world.files
    before = parcels_on(disk, seed)
    for position in range(4, len(steps)):
        insist(world, steps[: position + 1])
        clean = SimDisk()
        World(clean).play(steps[: position + 1])
        after = parcels_on(clean, 0)
        if parcels_on(disk, seed) not in (before, after):
            return False
        before = after
    world.files.heal()
    for parcel in world.parcels:
        parcel.save_again()
    world.shop.save_again()
    return parcels_on(disk, seed) == after and state_of(SHOP, disk) == state_of(SHOP, clean)


def insist(world: World, steps) -> None:
    for _ in range(40):
        with contextlib.suppress(BenchError):
            world.play(steps)
        for parcel in world.parcels:
            parcel.save_again()
        if world.done == len(steps) and not any(parcel.trouble for parcel in world.parcels):
            return


def parcels_on(disk: SimDisk, seed: int) -> object:
    """The parcels as found after a power cut."""
    return json.loads(state_of(SHOP, disk.crash(random.Random(seed))))["parcels"]
