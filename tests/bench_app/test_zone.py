"""The clock on the wall changes under the hand: summer time ends, or the machine is carried to another zone."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bench_hands import Clock, Hands, sit_down

from benchtui.desk.look.earlier import earlier_copies
from benchtui.model.earlier import local_day
from benchtui.model.record import empty_record
from benchtui.money.moved_cost import cost_moves

Zone = Callable[[str], None]
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a process changes its zone on POSIX only")


@pytest.fixture
def zone() -> Iterator[Zone]:
    """Moves this process to a zone of the tz database; back at the end."""
    before = os.environ.get("TZ")

    def move(name: str) -> None:
        os.environ["TZ"] = name
        time.tzset()

    yield move
    if before is None:
        os.environ.pop("TZ", None)
    else:
        os.environ["TZ"] = before
    time.tzset()


@pytest.fixture
def night(empty_path: Path, zone: Zone) -> Iterator[tuple[Hands, Clock]]:
    """The night in Berlin in which the hour from two to three comes twice (IANA tz database, Europe/Berlin)."""
    zone("Europe/Berlin")
    clock = Clock(datetime(2026, 10, 25, 0, 30, tzinfo=UTC))
    hands = sit_down(empty_path, clock=clock).new_parcel(3)
    yield hands, clock
    hands.leave()


def _grade_times(hands: Hands) -> list[str]:
    return [str(grade["at"]) for part in hands.record["parts"] for grade in part["grades"]]


def test_in_the_hour_that_comes_twice_what_was_done_last_is_undone_first(night: tuple[Hands, Clock]) -> None:
    hands, clock = night
    hands.find("baf").take("cover")
    hands.grade("VG")
    clock.time += timedelta(hours=1)  # half past two once more, by the clock on the wall
    hands.take("disc")
    hands.grade("G")
    first, second = _grade_times(hands)
    assert first < second
    hands.do("undo")
    assert _grade_times(hands) == [first]
    assert first.startswith("2026-10-25T00:3")
    assert second.startswith("2026-10-25T01:3")


def test_carried_to_another_zone_the_day_is_the_new_one_and_nothing_kept_changes(
    night: tuple[Hands, Clock], zone: Zone, empty_path: Path
) -> None:
    hands, clock = night
    hands.find("baf").take("cover")
    hands.grade("VG")
    assert hands.desk.today() == "2026-10-25"
    kept = hands.record
    clock.time = datetime(2026, 10, 25, 10, 30, tzinfo=UTC)
    zone("Pacific/Kiritimati")  # fourteen hours ahead: the 26th has begun there
    assert hands.desk.today() == "2026-10-26"
    assert hands.record == kept
    parcel = hands.desk.work.parcel
    assert parcel is not None
    assert parcel.id == "2026-10-25-1"
    hands.leave()
    zone("America/Adak")  # a day behind: the clock on the wall has gone back past the parcel's own day
    again = sit_down(empty_path, clock=clock)
    try:
        assert again.record == kept
        again.do("undo")
        assert _grade_times(again) == []
    finally:
        again.leave()


@pytest.fixture
def ahead(empty_path: Path, zone: Zone) -> Iterator[Hands]:
    """Noon of the last of November by UTC, two in the morning of the first of December by the dealer's clock
    (IANA tz database, Pacific/Kiritimati: fourteen hours ahead)."""
    zone("Pacific/Kiritimati")
    hands = sit_down(empty_path, clock=Clock(datetime(2026, 11, 30, 12, 0, tzinfo=UTC))).new_parcel(2)
    yield hands
    hands.leave()


def test_days_that_are_shown_and_counted_are_those_of_the_dealers_calendar(ahead: Hands) -> None:
    """The day of UTC stood for that of a sale seen, of a delivery, of what was graded, and in the days to
    sell: the sale of today was refused as not come yet, and one of the same day took a day."""
    ahead.ready().do("take-in", "take-in")
    stock = ahead.at(1)["stock"]
    ahead.find("baf").do("sale-seen").enter("30 2026-12-01 VG/VG fair").do("sale-seen").enter("31 VG fair")
    assert [sale["date"] for sale in ahead.desk.shop.sales_seen()] == ["2026-12-01"] * 2
    ahead.do("record-sell").enter(f"{stock}; ; 12")
    assert ahead.at(1)["life"][-1]["at"] == "2026-12-01"
    ahead.do("copies")
    (copy,) = earlier_copies(ahead.desk)
    assert copy.days == 0, "taken in and sold on 1 December"
    assert local_day(str(ahead.at(1)["taken_in_at"])) == "2026-12-01"


def test_cost_that_moves_with_a_part_moves_on_the_day_of_the_dealers_calendar(zone: Zone) -> None:
    """Noon of 30 November by UTC: the books of November had it, the dealer did it in December."""
    zone("Pacific/Kiritimati")
    entry = {"at": "2026-11-30T12:00:00Z", "from": ["p-1", "r-1"], "minor": 500, "currency": "GBP"}
    (move,) = cost_moves({**empty_record(1), "cost_moved": [entry]}, "GBP")
    assert move.at == "2026-12-01"
