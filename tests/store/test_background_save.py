"""Saves that go on while the caller computes: what is waited for, in which order, and how failures are told."""

import errno
import threading

import pytest

from benchtui.store import Shop
from benchtui.store.files import Files


class Slow(Files):
    """A disk whose syncs end when they are let go on, and fail where they are told to."""

    def __init__(self):
        self.goes = threading.Event()
        self.goes.set()
        self.failing = 0
        self.calls = []

    def write(self, handle, data):
        self.calls.append("write")
        return super().write(handle, data)

    def sync(self, handle):
        assert self.goes.wait(20)
        if self.failing > 0:
            self.failing -= 1
            raise OSError(errno.ENOSPC, "No space left on device")
        self.calls.append("sync")
        super().sync(handle)


@pytest.fixture
def slow():
    return Slow()


@pytest.fixture
def shop(tmp_path, slow):
    made = Shop.create(tmp_path / "shop", files=slow)
    yield made
    slow.goes.set()
    slow.failing = 0
    made.close()


def note(parcel, text):
    with parcel.action(f"note {text}") as change:
        change.head["note"] = text


def kept(shop, parcel):
    """What another process finds."""
    return Shop.open(shop.path, read_only=True).open_parcel(parcel.id).head["note"]


def test_an_action_returns_while_it_is_on_its_way_to_the_disk_and_settle_waits_for_it(shop, slow):
    parcel = shop.new_parcel({}, 1)
    note(parcel, "one")
    shop.save_in_background()
    slow.goes.clear()
    slow.calls.clear()
    note(parcel, "two")  # would wait for ever
    assert parcel.head["note"] == "two"
    waited = threading.Thread(target=parcel.settle)
    waited.start()
    waited.join(0.05)
    assert waited.is_alive()
    assert "sync" not in slow.calls
    slow.goes.set()
    waited.join(20)
    assert slow.calls == ["write", "sync"]
    assert kept(shop, parcel) == "two"
    assert parcel.trouble is None


def test_every_other_save_waits_for_the_one_under_way(shop, slow):
    one, other = shop.new_parcel({}, 1), shop.new_parcel({}, 1)
    note(one, "begun")
    note(other, "begun")
    shop.save_in_background()
    saves = (lambda: note(other, "next"), lambda: shop.add_sender("Ada Quill"),
             lambda: shop.reserve_stock(one.id, one.records[0]["id"]))  # fmt: skip
    for at, save in enumerate(saves):
        one.settle()
        other.settle()
        slow.calls.clear()
        note(one, f"first {at}")
        save()
        other.settle()
        assert slow.calls[:2] == ["write", "sync"], "no byte of the later one before the first is on the disk"
        assert slow.calls.count("sync") >= 2


def test_a_sync_that_fails_is_answered_by_writing_all_anew_as_any_failure_is(shop, slow):
    parcel = shop.new_parcel({}, 1)
    note(parcel, "one")
    shop.save_in_background()
    slow.failing = 1
    note(parcel, "two")
    assert parcel.trouble is None, "the file was written whole, which succeeded"
    assert kept(shop, parcel) == "two"


def test_what_could_not_be_saved_behind_is_trouble_and_saved_when_that_can_be_done(shop, slow):
    parcel = shop.new_parcel({}, 1)
    note(parcel, "one")
    shop.save_in_background()
    slow.failing = 10
    note(parcel, "two")
    assert parcel.trouble_so_far is None, "not known yet"
    parcel.settle()
    assert "No space left" in str(parcel.trouble_so_far)
    assert kept(shop, parcel) == "one", "what was not synced was cut off again"
    assert parcel.head["note"] == "two", "memory goes on"
    slow.failing = 0
    note(parcel, "three")
    assert parcel.trouble is None
    assert kept(shop, parcel) == "three"


def test_closing_waits(shop, slow):
    parcel = shop.new_parcel({}, 1)
    shop.save_in_background()
    note(parcel, "one")
    parcel.close()
    assert kept(shop, parcel) == "one"


def test_in_a_quiet_moment_the_file_is_written_whole_before_a_save_would_have_to(shop, slow):
    parcel = shop.new_parcel({}, 1)
    main = shop.path / "parcels" / f"{parcel.id}.json"
    note(parcel, "small")
    before = main.stat().st_ino
    parcel.tidy()
    assert main.stat().st_ino == before, "nothing is due yet"
    note(parcel, "x" * 60_000)
    parcel.tidy()
    assert main.stat().st_ino != before
    slow.calls.clear()
    note(parcel, "next")
    assert slow.calls == ["write", "sync"], "the log was begun too"
    assert kept(shop, parcel) == "next"
    assert parcel.trouble is None
