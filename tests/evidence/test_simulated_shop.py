"""In an invented world drawn like the book, the engine's odds are those of an oracle that knows the tables.

The world and its oracle stand in tests/bench/evidence_world.py and share no code with the engine: numpy, cells
of another size, tables instead of words. The whole measurement is tests/bench/evidence_shop.py.
"""

import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

BENCH = Path(__file__).parent.parent / "bench"


@pytest.fixture(scope="module")
def shop() -> Any:
    """The measuring script, which stands outside the test packages."""
    sys.path.insert(0, str(BENCH))
    try:
        import evidence_shop

        yield evidence_shop
    finally:
        sys.path.remove(str(BENCH))


def test_in_a_matched_world_the_odds_are_the_oracles(shop: Any) -> None:
    world = shop.World(7, titles=6, pressings=30)
    quiet, oracle = shop.shelf_of(world, shop.Quiet), shop.Oracle(world)
    ids = [[p.id for p in its] for its in world.titles]
    away, factors = [], []
    for _ in range(120):
        copy = world.draw()
        ours = shop.weigh(shop.record_of(copy), quiet)
        p, true = oracle.weigh(copy)
        away.append(np.abs(shop.odds_of(ours, ids[copy.title]) - p).sum() / 2)
        factors += [
            abs(ours.agreement[part].decibans - 10 * np.log10(true[part])) for part in ("cover", "inner")
        ]
    assert np.mean(away) < 0.005
    assert np.mean(factors) < 0.3


def test_an_inner_of_a_very_different_pressing_is_noticed(shop: Any) -> None:
    world = shop.World(11, titles=4, pressings=20)
    shelf, oracle = shop.shelf_of(world, shop.Quiet), shop.Oracle(world)
    told = []
    for _ in range(1500):
        copy = world.draw()
        donor = copy.donor["inner"]
        if donor is None or copy.truth < 0 or donor == copy.truth:
            continue
        if oracle.expected_evidence(copy, "inner", copy.truth, donor) > 25:
            told.append(shop.weigh(shop.record_of(copy), shelf).agreement["inner"].decibans)
    assert len(told) >= 5
    assert np.median(told) > 5
