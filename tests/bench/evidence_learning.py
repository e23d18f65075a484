"""Learning: a book with wrong words, and what 10, 50 and 200 confirmed copies of each pressing make of it.

    python tests/bench/evidence_learning.py [--seeds 3] [--titles 6] [--tests 400]

An implementation check on an invented world: in three of ten places the book's words stand at the wrong
answers. "true": every copy confirmed with its true pressing. "itself": the tool's own leader confirmed where
it is at .95 or more, right or wrong (what happens when nobody checks). "book alone": of those only where the
book without anything learnt gives .99, with a fit and no clash. Copies of pressings the book does not
know are among those the tool confirms, but not among those with true labels. Scores on fresh copies.
"""

import argparse
import statistics
from copy import deepcopy
from dataclasses import replace

from evidence_shop import Figures, Quiet, book_clue, book_titles, calibration, odds_of, record_of, score
from evidence_world import Copy, World

from benchtui.books.shape import BookTitle, Clue
from benchtui.evidence import book_alone_is_sure, counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.store.counts import add_up

STEPS = (0, 10, 50, 200)
BATCH = 25


def wrong_words(world: World, titles: list[BookTitle]) -> list[BookTitle]:
    """The same book with three in ten rows of words moved to the next answer."""
    sizes = {clue.id: clue.size for clue in world.clues}
    found = []
    for title in titles:
        pressings = []
        for pressing in title.pressings:
            expect = {
                clue: {f"a{(int(a[1:]) + 1) % sizes[clue]}": w for a, w in words.items()}
                if world.rng.random() < 0.3
                else words
                for clue, words in pressing.expect.items()
            }
            pressings.append(replace(pressing, expect=expect))
        found.append(replace(title, pressings=tuple(pressings)))
    return found


def confirm(
    shelf: Shelf, copies: list[Copy], ids: list[list[str]], how: str, counts: dict[str, object]
) -> tuple[dict[str, object], int, int]:
    """Counts after these copies, how many taught, and how many of those wrongly."""
    wrong = taught = 0
    for start in range(0, len(copies), BATCH):
        records = []
        for copy in copies[start : start + BATCH]:
            record = record_of(copy)
            label = ids[copy.title][copy.truth] if copy.truth >= 0 else None
            if how != "true":
                leader = weigh(record, shelf, counts=counts).pressings[0]
                told = leader.id if leader.p >= 0.95 else None
                if how == "book alone" and told is not None and not book_alone_is_sure(record, shelf):
                    told = None
                wrong += told is not None and told != label
                label = told
            taught += label is not None
            record["pressing"] = {"id": label, "how": "hand", "p": None, "learn": label is not None}
            records.append(record)
        counts = deepcopy(counts)
        add_up(counts, counts_of(records))
    return counts, taught, wrong


def one_seed(
    seed: int, titles: int, tests: int, steps: tuple[int, ...] = STEPS
) -> dict[tuple[str, int], Figures]:
    world = World(seed, titles=titles, pressings=5 * titles)
    clues: list[Clue] = [book_clue(clue) for clue in world.clues]
    shelf = Quiet(wrong_words(world, book_titles(world)), clues)
    ids = [[p.id for p in its] for its in world.titles]
    fresh = [world.draw() for _ in range(tests)]
    stream = [world.draw() for _ in range(max(steps) * 5 * titles)]
    found: dict[tuple[str, int], Figures] = {}
    for how in ("true", "itself", "book alone"):
        counts: dict[str, object] = {}
        done = wrong = lessons = 0
        for n in steps:
            counts, taught, more = confirm(shelf, stream[done : n * 5 * titles], ids, how, counts)
            done, wrong, lessons = n * 5 * titles, wrong + more, lessons + taught
            figures: Figures = {"wrong": [wrong / max(1, lessons)], "taught": [lessons / max(1, done)]}
            for copy in fresh:
                score(
                    figures,
                    "ours",
                    odds_of(weigh(record_of(copy), shelf, counts=counts), ids[copy.title]),
                    copy.truth,
                )
            found[how, n] = figures
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description="Measures learning from confirmed copies.")
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--titles", type=int, default=6)
    parser.add_argument("--tests", type=int, default=400)
    parser.add_argument("--steps", default=",".join(map(str, STEPS)), help="copies a pressing")
    options = parser.parse_args()
    steps = tuple(int(n) for n in options.steps.split(","))
    seeds: list[dict[tuple[str, int], Figures]] = []
    for n in range(options.seeds):
        seeds.append(one_seed(401 + n, options.titles, options.tests, steps))
        show(seeds, options.titles)


def show(seeds: list[dict[tuple[str, int], Figures]], titles: int) -> None:
    """The figures over the seeds done so far."""
    print(f"{len(seeds)} seeds, {titles} titles x 5 pressings, three words in ten wrong")
    print(
        f"{'confirmed by':14}{'copies each':>12}{'top-1':>8}{'log bits':>10}{'calibration':>13}{'taught':>8}{'wrongly':>9}"
    )
    for how, n in seeds[0]:
        pooled = {key: [x for s in seeds for x in s[how, n][key]] for key in seeds[0][how, n]}
        mean = {key: statistics.mean(values) for key, values in pooled.items()}
        error = calibration(pooled["ours sure"], pooled["ours top-1"])
        told = f"{mean['ours top-1']:8.3f}{mean['ours log']:10.3f}{error:13.3f}{mean['taught']:8.3f}{mean['wrong']:9.3f}"
        print(f"{how:14}{n:12}{told}", flush=True)


if __name__ == "__main__":
    main()
