"""Copies the dealer named: what the bench learns of itself, and how often "settled" is then wrong.

    python tests/bench/evidence_stop.py [--seeds 10] [--first 601] [--named 240] [--tests 150] [--twists plain,hidden,grouped]

An implementation check on an invented world (evidence_world.py). The clues of a part go their own ways (""),
or three in five follow one hidden cause: as the book has it no group ("hidden"), or one a part ("grouped").
A dealer who knows names so many copies, every clue of them answered. Printed per world, over fresh copies, before
and after: settled, of these wrong, wrong as promised by their odds; the stop and the divisors learnt.
"""

import argparse
import statistics

from evidence_shop import Quiet, record_of, shelf_of
from evidence_world import Copy, World

from benchtui.evidence import Weighing, counts_of, weigh
from benchtui.evidence.learn import GROUPS, STOP
from benchtui.evidence.reference import Shelf
from benchtui.evidence.repeats import learnt_repeats


def truth_of(world: World, copy: Copy) -> str | None:
    return world.titles[copy.title][copy.truth].id if copy.truth >= 0 else None


def named(world: World, shelf: Shelf, copies: int) -> dict[str, object]:
    """What so many named copies say of the bench alone; of pressings they teach nothing here."""
    records = []
    for copy in (world.draw() for _ in range(copies)):
        truth = truth_of(world, copy)
        if truth is None:
            continue
        record = record_of(copy)
        bench = weigh(record, shelf, ask=False).witness(truth)
        record["pressing"] = {"id": truth, "how": "hand", "p": None, "learn": True, "bench": bench}
        records.append(record)
    told = counts_of(records)
    return {key: told[key] for key in (STOP, GROUPS) if key in told}


def note(figures: dict[str, list[float]], when: str, found: Weighing, truth: str | None) -> None:
    leader = found.pressings[0]
    sure = found.leader is not None and leader.id is not None and leader.p >= found.stop.at
    figures.setdefault(f"{when} settled", []).append(float(sure))
    if sure:
        figures.setdefault(f"{when} wrong", []).append(float(leader.id != truth))
        figures.setdefault(f"{when} promised", []).append(1 - leader.p)


def one_world(seed: int, twist: str, copies: int, tests: int) -> dict[str, list[float]]:
    world = World(seed, titles=20, pressings=100, twist=twist)
    shelf = shelf_of(world, Quiet)
    taught = named(world, shelf, copies)
    figures: dict[str, list[float]] = {}
    for copy in (world.draw() for _ in range(tests)):
        record, truth = record_of(copy), truth_of(world, copy)
        note(figures, "before", weigh(record, shelf, ask=False), truth)
        after = weigh(record, shelf, counts=taught, ask=False)
        note(figures, "after", after, truth)
    figures["stop"] = [after.stop.at]
    for group, r in learnt_repeats(taught.get(GROUPS, {})).items():  # type: ignore[arg-type]
        figures[f"r of {group}"] = [r]
    return figures


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=601)
    parser.add_argument("--named", type=int, default=240)
    parser.add_argument("--tests", type=int, default=150)
    parser.add_argument("--twists", default="plain,hidden,grouped")
    given = parser.parse_args()
    for twist in given.twists.replace("plain", "").split(","):
        worlds = []
        for seed in range(given.first, given.first + given.seeds):
            worlds.append(one_world(seed, twist, given.named, given.tests))
            keys = dict.fromkeys(key for world in worlds for key in world)
            mean = {key: statistics.mean(x for w in worlds for x in w.get(key, [])) for key in keys}
            told = "  ".join(f"{key} {value:.3f}" for key, value in mean.items())
            print(f"{twist or 'plain':8} {len(worlds):2} worlds  {told}", flush=True)


if __name__ == "__main__":
    main()
