"""Any clue of any part by a few letters: the part in the hand first, its own words before its place."""

import pytest
from bench_hands import Hands

from benchtui.bench.pieces import text_of
from benchtui.desk.line.letters import SLIPPED, fit
from benchtui.desk.look.jumping import all_questions


def _picks(hands: Hands, typed: str) -> list[str]:
    """Lines offered, each as its clue's id and place; the line is left again."""
    hands.do("jump-clue").paste(typed)
    assert hands.desk.open.line is not None
    found = [f"{pick.value[1][1]} {pick.value[1][0]}" for pick in hands.desk.open.line.picks]
    hands.do("line-leave")
    return found


def test_clues_that_are_never_asked_by_themselves_are_reached(breakwater: Hands) -> None:
    volunteered = {
        clue.id for _, _, clue in all_questions(breakwater.desk, breakwater.record) if clue.volunteer
    }
    assert volunteered, "the books have such clues for this record"
    assert not volunteered & {asked[1] for asked in breakwater.desk.asking.order}
    for clue_id in sorted(volunteered):
        clue = breakwater.desk.library.clue(clue_id)
        assert clue is not None
        assert clue_id in {line.split()[0] for line in _picks(breakwater, clue.ask.replace("-", " "))}


def test_the_part_in_the_hand_comes_first(breakwater: Hands) -> None:
    record = breakwater.record
    for kind in ("disc", "cover"):
        breakwater.take(kind)
        hand = breakwater.part["id"]
        breakwater.do("jump-clue").type("p")
        assert breakwater.desk.open.line is not None
        of_hand = [pick.value[0] == hand for pick in breakwater.desk.open.line.picks]
        assert of_hand[0]
        assert of_hand == sorted(of_hand, reverse=True)
        breakwater.do("line-leave")
    assert breakwater.record["answers"] == record["answers"]


@pytest.mark.parametrize(("typed", "first"), [("lab", "tw-label label A"), ("lab b", "tw-label label B")])
def test_the_question_that_begins_so_comes_before_those_at_that_place(
    breakwater: Hands, typed: str, first: str
) -> None:
    breakwater.take("disc")
    assert _picks(breakwater, typed)[0] == first


def test_a_side_named_whole_comes_first_whichever_part_is_in_the_hand(demo: Hands) -> None:
    demo.do("line-leave")
    demo.take("disc", 2)
    assert _picks(demo, "runout a")[0] == "tw-cut runout A"
    demo.take("cover")
    assert _picks(demo, "runout c")[0] == "tw-cut runout C"


def test_a_question_that_begins_with_the_word_comes_before_one_that_begins_like_it(breakwater: Hands) -> None:
    breakwater.take("disc")
    assert _picks(breakwater, "late")[0] == "u-late label and runout"


def test_first_sides_come_before_second_ones(breakwater: Hands) -> None:
    breakwater.take("disc")
    sides = [line[-1] for line in _picks(breakwater, "label says")]
    assert sides == sorted(sides)
    assert set(sides) == {"A", "B"}


def test_every_question_of_the_record_is_first_or_second_for_its_own_words(breakwater: Hands) -> None:
    for part, asked, clue in all_questions(breakwater.desk, breakwater.record):
        breakwater.take(part["kind"], part.get("number", 1))
        found = _picks(breakwater, clue.ask.replace("-", " "))
        assert f"{clue.id} {asked[0]}" in found[:4], (clue.ask, asked, found)


def test_what_is_answered_says_so(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").answer("reed").do("jump-clue").type("label paper")
    assert breakwater.desk.open.line is not None
    assert "answered: reed paper, brown print" in "".join(
        text for text, _ in breakwater.desk.open.line.picks[0].spans
    )


@pytest.mark.parametrize("typed", ["lable pape", "labl paper", "label papur", "abel paper"])
def test_a_slip_or_letters_from_the_middle_still_find_it(breakwater: Hands, typed: str) -> None:
    breakwater.take("disc")
    assert _picks(breakwater, typed)[0] == "tw-label label A"


@pytest.mark.parametrize("typed", ["label", "cover", "print", "disc", "runo", "made"])
def test_what_fits_by_a_slip_never_stands_above_what_begins_so(breakwater: Hands, typed: str) -> None:
    for kind in ("cover", "disc"):
        breakwater.take(kind)
        breakwater.do("jump-clue").type(typed)
        assert breakwater.desk.open.line is not None
        shown = ["".join(text for text, _ in pick.spans) for pick in breakwater.desk.open.line.picks]
        ranks = [fit(typed, f"{words} {pick.value[1][1]}") for words, pick in
                 zip(shown, breakwater.desk.open.line.picks, strict=True)]  # fmt: skip
        begun = [n for n, rank in enumerate(ranks) if rank is not None and rank < SLIPPED]
        slips = [n for n, rank in enumerate(ranks) if rank == SLIPPED]
        assert begun, (typed, shown)
        assert not slips or max(begun) < min(slips), (typed, shown)
        breakwater.do("line-leave")


def test_what_nothing_fits_becomes_a_question_only_with_answers(breakwater: Hands) -> None:
    """Words that no question has are offered as a question of your own; nothing is written before its answers."""
    breakwater.do("jump-clue").enter("xqzzv")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.name == "new-clue"
    assert breakwater.desk.open.line.label == "xqzzv"
    breakwater.do("line-leave")
    assert not (breakwater.desk.shop.path / "books" / "own.toml").exists()


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("lamination", "cover"),
        ("small print", "cover"),
        ("misspelling", "disc"),
        ("misprint", "cover"),
        ("credit", "disc"),
        ("credit", "cover"),
        ("rim text", "disc"),
        ("weight in the hand", "disc"),
        ("limited issue", "cover"),
        ("promotion", "disc"),
        ("left-over stock", "cover"),
        ("round corners", "inner"),
        ("complete", "cover"),
    ],
)
def test_what_a_dealer_would_say_of_any_record_finds_a_question_of_that_part(
    breakwater: Hands, typed: str, kind: str
) -> None:
    breakwater.do("jump-clue").type(typed)
    assert breakwater.desk.open.line is not None
    parts = {part["id"]: part["kind"] for part in breakwater.record["parts"]}
    assert kind in {parts[pick.value[0]] for pick in breakwater.desk.open.line.picks}


def test_the_titles_own_question_comes_before_one_of_any_record_on_the_part_in_the_hand(
    parcel: Hands,
) -> None:
    parcel.find("fdd 293").take("disc")
    picks = _picks(parcel, "limited")
    assert picks[0] == "fd-number back"
    assert "u-limited-disc label" in picks, "still there, below"
    assert _picks(parcel, "back")[0] == "fd-number back", "before its company's own of the back"
    assert _picks(parcel, "credit")[0].startswith("fd-credit"), "before what its pressings say nothing of"
    assert _picks(parcel, "number of a limited issue")[0].startswith("u-limited")


def test_a_question_that_goes_on_in_its_answers_is_named_by_its_beginning(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").type("late marks")
    assert breakwater.desk.open.line is not None
    assert text_of([list(breakwater.desk.open.line.picks[0].spans)]).startswith("Late marks  ")


def test_a_question_that_another_replaces_comes_below_it(breakwater: Hands) -> None:
    breakwater.take("cover")
    found = [line.split()[0] for line in _picks(breakwater, "soun")]
    replaced = {
        other for _, _, clue in all_questions(breakwater.desk, breakwater.record) for other in clue.instead_of
    }
    below = [clue in replaced for clue in found]
    assert True in below
    assert not below[0]
