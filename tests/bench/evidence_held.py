"""One pressing in ten held out of the book, every clue that can be seen answered: what the engine believes.

    python tests/bench/evidence_held.py [--seeds 10] [--first 301] [--copies 400]

An implementation check on an invented world (evidence_world.py, twist "held"). Over copies of held-out
pressings: settled on a wrong one, "none of these" leads, said not to fit; over known copies: settled, settled
wrongly, said not to fit. Tuned on seed 2, reported on others.
"""

import argparse
import statistics

from evidence_shop import Quiet, record_of, shelf_of
from evidence_world import World

from benchtui.evidence import weigh


def one_world(seed: int, copies: int) -> dict[str, list[float]]:
    world = World(seed, titles=20, pressings=100, twist="held")
    shelf = shelf_of(world, Quiet)
    figures: dict[str, list[float]] = {}
    for _ in range(copies):
        copy = world.draw()
        found = weigh(record_of(copy), shelf)
        leader = found.pressings[0]
        truth = world.titles[copy.title][copy.truth].id if copy.truth >= 0 else None
        kind = "known" if truth else "held"
        told = {
            "settled": found.settled,
            "wrong": found.settled and leader.id != truth,
            "none": leader.id is None,
            "unfit": found.fit is not None and not found.fit.holds,
        }
        for what, value in told.items():
            figures.setdefault(f"{kind} {what}", []).append(float(value))
    return figures


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=301)
    parser.add_argument("--copies", type=int, default=400)
    given = parser.parse_args()
    worlds = [one_world(seed, given.copies) for seed in range(given.first, given.first + given.seeds)]
    for kind in ("held", "known"):
        values = {
            key: [x for w in worlds for x in w.get(key, [])] for key in worlds[0] if key.startswith(kind)
        }
        said = "  ".join(f"{key.split()[1]} {statistics.mean(xs):.3f}" for key, xs in values.items())
        print(f"{kind:6} n={len(next(iter(values.values()))):5}  {said}", flush=True)


if __name__ == "__main__":
    main()
