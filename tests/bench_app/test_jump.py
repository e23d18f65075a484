"""Any clue of any part by a few letters: the part in the hand first, its own words before its place."""

import pytest
from bench_hands import Hands

from benchtui.desk.jumping import all_questions
from benchtui.desk.letters import fit


def _picks(hands: Hands, typed: str) -> list[str]:
    """Lines offered, each as its clue's id and place; the line is left again."""
    hands.do("jump-clue").type(typed)
    assert hands.desk.open.line is not None
    found = [f"{pick.value[1][1]} {pick.value[1][0]}" for pick in hands.desk.open.line.picks]
    hands.do("line-leave")
    return found


def test_clues_that_are_never_asked_by_themselves_are_reached(slipway: Hands) -> None:
    volunteered = {clue.id for _, _, clue in all_questions(slipway.desk, slipway.record) if clue.volunteer}
    assert volunteered, "the books have such clues for this record"
    assert not volunteered & {asked[1] for asked in slipway.desk.asking.order}
    for clue_id in sorted(volunteered):
        clue = slipway.desk.library.clue(clue_id)
        assert clue is not None
        assert clue_id in {line.split()[0] for line in _picks(slipway, clue.ask.replace("-", " "))}


def test_the_part_in_the_hand_comes_first(slipway: Hands) -> None:
    record = slipway.record
    for kind in ("disc", "cover"):
        slipway.take(kind)
        hand = slipway.part["id"]
        slipway.do("jump-clue").type("p")
        assert slipway.desk.open.line is not None
        of_hand = [pick.value[0] == hand for pick in slipway.desk.open.line.picks]
        assert of_hand[0]
        assert of_hand == sorted(of_hand, reverse=True)
        slipway.do("line-leave")
    assert slipway.record["answers"] == record["answers"]


@pytest.mark.parametrize(("typed", "first"), [("lab", "qm-label label A"), ("lab b", "qm-label label B")])
def test_the_question_that_begins_so_comes_before_those_at_that_place(
    slipway: Hands, typed: str, first: str
) -> None:
    slipway.take("disc")
    assert _picks(slipway, typed)[0] == first


def test_first_sides_come_before_second_ones(slipway: Hands) -> None:
    slipway.take("disc")
    sides = [line[-1] for line in _picks(slipway, "label says")]
    assert sides == sorted(sides)
    assert set(sides) == {"A", "B"}


def test_every_question_of_the_record_is_first_or_second_for_its_own_words(slipway: Hands) -> None:
    for part, asked, clue in all_questions(slipway.desk, slipway.record):
        slipway.take(part["kind"], part.get("number", 1))
        found = _picks(slipway, clue.ask.replace("-", " "))
        assert f"{clue.id} {asked[0]}" in found[:4], (clue.ask, asked, found)


def test_what_is_answered_says_so(slipway: Hands) -> None:
    slipway.take("disc")
    slipway.ask("label print").answer("gold").do("jump-clue").type("label print")
    assert slipway.desk.open.line is not None
    assert "answered: midnight blue, gold print" in "".join(
        text for text, _ in slipway.desk.open.line.picks[0].spans
    )


@pytest.mark.parametrize("typed", ["lable prin", "labl print", "label pront", "abel print"])
def test_a_slip_or_letters_from_the_middle_still_find_it(slipway: Hands, typed: str) -> None:
    slipway.take("disc")
    assert _picks(slipway, typed)[0] == "qm-label label A"


@pytest.mark.parametrize("typed", ["label", "cover", "print", "disc", "runo", "made"])
def test_what_fits_by_a_slip_never_stands_above_what_begins_so(slipway: Hands, typed: str) -> None:
    for kind in ("cover", "disc"):
        slipway.take(kind)
        slipway.do("jump-clue").type(typed)
        assert slipway.desk.open.line is not None
        shown = ["".join(text for text, _ in pick.spans[:2]) for pick in slipway.desk.open.line.picks]
        ranks = [fit(typed, f"{words} {pick.value[1][1]}") for words, pick in
                 zip(shown, slipway.desk.open.line.picks, strict=True)]  # fmt: skip
        assert ranks == sorted(ranks, key=lambda one: 9 if one is None else one), (typed, shown)
        slipway.do("line-leave")


def test_what_nothing_fits_is_refused_and_stays_in_the_line(slipway: Hands) -> None:
    slipway.do("jump-clue").enter("xqzzv")
    assert slipway.refused
    assert slipway.desk.open.line is not None
    assert slipway.desk.open.line.text == "xqzzv"
