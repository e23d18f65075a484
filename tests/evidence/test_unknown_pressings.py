"""Copies of pressings that no book has, in an invented company's field: seldom settled on a wrong one.

The field stands in tests/bench/evidence_field.py and shares no code with the engine; the whole measurement,
over ten seeds, is tests/bench/evidence_unknown.py.
"""

import sys
from pathlib import Path
from typing import Any

import pytest

BENCH = Path(__file__).parent.parent / "bench"


@pytest.fixture(scope="module")
def field() -> Any:
    """The measuring script, which stands outside the test packages."""
    sys.path.insert(0, str(BENCH))
    try:
        import evidence_unknown

        yield evidence_unknown
    finally:
        sys.path.remove(str(BENCH))


def test_a_copy_of_an_unwritten_pressing_is_seldom_settled_on_another(field: Any) -> None:
    figures = field.one_seed(7, 120, True)

    def mean(key: str) -> float:
        return float(sum(figures[key]) / len(figures[key]))

    assert len(figures["held wrong"]) >= 50
    assert mean("held wrong") <= 0.2  # .15 to .25 before, over ten seeds .10 or less
    assert mean("held none") >= 0.5
    assert mean("known settled") >= 0.8
    assert mean("known wrong") <= 0.03
    assert mean("known unfit") <= 0.04


def test_an_empty_shop_learns_its_titles_and_says_what_it_does_not_have(field: Any) -> None:
    import evidence_empty_shop as empty

    figures = empty.one_shop(11, 6)
    assert figures[1]["right"] == [0.0] * 6 or sum(figures[1]["wrong and sure"]) <= 1
    rightly = sum(figures[1]["rightly new"]) / max(1.0, sum(figures[1]["new"]))
    assert rightly >= 0.6
    assert sum(figures[10]["keys"]) < sum(figures[1]["keys"])
