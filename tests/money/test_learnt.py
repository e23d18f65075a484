"""Grade factors learnt from the shop's sales: worked by hand beside each case."""

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest

from benchtui.model.grade import Scale
from benchtui.money.learnt import learnt_factors, with_learnt
from benchtui.money.policy import policy_of
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
Scales = dict[str, Scale]
Settings = dict[str, Any]


def even(minor: int, grade: str, days: int = 0, **fields: Any) -> dict[str, Any]:
    """A sale of a copy whose disc and cover have one grade."""
    return {
        "id": f"s-{minor}-{days}",
        "title": "t-1",
        "pressing": "t-1/first",
        "date": (TODAY - timedelta(days=days)).isoformat(),
        "minor": minor,
        "currency": "GBP",
        "disc": grade,
        "cover": grade,
        "scale": "plain",
    } | fields


def learnt(
    sales: list[dict[str, Any]], scales: dict[str, Scale], settings: dict[str, Any]
) -> dict[str, tuple[Fraction, int]]:
    found = learnt_factors(policy_of(settings), sales, scales, settings).get("plain", {})
    return {grade: (one.factor, one.sales) for grade, one in found.items()}


def test_without_sales_the_starting_point_stands(scales: Scales, settings: Settings) -> None:
    policy = policy_of(settings)
    assert learnt([], scales, settings) == {}
    assert with_learnt(policy, [], scales, settings) == policy


def test_one_sale_moves_the_factor_a_sixth_of_the_way(scales: Scales, settings: Settings) -> None:
    # NM 40.00, VG+ 32.00: a share of 0.8 against a starting point of 0.5 counted as five sales: (0.8 + 2.5) / 6.
    got = learnt([even(4000, "NM"), even(3200, "VG+")], scales, settings)
    assert got == {"VG+": (Fraction(11, 20), 1)}


def test_twenty_sales_bring_it_most_of_the_way(scales: Scales, settings: Settings) -> None:
    # (20 * 0.8 + 5 * 0.5) / 25 = 0.74
    pairs = [
        one
        for n in range(20)
        for one in (even(4000, "NM", pressing=f"p-{n}"), even(3200, "VG+", pressing=f"p-{n}"))
    ]
    assert learnt(pairs, scales, settings) == {"VG+": (Fraction(37, 50), 20)}


def test_one_odd_sale_among_three_does_not_move_the_median(scales: Scales, settings: Settings) -> None:
    # shares 0.5, 0.5 and 0.01: the middle one is the starting point itself
    sales = [even(4000, "NM"), even(2000, "VG+", 1), even(2000, "VG+", 2), even(40, "VG+", 3)]
    assert learnt(sales, scales, settings) == {"VG+": (Fraction(1, 2), 3)}


def test_a_lower_grade_is_made_equal_by_what_was_learnt_of_the_better_one(
    scales: Scales, settings: Settings
) -> None:
    # VG+ 22.00 against NM 40.00: 0.55; learnt (0.55 + 2.5) / 6 = 61/120. VG 10.00: the better copies made equal
    # are 40.00 and 22.00 * 120/61 = 43.28, of which the lower median is 40.00: 0.25, as it started.
    sales = [even(4000, "NM"), even(2200, "VG+"), even(1000, "VG")]
    assert learnt(sales, scales, settings) == {"VG+": (Fraction(61, 120), 1), "VG": (Fraction(1, 4), 1)}


def test_no_grade_is_worth_more_than_the_one_above(scales: Scales, settings: Settings) -> None:
    dear = [
        one
        for n in range(40)
        for one in (even(4000, "NM", pressing=f"p-{n}"), even(9000, "VG", pressing=f"p-{n}"))
    ]
    assert learnt(dear, scales, settings)["VG"][0] == Fraction(1, 2)  # VG+ has learnt nothing and caps it


@pytest.mark.parametrize(
    "fields",
    [
        {"cover": "NM"},
        {"missing": 1},
        {"swapped": 1},
        {"pressing": None},
        {"pressing": "t-1/other"},
        {"scale": "gone"},
        {"disc": "EX", "cover": "EX"},
        {"currency": "EUR"},
        {"date": "no day"},
        {"minor": -1},
    ],
)
def test_a_sale_that_cannot_be_compared_teaches_nothing(
    scales: Scales, settings: Settings, fields: dict[str, Any]
) -> None:
    assert learnt([even(4000, "NM"), even(3200, "VG+") | fields], scales, settings) == {}


def test_the_shops_own_figure_is_never_moved(scales: Scales, settings: Settings) -> None:
    own = settings | {"grade_factors": {"plain": {"VG+": "0.6"}}}
    sales = [even(4000, "NM"), even(3200, "VG+")]
    assert learnt(sales, scales, own) == {}
    policy = with_learnt(policy_of(own), sales, scales, own)
    assert policy.factors["plain"]["VG+"] == Fraction(3, 5)


def test_the_worked_price_follows_what_was_learnt(scales: Scales, settings: Settings) -> None:
    sales = [
        one
        for n in range(20)
        for one in (even(4000, "NM", pressing=f"p-{n}"), even(3200, "VG+", pressing=f"p-{n}"))
    ]
    policy = with_learnt(policy_of(settings), sales, scales, settings)
    seen = [even(2960, "VG+") for _ in range(3)]  # 0.74 of 40.00
    got = worked_price(
        "t-1", seen, (Fraction(1), Fraction(1)), None, settings, TODAY, scales=scales, policy=policy
    )
    assert got.price is not None
    assert got.price.minor == 4000


def test_it_is_said_in_a_line(scales: Scales, settings: Settings) -> None:
    found = learnt_factors(policy_of(settings), [even(4000, "NM"), even(3200, "VG+")], scales, settings)
    assert found["plain"]["VG+"].say("VG+") == "VG+ 0.55 of the top price (starting point 0.50, 1 sale)"
