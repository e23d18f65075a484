"""Runouts: figures that take themselves, shorthand and whole inscriptions, free text kept as typed."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit, sit_down

from benchtui.bench.asked import hint, question_now
from benchtui.desk.ask.asking import is_runout
from benchtui.desk.queue.queue import lacking


def _side(hands: Hands) -> str:
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.name == "runout"
    return str(hands.desk.open.line.data["side"])


def _sides(hands: Hands) -> dict[str, str]:
    disc = next(part for part in hands.record["parts"] if part["kind"] == "disc")
    return {side: doc["typed"] for side, doc in disc["sides"].items()}


def test_two_bare_figures_are_a_whole_plain_record(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1")
    assert _side(breakwater) == "B"
    breakwater.enter("2")
    assert breakwater.desk.open.line is None
    assert _sides(breakwater) == {"A": "1", "B": "2"}
    disc = breakwater.part
    assert disc["sides"]["A"]["cut"] == "1"
    assert disc["sides"]["A"]["full"].startswith("DV 363 A/")


@pytest.mark.parametrize(
    "title", ["baf", "black stove", "eleven bells", "moon lane", "tarrandole", "standing herons"]
)
def test_no_figure_is_taken_before_enter_whichever_company_it_is(parcel: Hands, title: str) -> None:
    parcel.find(title).take("disc")
    parcel.do("runout").type("1")
    assert parcel.desk.open.line is not None
    assert (_side(parcel), parcel.desk.open.line.text) == ("A", "1")
    assert _sides(parcel) == {}
    parcel.type("2").do("line-accept")
    assert (_side(parcel), _sides(parcel)) == ("B", {"A": "12"})


def test_half_a_runout_that_escape_left_is_gone_on_with(breakwater: Hands) -> None:
    breakwater.do("runout").type("1 1").do("line-leave").do("runout").type("VE").do("line-accept")
    assert _sides(breakwater) == {"A": "1 1VE"}


def test_half_a_runout_left_on_a_side_that_is_written_comes_back_too(breakwater: Hands) -> None:
    for side, stands, half in (("A", "1 1VE", "1 1"), ("B", "2", "2 3")):
        breakwater.do("runout").enter("1 1VE").enter("2") if side == "A" else None
        breakwater.desk.work.side = side
        breakwater.do("runout").type(half).do("line-leave")
        breakwater.desk.work.side = ""
        assert _sides(breakwater)[side] == stands
        breakwater.do("runout")
        line = breakwater.desk.open.line
        assert line is not None
        assert (line.data["side"], line.text, line.opened) == (side, half, stands)
        breakwater.type("UN").do("line-accept")
        breakwater.do("line-leave") if breakwater.desk.open.line else None
        assert _sides(breakwater)[side] == f"{half}UN"


def test_a_runout_put_back_as_it_stood_is_no_half_of_one(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1").enter("2").desk.work.side = "A"
    breakwater.do("runout").type("77").do("line-leave", "runout").key("backspace", "backspace")
    breakwater.type("1").do("line-leave", "runout")
    assert breakwater.desk.open.line is not None
    assert (breakwater.desk.open.line.text, breakwater.desk.open.line.back) == ("1", "")


def test_shorthand_gives_cut_mother_and_stamper(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1 1VE")
    side = breakwater.part["sides"]["A"]
    assert (side["cut"], side["typed"]) == ("1", "1 1VE")
    assert side["mother"] == "1"
    assert side["stamper"]


def test_the_cut_speaks_for_pressings_as_an_answer_of_its_own(breakwater: Hands) -> None:
    before = breakwater.p_of("tw-breakwater/mono-1")
    breakwater.do("runout").enter("1").enter("1")
    cuts = breakwater.answers("tw-cut")
    assert {(one["place"], one["answer"]) for one in cuts} == {("runout A", "1"), ("runout B", "1")}
    assert breakwater.p_of("tw-breakwater/mono-1") > before


def test_either_of_two_cuts_is_one_answer_shown_as_typed(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1|2").enter("1")
    side = breakwater.part["sides"]["A"]
    assert (side["typed"], side["cut"]) == ("1|2", "1|2")
    assert side["full"].startswith("DV 363 A/1 | DV 363 A/2")
    first = next(one for one in breakwater.answers("tw-cut") if one["place"] == "runout A")
    assert (first["answer"], first["also"]) == ("1", ["2"])


@pytest.mark.parametrize(
    "text", ["[B2] scratched: a heart ♥", "XY 999 Z-7 [/]", "ぱ 東 \u202babc", '"quoted", \\ back']
)
def test_free_text_is_kept_as_typed(breakwater: Hands, text: str) -> None:
    breakwater.do("runout").enter(text)
    assert _sides(breakwater)["A"] == text
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit_down(path)
    assert _sides(again)["A"] == text
    again.leave()


def test_an_inscription_of_another_disc_is_said_and_kept(breakwater: Hands) -> None:
    breakwater.do("runout").enter("DV 438 A/1")
    assert breakwater.desk.open.tone == "clash"
    assert _sides(breakwater)["A"] == "DV 438 A/1"
    assert breakwater.answers("tw-cut") == []


def test_words_alone_are_said_not_to_fit_until_they_are_typed_as_a_scratch(breakwater: Hands) -> None:
    breakwater.do("runout").enter("HELLO")
    assert "HELLO is a word without a figure: was it meant?" in breakwater.said
    assert not breakwater.part["sides"]
    breakwater.do("line-accept")
    assert breakwater.desk.open.message.endswith("type what is only scratched there as <HELLO>")
    assert "runout A (r): it does not fit this title" in str(lacking(breakwater.desk, breakwater.record))
    breakwater.enter("1").do("take-disc", "runout").paste("<HELLO>").do("line-accept")
    assert "runout A" not in str(lacking(breakwater.desk, breakwater.record))


def test_a_title_the_books_do_not_know_takes_whole_lines_only(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("runout").type("1")
    assert _side(parcel) == "A", "a bare figure says nothing where no inscription is known"
    parcel.type("A1").do("line-accept").enter("B1")
    assert _sides(parcel) == {"A": "1A1", "B": "B1"}


def test_an_empty_line_ends_without_a_word(breakwater: Hands) -> None:
    breakwater.do("runout").enter()
    assert breakwater.desk.open.line is None
    assert _sides(breakwater) == {}


def test_a_side_written_already_is_opened_again_with_what_it_holds(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1").enter("1").do("take-disc").do("runout")
    assert breakwater.desk.work.side == "A"
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "1"
    breakwater.type("3").do("line-accept")
    assert _sides(breakwater)["A"] == "3"


def test_each_disc_of_a_set_has_sides_of_its_own(parcel: Hands) -> None:
    parcel.find("salt")
    parcel.take("disc", 2)
    parcel.do("runout")
    assert _side(parcel) == "C"
    parcel.enter("5").enter("6")
    sides = [part["sides"] for part in parcel.record["parts"] if part["kind"] == "disc"]
    assert sides[0] == {}
    assert {side: doc["typed"] for side, doc in sides[1].items()} == {"C": "5", "D": "6"}


def test_the_runout_key_takes_the_disc_when_another_part_is_in_hand(breakwater: Hands) -> None:
    assert breakwater.part["kind"] == "cover"
    breakwater.do("runout")
    assert breakwater.part["kind"] == "disc"


def test_no_disc_no_runout(breakwater: Hands) -> None:
    breakwater.do("take-disc", "not-here", "runout")
    assert breakwater.refused
    assert breakwater.desk.open.line is None


def test_a_runout_is_taken_back_with_its_answer(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1").do("line-leave", "undo")
    assert _sides(breakwater) == {}
    assert breakwater.answers("tw-cut") == []


def test_a_side_that_is_written_already_is_replaced_by_what_is_typed(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1b 3un").do("line-leave", "runout")
    assert _side(breakwater) == "B"
    breakwater.do("line-leave")
    breakwater.desk.work.side = "A"
    breakwater.do("runout").enter("1 3un")
    assert _sides(breakwater) == {"A": "1 3un"}


def _asked(hands: Hands) -> str:
    now = question_now(hands.desk)
    assert now is not None
    return now.asked[0]


def _said_at_the_prompt(hands: Hands) -> str:
    now = question_now(hands.desk)
    assert now is not None
    return hint(hands.desk, now)


def test_a_digit_goes_on_with_a_runout_that_escape_left_and_the_prompt_shows_it(breakwater: Hands) -> None:
    breakwater.ask("runout a").key("5", " ", "1").do("line-leave")
    assert _said_at_the_prompt(breakwater).startswith("5 1 … left here: ")
    breakwater.key("7").do("line-accept")
    assert _sides(breakwater) == {"A": "5 17"}


def test_half_a_runout_is_still_there_after_a_restart_at_another_record_s_empty_line(
    breakwater: Hands, empty_path: Path, sit: Sit
) -> None:
    """An empty record has no part to be taken up: what Escape left was forgotten with it."""
    breakwater.ask("runout a").key("5", " ", "1").do("line-leave", "later").type("hest")
    breakwater.leave()
    again = sit(empty_path)
    assert again.desk.open.line is not None
    again.do("line-leave", "previous-record").ask("runout a").key("7").do("line-accept")
    assert _sides(again) == {"A": "5 17"}


def test_escape_at_the_second_side_leaves_that_side_s_question_with_its_text(breakwater: Hands) -> None:
    breakwater.ask("runout a").key("5").do("line-accept").type("6 1").do("line-leave")
    assert _asked(breakwater) == "runout B"
    assert _said_at_the_prompt(breakwater).startswith("6 1 … left here: ")
    breakwater.key("2").do("line-accept")
    assert _sides(breakwater) == {"A": "5", "B": "6 12"}


def test_a_first_side_corrected_opens_the_second_one_marked(breakwater: Hands) -> None:
    breakwater.do("runout").enter("1").enter("2").do("take-disc", "runout").type("3").do("line-accept")
    line = breakwater.desk.open.line
    assert line is not None
    assert (_side(breakwater), line.text, line.replace) == ("B", "2", True)
    steps = len(breakwater.desk.work.parcel.history)  # type: ignore[union-attr]
    breakwater.do("line-accept")
    assert _sides(breakwater) == {"A": "3", "B": "2"}
    assert len(breakwater.desk.work.parcel.history) == steps  # type: ignore[union-attr]
    breakwater.do("runout").type("1").do("line-accept").type("=")
    assert _sides(breakwater) == {"A": "1", "B": "1"}
    breakwater.do("runout").type("3 7q").do("line-accept").type("=")
    assert _sides(breakwater) == {"A": "3 7q", "B": "3 7q"}, "in the same spelling"


def test_a_runout_jumped_to_and_answered_is_asked_no_more_and_the_list_says_so(breakwater: Hands) -> None:
    breakwater.ask("runout b").key("5").do("line-accept")
    now = question_now(breakwater.desk)
    assert now is None or now.asked[0] != "runout B"
    breakwater.do("jump-clue").type("runout b")
    line = breakwater.desk.open.line
    assert line is not None
    assert "answered: 5" in "".join(text for text, _ in line.picks[0].spans)


def test_the_sign_for_the_same_shades_no_grade_after_a_runout(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.grade("VG").do("take-disc", "runout").enter("5").do("line-leave").key("=")
    assert _sides(breakwater) == {"A": "5"}
    breakwater.ask("runout b").key("=")
    assert _sides(breakwater) == {"A": "5", "B": "5"}
    assert [grade["shade"] for grade in breakwater.part["grades"]] == [""]


def test_at_a_runout_question_every_word_names_the_key_that_opens_its_line(breakwater: Hands) -> None:
    breakwater.take("disc")
    while not is_runout(breakwater.desk, breakwater.desk.asking.asked):
        breakwater.do("next-clue")
    shown = question_now(breakwater.desk)
    assert shown is not None
    assert (
        hint(breakwater.desk, shown) == "a digit starts it, r one that begins with a letter; ] leaves it open"
    )
    breakwater.burst("qbx 1\n", apart=0.1)
    assert breakwater.said.endswith("taken back; r opens the runout's line")
    breakwater.key("enter")
    assert breakwater.said.startswith("Enter does nothing here: r runout")


@pytest.mark.parametrize(
    ("second", "back"), [("", ["runout A", "label A"]), ("1", ["runout B", "runout A", "label A"])]
)
def test_the_questions_before_are_the_runouts_written_and_then_what_was_asked_before_them(
    breakwater: Hands, second: str, back: list[str]
) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").key("1")
    breakwater.ask("runout a").do("runout").enter("1").type(second).do("line-accept")
    for place in back:
        breakwater.do("previous-clue")
        assert breakwater.desk.asking.asked is not None
        assert breakwater.desk.asking.asked[0] == place


def test_a_runout_whose_space_was_forgotten_is_asked_about_and_taken_when_meant(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("runout").enter("51ue")
    assert breakwater.desk.open.line is not None
    assert "cut 51, which no pressing has: was it 5 1 UE?" in breakwater.said
    assert "A" not in breakwater.part.get("sides", {})
    breakwater.do("line-accept")
    assert breakwater.part["sides"]["A"]["cut"] == "51"


def test_of_a_title_without_known_cuts_only_a_rare_one_is_asked_about(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new").take("disc")
    parcel.do("runout").enter("20u")
    assert "was it 2 0 U?" in parcel.said
    parcel.do("line-leave", "runout")
    parcel.desk.open.line.text = ""  # type: ignore[union-attr]
    parcel.enter("19u")
    assert parcel.part["sides"]["A"]["cut"] == "19"
