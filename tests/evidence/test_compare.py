"""What tells two pressings apart, what would prove one, what is unusual: against sums by hand."""

from math import log10
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import ModelSettings, WeighSettings, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

EXACT = WeighSettings(model=ModelSettings(misread=0.0))


def clue(name: str, *answers: str) -> Clue:
    return Clue(name, f"{name}?", "disc", "label", tuple(Answer(a, a, n) for n, a in enumerate(answers, 1)))


PRINT, RIM, SAME = clue("print", "gold", "red"), clue("rim", "A", "B"), clue("same", "yes", "no")


def books(*extra: Clue) -> Shelf:
    pressings = (
        Pressing(
            "one",
            "one",
            parse_edtf("1967"),
            expect={"print": {"gold": "always"}, "rim": {"A": "usually"}, "same": {"yes": "always"}},
        ),
        Pressing(
            "two",
            "two",
            parse_edtf("1967"),
            expect={"print": {"red": "always"}, "rim": {"B": "sometimes"}, "same": {"yes": "always"}},
        ),
    )
    return Shelf([BookTitle("t", "", "", Span(), pressings=pressings)], (PRINT, RIM, SAME, *extra))


def test_what_tells_two_apart_is_the_points_a_look_makes_on_average(record_of: Any, saw: Any) -> None:
    record = record_of("t", ("disc",))
    told = weigh(record, books(), settings=EXACT).compare.apart("one", "two")
    assert [(line.ask, line.one, line.other) for line in told] == [("print?", "gold", "red")]
    # always .96 against .04, either way: (.96 - .04) 10 log10(.96/.04), the mean of the two directions
    assert told[0].points == pytest.approx(0.92 * 10 * log10(24), abs=1e-9)
    assert told[0].seen == ""
    saw(record, "disc-1", "print", "gold")
    again = weigh(record, books(), settings=EXACT).compare.apart("two", "one")
    assert [(line.one, line.other, line.seen) for line in again] == [("red", "gold", "gold")]
    assert weigh(record, books(), settings=EXACT).compare.apart("one", "gone") == ()


def test_what_would_prove_and_disprove_is_the_odds_after_each_answer(record_of: Any, saw: Any) -> None:
    record = record_of("t", ("disc",))
    weighed = weigh(record, books(), settings=EXACT)
    told = weighed.compare.proofs("one")
    for line in told:
        again = record_of("t", ("disc",))
        saw(again, "disc-1", line.ask.rstrip("?"), line.text)
        after = {one.id: one.p for one in weigh(again, books(), settings=EXACT).pressings}["one"]
        assert line.after == pytest.approx(after, abs=1e-9)
    assert next((line.ask, line.text) for line in told if line.proves) == ("print?", "gold")
    assert next((line.ask, line.text) for line in told if not line.proves) == ("print?", "red")
    assert all(line.ask != "same?" for line in told)  # it moves nothing between the two
    saw(record, "disc-1", "print", "gold")
    assert all(line.ask != "print?" for line in weigh(record, books(), settings=EXACT).compare.proofs("one"))


def test_what_is_unusual_is_what_few_copies_of_the_leader_show(record_of: Any, saw: Any) -> None:
    record = record_of("t", ("disc",))
    for name, answer in (("print", "gold"), ("same", "no"), ("rim", "A")):
        saw(record, "disc-1", name, answer)
    found = weigh(record, books(), settings=EXACT)
    assert found.leader is not None
    (line,) = found.compare.unusual(found.leader.id)
    assert (line.part, line.label) == ("disc-1", "disc: same?: no")
    assert line.share == pytest.approx(0.04)
    record["rulings"]["disc-1"] = "unsure"
    usual = record_of("t", ("disc",))
    saw(usual, "disc-1", "print", "gold")
    assert weigh(usual, books(), settings=EXACT).compare.unusual(found.leader.id) == ()


def test_a_part_of_another_copy_proves_and_disproves_nothing(record_of: Any, saw: Any) -> None:
    front = Clue("front", "front?", "cover", "front", (Answer("x", "x", 1), Answer("y", "y", 2)))
    pressings = tuple(
        Pressing(name, name, parse_edtf("1967"), expect={"front": {side: "always"}})
        for name, side in (("one", "x"), ("two", "y"))
    )
    shelf = Shelf([BookTitle("t", "", "", Span(), pressings=pressings)], (front,))
    record = record_of("t", ("disc", "cover"))
    assert weigh(record, shelf).compare.proofs("one")
    record["rulings"]["cover-1"] = "swapped"
    assert weigh(record, shelf).compare.proofs("one") == ()
