"""Which question is shown: while it may tell something, and then the next part's, so that no key only moves."""

from bench_hands import Hands, Sit

from benchtui.bench.draw.pane import draw_pane
from benchtui.bench.pieces import FANCY
from benchtui.desk.asking import RUNOUT, ahead, is_runout


def shown(hands: Hands) -> str:
    return "\n".join("".join(text for text, _ in line) for line in draw_pane(hands.desk, 44, 30, FANCY))


def finish_cover(hands: Hands) -> Hands:
    """Answers until nothing more is wanted of the cover, then its grade."""
    while hands.desk.asking.asked is not None:
        hands.key("1")
    return hands.grade("VG")


def test_questions_that_tell_nothing_are_not_asked(slipway: Hands) -> None:
    answered = 0
    while slipway.desk.asking.asked is not None:
        slipway.key("1")
        answered += 1
    assert 0 < answered < len(slipway.desk.asking.order)
    weighing = slipway.desk.weighing()
    assert weighing is not None
    assert not any(one.worthwhile for one in weighing.next[slipway.part["id"]])
    assert "Now its grade" in shown(slipway)


def test_a_digit_answers_nothing_while_only_the_grade_is_wanted(slipway: Hands) -> None:
    while slipway.desk.asking.asked is not None:
        slipway.key("1")
    before = len(slipway.record["answers"])
    slipway.key("1")
    assert slipway.refused
    assert "grade of the cover" in slipway.said
    assert len(slipway.record["answers"]) == before


def test_passing_over_asks_the_rest_of_a_part_of_which_nothing_is_wanted(slipway: Hands) -> None:
    while slipway.desk.asking.asked is not None:
        slipway.key("1")
    slipway.do("next-clue")
    first = slipway.desk.asking.asked
    assert first is not None
    slipway.key("1")
    assert slipway.desk.asking.asked not in (None, first), "who asks for the rest goes on through it"


def test_after_the_grade_a_digit_answers_the_next_part_and_takes_it_up(slipway: Hands) -> None:
    finish_cover(slipway)
    following = ahead(slipway.desk)
    assert following is not None
    assert following.part["kind"] == "disc"
    assert slipway.part["kind"] == "cover", "the hand moves only with the answer"
    assert f"cover {FANCY.done} done" in shown(slipway)
    slipway.key("1")
    assert slipway.part["kind"] == "disc"
    answer = slipway.record["answers"][-1]
    assert (answer["part"], (answer["place"], answer["clue"])) == (following.part["id"], following.asked)


def test_not_there_goes_to_the_part_that_follows(slipway: Hands) -> None:
    finish_cover(slipway)
    slipway.do("not-here")
    assert slipway.part["kind"] == "disc"
    assert slipway.part.get("state") == "missing"
    assert all(part.get("state") != "missing" for part in slipway.record["parts"] if part["kind"] == "cover")


def test_the_question_that_follows_is_passed_over_like_any_other(slipway: Hands) -> None:
    finish_cover(slipway)
    following = ahead(slipway.desk)
    assert following is not None
    slipway.do("next-clue")
    assert slipway.part["id"] == following.part["id"]
    assert slipway.desk.asking.asked != following.asked
    slipway.do("previous-clue")
    assert slipway.desk.asking.asked == following.asked


def test_a_figure_begins_the_runout_once_the_label_is_settled(slipway: Hands) -> None:
    finish_cover(slipway).key("1")
    while slipway.desk.asking.asked is not None and slipway.desk.asking.asked[1] != RUNOUT:
        slipway.key("1") if slipway.desk.clue and slipway.desk.clue.form != "cut" else slipway.do("next-clue")
    assert slipway.desk.asking.asked == ("runout A", RUNOUT)
    slipway.key("1", "enter")
    assert slipway.part["sides"]["A"]["typed"] == "1"
    slipway.enter("2")
    assert slipway.part["sides"]["B"]["typed"] == "2"
    assert slipway.desk.open.line is None
    assert slipway.desk.asking.asked is None


def test_a_runout_passed_over_is_not_asked_again(slipway: Hands) -> None:
    slipway.do("take-disc").grade("VG")
    for _ in range(20):
        if slipway.desk.asking.asked is None:
            break
        slipway.do("next-clue")
    assert slipway.desk.asking.asked is None
    assert not slipway.part.get("sides")
    following = ahead(slipway.desk)
    assert following is not None
    assert following.part["kind"] != "disc"


def test_the_first_side_comes_first_even_where_the_second_tells_more(parcel: Hands) -> None:
    parcel.find("moss u").do("take-disc")
    cuts = [asked[0] for asked in parcel.desk.asking.order if is_runout(parcel.desk, asked)]
    assert cuts == ["runout A", "runout B"]


def test_the_second_side_reads_as_the_first_by_one_sign(slipway: Hands) -> None:
    slipway.do("take-disc", "runout").enter("1 3gr")
    slipway.type("=")
    sides = slipway.part["sides"]
    assert (sides["B"]["cut"], sides["B"]["mother"], sides["B"]["stamper"]) == ("1", "3", "GR")
    assert sides["B"]["full"] != sides["A"]["full"], "each side has its own stem"
    assert slipway.desk.open.line is None


def test_the_sign_means_nothing_on_the_first_side(slipway: Hands) -> None:
    slipway.do("take-disc", "runout").type("=")
    assert slipway.desk.open.line is not None
    assert slipway.desk.open.line.text == "="


def test_undo_brings_the_question_back(slipway: Hands) -> None:
    first = slipway.desk.asking.asked
    slipway.key("1").do("undo")
    assert slipway.desk.asking.asked == first


def test_a_grade_takes_no_open_question_away(parcel: Hands) -> None:
    """Of a title without known pressings every question stays open: the digits must not change meaning."""
    parcel.type("Ada Fennimore - Sluice Songs - PRIV 1").do("line-new")
    parcel.key("1")
    open_now = parcel.desk.asking.asked
    parcel.grade("VG")
    assert parcel.desk.asking.asked == open_now
    assert ahead(parcel.desk) is None


def test_a_clue_jumped_to_on_a_finished_part_is_the_one_that_a_digit_answers(slipway: Hands) -> None:
    finish_cover(slipway)
    cover, was = slipway.part["id"], len(slipway.record["answers"])
    slipway.ask("price letters")
    assert ahead(slipway.desk) is None
    assert "Price letters" in shown(slipway)
    slipway.key("2")
    corrected = [one for one in slipway.record["answers"] if one["clue"] == "qm-price"]
    assert [(one["part"], len(slipway.record["answers"])) for one in corrected] == [(cover, was)]
    assert ahead(slipway.desk) is not None, "after it the next part's question is shown again"


def test_going_back_on_a_finished_part_shows_the_question_gone_back_to(slipway: Hands) -> None:
    finish_cover(slipway)
    slipway.do("previous-clue")
    assert ahead(slipway.desk) is None
    assert slipway.desk.asking.asked is not None


def test_graded_first_the_cover_is_still_asked_about(parcel: Hands) -> None:
    parcel.type("Ada Fennimore - Sluice Songs - PRIV 1").do("line-new")
    parcel.grade("VG").key("1")
    assert parcel.part["kind"] == "cover"


def test_where_the_question_stands_survives_leaving(slipway: Hands, sit: Sit) -> None:
    finish_cover(slipway)
    before, path = ahead(slipway.desk), slipway.desk.shop.path
    slipway.leave()
    again = sit(path)
    after = ahead(again.desk)
    assert before is not None
    assert after is not None
    assert (after.part["id"], after.asked) == (before.part["id"], before.asked)


def test_taken_in_at_the_worked_price_that_is_shown(slipway: Hands) -> None:
    finish_cover(slipway).do("take-disc").grade("VG")
    assert slipway.record["price"] is None
    slipway.do("take-in")
    taken = slipway.at(1)
    assert taken["state"] == "taken-in"
    assert taken["price"] is not None
    assert taken["price"]["how"] == "worked"
    assert " at " in slipway.said
    slipway.key("\\")
    assert slipway.desk.open.line is not None
    assert slipway.desk.open.line.text == "", "a take-in pressed twice is no title"
    slipway.do("line-leave", "undo")
    assert slipway.at(1)["price"] is None, "one step takes back both"


def test_a_disc_that_no_answer_dates_is_asked_what_dates_it_best_even_when_settled(parcel: Hands) -> None:
    """The label print would tell a disc swapped into an old cover; what it says of channels would not."""
    parcel.find("tin").key("2", "2", "2").grade("VG")
    following = ahead(parcel.desk)
    assert following is not None
    assert following.asked == ("label A", "qm-label")


def test_a_wanted_question_is_not_lost_while_the_runouts_are_written(parcel: Hands) -> None:
    parcel.find("co").key("1", "1", "2").grade("VG").do("take-disc")
    parcel.key("0")
    assert parcel.desk.asking.asked is not None
    assert parcel.desk.asking.asked[0] == "runout A"
    parcel.key("2", "enter").enter("1")
    assert parcel.desk.asking.asked == ("label A", "qm-label")


def test_the_same_sign_answers_the_second_runout_before_its_line_is_open(slipway: Hands) -> None:
    slipway.do("take-disc", "runout").enter("1 3gr").do("line-leave")
    while slipway.desk.asking.asked is None or slipway.desk.asking.asked[1] != RUNOUT:
        slipway.do("next-clue")
    slipway.key("=")
    assert slipway.part["sides"]["B"]["stamper"] == "GR"


def test_a_side_left_open_is_said(slipway: Hands) -> None:
    slipway.do("take-disc", "runout").enter("1").do("line-accept")
    assert slipway.said == "runout B left open"


def test_the_second_side_s_line_says_what_became_of_the_first(slipway: Hands) -> None:
    slipway.do("take-disc", "runout").enter("1")
    assert slipway.desk.open.line is not None
    assert "the first side is 1" in slipway.desk.open.line.about
