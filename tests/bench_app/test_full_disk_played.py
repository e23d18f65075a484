"""Half a parcel played while the disk fills and empties at random: every key counts, none is lost."""

import random
import shutil
from pathlib import Path

import pytest
from bench_hands import Hands, sit_down
from full_disk import FillingDisk, sit_down_on
from same_parcel import canonical

from benchtui.bench.run import script_path
from benchtui.desk.core.keeping import save_again
from benchtui.desk.keyboard.script import read_script
from benchtui.store import Shop

KEYS = [step for step in read_script(script_path("resume")).steps if step.kind == "key"][:-1]


def told(hands: Hands) -> list[str]:
    assert hands.desk.work.parcel is not None
    return [entry.say for entry in hands.desk.work.parcel.history]


def test_a_disk_that_fills_and_empties_at_random_costs_no_key(
    demo_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = sit_down(Path(shutil.copytree(demo_path, tmp_path / "other")))
    for step in KEYS:
        other.step(step)
    disk, chance = FillingDisk(monkeypatch), random.Random(0)
    hands = sit_down_on(demo_path, disk)
    while_full = 0
    for step in KEYS:
        if chance.random() < 0.1:
            disk.full = not disk.full
        while_full += disk.full
        hands.step(step)
    disk.full = False
    assert save_again(hands.desk)
    assert while_full > 50
    assert disk.refused > while_full
    assert told(hands) == told(other)
    seen = Shop.open(demo_path, read_only=True)
    found = seen.open_parcel(hands.desk.work.parcel.id)  # type: ignore[union-attr]
    assert canonical(found) == canonical(hands.desk.work.parcel)
    assert [entry.say for entry in found.history] == told(other)
    assert [record["stock"] for record in found.records] == [
        record["stock"] for record in other.desk.work.records
    ]
    assert seen.number_faults() == []
    assert seen.picks().keys() == other.desk.shop.picks().keys()
    other.leave()
    hands.leave()
