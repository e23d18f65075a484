"""A log cut so cleanly that it does not show is told all the same; what a crash leaves never is."""

import shutil

import pytest

from benchtui.base.errors import BenchError
from benchtui.store import Shop, TwoVersions
from benchtui.store.saved_position import SavedPosition, position_in, position_line


def note(parcel, text):
    with parcel.action(f"note {text}") as change:
        change.head["note"] = text


@pytest.fixture
def killed(shop, parcel, tmp_path):
    """A copy of the shop as a killed process leaves it: five notes, two of them before the last fold."""
    for text in "ab":
        note(parcel, text)
    parcel._storage.fold()
    for text in "cde":
        note(parcel, text)
    shop.add_sender("Ada Quill")
    shop.add_sender("Bo Lathe")
    return shutil.copytree(shop.path, tmp_path / "killed")


def log_of(folder, name):
    return next(folder.rglob(f"{name}.log"))


def cut(path, lines):
    kept = path.read_bytes().split(b"\n")[: -1 - lines]
    path.write_bytes(b"\n".join(kept) + b"\n")


def opened(folder, parcel, read_only):
    shop = Shop.open(folder, read_only=read_only)
    found = shop.open_parcel(parcel.id)
    told = found.notice, found.head["note"]
    shop.close()
    return told


@pytest.mark.parametrize("read_only", [True, False])
@pytest.mark.parametrize(("lines", "left", "said"), [
    (0, "e", ""), (1, "d", "the last change is missing"), (2, "c", "the last 2 changes are missing"),
    (3, "b", "the last 3 changes are missing"),
])  # fmt: skip
def test_changes_missing_at_the_end_of_a_log_are_counted(killed, parcel, lines, left, said, read_only):
    cut(log_of(killed, f"{parcel.id}.json"), lines)
    notice, found = opened(killed, parcel, read_only)
    assert found == left
    assert said in notice
    assert bool(notice) == bool(said)
    assert "\n" not in notice


def test_a_log_that_was_taken_away_is_missed(killed, parcel):
    log_of(killed, f"{parcel.id}.json").unlink()
    assert "the last 3 changes are missing" in opened(killed, parcel, False)[0]


def test_it_is_said_once_and_the_work_goes_on(killed, parcel):
    cut(log_of(killed, f"{parcel.id}.json"), 1)
    shop = Shop.open(killed)
    again = shop.open_parcel(parcel.id)
    note(again, "f")
    shop.close()
    assert opened(killed, parcel, False) == ("", "f")


def test_a_shared_file_s_log_is_watched_too(killed):
    cut(log_of(killed, "shop.json"), 1)
    shop = Shop.open(killed, read_only=True)
    assert [sender["name"] for sender in shop.senders.values()] == ["Ada Quill"]
    assert "the last change is missing: shop.json.log was cut short or removed" in shop.notice


def test_a_shop_left_in_peace_or_folded_has_nothing_to_say(killed, parcel):
    assert opened(killed, parcel, False)[0] == ""
    assert opened(killed, parcel, True)[0] == ""
    assert Shop.open(killed, read_only=True).notice == ""


@pytest.mark.parametrize(
    "damage", ["", "last: x", "last: x 9 00000000", "who: somebody", "\0" * 256, "last: 5"]
)
def test_a_note_that_was_lost_or_torn_says_nothing(killed, parcel, damage):
    cut(log_of(killed, f"{parcel.id}.json"), 1)
    next(killed.rglob(f"{parcel.id}.json.lock")).write_text(damage)
    assert opened(killed, parcel, False) == ("", "d")


def test_an_older_copy_in_the_place_of_a_parcel_is_for_the_person_to_choose(killed, parcel):
    main = killed / "parcels" / f"{parcel.id}.json"
    (killed / "parcels" / ".keep" / f"{parcel.id}.json.previous").replace(main)
    with pytest.raises(TwoVersions, match="5 later changes"):
        opened(killed, parcel, False)


def test_who_has_a_parcel_is_still_told(shop, parcel):
    note(parcel, "a")
    with pytest.raises(BenchError, match=r"process \d+\) has it since 2"):
        Shop.open(shop.path).open_parcel(parcel.id)


@pytest.mark.parametrize("reach", [("a1b2c3d4", 0), ("", 12), ("x" * 8, 10**9), ("ab", 3, "log-7")])
def test_a_note_reads_as_it_was_written(reach):
    assert position_in(position_line(SavedPosition(*reach)) + "who: me\n") == SavedPosition(*reach)
