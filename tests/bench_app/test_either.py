"""Either of two at the bench: a key, the digits, Enter; shown and kept as typed."""

import pytest
from bench_hands import Hands, sit_down
from seen import page_rows, shown

from benchtui.bench.pieces import FANCY, text_of
from benchtui.export.wording import answer_words


@pytest.mark.parametrize("typed", ["1 2", "12", "1 or 2", "1|2", "2/1", "1, 2"])
def test_two_digits_are_one_answer(breakwater: Hands, typed: str) -> None:
    clue = breakwater.desk.clue
    assert clue is not None
    breakwater.do("either")
    assert breakwater.desk.open.line is not None
    breakwater.enter(typed)
    (answer,) = breakwater.answers(clue.id)
    by_digit = {str(one.digit): one for one in clue.answers}
    digits = [sign for sign in typed if sign.isdigit()]
    assert [answer["answer"], *answer["also"]] == [by_digit[digit].id for digit in digits]
    assert answer["text"] == f"{clue.ask}: " + " or ".join(by_digit[digit].text for digit in digits)
    assert breakwater.desk.asking.asked != (answer["place"], clue.id)
    breakwater.do("undo")
    assert breakwater.record["answers"] == []
    breakwater.do("redo")
    assert breakwater.answers(clue.id) == [answer]


def test_it_survives_a_restart_and_a_digit_replaces_it(breakwater: Hands) -> None:
    clue = breakwater.desk.clue
    assert clue is not None
    breakwater.do("either").enter("1 2")
    breakwater.desk.shop.close()
    again = sit_down(breakwater.desk.shop.path)
    (answer,) = again.answers(clue.id)
    assert answer["also"]
    again.do("previous-clue", "answer-1")
    (answer,) = again.answers(clue.id)
    assert "also" not in answer


def test_both_are_ticked_in_the_list_and_said_in_the_why_page(breakwater: Hands) -> None:
    breakwater.do("either").enter("1 2").do("previous-clue")
    ticked = [line for line in shown(breakwater.desk).splitlines() if line.rstrip().endswith(FANCY.done)]
    assert [line[0] for line in ticked] == ["1", "2"]
    (answer,) = breakwater.record["answers"]
    said = answer_words(answer).partition(": ")[2]
    assert " or " in said
    breakwater.do("why")
    assert said in text_of(page_rows(breakwater.desk, 200, 100))


@pytest.mark.parametrize(("typed", "said"), [("1 9", "9"), ("x", "digits"), ("", "digits")])
def test_what_is_no_answer_of_the_question_is_refused_and_stays_typed(
    breakwater: Hands, typed: str, said: str
) -> None:
    breakwater.ask("label paper")
    clue = breakwater.desk.clue
    assert clue is not None
    breakwater.do("either").enter(typed)
    assert breakwater.refused
    assert said in breakwater.desk.open.message
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == typed
    assert breakwater.answers(clue.id) == []


def test_one_digit_alone_is_simply_that_answer(breakwater: Hands) -> None:
    clue = breakwater.desk.clue
    assert clue is not None
    breakwater.do("either").enter("2")
    (answer,) = breakwater.answers(clue.id)
    assert "also" not in answer


def test_a_number_may_be_either_of_two_and_a_runout_is_none(breakwater: Hands) -> None:
    breakwater.ask("weight")
    breakwater.do("either").enter("128 or 140")
    answer = breakwater.record["answers"][-1]
    assert answer["value"] == [128, 140]
    assert answer["text"].endswith("128 or 140 g")
    breakwater.take("disc")
    while breakwater.desk.asking.asked is not None and "runout" not in breakwater.desk.asking.asked[0]:
        breakwater.do("next-clue")
    breakwater.do("either")
    assert breakwater.refused


@pytest.mark.parametrize(("typed", "said"), [("1 9", "leave it out"), ("1 2", "all its answers")])
def test_cannot_tell_is_none_of_the_two_and_all_answers_say_nothing(
    parcel: Hands, typed: str, said: str
) -> None:
    parcel.find("bells").ask("feel of the label a")
    clue = parcel.desk.clue
    assert clue is not None
    assert clue.id == "bm-type"
    parcel.do("either").enter(typed)
    assert said in parcel.desk.open.message
    assert parcel.answers("bm-type") == []
