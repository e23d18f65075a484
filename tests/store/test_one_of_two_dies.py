"""One of two benches dies in the middle of a change to a shared file; the other goes on."""

import contextlib

import pytest
from played import SHOP, clock
from simdisk import Crash, Faulty, SimDisk

from benchtui.base.errors import BenchError
from benchtui.store import Shop


def names(shop: Shop) -> list[str]:
    return [sender["name"] for sender in shop.senders.values()]


def two_benches(at: int, fault: str) -> tuple[SimDisk, Faulty, Shop, Shop]:
    """A shop with a first sender, open on two benches; the calls of the first may fail from now on."""
    disk = SimDisk()
    shop = Shop.create(SHOP, files=disk, clock=clock)
    shop.add_sender("first")
    shop.close()
    faulty = Faulty(disk, -1, fault)
    dying, living = Shop.open(SHOP, files=faulty, clock=clock), Shop.open(SHOP, files=disk, clock=clock)
    assert names(dying) == names(living) == ["first"]
    faulty.made, faulty.at = 0, at
    return disk, faulty, dying, living


def work(shop: Shop) -> None:
    """Appends, a reservation, and an entry long enough that the next change folds."""
    shop.add_sender("second")
    shop.reserve_stock("p", "r")
    shop.add_sender("third", note="x" * 150_000)
    shop.add_sender("fourth")


@pytest.mark.parametrize("fault", ["stop", "stop after", "tear"])
def test_the_other_bench_goes_on_from_before_or_after_the_change(fault):
    _, counting, dying, _ = two_benches(-1, "none")
    work(dying)
    for at in range(counting.made):
        disk, _, dying, living = two_benches(at, fault)
        with pytest.raises(Crash):
            work(dying)
        disk.locks = {name: held for name, held in disk.locks.items() if "letter-B" in name}
        seen = names(living)
        assert seen == ["first", "second", "third", "fourth"][: len(seen)]
        number = living.reserve_stock("q", "s")
        living.add_sender("mine")
        again = Shop.open(SHOP, read_only=True, files=disk, clock=clock)
        assert names(again) == names(living) == [*seen, "mine"]
        numbers = again.stock_numbers()
        assert numbers[number] == ("q", "s")
        assert sorted(numbers) == [f"A{n:05d}" for n in range(1, len(numbers) + 1)] or number[0] == "B"
        assert not again.notice


@pytest.mark.parametrize("fault", ["ENOSPC", "EIO", "short"])
def test_a_refused_change_is_not_seen_by_the_other_bench_in_part(fault):
    _, counting, dying, _ = two_benches(-1, "none")
    work(dying)
    for at in range(counting.made):
        disk, _, failing, living = two_benches(at, fault)
        with contextlib.suppress(BenchError):
            work(failing)
        seen = names(living)
        assert seen == ["first", "second", "third", "fourth"][: len(seen)]
        assert names(failing) == seen
        living.add_sender("mine")
        failing.add_sender("and mine")
        assert names(failing) == names(living) == [*seen, "mine", "and mine"]
        assert names(Shop.open(SHOP, read_only=True, files=disk, clock=clock)) == names(living)
