"""Pace and keys are kept with the parcel and told at its end, beside what is usual in the shop."""

from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands, Sit
from seen import page_rows

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.desk.core.pace import Pace, each_in_words, long_in_words, pace_of, seconds_of
from benchtui.desk.queue.usual_pace import pace_in_words, usual
from benchtui.model.parcel import new_head
from benchtui.model.record import empty_record


def _parcel(*visits: tuple[int, str, int, int]) -> tuple[Any, list[Any]]:
    """Records taken in: number, time of day, seconds, keys of each visit."""
    head: Any = new_head("2026-11-25-1")
    records: dict[int, Any] = {}
    for no, at, seconds, keys in visits:
        record = records.setdefault(no, empty_record(no))
        record["state"] = "taken-in"
        entry = {"record": record["id"], "at": f"2026-11-25T{at}:00Z", "seconds": seconds, "keys": keys}
        head["sessions"].append(entry)
    return head, list(records.values())


def test_the_pace_is_the_median_of_the_records() -> None:
    pace = pace_of(*_parcel((1, "10:00", 120, 20), (2, "10:02", 60, 10), (3, "10:10", 400, 90)))
    assert (pace.records, pace.seconds, pace.keys) == (3, 120, 20)
    assert each_in_words(pace) == "2.0 minutes and 20 keys"


def test_a_record_taken_in_twice_counts_once_with_all_its_time() -> None:
    parcel = _parcel((1, "10:00", 100, 20), (1, "10:05", 20, 4), (2, "10:10", 60, 10))
    pace = pace_of(*parcel)
    assert (pace.records, pace.seconds, pace.keys) == (2, 90, 17)
    assert seconds_of(*parcel) == [120, 60], "the strip said 60 a record, the median of the three visits"


def test_a_long_silence_parts_two_sessions_and_is_no_time_at_the_bench() -> None:
    pace = pace_of(
        *_parcel((1, "10:02", 120, 9), (2, "10:06", 180, 9), (3, "14:00", 60, 9), (4, "15:00", 3600, 9))
    )
    assert [(one.records, one.seconds) for one in pace.sessions] == [(2, 360), (1, 60), (1, 0)]
    assert pace.at_bench == 420
    assert pace.seconds == 120, "the record that lay there over lunch says nothing of the pace"


def test_what_was_taken_back_or_edited_into_nonsense_is_left_out() -> None:
    head, records = _parcel((1, "10:00", 100, 20), (2, "10:05", 60, 10))
    records[1]["state"] = "started"
    head["sessions"] += [
        {"record": records[0]["id"]},
        {"record": records[0]["id"], "at": "noon", "keys": 1, "seconds": 1},
    ]
    pace = pace_of(head, records)
    assert (pace.records, pace.seconds, pace.keys) == (1, 100, 20)
    assert pace_of(new_head("p"), []) == Pace(0, None, None)
    head["sessions"].append(
        {"record": records[0]["id"], "at": "2026-11-25T10:00:00Z", "keys": 1, "seconds": "soon"}
    )
    assert seconds_of(head, records) == [101.0], "the strip tells minutes from what can be told"


@pytest.mark.parametrize(("seconds", "words"), [(59, "1 minute"), (2160, "36 minutes"), (7500, "2 h 05")])
def test_long_times_are_told_in_hours(seconds: float, words: str) -> None:
    assert long_in_words(seconds) == words


def test_each_visit_keeps_only_its_own_keys(parcel: Hands) -> None:
    parcel.ready().do("take-in")
    (first,) = parcel.head["sessions"]
    assert first["keys"] > 0
    assert first["seconds"] > 0
    parcel.do("line-leave", "previous-record", "take-in")
    again = parcel.head["sessions"][-1]
    assert again["record"] == first["record"]
    assert 0 < again["keys"] <= 2, "the keys of the first visit are kept already"


def test_the_last_record_taken_in_tells_the_pace(parcel: Hands) -> None:
    for _ in range(3):
        parcel.ready().do("take-in")
    pace = pace_of(parcel.head, parcel.desk.work.records)
    assert f"That was the last: {each_in_words(pace)} each" in parcel.said
    assert "usually" not in parcel.said, "no parcel came before this one"
    parcel.do("parcel-page", "page-close").key("1")
    assert f"3 taken in, {each_in_words(pace)} each" in parcel.said
    assert parcel.said.startswith("parcel closed")


def test_beside_it_stands_what_is_usual_over_the_parcels_before(empty_path: Path, sit: Sit) -> None:
    hands = sit(empty_path)
    for _ in range(3):
        hands.new_parcel(1).ready().do("take-in")
    before = usual(hands.desk)
    assert before is not None
    assert before.parcels == 2
    assert "(usually " in hands.said
    hands.do("parcel-page")
    shown = text_of(page_rows(hands.desk, 78, 90, FANCY))
    assert "keys a record" in shown
    assert "over 2 earlier parcels" in shown


def test_a_parcel_that_cannot_be_read_is_left_out_of_what_is_usual(
    empty_path: Path, sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = sit(empty_path)
    for _ in range(3):
        hands.new_parcel(1).ready().do("take-in")
    first, read = hands.desk.shop.parcel_ids()[0], hands.desk.shop.open_parcel

    def spoilt(parcel_id: str, read_only: bool = False) -> Any:
        if parcel_id == first:
            raise BenchError("spoilt")
        return read(parcel_id, read_only)

    monkeypatch.setattr(hands.desk.shop, "open_parcel", spoilt)
    hands.desk.tally.usual_pace = None
    left = usual(hands.desk)
    assert left is not None
    assert left.parcels == 1


def test_the_page_shows_it_as_a_panel_and_in_its_head(demo: Hands) -> None:
    demo.do("line-leave", "parcel-page")
    page = demo.desk.open.page
    assert page is not None
    pace = pace_of(demo.head, demo.desk.work.records)
    for marked in (0, 24, 40):
        page.marked = marked
        shown = text_of(page_rows(demo.desk, 78, 17, FANCY))
        assert each_in_words(pace) in shown.splitlines()[0], "the head stays in sight"
    page.marked = 24
    shown = text_of(page_rows(demo.desk, 78, 33, FANCY))
    shown = " ".join(shown.split())
    for row in ("taken in 6 of 15", "minutes a record", "keys a record", "at the bench", "6 records"):
        assert row in shown
    for width in (56, 76, 116):
        assert all(width_of(line) <= width for line in page_rows(demo.desk, width, 33, FANCY))


def test_a_parcel_just_opened_has_no_pace_yet(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page")
    assert "keys a record" not in text_of(page_rows(parcel.desk, 78, 90, FANCY))
    assert pace_in_words(parcel.desk) == ""
