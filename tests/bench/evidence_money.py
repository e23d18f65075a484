"""Second look on the simulated shop: money per hour of never looking further, always looking, and the rule.

    python tests/bench/evidence_money.py [--copies 150] [--seeds 10]

An implementation check on an invented world: most pressings cheap, one in thirty dear. Each copy takes 150
s of handling, in which the three quickest clues of its disc are seen; every further look takes its own
seconds, and 4 s to take up another part. Calling it too little loses the difference; too much loses it as
well and costs a return of 8.00. Copies of pressings the book does not know count their time and nothing
else. "never": called what the leader is after the first three. "always": all clues looked at. "settled":
the best clue by bits until settled or nothing is left. "rule": the second look's clue for as long as it is
raised. Money per hour: worth of the copies less what calling them wrong lost, over the hours spent.
"""

import argparse
import statistics
from collections.abc import Callable

import numpy as np
from evidence_shop import record_of, shelf_of, tell
from evidence_world import Copy, World

from benchtui.evidence import Weighing, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc

HANDLING, REACH, RETURN = 150.0, 4.0, 800
Next = Callable[[Weighing, str], tuple[str, str] | None]


def settled_next(weighing: Weighing, hand: str) -> tuple[str, str] | None:
    """The best clue by bits per second, until settled or nothing is left."""
    if weighing.settled or weighing.nothing_left:
        return None
    rows = [(one.bits / one.seconds, part, one.clue.id) for part, its in weighing.next.items() for one in its]
    best = max(rows, default=None)
    return None if best is None or best[0] <= 0 else best[1:]


def rule_next(weighing: Weighing, hand: str) -> tuple[str, str] | None:
    """The second look's clue, for as long as one is raised and has a clue to look at."""
    second = weighing.second_look
    return None if second is None or second.clue is None else (second.part, second.clue.id)


class Desk:
    """One copy on the desk: what was seen, how long it took, what it is called in the end."""

    def __init__(self, world: World, shelf: Shelf, copy: Copy) -> None:
        self.world, self.shelf, self.copy = world, shelf, copy
        self.record: RecordDoc = record_of(copy, told=False)
        self.seconds, self.hand = HANDLING, "disc"
        self.looked: set[str] = set()
        for clue in sorted((c for c in world.clues if c.part == "disc"), key=lambda c: c.seconds)[:3]:
            self.look("disc", clue.id, 0.0)

    def look(self, part: str, clue: str, seconds: float) -> None:
        self.seconds += seconds + (REACH if part != self.hand else 0.0)
        self.hand = part
        self.looked.add(clue)
        tell(self.record, part, clue, self.copy.answers[part].get(clue))

    def weigh(self) -> Weighing:
        return weigh(self.record, self.shelf, in_hand=self.hand)

    def run(self, pick: Next) -> None:
        while True:
            weighing = self.weigh()
            chosen = pick(weighing, self.hand)
            if chosen is None or chosen[1] in self.looked:
                return
            clue = next(c for c in self.world.clues if c.id == chosen[1])
            self.look(*chosen, clue.seconds)

    def all_clues(self) -> None:
        for clue in self.world.clues:
            if clue.id not in self.looked:
                self.look(clue.part, clue.id, clue.seconds)

    def outcome(self) -> tuple[float, float]:
        """Worth less loss in minor units, and seconds."""
        known = self.world.titles[self.copy.title]
        called = next((one for one in self.weigh().pressings if one.id is not None and one.price), None)
        if self.copy.truth < 0 or called is None or called.price is None:
            return 0.0, self.seconds
        true, said = known[self.copy.truth].price, called.price.minor
        loss = true - said if true >= said else said - true + RETURN
        return true - loss, self.seconds


def one_seed(seed: int, copies: int) -> dict[str, tuple[float, float]]:
    world = World(seed)
    shelf = shelf_of(world)
    totals = {name: np.zeros(2) for name in ("never", "always", "settled", "rule")}
    for _ in range(copies):
        copy = world.draw()
        for name, total in totals.items():
            desk = Desk(world, shelf, copy)
            if name == "always":
                desk.all_clues()
            elif name != "never":
                desk.run(settled_next if name == "settled" else rule_next)
            total += desk.outcome()
    return {name: (total[0] / total[1] * 3600 / 100, total[1] / copies) for name, total in totals.items()}


def main() -> None:
    parser = argparse.ArgumentParser(description="Measures the second look in money per hour.")
    parser.add_argument("--copies", type=int, default=150)
    parser.add_argument("--seeds", type=int, default=10)
    options = parser.parse_args()
    seeds = [one_seed(301 + s, options.copies) for s in range(options.seeds)]
    print(
        f"{options.seeds} seeds x {options.copies} copies; per hour, seconds a copy, against never (paired)"
    )
    for name in seeds[0]:
        money = [s[name][0] for s in seeds]
        more = [s[name][0] - s["never"][0] for s in seeds]
        error = statistics.stdev(more) / len(more) ** 0.5 if len(more) > 1 else 0.0
        seconds = statistics.mean(s[name][1] for s in seeds)
        told = f"{statistics.mean(money):9.2f}{seconds:8.1f} s  {statistics.mean(more):+8.2f} ±{error:.2f}"
        print(f"  {name:8}{told}")


if __name__ == "__main__":
    main()
