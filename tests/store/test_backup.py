"""Backup and restore of a whole shop."""

import random
import stat
import sys
import zipfile

import pytest
from mutations import mutated
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.store import Shop
from benchtui.store.backup import MANIFEST, backup, check_backup, restore


@pytest.fixture
def filled(shop, parcel):
    shop.add_sender("Ada Quill")
    shop.add_title({"id": "t-1", "title": "Night Ferry"})
    (shop.path / "books" / "own.toml").write_text("[book]\n")
    with parcel.action("note") as change:
        change.head["note"] = "só"
    parcel.place(draft={"line": "note", "text": "half", "at": 4})
    return shop


def test_a_shop_in_use_is_backed_up_and_restored_whole(filled, parcel, tmp_path):
    told = backup(filled.path, tmp_path / "b.zip")
    assert "1 parcels" in told
    restore(tmp_path / "b.zip", tmp_path / "again")
    again = Shop.open(tmp_path / "again")
    copy = again.open_parcel(parcel.id)
    assert canonical(copy) == canonical(parcel)
    assert (draft := copy.head["draft"]) is not None
    assert draft["text"] == "half"
    assert copy.undo() == "note"
    assert [doc["name"] for doc in again.senders.values()] == ["Ada Quill"]
    assert again.made_titles() == filled.made_titles()
    assert (again.path / "books" / "own.toml").read_text() == "[book]\n"
    again.close()
    if sys.platform != "win32":
        assert stat.S_IMODE((tmp_path / "b.zip").stat().st_mode) == 0o600
        assert stat.S_IMODE((again.path / "shop.json").stat().st_mode) == 0o600


def test_a_backup_never_overwrites_and_never_lies_in_the_shop(filled, tmp_path):
    (tmp_path / "b.zip").write_text("mine")
    with pytest.raises(BenchError, match="that file exists already"):
        backup(filled.path, tmp_path / "b.zip")
    assert (tmp_path / "b.zip").read_text() == "mine"
    with pytest.raises(BenchError, match="own folder"):
        backup(filled.path, filled.path / "exports" / "b.zip")
    with pytest.raises(BenchError, match="no shop"):
        backup(tmp_path, tmp_path / "c.zip")
    with pytest.raises(BenchError, match="the backup cannot be"):
        backup(filled.path, tmp_path / "no" / "such" / "c.zip")
    assert not list(tmp_path.glob("*.part"))


def test_a_restore_never_overwrites(filled, tmp_path):
    backup(filled.path, tmp_path / "b.zip")
    with pytest.raises(BenchError, match="the folder is not empty"):
        restore(tmp_path / "b.zip", filled.path)
    (tmp_path / "empty").mkdir()
    restore(tmp_path / "b.zip", tmp_path / "empty")
    assert Shop.open(tmp_path / "empty", read_only=True).parcels()


def test_an_unreadable_parcel_is_kept_as_it_is_and_named(filled, parcel, tmp_path):
    parcel.close()
    (filled.path / "parcels" / "2020-01-01-1.json").write_bytes(b"{torn")
    assert "2020-01-01-1.json" in backup(filled.path, tmp_path / "b.zip")
    assert "2020-01-01-1.json" in restore(tmp_path / "b.zip", tmp_path / "again")
    assert (tmp_path / "again" / "parcels" / "2020-01-01-1.json").read_bytes() == b"{torn"


def test_a_damaged_zip_is_refused_in_one_line_and_nothing_is_unpacked(filled, tmp_path):
    backup(filled.path, tmp_path / "b.zip")
    good = (tmp_path / "b.zip").read_bytes()
    chance, refused = random.Random(5), 0
    for _ in range(120):
        bad = mutated(good, chance)
        (tmp_path / "bad.zip").write_bytes(bad)
        try:
            check_backup(tmp_path / "bad.zip")
        except BenchError as error:
            refused += "\n" not in str(error)
            with pytest.raises(BenchError):
                restore(tmp_path / "bad.zip", tmp_path / "again")
            assert not (tmp_path / "again").exists()
    assert refused > 80  # the rest of the changes fell where a zip reader does not look


@pytest.mark.parametrize("name", ["../../x", "/x", "a/../../x", "C:/x", "a\\..\\x", "a//b", "parcels/\0"])
def test_a_zip_that_would_write_elsewhere_is_refused(tmp_path, name):
    import hashlib
    import json

    path = tmp_path / "evil.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(zipfile.ZipInfo(name), b"x")
        stored = archive.namelist()[0]
        files = {stored: [1, hashlib.sha256(b"x").hexdigest()], name: [1, hashlib.sha256(b"x").hexdigest()]}
        archive.writestr(MANIFEST, json.dumps({"version": 1, "at": "", "files": files}))
    with pytest.raises(BenchError, match="this is not a backup"):
        restore(path, tmp_path / "again")
    assert not (tmp_path / "x").exists()
    assert not (tmp_path / "again").exists()


def test_a_small_zip_that_swells_is_refused_without_being_swallowed(tmp_path):
    import json

    path = tmp_path / "bomb.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("shop.json", b"\0" * 50_000_000)
        archive.writestr(MANIFEST, json.dumps({"version": 1, "at": "", "files": {"shop.json": [10, "0"]}}))
    with pytest.raises(BenchError, match="size"):
        check_backup(path)
