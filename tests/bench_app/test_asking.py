"""Which question is shown: while it may tell something, and then the next part's, so that no key only moves."""

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest
from bench_hands import Hands, Sit
from seen import pane_rows

from benchtui.bench.pieces import FANCY
from benchtui.desk.ask.asking import RUNOUT, _anew, _out_of_time, ahead, is_runout, order_of, wanted
from benchtui.evidence.results import PartSpan, SecondLook
from benchtui.model.money import Money
from benchtui.model.record import DatedDoc
from benchtui.model.span import Span


def shown(hands: Hands) -> str:
    return "\n".join("".join(text for text, _ in line) for line in pane_rows(hands.desk, 44, 30, FANCY))


def finish_cover(hands: Hands) -> Hands:
    """Answers until nothing more is wanted of the cover, then its grade."""
    while hands.desk.asking.asked is not None:
        hands.key("1")
    return hands.grade("VG")


def test_questions_that_tell_nothing_are_not_asked(breakwater: Hands) -> None:
    answered = 0
    while breakwater.desk.asking.asked is not None:
        breakwater.key("1")
        answered += 1
    assert 0 < answered < len(breakwater.desk.asking.order)
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert not any(one.worthwhile for one in weighing.next[breakwater.part["id"]])
    assert "its grade?" in shown(breakwater)


def test_a_digit_answers_nothing_while_only_the_grade_is_wanted(breakwater: Hands) -> None:
    while breakwater.desk.asking.asked is not None:
        breakwater.key("1")
    before = len(breakwater.record["answers"])
    breakwater.key("1")
    assert breakwater.refused
    assert "grade of the cover" in breakwater.said
    assert len(breakwater.record["answers"]) == before


def test_passing_over_asks_the_rest_of_a_part_of_which_nothing_is_wanted(breakwater: Hands) -> None:
    while breakwater.desk.asking.asked is not None:
        breakwater.key("1")
    breakwater.do("next-clue")
    first = breakwater.desk.asking.asked
    assert first is not None
    breakwater.key("1")
    assert breakwater.desk.asking.asked not in (None, first), "who asks for the rest goes on through it"


def test_after_the_grade_a_digit_answers_the_next_part_and_takes_it_up(breakwater: Hands) -> None:
    finish_cover(breakwater)
    following = ahead(breakwater.desk)
    assert following is not None
    assert following.part["kind"] == "disc"
    assert breakwater.part["kind"] == "cover", "the hand moves only with the answer"
    assert f"cover {FANCY.done} done" in shown(breakwater)
    breakwater.key("1")
    assert breakwater.part["kind"] == "disc"
    answer = breakwater.record["answers"][-1]
    assert (answer["part"], (answer["place"], answer["clue"])) == (following.part["id"], following.asked)


def test_not_there_goes_to_the_part_that_follows(breakwater: Hands) -> None:
    finish_cover(breakwater)
    breakwater.do("not-here")
    assert breakwater.part["kind"] == "disc"
    assert breakwater.part.get("state") == "missing"
    assert all(
        part.get("state") != "missing" for part in breakwater.record["parts"] if part["kind"] == "cover"
    )


def test_the_question_that_follows_is_passed_over_like_any_other(breakwater: Hands) -> None:
    finish_cover(breakwater)
    following = ahead(breakwater.desk)
    assert following is not None
    breakwater.do("next-clue")
    assert breakwater.part["id"] == following.part["id"]
    assert breakwater.desk.asking.asked != following.asked
    breakwater.do("previous-clue")
    assert breakwater.desk.asking.asked == following.asked


def test_a_figure_begins_the_runout_once_the_label_is_settled(breakwater: Hands) -> None:
    finish_cover(breakwater).key("1")
    while breakwater.desk.asking.asked is not None and breakwater.desk.asking.asked[1] != RUNOUT:
        breakwater.key("1") if breakwater.desk.clue and breakwater.desk.clue.form != "cut" else breakwater.do(
            "next-clue"
        )
    assert breakwater.desk.asking.asked == ("runout A", RUNOUT)
    breakwater.key("1", "enter")
    assert breakwater.part["sides"]["A"]["typed"] == "1"
    breakwater.enter("2")
    assert breakwater.part["sides"]["B"]["typed"] == "2"
    assert breakwater.desk.open.line is None
    assert breakwater.desk.asking.asked is None


def test_a_runout_passed_over_is_not_asked_again(breakwater: Hands) -> None:
    breakwater.do("take-disc").grade("VG")
    for _ in range(20):
        if breakwater.desk.asking.asked is None:
            break
        breakwater.do("next-clue")
    assert breakwater.desk.asking.asked is None
    assert not breakwater.part.get("sides")
    following = ahead(breakwater.desk)
    assert following is not None
    assert following.part["kind"] != "disc"


def test_the_first_side_comes_first_even_where_the_second_tells_more(parcel: Hands) -> None:
    parcel.find("felt u").do("take-disc")
    cuts = [asked[0] for asked in parcel.desk.asking.order if is_runout(parcel.desk, asked)]
    assert cuts == ["runout A", "runout B"]


def test_the_second_side_reads_as_the_first_by_one_sign(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout").enter("1 3gr")
    breakwater.type("=")
    sides = breakwater.part["sides"]
    assert (sides["B"]["cut"], sides["B"]["mother"], sides["B"]["stamper"]) == ("1", "3", "GR")
    assert sides["B"]["full"] != sides["A"]["full"], "each side has its own stem"
    assert breakwater.desk.open.line is None


def test_the_sign_means_nothing_on_the_first_side(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout").type("=")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "="


def test_undo_brings_the_question_back(breakwater: Hands) -> None:
    first = breakwater.desk.asking.asked
    breakwater.key("1").do("undo")
    assert breakwater.desk.asking.asked == first


def test_a_grade_takes_no_open_question_away(parcel: Hands) -> None:
    """Of a title without known pressings every question stays open: the digits must not change meaning."""
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    parcel.key("1")
    open_now = parcel.desk.asking.asked
    parcel.grade("VG")
    assert parcel.desk.asking.asked == open_now
    assert ahead(parcel.desk) is None


def test_a_clue_jumped_to_on_a_finished_part_is_the_one_that_a_digit_answers(breakwater: Hands) -> None:
    finish_cover(breakwater)
    cover, was = breakwater.part["id"], len(breakwater.record["answers"])
    breakwater.ask("price mark")
    assert ahead(breakwater.desk) is None
    assert "Price mark" in shown(breakwater)
    breakwater.key("2")
    corrected = [one for one in breakwater.record["answers"] if one["clue"] == "tw-price"]
    assert [(one["part"], len(breakwater.record["answers"])) for one in corrected] == [(cover, was)]
    assert ahead(breakwater.desk) is not None, "after it the next part's question is shown again"


def test_going_back_on_a_finished_part_shows_the_question_gone_back_to(breakwater: Hands) -> None:
    finish_cover(breakwater)
    breakwater.do("previous-clue")
    assert ahead(breakwater.desk) is None
    assert breakwater.desk.asking.asked is not None


def test_back_and_forward_are_each_other_s_way(breakwater: Hands) -> None:
    """After going back several times, forward jumped to the first question without an answer."""
    asked = [breakwater.desk.asking.asked]
    for _ in range(2):
        breakwater.key("1")
        asked.append(breakwater.desk.asking.asked)
    breakwater.do("next-clue")
    asked.append(breakwater.desk.asking.asked)
    for there in reversed(asked[:-1]):
        breakwater.do("previous-clue")
        assert breakwater.desk.asking.asked == there
    for there in asked[1:]:
        breakwater.do("next-clue")
        assert breakwater.desk.asking.asked == there
    breakwater.do("previous-clue", "previous-clue", "next-clue", "previous-clue")
    assert breakwater.desk.asking.asked == asked[1]
    breakwater.key("2")
    assert breakwater.desk.asking.asked not in asked[:2], "an answer goes on to what is wanted"


def test_the_way_forward_ends_where_a_question_is_answered(breakwater: Hands) -> None:
    """Gone to again by its letters, the question that was answered led to one answered long since."""
    breakwater.do("next-clue", "next-clue", "previous-clue", "answer-1", "answer-1")
    breakwater.ask("number on the cover").do("next-clue")
    assert "answered already" not in breakwater.said


def test_going_back_leads_to_no_part_that_is_undone(breakwater: Hands) -> None:
    breakwater.do("add-part").key("3").do("answer-1", "undo", "undo", "previous-clue")
    assert breakwater.part["kind"] == "cover"
    assert breakwater.said == "no question before this one"


def test_graded_first_the_cover_is_still_asked_about(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    parcel.grade("VG").key("1")
    assert parcel.part["kind"] == "cover"


def test_where_the_question_stands_survives_leaving(breakwater: Hands, sit: Sit) -> None:
    finish_cover(breakwater)
    before, path = ahead(breakwater.desk), breakwater.desk.shop.path
    breakwater.leave()
    again = sit(path)
    after = ahead(again.desk)
    assert before is not None
    assert after is not None
    assert (after.part["id"], after.asked) == (before.part["id"], before.asked)


def test_taken_in_at_the_worked_price_that_is_shown(breakwater: Hands) -> None:
    finish_cover(breakwater).do("take-disc").grade("VG")
    assert breakwater.record["price"] is None
    breakwater.do("take-in")
    taken = breakwater.at(1)
    assert taken["state"] == "taken-in"
    assert taken["price"] is not None
    assert taken["price"]["how"] == "worked"
    assert taken["price"]["minor"] == 400, (
        "12.00 in the book, of which VG leaves 0.35: 4.20, in steps of 0.50"
    )
    assert " at 4.00 GBP" in breakwater.said
    breakwater.key("\\")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "", "a take-in pressed twice is no title"
    breakwater.do("line-leave", "undo")
    assert breakwater.at(1)["price"] is None, "one step takes back both"


def test_a_disc_that_no_answer_dates_is_asked_what_dates_it_best_even_when_settled(parcel: Hands) -> None:
    """The label print would tell a disc swapped into an old cover; what it says of channels would not."""
    parcel.find("tin").key("2", "2", "2").grade("VG")
    following = ahead(parcel.desk)
    assert following is not None
    assert following.asked == ("label A", "tw-label")


def test_a_wanted_question_is_not_lost_while_the_runouts_are_written(parcel: Hands) -> None:
    parcel.find("baf").key("1", "1", "1", "1").grade("VG").do("take-disc")
    parcel.key("1")
    assert parcel.desk.asking.asked is not None
    assert parcel.desk.asking.asked[0] == "runout A"
    parcel.key("2", "enter")
    assert parcel.desk.asking.asked == ("label A", "tw-says"), "wanted again: this figure is of a later cut"
    parcel.enter("2")
    assert parcel.desk.asking.asked == ("label A", "tw-says")


def test_the_same_sign_answers_the_second_runout_before_its_line_is_open(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout").enter("1 3gr").do("line-leave")
    while breakwater.desk.asking.asked is None or breakwater.desk.asking.asked[1] != RUNOUT:
        breakwater.do("next-clue")
    breakwater.key("=")
    assert breakwater.part["sides"]["B"]["stamper"] == "GR"


def test_a_side_left_open_is_said(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout").enter("1").do("line-accept")
    assert breakwater.said == "runout B left open"


def test_the_second_side_s_line_says_what_became_of_the_first(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout").enter("1")
    assert breakwater.desk.open.line is not None
    assert "the first side is 1" in breakwater.desk.open.line.about


def test_the_clue_that_the_second_look_names_comes_first_once_all_else_is_sure(breakwater: Hands) -> None:
    desk, record, part = breakwater.desk, breakwater.record, breakwater.part
    weighing, order = desk.weighing(), desk.asking.order
    assert weighing is not None
    before = wanted(desk, record, part, order, weighing)
    last = before[-1]
    clue = desk.library.clue(last[1])
    look = SecondLook(Money(900, "GBP"), clue, last[0], part["id"], "")
    assert len(before) > 1
    assert wanted(desk, record, part, order, replace(weighing, second_look=look)) == before, "odds first"
    lead = weighing.pressings[0]._replace(p=0.999)
    sure = replace(weighing, second_look=look, pressings=(lead, *weighing.pressings[1:]))
    assert wanted(desk, record, part, order, sure) == [last, *before[:-1]]


def test_an_inner_is_looked_at_itself_before_titles_are_typed_that_it_advertises(parcel: Hands) -> None:
    inner = parcel.find("orr").take("inner")
    desk, weighing = parcel.desk, parcel.desk.weighing()
    assert weighing is not None
    silent = replace(
        weighing, settled=False, ask_next=lambda part: ()
    )  # the pressing is open, and nothing tells
    order = order_of(desk, inner, weighing)
    found = [clue for _, clue in wanted(desk, parcel.record, inner, order, silent)]
    assert found == ["tw-inner", "u-advertised"]


def test_the_number_of_a_numbered_copy_is_asked_however_sure_its_pressing_is(parcel: Hands) -> None:
    parcel.find("velloise").grade("VG").do("take-disc").grade("VG").do("take-disc").answer("steps")
    parcel.ask("dues a").answer("four").ask("card").answer("sewn")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.leader is not None
    assert weighing.settled
    assert weighing.leader.id == "fd-velloises/first"
    parcel.do("take-cover")
    assert parcel.desk.asking.asked == ("back", "fd-number")
    parcel.do("answer-3").enter("42")
    assert [one["value"] for one in parcel.answers("fd-number")] == [342]


def test_the_number_of_a_copy_whose_pressing_has_none_is_not_asked(parcel: Hands) -> None:
    parcel.find("velloise").ask("label pic").answer("hall")
    parcel.do("take-cover")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.settled
    found = wanted(parcel.desk, parcel.record, parcel.part, parcel.desk.asking.order, weighing)
    assert ("back", "fd-number") in parcel.desk.asking.order
    assert ("back", "fd-number") not in found


@pytest.mark.parametrize(("bits", "first"), [(0.5, "tw-price"), (0.75, "tw-price"), (0.8, "tw-printer")])
def test_a_question_goes_before_the_next_one_only_where_it_tells_far_more(
    breakwater: Hands, bits: float, first: str
) -> None:
    """The one that stands next tells 0.5 bits in a second: 0.75 is half as much again, and not more than that."""
    asking, part = breakwater.desk.asking, breakwater.take("cover")
    asking.order = [("front", "tw-front"), ("back", "tw-price"), ("back", "tw-printer")]
    rows = [
        SimpleNamespace(place="back", clue=SimpleNamespace(id=clue), bits=told, seconds=1.0)
        for clue, told in (("tw-price", 0.5), ("tw-printer", bits))
    ]
    asking.asked = ("front", "tw-front")
    weighing: Any = SimpleNamespace(ask_next=lambda part_id: rows)
    order = _anew(breakwater.desk, breakwater.record, part, weighing)
    assert [clue for _, clue in order][:2] == ["tw-front", first]


def test_a_question_all_of_whose_dated_answers_came_later_is_not_asked(breakwater: Hands) -> None:
    cover = breakwater.take("cover")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    for clue, year, out in (("u-barcode", 1963, True), ("u-barcode", 1990, False), ("gb-inner", 1950, False)):
        dated = {cover["id"]: PartSpan(likely=Span(None, date(year, 12, 31)))}
        spans: Any = SimpleNamespace(parts=dated)
        assert _out_of_time(breakwater.desk, cover, ("back", clue), spans) == out


@pytest.mark.parametrize(("year", "asked"), [("1959", False), ("1966", False), ("1975", True)])
def test_a_feature_of_long_after_the_first_issue_is_asked_only_where_the_dealer_goes_to_it(
    parcel: Hands, year: str, asked: bool
) -> None:
    """A title that no book describes: late marks and barcode are asked of their time alone, and once something
    seen is of that."""
    parcel.enter(f"Zzyzx - Wqrt - AB 1 - {year}")
    desk, record, cover = parcel.desk, parcel.record, parcel.part
    weighing = desk.weighing()
    assert weighing is not None
    order = order_of(desk, cover, weighing)
    clues = [clue for _, clue in wanted(desk, record, cover, order, weighing)]
    assert ("u-barcode" in clues, "u-late-cover" in clues) == (asked, asked)
    by_hand: DatedDoc = {"part": cover["id"], "span": "1985", "sure": "firm", "why": "", "at": ""}
    late = desk.weighings.of({**record, "dated": [by_hand]}, cover["id"])
    assert ("back", "u-late-cover") in wanted(desk, record, cover, order, late)
    assert parcel.ask("barcode").desk.asking.asked == ("back", "u-barcode")


def test_a_feature_of_no_pressing_s_time_is_not_asked_though_it_would_tell_of_an_unknown_one(
    breakwater: Hands,
) -> None:
    """Pressings of 1967 to 1972: with everything passed over, the barcode is not what is left to ask."""
    asked = set()
    for _ in range(12):
        asked.add(breakwater.desk.asking.asked)
        breakwater.do("next-clue")
        if not breakwater.desk.asking.asked:
            break
    assert ("back", "u-barcode") not in asked
    assert len(asked) > 3
