"""Weighted kappa where it must be plain, and where it does not exist."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.model.agreement_of_graders import Pair, confusion, drift_by_month, kappa, within

STEPS = ("M", "NM", "VG", "G")
PAIRS = st.lists(st.builds(Pair, st.sampled_from(STEPS), st.sampled_from(STEPS)), max_size=30)


@given(PAIRS)
def test_kappa_is_at_most_one_and_one_only_in_full_agreement(pairs: list[Pair]) -> None:
    found = kappa(confusion(pairs, STEPS))
    if found is not None:
        assert found <= 1
        assert (found == 1) == all(pair.first == pair.second for pair in pairs)


@given(PAIRS)
def test_who_graded_first_makes_no_difference(pairs: list[Pair]) -> None:
    turned = [Pair(pair.second, pair.first) for pair in pairs]
    ours, theirs = kappa(confusion(pairs, STEPS)), kappa(confusion(turned, STEPS))
    assert ours == theirs or (ours is not None and ours == pytest.approx(theirs))


def test_what_chance_would_give_is_nought_and_worse_is_negative() -> None:
    assert kappa([[1, 1], [1, 1]]) == 0
    assert kappa([[0, 1], [1, 0]]) == -1


def test_nothing_counted_or_one_grade_throughout_has_no_kappa() -> None:
    assert kappa([]) is None
    assert kappa([[0, 0], [0, 0]]) is None
    assert kappa([[5, 0], [0, 0]]) is None
    assert within([[0]]) is None


def test_a_grade_of_another_scale_and_a_crooked_table_are_refused() -> None:
    with pytest.raises(ValueError, match="'EX' is not a grade"):
        confusion([Pair("EX", "M")], STEPS)
    with pytest.raises(ValueError, match="square"):
        kappa([[1, 2]])
    with pytest.raises(ValueError, match="square"):
        kappa([[1, -2], [0, 1]])


def test_drift_goes_month_by_month() -> None:
    pairs = [Pair("VG", "NM", "2026-10"), Pair("VG", "VG", "2026-10"), Pair("VG", "G", "2026-11")]
    assert [(one.group, one.count, one.steps) for one in drift_by_month(pairs, STEPS)] == [
        ("2026-10", 2, 0.5),
        ("2026-11", 1, -1.0),
    ]
