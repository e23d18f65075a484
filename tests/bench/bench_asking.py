"""What it costs in evidence to ask only what may tell something, as the bench does.

    python tests/bench/bench_asking.py [--copies 200] [--seeds 5]

Every figure is an implementation check on an invented world (evidence_world.py). Three dealers look at the
same copies: one answers every clue, one leaves each part as soon as the pressing is settled (every clue in
the order of the part until then), one answers what the bench asks (desk/ask/asking.py: clues worth a look, a
first check of each part, more where it is open whether a part belongs). Per dealer: clues answered, top-1,
log score in bits, how often a pressing was called settled and how often that was wrong, parts from another
pressing called swapped (odds over one half), and own parts called so. Parts from the same pressing, which
nobody can tell, are left out.
"""

import argparse
import statistics
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
from evidence_shop import Figures, odds_of, record_of, score, shelf_of, tell
from evidence_world import Copy, World

from benchtui.desk.ask import asking
from benchtui.evidence import Weighing, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc, part_of

PARTS = ("cover", "disc", "inner")
Ask = Callable[[World, Shelf, Copy], tuple[RecordDoc, int]]


def all_clues(world: World, shelf: Shelf, copy: Copy) -> tuple[RecordDoc, int]:
    return record_of(copy), len(world.clues)


def _look(record: RecordDoc, copy: Copy, part: str, clue: str) -> None:
    tell(record, part, clue, copy.answers[part].get(clue))


def until_settled(world: World, shelf: Shelf, copy: Copy) -> tuple[RecordDoc, int]:
    record, asked = record_of(copy, told=False), 0
    for part in PARTS:
        for _, clue in weigh(record, shelf, in_hand=part).order(part):
            if weigh(record, shelf).settled:
                break
            _look(record, copy, part, clue)
            asked += 1
    return record, asked


def _desk(record: RecordDoc, shelf: Shelf) -> Any:
    """As much of a desk as the questions are chosen by, the first part in the hand."""

    def of(record: RecordDoc, in_hand: str | None) -> Weighing:
        return weigh(record, shelf, in_hand=in_hand)

    return SimpleNamespace(
        library=SimpleNamespace(clue=shelf.clue, title=shelf.title),
        work=SimpleNamespace(part_id=PARTS[0], taken=[PARTS[0]], held=False, record=record),
        asking=SimpleNamespace(passed=[], asked=None, order=[]),
        weighings=SimpleNamespace(of=of),
    )


def _asked(anew: bool) -> Ask:
    """What the bench asks; ``anew``: the order of what is not yet in sight is worked out after each answer."""

    def ask(world: World, shelf: Shelf, copy: Copy) -> tuple[RecordDoc, int]:
        record, asked = record_of(copy, told=False), 0
        desk = _desk(record, shelf)
        held = part_of(record, PARTS[0])
        while True:
            assert held is not None
            if anew or not desk.asking.order:
                desk.asking.order = asking.order_of(desk, held, desk.weighings.of(record, held["id"]))
            desk.asking.asked = asking.next_question(desk, record)
            if desk.asking.asked is not None:
                _look(record, copy, desk.work.part_id, desk.asking.asked[1])
                asked += 1
                continue
            held["grades"] = cast(Any, [{"grade": "VG"}])
            following = asking.look_ahead(desk, record, desk.weighings.of(record, desk.work.part_id))
            if following is None or following.asked is None:
                return record, asked
            held = following.part
            desk.work.part_id, desk.asking.order = held["id"], list(following.order)
            desk.work.taken.append(desk.work.part_id)

    return ask


def one_world(seed: int, copies: int) -> dict[str, Figures]:
    world = World(seed)
    shelf = shelf_of(world)
    ids = [[p.id for p in its if p.known] for its in world.titles]
    dealers: dict[str, Ask] = {
        "every clue": all_clues,
        "until settled": until_settled,
        "order kept": _asked(False),
        "order anew": _asked(True),
    }
    figures: dict[str, Figures] = {name: {} for name in dealers}
    for _ in range(copies):
        copy = world.draw()
        for name, ask in dealers.items():
            record, asked = ask(world, shelf, copy)
            found, seen = weigh(record, shelf), figures[name]
            odds = odds_of(found, ids[copy.title])
            seen.setdefault("asked", []).append(asked)
            score(seen, "ours", odds, copy.truth)
            wrong = float(int(odds.argmax()) != copy.truth % len(odds))
            seen.setdefault("settled", []).append(float(found.settled))
            if found.settled:
                seen.setdefault("wrong", []).append(wrong)
            _note_swaps(seen, copy, found)
    return figures


def _note_swaps(seen: Figures, copy: Copy, found: Weighing) -> None:
    for part in ("cover", "inner"):
        donor = copy.donor[part]
        if donor != copy.truth:
            kind = "own" if donor is None else "swapped"
            seen.setdefault(f"{kind} {part}", []).append(float(found.agreement[part].p_swapped >= 0.5))


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--copies", type=int, default=200)
    parser.add_argument("--seeds", type=int, default=5)
    given = parser.parse_args()
    worlds = [one_world(101 + n, given.copies) for n in range(given.seeds)]
    print(f"{'':14} asked  top-1  log    settled wrong  swapped cover/inner  own called so")
    for name in worlds[0]:

        def mean(key: str, name: str = name) -> float:
            return statistics.mean(float(np.mean(w[name].get(key, [0.0]))) for w in worlds)

        print(
            f"{name:14} {mean('asked'):5.2f}  {mean('ours top-1'):.3f}  {mean('ours log'):.3f}  "
            f"{mean('settled'):.3f}   {mean('wrong'):.4f} {mean('swapped cover'):.3f}/{mean('swapped inner'):.3f}"
            f"          {mean('own cover'):.4f}/{mean('own inner'):.4f}"
        )


if __name__ == "__main__":
    main()
