"""SIGKILL in the middle of a played parcel: the shop opens and holds every key that had been accepted."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from bench_hands import sit_down
from kill_child import state_of

from benchtui.store import Shop

CHILD = Path(__file__).with_name("kill_child.py")
ROOT = Path(__file__).parents[2]
KILLS = 3

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="POSIX kill")


def _start(shop: Path) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, str(CHILD), str(shop)], stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip


def _accepted(out: str) -> list[str]:
    """The states told, in the order of the keys; a line cut short by the kill counts for nothing."""
    lines = [line for line in out.split("\n")[:-1] if line[:1].isdigit()]
    return [line.partition(" ")[2] for line in lines]


@pytest.fixture(scope="module")
def undisturbed(empty_made: Path, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The state after every key when nobody kills."""
    shop = Path(shutil.copytree(empty_made, tmp_path_factory.mktemp("whole") / "shop"))
    child = _start(shop)
    out, _ = child.communicate(timeout=300)
    assert child.returncode == 0
    return _accepted(out)


@pytest.mark.parametrize("seed", range(KILLS))
def test_a_killed_parcel_holds_every_accepted_key(
    seed: int, undisturbed: list[str], empty_path: Path
) -> None:
    chance = random.Random(seed)
    child = _start(empty_path)
    assert child.stdout is not None
    heard = [child.stdout.readline() for _ in range(chance.randint(2, len(undisturbed) // 2))]
    time.sleep(chance.uniform(0, 0.02))  # into the middle of a later key
    child.send_signal(signal.SIGKILL)
    out = child.stdout.read()  # communicate() would lose the lines that readline() had taken in already
    child.stdout.close()
    child.wait(timeout=300)
    told = _accepted("".join(heard) + out)
    assert told == undisturbed[: len(told)], "two plays make the same documents"
    assert len(told) < len(undisturbed), "the kill came before the end"
    _check(empty_path, undisturbed, len(told))


def _check(path: Path, states: list[str], told: int) -> None:
    """On the disk is what stood after the last key told, or what the next key was about to make of it."""
    last = states[told - 1] if told else "- none"
    coming = states[told]
    shop = Shop.open(path, read_only=True)
    ids = shop.parcel_ids()
    found = state_of(shop.open_parcel(ids[-1], read_only=True)) if ids else "- none"
    shop.close()
    if found not in (last, coming):  # a key of two writes may be kept halfway: never less than was told
        assert last.split()[0] != "-" or found.split()[0].isdigit()
        assert int(last.split()[0]) <= int(found.split()[0]) <= int(coming.split()[0])
    hands = sit_down(path)
    assert hands.desk.work.parcel is not None or not ids
    if hands.desk.work.parcel is not None:
        assert not hands.desk.work.parcel.read_only, "the lock of the killed bench holds nobody up"
        assert not hands.desk.work.parcel.notice
    hands.leave()
