"""A fault at the n-th system call of a played parcel: after it the shop is before or after that step."""

import contextlib
import itertools
import random

import pytest
from flaky import right_on_a_flaky_disk
from played import SHOP, World, state_of, steps_of_a_parcel
from simdisk import Crash, Faulty, SimDisk

from benchtui.base.errors import BenchError

# Each call meets one of the faults here, another one each, saved at once or behind by turns;
# tests/bench/store_faults.py lets each meet all.
STOPS = ("stop", "stop after", "tear")
FAILS = ("ENOSPC", "EIO", "EINTR", "EROFS", "short", "lost sync")


@pytest.fixture(scope="module")
def states() -> list[str]:
    """The shop after 0, 1, 2 ... steps, as another process would find it."""
    disk = SimDisk()
    world = World(disk)
    seen = [state_of(SHOP, disk)]
    for step in steps_of_a_parcel():
        step(world)
        world.done += 1
        seen.append(state_of(SHOP, disk.crash(random.Random(0), kill_only=True)))
    return seen


def calls_of_a_parcel() -> int:
    files = Faulty(SimDisk(), -1, "none")
    World(files).play(steps_of_a_parcel())
    return files.made


def test_every_step_changes_what_can_be_seen(states):
    assert all(before != after for before, after in itertools.pairwise(states))


def test_every_step_survives_the_loss_of_power_right_after_it(states):
    for seed in range(3):
        disk = SimDisk()
        world = World(disk)
        for step, after in zip(steps_of_a_parcel(), states[1:], strict=True):
            step(world)
            assert state_of(SHOP, disk.crash(random.Random(seed))) == after


@pytest.mark.parametrize("behind", [False, True], ids=["", "saved behind"])
@pytest.mark.parametrize("fault", STOPS)
@pytest.mark.parametrize("kill_only", [True, False], ids=["killed", "power lost"])
def test_a_crash_at_any_call_leaves_the_state_before_or_after(states, fault, kill_only, behind):
    for at in range(calls_of_a_parcel())[(STOPS.index(fault) + kill_only) % 3 + 3 * behind :: 6]:
        disk = SimDisk()
        world = World(Faulty(disk, at, fault), behind=behind)
        with pytest.raises(Crash):
            world.play(steps_of_a_parcel())
        left = disk.crash(random.Random(at), kill_only)
        assert state_of(SHOP, left) in states[world.done : world.done + 2], (at, world.files.hit, world.done)


@pytest.mark.parametrize("behind", [False, True], ids=["", "saved behind"])
@pytest.mark.parametrize("fault", FAILS)
def test_one_failed_call_costs_nothing_in_the_end(states, fault, behind):
    for at in range(calls_of_a_parcel())[FAILS.index(fault) + 6 * behind :: 12]:
        disk = SimDisk()
        world = World(Faulty(disk, at, fault), behind=behind)
        for position in range(len(states) - 1):
            clean = world.files.hit is None
            _try(world, position)
            if clean and world.files.hit is not None:
                left = disk.crash(random.Random(at))
                assert state_of(SHOP, left) in states[position : position + 2], (at, world.files.hit)
        saved = not any(parcel.trouble for parcel in world.parcels)
        assert saved, (at, world.files.hit)
        assert state_of(SHOP, disk.crash(random.Random(at))) == states[-1], (at, world.files.hit)


def _try(world: World, position: int) -> None:
    """One step, made once more where it was refused in so many words; then all that is pending is saved."""
    steps = steps_of_a_parcel()[: position + 1]
    for _ in range(3):
        with contextlib.suppress(BenchError):
            world.play(steps)
        for parcel in world.parcels:
            parcel.save_again()
    assert world.done == position + 1


@pytest.mark.parametrize(("fault", "first"), [("full", 1), ("dying", 4)])
def test_while_the_disk_is_full_the_parcel_goes_on_in_memory_and_is_saved_when_there_is_room(
    states, fault, first
):
    """From the n-th call on no byte goes to the disk. What only concerns the parcel is done all the same."""
    part_between_parcels = 24  # refused half way; the next start finishes it
    for at in range(calls_of_a_parcel())[first::6]:
        disk = SimDisk()
        world = World(Faulty(disk, at, fault))
        refused = None
        for position in range(len(states) - 1):
            try:
                world.play(steps_of_a_parcel()[: position + 1])
            except BenchError:
                refused = position
                break
            left = disk.crash(random.Random(at), kill_only=True)
            assert state_of(SHOP, left) in states[: position + 2]
        world.files.heal()
        for parcel in world.parcels:
            parcel.save_again()
            assert parcel.trouble is None
        if refused != part_between_parcels:
            left = disk.crash(random.Random(at))
            assert state_of(SHOP, left) == states[world.done], (at, world.files.hit, world.done, refused)


@pytest.mark.parametrize("seed", range(5))
def test_on_a_disk_where_any_call_may_fail_each_parcel_is_before_or_after_its_step(seed):
    assert right_on_a_flaky_disk(seed)
