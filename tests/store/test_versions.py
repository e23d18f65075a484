"""An older parcel file under a newer log, or one written somewhere else: said, both kept, chosen by the person."""

import shutil
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.cli.check_shop import check_shop
from benchtui.store import Shop, TwoVersions

SIDES = ("log", "log.previous", "previous", "lock")


def note(parcel, text):
    with parcel.action(f"note {text}") as change:
        change.head["note"] = text


def notes(path: Path, parcel_id: str, letters: str, close: bool = True) -> None:
    """A sitting in which each letter is noted; without ``close`` the process is killed at its end."""
    shop = Shop.open(path)
    parcel = shop.open_parcel(parcel_id)
    for text in letters:
        note(parcel, text)
    if close:
        shop.close()
    else:
        parcel._storage.release()
        assert parcel._lock is not None
        parcel._lock.free()
        shop._stock.free()
        shop.presence.free()


@pytest.fixture
def ours(shop, parcel) -> Path:
    """The shop's folder, with a closed parcel of two notes."""
    shop.close()
    notes(shop.path, parcel.id, "ab")
    return shop.path


def main(path: Path) -> Path:
    return path / "parcels" / "2026-11-25-1.json"


def side(path: Path, name: str) -> Path:
    return path / "parcels" / ".keep" / f"2026-11-25-1.json.{name}"


def without_note(path: Path) -> None:
    side(path, "lock").write_bytes(b"")


def said_of(path: Path) -> str:
    """What somebody is told who opens it to write."""
    shop = Shop.open(path)
    try:
        with pytest.raises(TwoVersions) as told:
            shop.open_parcel("2026-11-25-1")
    finally:
        shop.close()
    return str(told.value)


def chosen(path: Path, which) -> str:
    """The note after the choice, read by another process."""
    shop = Shop.open(path)
    shop.open_parcel("2026-11-25-1", version=which)
    shop.close()
    again = Shop.open(path)
    parcel = again.open_parcel("2026-11-25-1")
    assert parcel.notice == ""
    note(parcel, parcel.head["note"] + "+")
    again.close()
    return Shop.open(path, read_only=True).open_parcel("2026-11-25-1").head["note"]


def kept_aside(path: Path, which: str) -> str:
    return "".join(one.read_text() for one in (path / "parcels" / ".keep").glob(f"*.{which}-*"))


OLDER = "this is an older version of the file than was saved here"


@pytest.mark.parametrize("noted", [True, False], ids=["with the note", "without it"])
@pytest.mark.parametrize("closed", [True, False], ids=["closed", "killed"])
@pytest.mark.parametrize(("which", "left"), [("file", "b+"), ("log", "f+")])
def test_an_older_file_under_a_newer_log_is_told_and_chosen(ours, noted, closed, which, left):
    old = main(ours).read_bytes()
    notes(ours, "2026-11-25-1", "cd")
    notes(ours, "2026-11-25-1", "ef", closed)
    main(ours).write_bytes(old)
    if not noted:
        without_note(ours)
    said = said_of(ours)
    assert OLDER in said
    assert "\n" not in said
    assert chosen(ours, which) == left
    other = "f" if which == "file" else "b"
    assert f'"note":"{other}"' in kept_aside(ours, "other")


def test_an_older_file_that_its_own_log_follows_is_brought_forward(ours):
    """As after a kill before the file was written anew: there is only one version."""
    old = main(ours).read_bytes()
    notes(ours, "2026-11-25-1", "cd")
    main(ours).write_bytes(old)
    parcel = Shop.open(ours).open_parcel("2026-11-25-1")
    assert (parcel.notice, parcel.head["note"]) == ("", "d")


def test_an_older_file_where_only_the_note_tells(ours):
    old = main(ours).read_bytes()
    notes(ours, "2026-11-25-1", "cd")
    main(ours).write_bytes(old)
    for name in SIDES[:3]:
        side(ours, name).unlink(missing_ok=True)
    assert "the last 2 changes are not in it" in said_of(ours)
    with pytest.raises(BenchError, match="no other version"):
        Shop.open(ours).open_parcel("2026-11-25-1", version="log")
    assert chosen(ours, "file") == "b+"


@pytest.mark.parametrize("noted", [True, False], ids=["with the note", "without it"])
@pytest.mark.parametrize("longer", ["cdefghij", "c"], ids=["more changes", "fewer"])
@pytest.mark.parametrize("closed", [True, False], ids=["closed", "killed"])
def test_a_file_written_somewhere_else_over_ours_is_told_and_ours_can_be_had(
    ours, tmp_path, longer, noted, closed
):
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", longer)
    notes(ours, "2026-11-25-1", "xyz", closed)
    shutil.copy(main(theirs), main(ours))
    if not noted:
        without_note(ours)
    said_of(ours)
    assert chosen(ours, "log") == "z+"
    assert f'"note":"{longer[-1]}"' in kept_aside(ours, "other")


def test_theirs_can_be_had_too_and_ours_is_kept(ours, tmp_path):
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", "cdef")
    notes(ours, "2026-11-25-1", "xyz")
    shutil.copy(main(theirs), main(ours))
    assert chosen(ours, "file") == "f+"
    assert '"note":"z"' in kept_aside(ours, "other")


def test_a_log_of_somewhere_else_under_our_file_is_told(ours, tmp_path):
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", "cdef")
    notes(ours, "2026-11-25-1", "xyz")
    shutil.copy(side(theirs, "log"), side(ours, "log"))
    said_of(ours)
    assert chosen(ours, "file") == "z+"


def test_a_log_whose_header_lacks_its_end_is_torn_and_not_written_on(ours):
    notes(ours, "2026-11-25-1", "c", close=False)
    log = side(ours, "log")
    log.write_bytes(log.read_bytes().partition(b"\n")[0])
    without_note(ours)
    notes(ours, "2026-11-25-1", "d", close=False)
    assert Shop.open(ours, read_only=True).open_parcel("2026-11-25-1").head["note"] == "d"


def test_nothing_is_said_of_a_folder_that_was_copied_or_rolled_back_whole(ours, tmp_path):
    whole = Path(shutil.copytree(ours, tmp_path / "whole"))
    notes(ours, "2026-11-25-1", "cd")
    for path in (ours, whole):
        parcel = Shop.open(path, read_only=True).open_parcel("2026-11-25-1")
        assert parcel.notice == ""


def test_nor_of_one_without_its_side_files(ours):
    shutil.rmtree(ours / "parcels" / ".keep")
    assert Shop.open(ours).open_parcel("2026-11-25-1").notice == ""


def test_read_only_it_is_as_the_file_stands_and_check_tells_it(ours):
    old = main(ours).read_bytes()
    notes(ours, "2026-11-25-1", "c")
    notes(ours, "2026-11-25-1", "d")
    main(ours).write_bytes(old)
    before = {path: path.read_bytes() for path in ours.rglob("*") if path.is_file()}
    parcel = Shop.open(ours, read_only=True).open_parcel("2026-11-25-1")
    assert parcel.head["note"] == "b"
    assert OLDER in parcel.notice
    assert any(OLDER in line for line in check_shop(ours))
    assert {path: path.read_bytes() for path in ours.rglob("*") if path.is_file()} == before


def test_what_was_counted_of_either_is_counted_again(ours):
    old = main(ours).read_bytes()
    notes(ours, "2026-11-25-1", "c")
    notes(ours, "2026-11-25-1", "d")
    main(ours).write_bytes(old)
    shop = Shop.open(ours)
    parcel = shop.open_parcel("2026-11-25-1", version="file")
    assert parcel.head["revision"] == 5
    shop.close()


def test_an_older_shop_file_under_a_newer_log_gives_nobody_up(ours):
    old = (ours / "shop.json").read_bytes()
    for name in ("Una Dovrick", "Zachary Holm"):
        shop = Shop.open(ours)
        shop.add_sender(name)
        shop.close()
    (ours / "shop.json").write_bytes(old)
    shop = Shop.open(ours)
    assert sorted(one["name"] for one in shop.senders.values()) == ["Una Dovrick", "Zachary Holm"]
    assert "shop.json" in shop.notice
    shop.add_sender("Ada Quill")
    shop.close()
    assert len(Shop.open(ours, read_only=True).senders) == 3
    assert Shop.open(ours, read_only=True).notice == ""


def test_a_file_changed_from_outside_while_it_is_open_is_kept_and_told(ours):
    shop = Shop.open(ours)
    parcel = shop.open_parcel("2026-11-25-1")
    old = main(ours).read_bytes()
    note(parcel, "c")
    parcel._storage.fold()
    main(ours).write_bytes(old)
    note(parcel, "d")
    assert [line for line in shop.news() if "2026-11-25-1.json.foreign-1" in line]
    assert shop.news() == []
    shop.close()
    assert '"note":"b"' in kept_aside(ours, "foreign")
    assert Shop.open(ours, read_only=True).open_parcel("2026-11-25-1").head["note"] == "d"


def test_a_shop_file_rolled_back_while_it_is_open_takes_nobody_out(ours):
    shop = Shop.open(ours)
    old = (ours / "shop.json").read_bytes()
    shop.add_sender("Una Dovrick")
    shop.shared.fold()
    (ours / "shop.json").write_bytes(old)
    (ours / ".keep" / "shop.json.log").unlink(missing_ok=True)
    assert len(shop.senders) == 1
    shop.add_sender("Zachary Holm")
    shop.close()
    assert len(Shop.open(ours, read_only=True).senders) == 2


@pytest.mark.parametrize(("mine", "others"), [("xyz", "cdefgh"), ("vwxyz", "cd"), ("x", "cde"), ("x", "c")])
def test_two_copies_of_a_log_that_a_kill_left_are_two_versions_once_both_go_on(ours, tmp_path, mine, others):
    notes(ours, "2026-11-25-1", "k", close=False)
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", others)
    notes(ours, "2026-11-25-1", mine)
    shutil.copy(main(theirs), main(ours))
    said_of(ours)
    assert chosen(ours, "log") == f"{mine[-1]}+"


@pytest.mark.parametrize(("mine", "others"), [("x", "cde"), ("xyz", "c"), ("x", "c")])
def test_two_closed_copies_that_both_went_on_are_two_versions(ours, tmp_path, mine, others):
    """Nothing is left of a log: the main file itself must go back to what was saved here last."""
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", others)
    notes(ours, "2026-11-25-1", mine)
    shutil.copy(main(theirs), main(ours))
    said_of(ours)
    assert chosen(ours, "log") == f"{mine[-1]}+"


@pytest.mark.parametrize(("mine", "others"), [("x", "cde"), ("xyz", "c"), ("x", "c")])
def test_so_they_are_where_the_other_copy_brought_its_log_and_previous_copy_too(ours, tmp_path, mine, others):
    """As a folder-sync service leaves it: only the note beside the lock is still this machine's."""
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    notes(theirs, "2026-11-25-1", others)
    notes(ours, "2026-11-25-1", mine)
    for name in ("log", "log.previous"):
        side(ours, name).unlink(missing_ok=True)
        if side(theirs, name).exists():
            shutil.copy(side(theirs, name), side(ours, name))
    shutil.copy(main(theirs), main(ours))
    assert "2026-11-25-1.json" in said_of(ours)
    assert chosen(ours, "file") == f"{others[-1]}+"


def test_nothing_is_said_where_the_other_copy_went_on_from_ours(ours, tmp_path):
    notes(ours, "2026-11-25-1", "c")
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    for letter in "defgh":
        notes(theirs, "2026-11-25-1", letter)
    shutil.copy(main(theirs), main(ours))
    for name in ("log", "log.previous", "previous"):
        shutil.copy(side(theirs, name), side(ours, name))
    parcel = Shop.open(ours).open_parcel("2026-11-25-1")
    assert (parcel.notice, parcel.head["note"]) == ("", "h")


@pytest.mark.parametrize(("mine", "others"), [(1, 3), (3, 1), (1, 1)])
@pytest.mark.parametrize("closed", [True, False])
def test_two_copies_of_the_shop_file_that_both_went_on_are_said(ours, tmp_path, mine, others, closed):
    """Copied while a bench had it open, or closed: the one with more changes holds, and it is said."""
    shop = Shop.open(ours)
    shop.add_sender("Known Before")
    if closed:
        shop.close()
    theirs = Path(shutil.copytree(ours, tmp_path / "theirs"))
    shop.close()
    people(theirs, "Other", others)
    people(ours, "Mine", mine)
    shutil.copy(theirs / "shop.json", ours / "shop.json")
    again = Shop.open(ours)
    names = [str(one["name"]) for one in again.senders.values()]
    assert "Known Before" in names
    assert sum(name.startswith(("Mine", "Other")) for name in names) == max(mine, others)
    assert again.notice.startswith("shop.json")
    again.close()
    assert Shop.open(ours, read_only=True).notice == ""


def people(path: Path, name: str, count: int) -> None:
    shop = Shop.open(path)
    for n in range(count):
        shop.add_sender(f"{name} {n}")
    shop.close()
