"""An empty shop: 20 titles of which no book has a pressing, copies laid on the bench one after another.

    python tests/bench/evidence_empty_shop.py [--seeds 10] [--first 401] [--titles 20]

An implementation check on an invented company (evidence_field.py) whose clues, but no pressing, are known. A
simulated dealer answers what the bench asks; where no pressing leads, or the copy is unlike the one that does,
they know what it is: they name it, or make a new pressing of it and mark what differs from those made before.
After 1, 3, 5 and 10 copies a title, over fresh copies: called right, called wrongly and sure, "one I do not
have" said rightly (its pressing was not made yet) and wrongly, and keys a copy: an answer is one, a cut two,
a name three, a new pressing six.
"""

import argparse
import statistics
from copy import deepcopy
from dataclasses import replace

from evidence_field import Field, FieldCopy
from evidence_unknown import answer, best_of, blank, clues_of, day, shelf_of

from benchtui.books.shape import BookTitle, Pressing
from benchtui.evidence import Weighing, counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span
from benchtui.store.counts import add_up

AFTER = (1, 3, 5, 10)
FIRST_LOOKS = 4
"""Where nothing can tell yet, a dealer looks at so many things before naming a copy."""


class Shop:
    """Books that grow: titles with the pressings made so far, and what confirmed copies taught."""

    def __init__(self, field: Field, titles: int) -> None:
        self.field = field
        self.base = shelf_of(field)
        self.clues = clues_of(field)
        self.titles = {f"t{t}": replace(self._title(f"t{t}"), pressings=()) for t in range(titles)}
        self.counts: dict[str, object] = {}

    def _title(self, title_id: str) -> BookTitle:
        found = self.base.title(title_id)
        assert found is not None
        return found

    def shelf(self) -> Shelf:
        return Shelf(self.titles.values(), self.clues)

    def made(self, title: int) -> set[str]:
        return {one.id for one in self.titles[f"t{title}"].pressings}

    def make(self, title: int, truth: str, record: RecordDoc) -> None:
        """A new pressing as this copy shows it; marked is what no pressing of the title made before shows."""
        before = self.titles[f"t{title}"]
        seen = {doc["clue"]: {doc["answer"]: "usually"} for doc in record["answers"]}
        differs = tuple(
            clue for clue, words in seen.items()
            if before.pressings and not any(p.expect.get(clue) == words for p in before.pressings)
        )  # fmt: skip
        sides = next(part for part in record["parts"] if part["id"] == "disc").get("sides", {})
        cuts = (((sides["A"]["cut"], sides["B"]["cut"]), "usually"),) if len(sides) == 2 else ()
        period = Span(day(1955), day(1990))
        new = Pressing(truth, truth, period, expect=seen, cuts=cuts, known="grown", differs=differs)  # type: ignore[arg-type]
        self.titles[f"t{title}"] = replace(before, pressings=(*before.pressings, new))

    def teach(self, record: RecordDoc, truth: str) -> None:
        record["pressing"] = {"id": truth, "how": "hand", "p": None, "learn": True}
        self.counts = deepcopy(self.counts)
        add_up(self.counts, counts_of([record]))


def asked(shop: Shop, copy: FieldCopy) -> tuple[RecordDoc, Weighing, int]:
    """What the bench asks, and where nothing can be told apart yet the first few questions there are."""
    record, shelf, keys = blank(copy.title), shop.shelf(), 0
    looks = [(c.part, c.id, "place") for c in shop.field.clues][:FIRST_LOOKS]
    looks += [("disc", "cut", "runout A"), ("disc", "cut", "runout B")]
    done: set[tuple[str, str, str]] = set()
    while True:
        weighing = weigh(record, shelf, counts=shop.counts)
        following = None if weighing.settled or weighing.nothing_left else best_of(weighing, 0.01)
        if following is None:
            following = next((look for look in looks if look not in done and not weighing.settled), None)
        if following is None:
            return record, weighing, keys
        part, clue, place = following
        done.add(following)
        answer(record, copy, part, clue, place)
        keys += 2 if clue == "cut" else 1


def told(shop: Shop, copy: FieldCopy, weighing: Weighing) -> dict[str, float]:
    truth = shop.field.titles[copy.title][copy.truth].id
    leader = weighing.pressings[0]
    unknown = leader.id is None or weighing.held == "unlike"
    known = truth in shop.made(copy.title)
    return {
        "right": float(leader.id == truth and not unknown),
        "wrong and sure": float(weighing.settled and leader.id != truth),
        "rightly new": float(unknown and not known),
        "wrongly new": float(unknown and known),
        "new": float(not known),
    }


def one_shop(seed: int, titles: int) -> dict[int, dict[str, list[float]]]:
    field = Field(seed, titles=titles, pressings=6 * titles, unwritten=0.0)
    shop, figures = Shop(field, titles), {}
    for n in range(1, max(AFTER) + 1):
        spent: list[float] = []
        for title in range(titles):
            copy = field.draw(title)
            truth = field.titles[title][copy.truth].id
            record, weighing, keys = asked(shop, copy)
            if truth not in shop.made(title):
                shop.make(title, truth, record)
                keys += 6
            elif not weighing.settled or weighing.pressings[0].id != truth:
                keys += 3
            spent.append(keys)
            shop.teach(record, truth)
        if n in AFTER:
            rows: dict[str, list[float]] = {"keys": spent}
            for title in range(titles):
                fresh = field.draw(title)
                for what, value in told(shop, fresh, asked(shop, fresh)[1]).items():
                    rows.setdefault(what, []).append(value)
            figures[n] = rows
    return figures


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--seeds", type=int, default=10)
    parser.add_argument("--first", type=int, default=401)
    parser.add_argument("--titles", type=int, default=20)
    given = parser.parse_args()
    shops: list[dict[int, dict[str, list[float]]]] = []
    for seed in range(given.first, given.first + given.seeds):
        shops.append(one_shop(seed, given.titles))
        print(f"{len(shops)} shops of {given.titles} titles; after so many copies a title")
        for n in AFTER:
            pooled = {what: [x for s in shops for x in s[n][what]] for what in shops[0][n]}
            told = "  ".join(f"{what} {statistics.mean(xs):.3f}" for what, xs in pooled.items())
            print(f"{n:3}  {told}", flush=True)


if __name__ == "__main__":
    main()
