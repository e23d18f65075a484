"""The cost of calling a copy what the leader says, and what a look is worth, worked out again by hand."""

import random
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.evidence import Weighing, WeighSettings, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

BACK = 800
WORDS: tuple[Word, ...] = ("always", "usually", "sometimes", "rarely")
CLUES = tuple(
    Clue(f"c{i}", f"c{i}", part, "front", (Answer("x", "x", 1), Answer("y", "y", 2)), seconds=2.0 + i)
    for i, part in enumerate(("disc", "disc", "cover", "inner"))
)


def random_shelf(rng: random.Random) -> Shelf:
    pressings = tuple(
        Pressing(
            f"p{i}", f"p{i}", Span(), share=rng.choice([1.0, 3.0]),
            expect={c.id: {rng.choice("xy"): rng.choice(WORDS)} for c in CLUES},
            price=rng.choice([None, 300, 300, 900, 5000, 20000]) if i else 1500,
        )
        for i in range(rng.randint(2, 5))
    )  # fmt: skip
    return Shelf([BookTitle("t", "", "", Span(), pressings=pressings)], CLUES, money="GBP")


def cost(p: dict[Any, float], prices: dict[Any, int], called: str) -> float:
    """Too little loses the difference; too much loses it as well, and what a return costs."""
    mine = prices[called]
    return sum(
        p[h] * (max(0, price - mine) + (price < mine) * (mine - price + BACK)) for h, price in prices.items()
    )


def odds(weighing: Weighing) -> dict[Any, float]:
    return {one.id: one.p for one in weighing.pressings}


@pytest.mark.parametrize("seed", range(20))
def test_cost_and_worth_are_what_the_formulas_say(seed: int, record_of: Any, saw: Any) -> None:
    rng = random.Random(seed)
    shelf = random_shelf(rng)
    title = shelf.title("t")
    assert title is not None
    prices = {p.id: p.price for p in title.pressings if p.price is not None}
    record = record_of()
    if seed % 2:
        saw(record, "disc-1", "c0", rng.choice("xy"))
    settings = WeighSettings(threshold=0, return_cost=BACK)
    now = weigh(record, shelf, settings=settings)
    assert now.leader is not None
    if now.leader.id not in prices:
        assert now.second_look is None
        return
    whole = cost(odds(now), prices, now.leader.id)
    told = now.second_look.cost.minor if now.second_look is not None else 0
    assert told == pytest.approx(whole, abs=0.51)
    for part, rows in now.next.items():
        for one in rows:
            after = []
            for answer in "xy":
                doc = saw(record, part, one.clue.id, answer)
                after.append(odds(weigh(record, shelf, settings=settings)))
                record["answers"].remove(doc)
            # P(h) = P(x) P(h|x) + (1 - P(x)) P(h|y) gives the chance of each answer.
            h = max(after[0], key=lambda h: abs(after[0][h] - after[1][h]))
            if abs(after[0][h] - after[1][h]) < 1e-6 or one.worth is None:
                continue
            x = (odds(now)[h] - after[1][h]) / (after[0][h] - after[1][h])
            least = [min(cost(p, prices, called) for called in prices) for p in after]
            worth = max(0.0, whole - x * least[0] - (1 - x) * least[1])
            assert one.worth.minor == pytest.approx(worth, abs=0.51)


def test_the_clue_named_is_the_one_worth_most_per_second(record_of: Any) -> None:
    for seed in range(20):
        now = weigh(record_of(), random_shelf(random.Random(seed)), settings=WeighSettings(threshold=1))
        if now.second_look is None or now.second_look.clue is None:
            continue
        rate = {
            (part, one.clue.id): one.worth.minor / one.seconds
            for part, rows in now.next.items()
            for one in rows
            if one.worth
        }
        named = (now.second_look.part, now.second_look.clue.id)
        assert rate[named] >= max(rate.values()) - 0.3  # worths are shown rounded


@pytest.mark.parametrize(("first", "named"), [(1971, True), (1964, False)])
def test_no_look_at_what_no_pressing_can_show_at_its_date_is_named(
    record_of: Any, first: int, named: bool
) -> None:
    made = parse_edtf("[1976..]")
    barcode = Clue(
        "barcode", "Barcode", "cover", "back",
        (Answer("there", "printed", 1, made, "soft"), Answer("none", "none", 2, absent=True)),
    )  # fmt: skip
    shown: tuple[tuple[str, Word], ...] = (("early", "never"), ("late", "usually"))
    pressings = tuple(
        Pressing(
            one, one, parse_edtf(f"[{first + n}..{first + n + 3}]"), price=1000 + n * 9000,
            expect={"barcode": {"there": word}},
        )
        for n, (one, word) in enumerate(shown)
    )  # fmt: skip
    title = BookTitle("t", "", "", parse_edtf(str(first)), pressings=pressings)
    found = weigh(record_of(), Shelf([title], [barcode], money="GBP"), in_hand="cover-1")
    assert found.second_look is not None
    assert (found.second_look.clue is not None) == named
    assert found.timely("cover-1", barcode) == named
    assert any(one.worthwhile for one in found.ask_next("cover-1")) == named
