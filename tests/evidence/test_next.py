"""What is asked next, and in which order once a part is in the hand."""

from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.evidence import weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span

YES_NO = (Answer("yes", "yes", 1), Answer("no", "no", 2))


def clue(name: str, part: str = "disc", seconds: float = 3.0, **more: Any) -> Clue:
    return Clue(name, name, part, "label", YES_NO, seconds=seconds, **more)


def pressing(name: str, **says: Word) -> Pressing:
    return Pressing(name, name, Span(), expect={c: {"yes": word} for c, word in says.items()})


def shelf(pressings: list[Pressing], *clues: Clue) -> Shelf:
    return Shelf([BookTitle("t", "", "", Span(), pressings=tuple(pressings))], clues)


# loud and echo tell the same pair apart, aside tells the other; echo is the second best by itself.
FOUR = [
    pressing("a", loud="always", echo="usually", aside="usually"),
    pressing("b", loud="always", echo="usually", aside="rarely"),
    pressing("c", loud="never", echo="rarely", aside="usually"),
    pressing("d", loud="never", echo="rarely", aside="rarely"),
]


def test_the_clue_that_tells_most_per_second_comes_first(record_of: Any) -> None:
    books = shelf(FOUR, clue("aside"), clue("loud", seconds=3), clue("slow"))
    assert [one.clue.id for one in weigh(record_of(), books).next["disc-1"]] == ["loud", "aside", "slow"]
    books = shelf(FOUR, clue("aside"), clue("loud", seconds=60))
    assert [one.clue.id for one in weigh(record_of(), books).next["disc-1"]] == ["aside", "loud"]


def test_a_part_in_the_hand_takes_fewer_seconds(record_of: Any) -> None:
    books = shelf(FOUR, clue("loud"))
    away = weigh(record_of(), books).next["disc-1"][0]
    held = weigh(record_of(), books, in_hand="disc-1").next["disc-1"][0]
    assert (held.seconds, away.seconds) == (3.0, 7.0)


def test_the_frozen_order_does_not_ask_the_same_thing_twice_before_another(record_of: Any) -> None:
    record = record_of()
    books = shelf(FOUR, clue("silent"), clue("aside"), clue("echo", seconds=2.9), clue("loud"), clue("mute"))
    weighing = weigh(record, books, in_hand="disc-1")
    assert [one.clue.id for one in weighing.next["disc-1"]][:3] == ["loud", "echo", "aside"]
    assert [c for _, c in weighing.order("disc-1")] == [
        "loud",
        "aside",
        "echo",
        "silent",
        "mute",
    ]


def test_clues_worth_nothing_come_last_in_the_printed_order(record_of: Any) -> None:
    record = record_of()
    books = shelf(FOUR, clue("zeta"), clue("loud"), clue("alpha"))
    order = weigh(record, books, in_hand="disc-1").order("disc-1")
    assert order == [("label", "loud"), ("label", "zeta"), ("label", "alpha")]


def test_a_clue_of_each_side_is_asked_on_the_first_side_of_its_disc(record_of: Any) -> None:
    record = record_of("t", ("disc", "disc"))
    books = shelf(FOUR, clue("loud", per_side=True))
    weighing = weigh(record, books)
    assert [one.place for one in weighing.next["disc-1"]] == ["label A"]
    assert [one.place for one in weighing.next["disc-2"]] == ["label C"]


def test_the_cuts_are_asked_a_side_until_read(record_of: Any) -> None:
    cut = Clue(
        "cut", "Cut", "disc", "runout", (Answer("1", "1", 1), Answer("2", "2", 2)), per_side=True, form="cut"
    )
    pairs: Any = ((("1", "1"), "always"),), ((("2", "2"), "always"),)
    books = shelf([Pressing("a", "a", Span(), cuts=pairs[0]), Pressing("b", "b", Span(), cuts=pairs[1])], cut)
    record = record_of()
    both = weigh(record, books).next["disc-1"]
    assert [one.place for one in both] == ["runout A", "runout B"]
    assert both[0].bits == pytest.approx(both[1].bits)
    record["parts"][0]["sides"]["A"] = {"cut": "1"}
    (left,) = weigh(record, books).next["disc-1"]
    assert left.place == "runout B"
    assert left.bits < both[1].bits


def test_the_part_that_tells_most_is_taken_up_next_but_not_the_one_in_the_hand(record_of: Any) -> None:
    books = shelf(FOUR, clue("aside", part="cover"), clue("loud"), clue("echo", part="inner"))
    record = record_of()
    assert weigh(record, books).next_part == "disc-1"
    assert weigh(record, books, in_hand="disc-1").next_part == "cover-1"


def test_two_clues_of_one_part_may_beat_a_better_one_elsewhere(record_of: Any) -> None:
    books = shelf(
        FOUR, clue("loud", part="cover", seconds=4.0), clue("echo", seconds=0.5), clue("aside", seconds=0.5)
    )
    assert weigh(record_of(), books).next_part == "disc-1"


def test_a_clue_that_repeats_an_answer_given_is_worth_less(record_of: Any, saw: Any) -> None:
    record = record_of()
    alone = shelf(FOUR, clue("loud"), clue("aside"))
    grouped = shelf(FOUR, clue("loud", group="g"), clue("aside", group="g"))
    saw(record, "disc-1", "loud", "yes", place="label")
    assert weigh(record, grouped).next["disc-1"][0].bits < weigh(record, alone).next["disc-1"][0].bits
