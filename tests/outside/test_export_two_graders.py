"""Weighted kappa against scikit-learn and against printed values."""

import math
import random

import numpy as np
import pytest
from sklearn.metrics import cohen_kappa_score

from benchtui.model.agreement_of_graders import Pair, Weights, confusion, kappa

# MOVIES: .5000 (plain) and .5714 (linear) as printed by the Statistical Consulting Group of UCLA, "How can I
# calculate a kappa statistic for variables with unequal score ranges?" (output of SAS),
# https://stats.idre.ucla.edu/sas/faq/how-can-i-calculate-a-kappa-statistic-for-variables-with-unequal-score-ranges/
# The values of the other two tables are those of scikit-learn 1.9.1 and statsmodels 0.15.0, which agree.
MOVIES = [[4, 0, 0], [0, 4, 0], [0, 4, 0]]
UNUSED = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
OTHER = [[7, 7, 2, 3], [2, 8, 3, 7], [1, 5, 4, 9], [2, 8, 9, 14]]


@pytest.mark.parametrize(
    ("table", "weights", "printed", "within"),
    [
        (MOVIES, "none", 0.5, 5e-5),
        (MOVIES, "linear", 0.5714, 5e-5),
        (UNUSED, "none", 0.484163, 5e-7),
        (UNUSED, "linear", 0.470120, 5e-7),
        (UNUSED, "quadratic", 0.450161, 5e-7),
        (OTHER, "none", 0.129330, 5e-7),
        (OTHER, "linear", 0.237381, 5e-7),
        (OTHER, "quadratic", 0.332046, 5e-7),
    ],
)
def test_kappa_is_what_was_printed(
    table: list[list[int]], weights: Weights, printed: float, within: float
) -> None:
    found = kappa(table, weights)
    assert found is not None
    assert math.isclose(found, printed, abs_tol=within)


@pytest.mark.parametrize("weights", ["none", "linear", "quadratic"])
def test_kappa_is_scikit_learns_on_random_gradings(weights: Weights) -> None:
    chance = random.Random(718)
    steps = ["M", "NM", "VG+", "VG", "G+", "G", "F", "P"]
    for _ in range(60):
        used = chance.sample(steps, chance.randint(2, 8))
        first = [chance.choice(used) for _ in range(chance.randint(5, 60))]
        second = [grade if chance.random() < 0.6 else chance.choice(used) for grade in first]
        if len(set(first) | set(second)) < 2:
            continue
        table = confusion([Pair(a, b) for a, b in zip(first, second, strict=True)], steps)
        theirs = cohen_kappa_score(
            first, second, labels=steps, weights=None if weights == "none" else weights
        )
        ours = kappa(table, weights)
        assert ours is not None
        assert np.isclose(ours, theirs, atol=1e-12)


def test_an_unused_grade_between_two_others_counts_as_a_step() -> None:
    """scikit-learn gives another value when the unused label is left out; ours is the one with it."""
    first = ["NM", "VG", "VG", "G", "NM", "G"]
    second = ["VG", "VG", "G", "G", "NM", "VG"]
    steps = ["NM", "VG+", "VG", "G"]
    pairs = [Pair(a, b) for a, b in zip(first, second, strict=True)]
    whole = cohen_kappa_score(first, second, labels=steps, weights="quadratic")
    short = cohen_kappa_score(first, second, labels=["NM", "VG", "G"], weights="quadratic")
    assert not np.isclose(whole, short)
    ours = kappa(confusion(pairs, steps), "quadratic")
    assert ours is not None
    assert np.isclose(ours, whole)
