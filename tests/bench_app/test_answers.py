"""Clues: one digit each, replaced, numbered, advertised titles; passed over, gone back to, jumped to."""

import pytest
from bench_hands import Hands, sit_down
from seen import prompt_of

from benchtui.bench.asked import hint, question_now
from benchtui.bench.pieces import FANCY, text_of


def _asked(hands: Hands) -> str:
    assert hands.desk.asking.asked is not None
    return hands.desk.asking.asked[1]


def test_a_digit_answers_and_the_next_question_comes_up(breakwater: Hands) -> None:
    first = _asked(breakwater)
    breakwater.do("answer-1")
    (answer,) = breakwater.record["answers"]
    assert (answer["clue"], answer["how"], answer["part"]) == (first, "seen", breakwater.part["id"])
    clue = breakwater.desk.library.clue(first)
    assert clue is not None
    assert answer["answer"] == next(one.id for one in clue.answers if one.digit == 1)
    assert answer["book"].startswith(f"{clue.book}@")
    assert _asked(breakwater) != first


def test_a_second_answer_replaces_the_first(breakwater: Hands) -> None:
    clue = _asked(breakwater)
    breakwater.answer("mono").do("previous-clue").answer("stereo")
    (answer,) = breakwater.answers(clue)
    assert answer["answer"] == "stereo"
    breakwater.do("undo")
    assert breakwater.answers(clue)[0]["answer"] == "mono"


def test_a_digit_the_question_does_not_have_is_refused(breakwater: Hands) -> None:
    clue = breakwater.desk.clue
    assert clue is not None
    free = next(digit for digit in range(1, 10) if digit not in {one.digit for one in clue.answers})
    breakwater.do(f"answer-{free}")
    assert breakwater.refused
    assert breakwater.record["answers"] == []
    assert breakwater.desk.clue is clue


def test_passing_over_leaves_the_question_open_and_back_returns_to_it(breakwater: Hands) -> None:
    first = breakwater.desk.asking.asked
    breakwater.do("next-clue")
    second = breakwater.desk.asking.asked
    assert second != first
    assert breakwater.record["answers"] == []
    breakwater.do("previous-clue")
    assert breakwater.desk.asking.asked == first


def test_passing_over_everything_ends_and_a_jump_brings_any_back(breakwater: Hands) -> None:
    while breakwater.desk.asking.asked is not None:
        breakwater.do("next-clue")
    assert breakwater.record["answers"] == []
    breakwater.do("answer-1")
    assert breakwater.refused
    breakwater.ask("price mark")
    assert _asked(breakwater) == "tw-price"


def test_any_clue_of_any_part_is_volunteered_by_a_few_letters(breakwater: Hands) -> None:
    breakwater.ask("dues b")
    assert breakwater.part["kind"] == "disc"
    assert breakwater.desk.asking.asked == ("label B", "ul-dues")
    breakwater.answer("three")
    (answer,) = breakwater.answers("ul-dues")
    assert (answer["place"], answer["answer"]) == ("label B", "three")


def test_a_jump_to_nothing_asks_for_the_answers_of_a_new_question(breakwater: Hands) -> None:
    before = breakwater.desk.asking.asked
    breakwater.do("jump-clue").enter("zzzzz")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.name == "new-clue"
    breakwater.do("line-leave")
    assert breakwater.desk.asking.asked == before


def test_a_clue_s_two_sides_are_two_answers(breakwater: Hands) -> None:
    breakwater.ask("dues a").answer("three").ask("dues b").answer("four")
    assert {(one["place"], one["answer"]) for one in breakwater.answers("ul-dues")} == {
        ("label A", "three"), ("label B", "four"),
    }  # fmt: skip


def test_a_number_is_typed_from_its_first_figure_and_falls_into_its_bracket(parcel: Hands) -> None:
    parcel.find("salt").ask("number limited")
    assert _asked(parcel) == "tw-number"
    parcel.do("answer-4").enter("17")
    (answer,) = parcel.answers("tw-number")
    clue = parcel.desk.library.clue("tw-number")
    assert clue is not None
    wanted = next(
        one.id for one in clue.answers if one.low is not None and one.low <= 417 <= (one.high or 1e9)
    )
    assert (answer["value"], answer["answer"]) == (417, wanted)


@pytest.mark.parametrize("text", ["12x", "-1", "99999999"])
def test_what_is_no_number_of_the_clue_is_refused_with_the_text_kept(parcel: Hands, text: str) -> None:
    parcel.find("salt").ask("number limited").do("answer-1")
    parcel.key("backspace").enter(text)
    assert parcel.refused
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == text
    assert parcel.answers("tw-number") == []


@pytest.mark.parametrize(
    ("part", "clue_id", "typed", "words"),
    [
        ("cover", "u-dated", "1974", ": 1974"),
        ("disc", "ul-weight", "88", ": 88 g"),
    ],
)
def test_a_figure_stands_with_its_unit_and_a_year_by_itself(
    breakwater: Hands, part: str, clue_id: str, typed: str, words: str
) -> None:
    clue = breakwater.desk.library.clue(clue_id)
    assert clue is not None
    breakwater.take(part)
    breakwater.ask(clue.ask).do(f"answer-{typed[0]}").type(typed[1:]).do("line-accept")
    (answer,) = breakwater.answers(clue_id)
    assert answer["text"] == clue.ask + words


def test_the_bracket_of_a_figure_stands_below_it_before_it_is_taken(breakwater: Hands) -> None:
    clue = breakwater.desk.library.clue("ul-weight")
    assert clue is not None
    low, high = (
        one
        for one in clue.answers
        if any((one.low or 0) <= weight <= (one.high or 0) for weight in (88, 150))
    )
    breakwater.take("disc")
    line = breakwater.ask(clue.ask).do("answer-8").type("8 or 150").desk.open.line
    assert line is not None
    assert line.about == f"read as {low.text} or {high.text}"
    assert line.about in text_of([prompt_of(breakwater.desk, (80, 24), FANCY).foot]), "beside the answers"


def test_nought_says_there_is_no_number(parcel: Hands) -> None:
    parcel.find("salt").ask("number limited").do("answer-0", "line-accept")
    (answer,) = parcel.answers("tw-number")
    assert (answer["answer"], answer["value"]) == ("none", None)


def test_advertised_titles_are_picked_one_by_one_and_bound_the_inner(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1")
    assert parcel.desk.open.line is not None
    parcel.enter("the wax").enter("orrindale latitudes").enter()
    (answer,) = parcel.record["answers"]
    assert answer["answer"] == "titles"
    assert answer["value"]["titles"][1] == "tw-latitudes"
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.lost == ()
    span = weighing.parts[parcel.part["id"]].likely
    assert span is not None
    newest = max(str(first) for first in answer["value"]["first"])
    assert str(span.earliest)[:7] == newest, "an inner is no older than the newest title it advertises"


def test_a_digit_without_an_answer_opens_no_line_for_titles(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-6")
    assert parcel.desk.open.line is None
    assert parcel.refused
    assert "1 titles" in parcel.desk.open.message


def test_advertised_titles_copied_to_a_second_copy_are_confirmed_like_any_other_answer(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("the wax").enter()
    parcel.do("later", "line-new")
    parcel.take("inner")
    parcel.ask("advertised inner").do("ditto")
    (answer,) = parcel.record["answers"]
    assert (answer["answer"], answer["how"]) == ("titles", "seen")


def test_a_title_without_a_date_gives_no_bound_and_is_not_taken(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new", "later").find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("sluice")
    assert parcel.refused
    assert parcel.desk.open.line is not None
    parcel.do("line-leave")
    assert parcel.record["answers"] == []


def test_an_advertised_title_nobody_knows_gives_no_bound(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter("zzzz qqqq xx")
    assert parcel.refused
    parcel.do("line-leave")
    assert parcel.record["answers"] == []


def test_no_title_picked_bounds_nothing(parcel: Hands) -> None:
    parcel.find("orr")
    parcel.take("inner")
    parcel.ask("advertised inner").do("answer-1").enter()
    assert parcel.record["answers"] == []
    assert parcel.desk.open.line is None


def test_an_answer_that_gives_an_imitation_away_sets_the_record_apart(parcel: Hands) -> None:
    parcel.find("tarr").ask("lettering glass")
    clue = parcel.desk.clue
    assert clue is not None
    telling = next(one for one in clue.answers if one.tells == "counterfeit")
    parcel.answer(telling.id)
    apart = parcel.record["set_apart"]
    assert apart is not None
    assert apart["why"] == "not by the company"


def test_the_question_and_the_order_are_still_there_after_a_restart(breakwater: Hands) -> None:
    breakwater.do("answer-1", "next-clue", "next-clue")
    asked, order, part = (
        breakwater.desk.asking.asked,
        list(breakwater.desk.asking.order),
        breakwater.desk.work.part_id,
    )
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit_down(path)
    assert (again.desk.asking.asked, again.desk.asking.order, again.desk.work.part_id) == (asked, order, part)
    again.leave()


def test_predicting_by_the_cover_and_checking_by_the_disc_moves_the_odds(parcel: Hands) -> None:
    parcel.find("tin")
    before = parcel.p_of("tw-barometer/stereo-1")
    for clue, answer in (("top edge", "stereo"), ("number cover begins", "twd"), ("price mark", "oars")):
        parcel.ask(clue).answer(answer)
    foretold, cover = parcel.p_of("tw-barometer/stereo-1"), parcel.part["id"]
    assert foretold > before
    assert foretold > 0.5
    parcel.do("take-disc", "runout").enter("1 1N").enter("1 1V")
    parcel.ask("label says a").answer("nothing").ask("label paper a").answer("blotter")
    assert parcel.p_of("tw-barometer/mono-1") > 0.5 > parcel.p_of("tw-barometer/stereo-1")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.agreement[cover].p_swapped > 0.5, "a mono disc in a stereo cover"


def test_a_digit_goes_on_with_the_number_that_escape_left(parcel: Hands) -> None:
    parcel.find("salt").ask("number limited").key("4", "1").do("line-leave")
    now = question_now(parcel.desk)
    assert now is not None
    assert hint(parcel.desk, now).startswith("41 … left here: ")
    parcel.key("2").do("line-accept")
    (answer,) = parcel.answers("tw-number")
    assert answer["value"] == 412


def test_what_is_expected_never_overwrites_what_was_seen(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").answer("reed").do("previous-clue")
    before = breakwater.answers("tw-label")
    breakwater.do("ditto")
    assert "answered already" in breakwater.said
    assert breakwater.answers("tw-label") == before
