"""The clock on the wall changes under the hand: summer time ends, or the machine is carried to another zone."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bench_hands import Clock, Hands, sit_down

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
