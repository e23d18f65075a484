"""Copies that folder-sync services leave: no parcel, no shop; told with what differs, in nobody's way."""

import shutil

import pytest

from benchtui.cli import main
from benchtui.store import Shop
from benchtui.store.copies import copied_from

NAMES = [
    "{} (1)", "{} (2)", "{} - Copy", "{} - Copy (3)", "{} copy", "{} copy 2", "Copy of {}",
    "{} (conflicted copy 2026-11-25)", "{} (Ann's conflicted copy 2026-11-25)", "{}_conflict-20261125-101112",
    "{}.sync-conflict-20261125-101112-ABCDEFG", "{}-BENCH-PC", "{} (Case Conflict)", "{}~backup", "{} [Conflict]",
]  # fmt: skip


def note(parcel, text):
    with parcel.action(text) as change:
        change.record(parcel.records[0]["id"])["note"] = text


@pytest.fixture
def closed(shop, parcel):
    """A closed shop of one parcel; its second record was once taken in."""
    with parcel.action("in") as change:
        record = change.record(parcel.records[1]["id"])
        record["state"], record["taken_in_at"] = "taken-in", "2026-11-25T10:00:00Z"
    shop.add_sender("Una Dovrick")
    parcel.close()
    shop.close()
    return shop.path


@pytest.mark.parametrize("name", NAMES)
def test_a_copy_is_known_by_its_name(name):
    stems = {"2026-11-25-1", "2026-11-25-10", "2026-11-25-2", name.format("2026-11-25-1")}
    assert copied_from(name.format("2026-11-25-1"), stems) == "2026-11-25-1"
    assert copied_from(name.format("2026-11-25-3"), stems) == ""


@pytest.mark.parametrize("stem", ["2026-11-25-1", "2026-11-25-10", "2026-11-25-2"])
def test_a_parcel_is_no_copy_of_another(stem):
    assert copied_from(stem, {"2026-11-25-1", "2026-11-25-10", "2026-11-25-2"}) == ""


@pytest.mark.parametrize("name", NAMES[::6])
@pytest.mark.parametrize("damaged", [False, True], ids=["", "damaged"])
def test_the_day_is_exported_beside_it_and_check_tells_it(closed, capsys, name, damaged):
    folder = closed / "parcels"
    copy = folder / f"{name.format('2026-11-25-1')}.json"
    shutil.copy(folder / "2026-11-25-1.json", copy)
    if damaged:
        copy.write_bytes(copy.read_bytes()[:40])
    shop = Shop.open(closed)
    note(shop.open_parcel("2026-11-25-1"), "changed since")
    shop.close()
    shop = Shop.open(closed, read_only=True)
    assert shop.parcel_ids() == [one.id for one in shop.parcels()] == ["2026-11-25-1"]
    assert shop.taken_in("2026-11-25") == ["2026-11-25-1"]
    assert main(["export", "intake", "--day", "2026-11-25", "--shop", str(closed)]) == 0
    capsys.readouterr()
    assert main(["check", "--shop", str(closed)]) == 1
    said = capsys.readouterr().out
    assert f"{copy.name}: a copy beside 2026-11-25-1.json, not used; " in said
    assert ("cannot be read" if damaged else "revision 1, here 2; records that differ: 1") in said


@pytest.mark.parametrize("kind", ["shop", "titles"])
@pytest.mark.parametrize("name", NAMES)
def test_copies_of_the_shared_files_are_told(closed, kind, name):
    copy = closed / f"{name.format(kind)}.json"
    shutil.copy(closed / f"{kind}.json", copy)
    shop = Shop.open(closed)
    for sender in shop.senders:
        shop.change_sender(sender, place="Tarn")
    shop.close()
    told = Shop.open(closed, read_only=True).copies()
    assert [one.path.name for one in told] == [copy.name]
    assert ("senders: 1 of 1 differ or are not here" if kind == "shop" else "the same") in told[0].words


def test_copies_of_side_files_are_told_and_our_own_are_not(closed):
    shop = Shop.open(closed)
    parcel = shop.open_parcel("2026-11-25-1")
    note(parcel, "x")
    keep = closed / "parcels" / ".keep"
    assert shop.copies() == []
    for name in ("2026-11-25-1.json (1).log", "2026-11-25-1.json.sync-conflict-20261125-101112-ABC.log"):
        shutil.copy(keep / "2026-11-25-1.json.log", keep / name)
    assert len(shop.copies()) == 2
    shop.close()


def test_a_copy_whose_parcel_is_missing_is_no_copy_and_is_told_as_a_file_that_cannot_be_opened(closed):
    folder = closed / "parcels"
    (folder / "2026-11-25-1.json").rename(folder / "2026-11-25-1 (1).json")
    shop = Shop.open(closed, read_only=True)
    assert shop.copies() == []
    assert "2026-11-25-1" in shop.parcels()[0].trouble
