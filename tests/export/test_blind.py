"""A sample regraded blind without a sheet: drawn, kept, read and reckoned."""

from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.books.scales import load_scales
from benchtui.export.blind import FIELDS, draw_sample, gradable_items, kept_sample, sample_results, step_read

SCALES = load_scales()


def items(make: SimpleNamespace, count: int = 10) -> list[Any]:
    return [make.item(make.record(no, f"A{no:05}")) for no in range(1, count + 1)]


def test_the_sample_is_a_seed_s_choice_of_all_graded_parts_in_the_order_of_stock_numbers(
    make: SimpleNamespace,
) -> None:
    found = list(gradable_items(items(make), make.words()))
    assert len(found) == 30
    drawn = draw_sample(found, 7, 1)
    assert len(drawn) == 7
    assert [one["stock"] for one in drawn] == sorted(one["stock"] for one in drawn)
    assert drawn == draw_sample(found, 7, 1) != draw_sample(found, 7, 2)
    assert {one["given"] for one in drawn} == {""}
    assert {one["first"] for one in found if one["part"] == "disc"} == {"VG+"}
    assert kept_sample({"items": drawn}) == drawn


@pytest.mark.parametrize("doc", [None, "x", {}, {"items": 3}, {"items": ["x"]}, {"items": [{"stock": "A1"}]}])
def test_a_sample_edited_into_something_else_is_none(doc: Any) -> None:
    assert kept_sample(doc) == []


@pytest.mark.parametrize(
    ("typed", "step"),
    [("VG+", "VG+"), ("vg+", "VG+"), (" vg + ", "VG+"), ("v+", "VG+"), ("v", "VG"), ("NM", "NM"), ("g", "G")],
)
def test_a_grade_is_read_in_any_capitals_and_by_the_scale_s_letters(typed: str, step: str) -> None:
    assert step_read(SCALES["american"], typed) == step


@pytest.mark.parametrize("typed", ["", "+", "-", "lovely", "VG++", "[VG]", "x+"])
def test_what_is_no_grade_is_none(typed: str) -> None:
    assert step_read(SCALES["american"], typed) is None


@pytest.mark.parametrize("scale", sorted(SCALES))
def test_every_step_of_every_scale_is_read_as_itself(scale: str) -> None:
    for grade in SCALES[scale].grades:
        assert step_read(SCALES[scale], grade.id) == grade.id
        assert step_read(SCALES[scale], grade.id.lower()) == grade.id


def asked(first: str, given: str, month: str = "2026-11", scale: str = "american") -> dict[str, str]:
    return dict.fromkeys(FIELDS, "") | {"first": first, "given": given, "month": month, "scale": scale}


def test_what_was_given_is_set_against_what_stood_and_the_rest_is_left_out() -> None:
    sample = [
        asked("VG+", "VG"), asked("VG+", "VG+", "2026-10"), asked("G", "G"), asked("G", ""), asked("G", "-"),
        asked("G", "G", scale="lost"), asked("odd", "VG"),
    ]  # fmt: skip
    (result,), left_out = sample_results(sample, SCALES)
    assert left_out == 2
    assert (result.count, result.near) == (3, 1.0)
    assert [(one.group, one.count, one.steps) for one in result.by_grade] == [("VG+", 2, -0.5), ("G", 1, 0.0)]
    assert [(one.group, one.steps) for one in result.by_month] == [("2026-10", 0.0), ("2026-11", -0.5)]


def test_nothing_given_is_no_result() -> None:
    assert sample_results([asked("G", ""), asked("G", "-")], SCALES) == ([], 0)
