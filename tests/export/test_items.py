"""Which records leave in a day's file, and which do not and why."""

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.export.items import leaving, left_out

DAY = date(2026, 11, 25)
APART = {"why": "mould", "note": "", "at": "2026-11-25T12:00:00+00:00"}
NAME = "The Lantern Quire: Moths at Noon"


@pytest.mark.parametrize(
    ("fields", "say"),
    [
        ({"set_apart": APART}, f"A00001 {NAME} (mould)"),
        ({"set_apart": APART | {"note": "on the label"}}, f"A00001 {NAME} (mould: on the label)"),
        ({"set_apart": APART, "title": None}, "A00001 (mould)"),
        ({"set_apart": APART, "stock": None, "taken_in_at": None}, f"record 1 {NAME} (mould)"),
        ({"set_apart": APART | {"at": "2026-11-27T12:00:00+00:00"}}, f"A00001 {NAME} (mould)"),
        ({"state": "withdrawn"}, f"A00001 {NAME} (taken out of the parcel)"),
        ({"stock": None}, f"record 1 {NAME} (no stock number)"),
        ({"state": "started"}, f"A00001 {NAME} (not taken in)"),
    ],
)
def test_what_came_up_that_day_and_does_not_leave_is_told_with_the_reason(
    make: SimpleNamespace, fields: dict[str, Any], say: str
) -> None:
    items = [make.item(make.record(**fields))]
    (left,) = left_out(items, DAY)
    assert left.say == say
    assert left.parcel == "2026-11-25-1"
    assert leaving(items, DAY) == []
    assert left_out(items, date(2026, 11, 23)) == []


def test_what_leaves_is_not_left_out_and_the_rest_stands_by_parcel_and_place(make: SimpleNamespace) -> None:
    items = [
        make.item(make.record(no, f"A{no:05}", set_apart=None if no == 2 else APART), id=parcel)
        for parcel in ("2026-11-25-2", "2026-11-25-1")
        for no in (3, 2, 1)
    ]
    assert [(one.parcel, one.no) for one in left_out(items, DAY)] == [
        ("2026-11-25-1", 1), ("2026-11-25-1", 3), ("2026-11-25-2", 1), ("2026-11-25-2", 3),
    ]  # fmt: skip
    assert {item.record["no"] for item in leaving(items, DAY)} == {2}


@pytest.mark.parametrize("at", ["2026-11-25T12:00:00+00:00", "2020-01-01T12:00:00+00:00"])
def test_every_record_taken_in_that_day_is_in_the_file_or_told_as_left_out(
    make: SimpleNamespace, at: str
) -> None:
    states = ("taken-in", "withdrawn", "started")
    items = [
        make.item(make.record(no, stock, state=state, set_apart=apart, taken_in_at=at))
        for no, (state, stock, apart) in enumerate(
            ((state, stock, apart) for state in states for stock in (None, "A1") for apart in (None, APART)),
            start=1,
        )
    ]
    of_day = {item.record["no"] for item in items if item.taken_in == DAY}
    there = {item.record["no"] for item in leaving(items, DAY)}
    apart = {one.no for one in left_out(items, DAY)}
    assert not there & apart
    assert of_day <= there | apart
