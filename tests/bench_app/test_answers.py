"""Clues: one digit each, replaced, numbered, advertised titles; passed over, gone back to, jumped to."""

import pytest
from bench_hands import Hands, sit_down


def _asked(hands: Hands) -> str:
    assert hands.desk.asking.asked is not None
    return hands.desk.asking.asked[1]


def test_a_digit_answers_and_the_next_question_comes_up(slipway: Hands) -> None:
    first = _asked(slipway)
    slipway.do("answer-1")
    (answer,) = slipway.record["answers"]
    assert (answer["clue"], answer["how"], answer["part"]) == (first, "seen", slipway.part["id"])
    clue = slipway.desk.library.clue(first)
    assert clue is not None
    assert answer["answer"] == next(one.id for one in clue.answers if one.digit == 1)
    assert answer["book"].startswith(f"{clue.book}@")
    assert _asked(slipway) != first


def test_a_second_answer_replaces_the_first(slipway: Hands) -> None:
    clue = _asked(slipway)
    slipway.answer("mono").do("previous-clue").answer("stereo")
    (answer,) = slipway.answers(clue)
    assert answer["answer"] == "stereo"
    slipway.do("undo")
    assert slipway.answers(clue)[0]["answer"] == "mono"


def test_a_digit_the_question_does_not_have_is_refused(slipway: Hands) -> None:
    clue = slipway.desk.clue
    assert clue is not None
    free = next(digit for digit in range(1, 10) if digit not in {one.digit for one in clue.answers})
    slipway.do(f"answer-{free}")
    assert slipway.refused
    assert slipway.record["answers"] == []
    assert slipway.desk.clue is clue


def test_passing_over_leaves_the_question_open_and_back_returns_to_it(slipway: Hands) -> None:
    first = slipway.desk.asking.asked
    slipway.do("next-clue")
    second = slipway.desk.asking.asked
    assert second != first
    assert slipway.record["answers"] == []
    slipway.do("previous-clue")
    assert slipway.desk.asking.asked == first


def test_passing_over_everything_ends_and_a_jump_brings_any_back(slipway: Hands) -> None:
    while slipway.desk.asking.asked is not None:
        slipway.do("next-clue")
    assert slipway.record["answers"] == []
    slipway.do("answer-1")
    assert slipway.refused
    slipway.ask("price letters")
    assert _asked(slipway) == "qm-price"


def test_any_clue_of_any_part_is_volunteered_by_a_few_letters(slipway: Hands) -> None:
    slipway.ask("duty b")
    assert slipway.part["kind"] == "disc"
    assert slipway.desk.asking.asked == ("label B", "ov-tax")
    slipway.answer("p")
    (answer,) = slipway.answers("ov-tax")
    assert (answer["place"], answer["answer"]) == ("label B", "p")


def test_a_jump_to_nothing_is_refused_and_the_line_stays(slipway: Hands) -> None:
    before = slipway.desk.asking.asked
    slipway.do("jump-clue").enter("zzzzz")
    assert slipway.refused
    assert slipway.desk.open.line is not None
    slipway.do("line-leave")
    assert slipway.desk.asking.asked == before


def test_a_clue_s_two_sides_are_two_answers(slipway: Hands) -> None:
    slipway.ask("duty a").answer("p").ask("duty b").answer("t")
    assert {(one["place"], one["answer"]) for one in slipway.answers("ov-tax")} == {
        ("label A", "p"), ("label B", "t"),
    }  # fmt: skip


def test_a_number_is_typed_from_its_first_figure_and_falls_into_its_bracket(parcel: Hands) -> None:
    parcel.find("lan").ask("number limited")
    assert _asked(parcel) == "qm-number"
    parcel.do("answer-4").enter("17")
    (answer,) = parcel.answers("qm-number")
    clue = parcel.desk.library.clue("qm-number")
    assert clue is not None
    wanted = next(
        one.id for one in clue.answers if one.low is not None and one.low <= 417 <= (one.high or 1e9)
    )
    assert (answer["value"], answer["answer"]) == (417, wanted)


@pytest.mark.parametrize("text", ["12x", "-1", "99999999"])
def test_what_is_no_number_of_the_clue_is_refused_with_the_text_kept(parcel: Hands, text: str) -> None:
    parcel.find("lan").ask("number limited").do("answer-1")
    parcel.key("backspace").enter(text)
    assert parcel.refused
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == text
    assert parcel.answers("qm-number") == []


@pytest.mark.parametrize(
    ("part", "clue_id", "typed", "words"),
    [
        ("cover", "u-dated", "1974", ": 1974"),
        ("disc", "ov-weight", "128", ": 128 g"),
    ],
)
def test_a_figure_stands_with_its_unit_and_a_year_by_itself(
    slipway: Hands, part: str, clue_id: str, typed: str, words: str
) -> None:
    clue = slipway.desk.library.clue(clue_id)
    assert clue is not None
    slipway.take(part)
    slipway.ask(clue.ask).do(f"answer-{typed[0]}").type(typed[1:]).do("line-accept")
    (answer,) = slipway.answers(clue_id)
    assert answer["text"] == clue.ask + words


def test_nought_says_there_is_no_number(parcel: Hands) -> None:
    parcel.find("lan").ask("number limited").do("answer-0", "line-accept")
    (answer,) = parcel.answers("qm-number")
    assert (answer["answer"], answer["value"]) == ("none", None)


def test_advertised_titles_are_picked_one_by_one_and_bound_the_inner(parcel: Hands) -> None:
    parcel.find("co")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1")
    assert parcel.desk.open.line is not None
    parcel.enter("the glass").enter("corriedale country").enter()
    (answer,) = parcel.record["answers"]
    assert answer["answer"] == "titles"
    assert answer["value"]["titles"][1] == "qm-country"
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.lost == ()
    span = weighing.parts[parcel.part["id"]].likely
    assert span is not None
    newest = max(str(first) for first in answer["value"]["first"])
    assert str(span.earliest)[:7] == newest, "an inner is no older than the newest title it advertises"


def test_advertised_titles_copied_to_a_second_copy_are_confirmed_like_any_other_answer(parcel: Hands) -> None:
    parcel.find("co")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("the glass").enter()
    parcel.do("later", "line-new")
    parcel.take("inner")
    parcel.ask("advertised inner").do("ditto")
    (answer,) = parcel.record["answers"]
    assert (answer["answer"], answer["how"]) == ("titles", "seen")


def test_a_title_without_a_date_gives_no_bound_and_is_not_taken(parcel: Hands) -> None:
    parcel.type("Ada Fennimore - Sluice Songs - PRIV 1").do("line-new", "later").find("co")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("sluice")
    assert parcel.refused
    assert parcel.desk.open.line is not None
    parcel.do("line-leave")
    assert parcel.record["answers"] == []


def test_an_advertised_title_nobody_knows_gives_no_bound(parcel: Hands) -> None:
    parcel.find("co")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("zzzz qqqq xx")
    assert parcel.refused
    parcel.do("line-leave")
    assert parcel.record["answers"] == []


def test_no_title_picked_bounds_nothing(parcel: Hands) -> None:
    parcel.find("co")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter()
    assert parcel.record["answers"] == []
    assert parcel.desk.open.line is None


def test_an_answer_that_gives_an_imitation_away_sets_the_record_apart(parcel: Hands) -> None:
    parcel.find("ox").ask("lettering glass")
    clue = parcel.desk.clue
    assert clue is not None
    telling = next(one for one in clue.answers if one.tells == "counterfeit")
    parcel.answer(telling.id)
    apart = parcel.record["set_apart"]
    assert apart is not None
    assert apart["why"] == "not by the company"


def test_the_order_of_questions_stays_as_it_was_when_the_part_was_taken_up(slipway: Hands) -> None:
    order = list(slipway.desk.asking.order)
    slipway.do("answer-1", "next-clue", "answer-1")
    assert slipway.desk.asking.order == order


def test_the_question_and_the_order_are_still_there_after_a_restart(slipway: Hands) -> None:
    slipway.do("answer-1", "next-clue", "next-clue")
    asked, order, part = slipway.desk.asking.asked, list(slipway.desk.asking.order), slipway.desk.work.part_id
    path = slipway.desk.shop.path
    slipway.leave()
    again = sit_down(path)
    assert (again.desk.asking.asked, again.desk.asking.order, again.desk.work.part_id) == (asked, order, part)
    again.leave()


def test_predicting_by_the_cover_and_checking_by_the_disc_moves_the_odds(parcel: Hands) -> None:
    parcel.find("tin")
    before = parcel.p_of("qm-umbrella/stereo-1")
    for clue, answer in (("top edge", "stereo"), ("number cover begins", "sqm"), ("price letters", "ll")):
        parcel.ask(clue).answer(answer)
    foretold, cover = parcel.p_of("qm-umbrella/stereo-1"), parcel.part["id"]
    assert foretold > before
    assert foretold > 0.5
    parcel.do("take-disc", "runout").enter("1 1A").enter("1 1T")
    parcel.ask("label says a").answer("nothing").ask("label print a").answer("leaning")
    assert parcel.p_of("qm-umbrella/mono-1") > 0.5 > parcel.p_of("qm-umbrella/stereo-1")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.agreement[cover].p_swapped > 0.5, "a mono disc in a stereo cover"
