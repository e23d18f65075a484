"""Time of one full update after an answer: 50 pressings x 40 clues, beside a bare loop over the same table.

    python tests/bench/evidence_speed.py [repeats]

Before each update one answer of the disc in the hand is given or changed. Printed: medians in milliseconds
with nothing answered, half answered and all but two answered; with no clue, one clue in three and every clue
dated (the worst case); and a bare Python loop that only multiplies and adds up the same 50 x 40 x 4 figures.
Then titles of 100 and 400 pressings with 60 dated clues (goals: 20 and 100 ms), beside the same bare loop.
"""

import random
import statistics
import sys
import time
from datetime import date, timedelta

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness, Pressing, Word
from benchtui.evidence import weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc, empty_record, new_part
from benchtui.model.span import Span

PRESSINGS, CLUES, ANSWERS = 50, 40, 4
TABLE = [[[random.random() for _ in range(ANSWERS)] for _ in range(CLUES)] for _ in range(PRESSINGS)]
PRIOR = [1 / PRESSINGS] * PRESSINGS
PARTS = ("disc", "disc", "cover", "inner")


def made_clue(rng: random.Random, i: int, dated: bool) -> Clue:
    answers = []
    for k in range(ANSWERS):
        start = date(1960, 1, 1) + timedelta(days=rng.randrange(5000))
        span = Span(start, start + timedelta(days=rng.randrange(400, 3000))) if dated else None
        hardness: Hardness = rng.choice(("hard", "firm", "soft")) if dated else "none"
        answers.append(Answer(f"a{k}", f"a{k}", k + 1, span, hardness))
    return Clue(
        f"c{i}", f"clue {i}", PARTS[i % 4], "front", tuple(answers), group=f"g{i % 13}" if i % 3 == 0 else ""
    )


def made_shelf(rng: random.Random, dated: float, size: int = PRESSINGS, questions: int = CLUES) -> Shelf:
    clues = [made_clue(rng, i, rng.random() < dated) for i in range(questions)]
    words: tuple[Word, ...] = ("always", "usually", "sometimes", "rarely")
    pressings = []
    for h in range(size):
        start = date(1960, 1, 1) + timedelta(days=rng.randrange(5000))
        expect = {c.id: {rng.choice(c.answers).id: rng.choice(words)} for c in clues if rng.random() < 0.9}
        price = rng.choice([300, 500, 800, 1200, 2000, 9000])
        period = Span(start, start + timedelta(days=rng.randrange(200, 1500)))
        pressings.append(
            Pressing(f"p{h}", f"p{h}", period, share=rng.choice([1.0, 2.0]), expect=expect, price=price)
        )
    title = BookTitle("t", "", "", Span(date(1960, 1, 1), None), pressings=tuple(pressings))
    return Shelf([title], clues, money="GBP")


def answered(rng: random.Random, shelf: Shelf, share: float) -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": "t", "artist": "", "title": "", "catalogue": ""}
    record["parts"] = [new_part("disc", number=1), new_part("cover"), new_part("inner", number=1)]
    for part in record["parts"]:
        for clue in shelf.clues_for(record, part):
            if rng.random() < share:
                record["answers"].append(
                    {"part": part["id"], "place": "front", "clue": clue.id, "value": None,
                     "answer": rng.choice(clue.answers).id, "how": "seen", "text": "", "book": "", "at": ""}
                )  # fmt: skip
    return record


def timed(record: RecordDoc, shelf: Shelf, repeats: int) -> list[float]:
    """Each time an answer of the disc in the hand is given or changed; all else stands, as at the bench."""
    rng = random.Random(11)
    disc = record["parts"][0]
    clues = shelf.clues_for(record, disc)
    weigh(record, shelf, in_hand=disc["id"])
    times = []
    for _ in range(repeats):
        clue = rng.choice(clues)
        before = [doc for doc in record["answers"] if doc["clue"] == clue.id]
        record["answers"] = [doc for doc in record["answers"] if doc["clue"] != clue.id]
        record["answers"].append(
            {"part": disc["id"], "place": "front", "clue": clue.id, "value": None, "how": "seen",
             "answer": rng.choice(clue.answers).id, "text": "", "book": "", "at": ""}
        )  # fmt: skip
        start, busy = time.perf_counter(), time.process_time()
        weigh(record, shelf, in_hand=disc["id"])
        times.append((time.perf_counter() - start, time.process_time() - busy))
        if not before:  # so that the share answered stays what the row says
            record["answers"].pop()
    return [statistics.median(both) * 1000 for both in zip(*times, strict=True)]


def bare_loop() -> float:
    """Multiplies and adds up the table once; in milliseconds."""
    start = time.perf_counter()
    total = 0.0
    for h in range(PRESSINGS):
        for row in TABLE[h]:
            for value in row:
                total += PRIOR[h] * value
    return (time.perf_counter() - start) * 1000


def main(repeats: int = 60) -> None:
    print(f"{PRESSINGS} pressings x {CLUES} clues x {ANSWERS} answers; medians of {repeats}")
    print(f"{'':38}{'wall ms':>8}{'busy ms':>9}{'bare loop':>11}{'times':>7}")
    for name, dated in (
        ("no clue dated", 0.0),
        ("one clue in three dated", 1 / 3),
        ("every clue dated", 1.0),
    ):
        shelf = made_shelf(random.Random(7), dated)
        for share in (0.0, 0.5, 0.95):
            record = answered(random.Random(3), shelf, share)
            wall, busy = timed(record, shelf, repeats)
            bare = statistics.median(bare_loop() for _ in range(repeats))
            print(
                f"{name + f', {share:.0%} answered':38}{wall:8.2f}{busy:9.2f}{bare:11.2f}{wall / bare:7.1f}"
            )
    for size in (100, 400):
        shelf = made_shelf(random.Random(7), 1.0, size, 60)
        for share in (0.0, 0.5, 0.95):
            wall, busy = timed(answered(random.Random(3), shelf, share), shelf, max(5, repeats // 5))
            bare = statistics.median(bare_loop() for _ in range(repeats))
            name = f"{size} pressings, 60 dated clues, {share:.0%} answered"
            print(f"{name:46}{wall:8.2f}{busy:9.2f}{bare:11.2f}{wall / bare:7.1f}")


if __name__ == "__main__":
    main(*(int(arg) for arg in sys.argv[1:]))
