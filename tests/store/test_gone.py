"""The shop's folder goes away while it is open, and comes back: nothing is made anew, nothing is lost."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.store import Shop

GONE = "the shop is gone: NOT SAVED"


def note(parcel, text):
    with parcel.action(text) as change:
        change.head["note"] = text


def files_in(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def away(shop, parcel, tmp_path) -> Path:
    """The shop was renamed while a parcel is open in it."""
    shop.may_keep_pending = True
    note(parcel, "before")
    shop.parcels()
    return shop.path.rename(tmp_path / "elsewhere")


def test_a_renamed_shop_is_said_to_be_gone_and_is_not_made_anew(shop, parcel, away):
    note(parcel, "after")
    sender = shop.add_sender("Una Dovrick")
    title = shop.add_title({"title": "Night Ferry"})
    number = shop.reserve_stock(parcel.id, parcel.records[0]["id"])
    parcel.place(draft={"line": "note", "text": "half a w", "at": 8})
    assert GONE in str(parcel.trouble)
    assert "\n" not in parcel.trouble
    assert not shop.path.exists()
    assert shop.unsaved().gone
    assert shop.unsaved().words() == "1 action and 2 changes to the shop"
    assert (parcel.head["note"], shop.senders[sender]["name"]) == ("after", "Una Dovrick")
    assert [doc["id"] for doc in shop.made_titles()] == [title]
    assert shop.stock_numbers() == {number: (parcel.id, parcel.records[0]["id"])}
    assert [one.id for one in shop.parcels()] == [parcel.id]
    assert Shop.open(away, read_only=True).open_parcel(parcel.id).head["note"] == "before"


def test_what_the_shop_knew_stays_known_while_it_is_gone(shop, parcel, tmp_path):
    sender = shop.add_sender("Una Dovrick")
    shop.change_settings(name="Corner")
    shop.path.rename(tmp_path / "elsewhere")
    assert (shop.settings["name"], list(shop.senders)) == ("Corner", [sender])
    with pytest.raises(BenchError, match=GONE):
        shop.open_parcel("2026-11-25-2")
    with pytest.raises(BenchError, match=GONE):
        shop.new_parcel({})
    with pytest.raises(BenchError, match=GONE):
        shop.change_settings(name="Other")
    assert not shop.path.exists()


def test_back_again_everything_is_saved_by_itself(shop, parcel, away):
    sender = shop.add_sender("Una Dovrick")
    with parcel.action("sender") as change:
        change.head["sender"] = sender
    away.rename(shop.path)
    shop.save_again()
    assert shop.unsaved() is None
    seen = Shop.open(shop.path, read_only=True)
    assert seen.open_parcel(parcel.id).head["sender"] == sender
    assert sender in seen.senders
    note(parcel, "goes on")
    assert Shop.open(shop.path, read_only=True).open_parcel(parcel.id).head["note"] == "goes on"


def test_a_copy_put_back_in_its_place_is_the_same_shop_and_is_locked_again(shop, parcel, away):
    note(parcel, "after")
    shutil.copytree(away, shop.path)
    shutil.rmtree(away)
    shop.save_again()
    assert shop.unsaved() is None
    with pytest.raises(BenchError, match="another bench"):
        Shop.open(shop.path).open_parcel(parcel.id)
    assert Shop.open(shop.path, read_only=True).open_parcel(parcel.id).head["note"] == "after"


def test_a_copy_without_side_files_is_the_same_shop(shop, parcel, away):
    note(parcel, "after")
    shutil.copytree(away, shop.path, ignore=shutil.ignore_patterns(".keep"))
    shutil.rmtree(away)
    shop.save_again()
    assert shop.unsaved() is None
    assert Shop.open(shop.path, read_only=True).open_parcel(parcel.id).head["note"] == "after"


@pytest.mark.parametrize("parcels", [0, 1])
def test_another_shop_at_the_path_is_not_written_to(shop, parcel, away, parcels):
    other = Shop.create(shop.path, name="Not ours")
    for _ in range(parcels):
        other.new_parcel({"opened": "2026-11-25"}, 3).close()
    other.close()
    before = files_in(shop.path)
    note(parcel, "after")
    shop.add_sender("Una Dovrick")
    assert "another shop is in its place" in parcel.trouble
    assert shop.settings["name"] == ""
    with pytest.raises(BenchError, match=GONE):
        shop.open_parcel(parcel.id, read_only=True)
    shop.save_again()
    shop.close()
    assert shop.unsaved().words() == "1 action and 1 change to the shop"
    assert files_in(shop.path) == before


def test_an_empty_folder_at_the_path_stays_empty(shop, parcel, away):
    shop.path.mkdir()
    note(parcel, "after")
    shop.add_sender("Una Dovrick")
    shop.close()
    assert list(shop.path.iterdir()) == []


def test_a_parcel_taken_by_another_bench_meanwhile_waits_until_that_one_has_closed_it(shop, parcel, away):
    note(parcel, "ours")
    shutil.copytree(away, shop.path)
    other = Shop.open(shop.path)
    theirs = other.open_parcel(parcel.id)
    note(theirs, "theirs")
    shop.save_again()
    assert "open on another bench" in parcel.trouble
    other.close()
    shop.save_again()
    assert shop.unsaved() is None
    assert Shop.open(shop.path, read_only=True).open_parcel(parcel.id).head["note"] == "ours"
    kept = [path.read_text() for path in (shop.path / "parcels" / ".keep").glob("*.foreign-*")]
    assert any('"note":"theirs"' in text for text in kept)


def test_an_older_shop_gets_its_id_at_the_first_opening(tmp_path):
    old = Path(__file__).parent / "version-1"
    path = Path(shutil.copytree(old, tmp_path / "shop", ignore=shutil.ignore_patterns("make.py")))
    for _ in range(2):
        shop = Shop.open(path)
        known = shop.shared.docs("shop")["shop"]["id"]
        shop.close()
    assert Shop.open(path, read_only=True).shared.docs("shop")["shop"]["id"] == known


@pytest.fixture
def mount(tmp_path):
    """A folder mounted at another place, as a stick would be."""
    stick, place = tmp_path / "stick", tmp_path / "mnt"
    stick.mkdir()
    place.mkdir()
    plug = ["mount", "--bind", str(stick), str(place)]
    allowed = sys.platform == "linux" and shutil.which("mount") and os.geteuid() == 0
    if not allowed or subprocess.run(plug, capture_output=True, check=False).returncode:
        pytest.skip("a folder can only be mounted here by the superuser of a Linux machine")
    yield place, plug
    subprocess.run(["umount", "-l", str(place)], capture_output=True, check=False)


def test_a_mount_that_goes_and_comes_back(mount):
    """The shop is the mounted folder itself: its place stays, empty."""
    place, plug = mount
    shop = Shop.create(place)
    shop.may_keep_pending = True
    parcel = shop.new_parcel({}, 1)
    subprocess.run(["umount", "-l", str(place)], check=True)
    note(parcel, "away")
    shop.add_sender("Una Dovrick")
    assert GONE in str(parcel.trouble)
    assert list(place.iterdir()) == []
    subprocess.run(plug, check=True)
    shop.save_again()
    assert shop.unsaved() is None
    shop.close()
    seen = Shop.open(place, read_only=True)
    assert seen.open_parcel(parcel.id).head["note"] == "away"
    assert len(seen.senders) == 1
