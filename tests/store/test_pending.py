"""A change of a shared file that the disk does not take: refused and really not there, or pending and made once."""

import itertools
import random

import pytest
from simdisk import CALLS, Faulty, SimDisk

from benchtui.base.errors import BenchError
from benchtui.store import Shop

PATH = "/sim/shop"
SHARED = "shop.json"


class Failing(Faulty):
    """Those calls that are no reading fail whose numbers are in ``fail``; a sync after it was done.

    So a change that was refused may be on the disk all the same.
    """

    def __init__(self, below, fail=()) -> None:
        super().__init__(below, -1, "none")
        self.fail = set(fail)
        self.seen = 0

    def _call(self, name, *given):
        if name not in CALLS or name == "read":
            return super()._call(name, *given)
        self.seen += 1
        if self.seen not in self.fail:
            return super()._call(name, *given)
        if name in ("sync", "sync_folder", "close"):
            super()._call(name, *given)
        raise OSError(5, "Input/output error")


def shop_on(files) -> Shop:
    return Shop.open(PATH, files=files, clock=lambda: "2026-11-25T09:00:00Z")


@pytest.fixture
def disk():
    disk = SimDisk()
    Shop.create(PATH, files=disk).close()
    return disk


def pairs(disk, work) -> list[tuple[int, int]]:
    """Any two calls of the work, and of what is tried after a first failure."""
    files = Failing(again(disk))
    shop = shop_on(files)
    begun = files.seen
    work(shop)
    return list(itertools.combinations(range(begun + 1, files.seen + 16), 2))


def again(disk) -> SimDisk:
    return disk.crash(random.Random(0), kill_only=True)


def add(shop) -> None:
    shop.add_sender("Zachary Holm")


def names(shop) -> list[str]:
    return [str(sender["name"]) for sender in shop.senders.values()]


def phantom(shop, disk) -> bool:
    """Whether it was refused and is on the disk all the same."""
    return names(shop_on(disk)) != []


def test_a_sender_tried_again_after_a_refusal_is_there_once(disk):
    refused = phantoms = 0
    for pair in pairs(disk, add):
        files = Failing(again(disk), pair)
        shop = shop_on(files)
        try:
            shop.add_sender("Zachary Holm")
        except BenchError:
            refused += 1
            phantoms += phantom(shop, files.below)
            assert names(shop) == [], (pair, "refused, and not there")
            files.fail = set()
            shop.add_sender("Zachary Holm")
        assert names(shop) == ["Zachary Holm"], pair
        left = files.below.crash(random.Random(pair[0]))
        assert names(shop_on(left)) == ["Zachary Holm"], pair
    assert refused
    assert phantoms, "some reached the disk all the same"


def test_what_was_refused_is_not_there_for_others_either_once_anything_else_is_saved(disk):
    for pair in pairs(disk, add):
        files = Failing(again(disk), pair)
        shop = shop_on(files)
        try:
            shop.add_sender("Zachary Holm")
        except BenchError:
            files.fail = set()
            shop.change_settings(name="Corner")
            assert names(shop_on(files.below)) == [], pair


def test_owed_it_is_seen_at_once_counted_and_paid_once(disk):
    owed = phantoms = 0
    for pair in pairs(disk, add):
        files = Failing(again(disk), pair)
        shop = shop_on(files)
        shop.may_keep_pending = True
        sender = shop.add_sender("Zachary Holm")
        unsaved = shop.unsaved()
        phantoms += unsaved is not None and phantom(shop, files.below)
        shop.note_pick("t-1", sender)
        assert names(shop) == ["Zachary Holm"], pair
        assert shop.picks()["t-1"]["count"] == 1, pair
        if unsaved is not None:
            owed += 1
            assert unsaved.words() == "1 change to the shop"
        files.fail = set()
        shop.save_again()
        assert shop.unsaved() is None
        assert names(shop_on(files.below.crash(random.Random(pair[0])))) == ["Zachary Holm"], pair
        assert shop_on(files.below).picks()["t-1"]["count"] == 1, pair
    assert owed
    assert phantoms


def test_what_is_owed_is_made_on_what_other_benches_have_saved_meanwhile(disk):
    full = Faulty(disk, 0, "full")
    mine, other = shop_on(full), shop_on(disk)
    mine.may_keep_pending = True
    sender = mine.add_sender("Zachary Holm")
    mine.change_settings(theme="light")
    other.change_settings(name="Corner")
    other.add_sender("Una Dovrick")
    assert sorted(names(mine)) == ["Una Dovrick", "Zachary Holm"]
    mine.change_sender(sender, place="Tarn")
    assert (mine.settings["name"], mine.settings["theme"]) == ("Corner", "light")
    assert names(other) == ["Una Dovrick"]
    assert (lost := mine.unsaved()) is not None
    assert lost.shared == 3
    full.heal()
    mine.save_again()
    assert sorted(names(other)) == ["Una Dovrick", "Zachary Holm"]
    assert other.senders[sender]["place"] == "Tarn"
    assert (other.settings["name"], other.settings["theme"]) == ("Corner", "light")


def test_no_parcel_is_saved_before_the_people_and_titles_it_refers_to(disk):
    """The disk takes everything but the shop's own file."""

    class Held(Faulty):
        def _call(self, name, *given):
            if name in ("create", "extend") and SHARED in str(given[0]) and not self.healed:
                raise OSError(28, "No space left on device")
            return super()._call(name, *given)

    files = Held(disk, -1, "none")
    shop = shop_on(files)
    shop.may_keep_pending = True
    files.healed = True
    parcel = shop.new_parcel({}, 1)
    files.healed = False
    sender = shop.add_sender("Zachary Holm")
    with parcel.action("sender") as change:
        change.head["sender"] = sender
    assert parcel.trouble is not None
    assert SHARED in parcel.trouble
    assert shop_on(disk).open_parcel(parcel.id, read_only=True).head["sender"] is None
    files.healed = True
    shop.save_again()
    assert shop.unsaved() is None
    found = shop_on(disk)
    assert found.open_parcel(parcel.id, read_only=True).head["sender"] == sender
    assert sender in found.senders


def test_a_change_that_cannot_be_is_refused_however_full_the_disk(disk):
    shop = shop_on(Faulty(disk, 0, "full"))
    shop.may_keep_pending = True
    with pytest.raises(BenchError, match="no sender"):
        shop.change_sender("s-0", name="x")
    assert shop.unsaved() is None


def test_commands_that_cannot_wait_are_refused(disk):
    shop = shop_on(Faulty(disk, 0, "full"))
    with pytest.raises(BenchError, match="No space"):
        shop.add_sales([{"title": "t-1", "minor": 900, "currency": "GBP"}])
    assert shop.sales_seen() == []
    assert shop.unsaved() is None


def test_closing_pays_what_can_be_paid_and_tells_what_was_given_up(disk):
    full = Faulty(disk, 0, "full")
    shop = shop_on(full)
    shop.may_keep_pending = True
    shop.add_sender("Zachary Holm")
    full.heal()
    shop.close()
    assert shop.unsaved() is None
    assert names(shop_on(disk)) == ["Zachary Holm"]
    full = Faulty(disk, 0, "full")
    shop = shop_on(full)
    shop.may_keep_pending = True
    shop.add_sender("Una Dovrick")
    shop.close()
    assert (lost := shop.unsaved()) is not None
    assert lost.shared == 1
    assert names(shop_on(disk)) == ["Zachary Holm"]
