"""Files of schema 1 open for ever; the old file is kept; a crash on the way leaves it as it was."""

import random
import shutil
from pathlib import Path

import pytest
from played import clock, parcel_state
from same_parcel import canonical
from simdisk import Crash, Faulty, SimDisk

from benchtui.base.errors import BenchError
from benchtui.store import Shop
from benchtui.store.migrate import SCHEMA

OLD = Path(__file__).parent / "version-1"
PARCEL = "2025-03-01-1"


@pytest.fixture
def old_shop(tmp_path) -> Path:
    return Path(shutil.copytree(OLD, tmp_path / "shop", ignore=shutil.ignore_patterns("make.py")))


def test_an_old_shop_is_read_without_being_changed(old_shop):
    before = {path: path.read_bytes() for path in old_shop.rglob("*") if path.is_file()}
    shop = Shop.open(old_shop, read_only=True)
    parcel = shop.open_parcel(PARCEL)
    assert parcel.records[0]["parts"][0]["sides"]["A"]["stamper"] == "GR"
    assert parcel.records[1]["note"] == "£ and é"
    assert (draft := parcel.head["draft"]) is not None
    assert draft["text"] == "half a w"
    assert shop.senders["s-1"]["name"] == "Bo Lathe"
    assert shop.made_titles()[0]["title"] == "Night Ferry"
    assert shop.settings["name"] == "Corner"
    assert {path: path.read_bytes() for path in old_shop.rglob("*") if path.is_file()} == before


def test_the_history_of_an_old_parcel_is_undone_to_its_beginning_and_redone(old_shop):
    shop = Shop.open(old_shop)
    parcel = shop.open_parcel(PARCEL)
    last = canonical(parcel)
    said = []
    while (say := parcel.undo()) is not None:
        said.append(say)
    assert len(said) == 6
    assert [record["id"] for record in parcel.records] == ["r-1", "r-2", "r-3"]
    assert parcel.records[2]["note"] == "not ours"
    assert parcel.records[0]["title"] is None
    assert parcel.records[0]["parts"] == []
    assert parcel.head["sender"] is None
    while parcel.redo():
        pass
    assert canonical(parcel) == last
    shop.close()


def test_stock_numbers_go_on_from_an_old_shop(old_shop):
    shop = Shop.open(old_shop)
    assert shop.reserve_stock(PARCEL, "r-1") == "A00001"
    assert shop.reserve_stock(PARCEL, "r-2") == "A00003"
    assert shop.stock_numbers()["B00001"] == ("2025-02-01-1", "r-8")
    shop.close()


def test_the_old_file_is_kept_when_the_new_one_is_written(old_shop):
    shop = Shop.open(old_shop)
    parcel = shop.open_parcel(PARCEL)
    parcel.undo()
    shop.close()
    kept = old_shop / "parcels" / ".keep" / f"{PARCEL}.json.schema-1-1"
    assert kept.read_bytes() == (OLD / "parcels" / f"{PARCEL}.json").read_bytes()
    assert f'"schema":{SCHEMA}' in (old_shop / "parcels" / f"{PARCEL}.json").read_text(encoding="utf-8")
    assert Shop.open(old_shop, read_only=True).open_parcel(PARCEL).records[1]["note"] == ""


def sim_of(folder: Path) -> SimDisk:
    disk = SimDisk()
    for path in folder.rglob("*.json"):
        target = Path("/sim/shop") / path.relative_to(folder)
        handle = disk.create(target)
        disk.write(handle, path.read_bytes())
        disk.sync(handle)
        disk.close(handle)
        disk.sync_folder(target.parent)
    return disk


def parcel_on(disk) -> str:
    return str(parcel_state(Shop.open("/sim/shop", files=disk, clock=clock).open_parcel(PARCEL)))


def migrate_on(files) -> None:
    parcel = Shop.open("/sim/shop", files=files, clock=clock).open_parcel(PARCEL)
    parcel.place(draft=None)


@pytest.mark.parametrize("fault", ["stop", "stop after", "tear"])
def test_a_crash_during_migration_leaves_the_old_or_the_new_file(fault):
    counting = Faulty(sim_of(OLD), -1, "none")
    migrate_on(counting)
    old, new = parcel_on(sim_of(OLD)), parcel_on(counting.below.crash(random.Random(0), kill_only=True))
    assert old != new
    for at in range(counting.made):
        disk = sim_of(OLD)
        with pytest.raises(Crash):
            migrate_on(Faulty(disk, at, fault))
        assert parcel_on(disk.crash(random.Random(at))) in (old, new)


@pytest.mark.parametrize(
    "spoiled", ['"ops": 5', '"ops": [5]', '"ops": [[[], null]]', '"ops": [[["records", "r-4"], null, {}]]']
)
def test_an_old_file_that_is_not_of_its_version_is_refused_in_one_line(old_shop, spoiled):
    path = old_shop / "parcels" / f"{PARCEL}.json"
    text = path.read_text(encoding="utf-8")
    start = text.index('"ops"')
    end = text.index("]\n  }", start) + 1
    path.write_text(text[:start] + spoiled + text[end:], encoding="utf-8")
    with pytest.raises(BenchError) as told:
        Shop.open(old_shop).open_parcel(PARCEL)
    assert "\n" not in str(told.value)
    assert PARCEL in str(told.value)
