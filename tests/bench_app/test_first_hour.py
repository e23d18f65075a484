"""What stopped somebody who sat down for the first time: each stumble, and that it is gone."""

from pathlib import Path

from bench_hands import Hands, Sit
from seen import pane_rows, record_rows, shown

from benchtui.bench.pieces import FANCY, Line
from benchtui.bench.widgets.keyline import draw_legend
from benchtui.desk.keyboard.perform import run
from benchtui.desk.queue.background import work_on
from benchtui.desk.session import setup
from benchtui.store import Shop
from benchtui.titles.takein import take_in


def text_of(lines: list[Line]) -> str:
    return "\n".join("".join(text for text, _ in line) for line in lines)


def whole(hands: Hands) -> Hands:
    """Graded and priced: nothing is missing."""
    hands.take("cover")
    hands.grade("VG").take("disc")
    return hands.grade("VG").do("price-hand").enter("12")


def test_going_on_from_a_record_half_done_says_so_loudly(breakwater: Hands) -> None:
    breakwater.do("later")
    assert breakwater.refused
    assert "record 1 is left unfinished, lacks" in breakwater.said


def test_going_on_from_a_record_that_lacks_nothing_is_no_news(breakwater: Hands) -> None:
    whole(breakwater).do("later")
    assert not breakwater.refused


def test_a_lower_grade_after_taking_in_says_what_the_price_was_worked_at(demo: Hands) -> None:
    priced = next(one for one in demo.desk.work.records if one["price"] and one["price"]["how"] == "worked")
    demo.do("line-leave", "jump-record").enter(str(priced["no"])).take("disc")
    demo.grade("P")
    assert demo.refused
    assert "was worked out at the old grade" in demo.said
    demo.do("price-accept")
    assert demo.record["price"] != priced["price"]
    run(demo.desk, "sell")
    demo.enter(f"{priced['stock']}; ; 60; M. Larch").take("disc")
    demo.grade("VG")
    assert "was worked out" not in demo.said, "nobody will pay it any more"


def test_a_closed_title_line_is_not_asked_for_as_if_it_were_open(parcel: Hands) -> None:
    assert "letters of artist, title or number" in shown(parcel.desk)
    parcel.do("line-leave")
    drawn = shown(parcel.desk)
    assert "letters of artist, title or number" not in drawn
    assert parcel.desk.key("find-title") in drawn


def test_what_is_sold_says_so_on_the_bench(breakwater: Hands) -> None:
    whole(breakwater).do("take-in").do("line-leave", "sell").enter("a1")
    breakwater.enter("; Ada").do("previous-record")
    assert breakwater.record["life"]
    assert "SOLD" in text_of(record_rows(breakwater.desk, 80, 20, FANCY))


def test_a_stock_number_without_its_noughts_is_found(breakwater: Hands) -> None:
    whole(breakwater).do("take-in").do("line-leave", "search").type("a1")
    line = breakwater.desk.open.line
    assert line is not None
    assert [pick.value.stock for pick in line.picks] == ["A00001"]


def test_a_figure_that_is_no_stock_number_is_still_searched_as_typed(breakwater: Hands) -> None:
    whole(breakwater).do("take-in").do("line-leave", "search").type("363")
    line = breakwater.desk.open.line
    assert line is not None
    assert [pick.value.stock for pick in line.picks] == ["A00001"]


def test_beside_an_open_runout_no_other_question_stands(breakwater: Hands) -> None:
    breakwater.do("take-disc", "runout")
    drawn = text_of(pane_rows(breakwater.desk, 40, 20, FANCY))
    assert "runout A" in drawn
    assert "?" not in drawn.splitlines()[1]


def test_a_list_of_choices_stands_beside_no_question(breakwater: Hands) -> None:
    breakwater.do("fault")
    assert breakwater.desk.open.menu is not None
    assert breakwater.desk.open.menu.title in text_of(pane_rows(breakwater.desk, 60, 20, FANCY))


def test_before_the_disc_was_seen_a_pressing_is_expected_not_settled(parcel: Hands) -> None:
    parcel.find("tin").key("2", "2", "2")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.settled
    assert "Pressing expected" in text_of(pane_rows(parcel.desk, 60, 20, FANCY))
    parcel.take("disc")
    parcel.key("1")
    assert "expected" not in text_of(pane_rows(parcel.desk, 60, 20, FANCY))


def test_a_price_by_hand_can_be_set_again_and_the_legend_says_how(breakwater: Hands) -> None:
    whole(breakwater)
    assert "price" in text_of(draw_legend(breakwater.desk, 200))


def test_taken_in_repeats_the_price_given_by_hand(breakwater: Hands) -> None:
    whole(breakwater).do("take-in")
    assert "at 12.00 GBP" in breakwater.said


def test_the_days_intake_names_what_has_no_price(breakwater: Hands) -> None:
    breakwater.do("take-in", "take-in").do("line-leave", "export-day")
    assert "without a price: A00001" in breakwater.said


def test_a_shop_that_knows_no_title_says_so_while_one_is_typed(tmp_path: Path, sit: Sit) -> None:
    Shop.create(tmp_path / "bare").close()
    bare = sit(tmp_path / "bare").new_parcel(1)
    bare.type("pin")
    assert "no titles are known yet" in bare.said


def test_a_part_in_doubt_has_the_key_that_says_whether_it_belongs_in_the_legend(parcel: Hands) -> None:
    parcel.find("tin").key("2", "2", "2").grade("VG").take("disc")
    parcel.ask("says").answer("nothing").ask("rim").answer("heard").do("runout").enter("1").enter("1")
    parcel.take("cover")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.agreement[parcel.part["id"]].p_swapped >= 0.2
    assert "belongs?" in text_of(draw_legend(parcel.desk, 120))


def test_a_clue_is_found_by_what_was_seen(parcel: Hands) -> None:
    parcel.find("tin").do("jump-clue").type("kelp")
    line = parcel.desk.open.line
    assert line is not None
    assert line.picks[0].value[1][1] == "tw-label"
    assert any("kelp paper" in text for text, _ in line.picks[0].spans)


def test_what_is_asked_comes_before_what_may_be_seen(parcel: Hands) -> None:
    parcel.find("tin").do("jump-clue").type("label")
    line = parcel.desk.open.line
    assert line is not None
    assert "Label paper" in line.picks[0].spans[0][0]


def test_a_grade_before_the_title_says_how_to_find_one(parcel: Hands) -> None:
    parcel.do("line-leave", "grade:VG")
    assert parcel.desk.key("find-title") in parcel.said
    assert "title" in parcel.said


def test_a_list_taken_in_outside_is_known_at_the_next_title_line(parcel: Hands) -> None:
    listed = parcel.desk.shop.path / "list.csv"
    listed.write_text("artist,title,catalogue\nMara Holt,Paper Harbour,RK 101\n", "utf-8")
    take_in(listed, parcel.desk.shop.path / "titles")
    parcel.do("line-leave", "find-title")
    while work_on(parcel.desk):
        pass
    parcel.enter("paper har")
    assert parcel.record["title"] is not None
    assert parcel.record["title"]["title"] == "Paper Harbour"


def test_enter_waits_for_lists_that_are_still_on_their_way(sit: Sit, empty_path: Path) -> None:
    listed = empty_path / "list.csv"
    listed.write_text("artist,title,catalogue\nMara Holt,Quuxly Moorings,RK 101\n", "utf-8")
    take_in(listed, empty_path / "titles")
    hands = sit(empty_path).new_parcel(1)
    hands.type("quux")
    assert hands.desk.open.line is not None
    assert not hands.desk.open.line.picks, "nothing is loaded yet"
    hands.do("line-accept")
    assert hands.record["title"] is not None
    assert hands.record["title"]["title"] == "Quuxly Moorings"


def test_a_key_of_the_record_pressed_on_a_page_says_where_it_works(breakwater: Hands) -> None:
    breakwater.do("parcel-page").key("ctrl+a")
    assert "works at the record" in breakwater.said


def test_undo_after_undo_stops_before_another_record_leaves_the_stock(breakwater: Hands) -> None:
    whole(breakwater).do("take-in")
    breakwater.enter("orr").do("undo")
    assert breakwater.record["title"] is None
    breakwater.do("undo")
    assert breakwater.refused
    assert "record 1 taken in as A00001" in breakwater.said
    assert breakwater.at(1)["state"] == "taken-in"
    breakwater.do("undo")
    assert breakwater.at(1)["state"] == "started"


def test_a_single_undo_of_a_take_in_asks_nothing(breakwater: Hands) -> None:
    whole(breakwater).do("take-in").do("line-leave", "undo")
    assert breakwater.at(1)["state"] == "started"


def test_on_the_empty_title_line_the_key_for_a_new_one_is_called_what_it_does(parcel: Hands) -> None:
    assert "repeat" in text_of(draw_legend(parcel.desk, 120))
    parcel.type("zz")
    drawn = text_of(draw_legend(parcel.desk, 120))
    assert "repeat" not in drawn
    assert "new" in drawn


def test_the_first_run_says_what_comes_next_and_how_a_field_is_chosen(empty: Hands) -> None:
    setup.begin(empty.desk)
    empty.enter().enter().enter()
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.name == "field-sender"
    assert empty.said.startswith(
        "the first parcel: Enter goes on. Your own field: Esc, then . and 'your field'"
    )
    empty.key("escape", ".").enter("your field")
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.name == "rule-field"
