"""The queue: adding, taking out, moving, skipping, jumping; parcels of no, one and five hundred records."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit, sit_down
from seen import middle_rows, page_rows, queue_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.keyboard import perform


def _order(hands: Hands) -> list[str]:
    return [record["id"] for record in hands.desk.work.records]


def test_a_record_is_added_at_the_end(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page", "page-add")
    assert [record["no"] for record in parcel.desk.work.records] == [1, 2, 3, 4]
    assert parcel.at(4)["state"] == "empty"


def test_a_record_added_after_one_was_withdrawn_is_the_one_on_the_bench(parcel: Hands) -> None:
    parcel.find("baf").do("parcel-page").mark(1).do("page-out")
    before = _order(parcel)
    parcel.do("page-add")
    assert _order(parcel) == [*before, parcel.record["id"]], "behind the others, none of which is renumbered"
    assert [record["no"] for record in parcel.desk.work.records] == [2, 3, 4]
    assert parcel.said.startswith("record 4 added")
    assert parcel.desk.open.line is not None, "its title line"
    assert parcel.record["state"] == "empty"


def test_an_empty_place_taken_out_is_gone_and_the_rest_move_up(parcel: Hands) -> None:
    ids = _order(parcel)
    parcel.do("line-leave", "parcel-page").mark(2).do("page-out")
    assert _order(parcel) == [ids[0], ids[2]]
    assert [record["no"] for record in parcel.desk.work.records] == [1, 2]
    parcel.do("page-leave", "line-leave", "undo")
    assert _order(parcel) == ids


def test_a_record_begun_that_is_taken_out_stays_in_the_file_as_withdrawn_with_its_number(
    parcel: Hands,
) -> None:
    parcel.ready().do("take-in")
    gone, stock = parcel.at(1)["id"], parcel.at(1)["stock"]
    parcel.do("line-leave", "parcel-page").mark(1).do("page-out").key("x")
    assert (gone in _order(parcel), parcel.said) == (
        True,
        "x is not one of the choices, which are 1 2: it stays in the parcel",
    )
    parcel.do("page-out").key("1")
    assert gone not in _order(parcel)
    assert parcel.desk.work.parcel is not None
    kept = parcel.desk.work.parcel.record(gone)
    assert (kept["state"], kept["stock"]) == ("withdrawn", stock)
    parcel.do("page-leave", "line-leave", "undo")
    assert parcel.at(1)["id"] == gone
    assert parcel.at(1)["state"] == "taken-in"


def test_taking_out_the_record_on_the_bench_leaves_the_bench_usable(breakwater: Hands) -> None:
    breakwater.do("parcel-page").mark(1).do("page-out", "page-leave")
    assert breakwater.desk.work.record is not None
    assert breakwater.record["state"] == "empty"


def test_records_are_moved_up_and_down_and_stop_at_the_ends(parcel: Hands) -> None:
    first, second, third = _order(parcel)
    parcel.do("line-leave", "parcel-page").mark(1).do("page-later")
    assert _order(parcel) == [second, first, third]
    parcel.do("page-later")
    assert _order(parcel) == [second, third, first]
    parcel.do("page-later")
    assert parcel.refused
    parcel.do("page-earlier", "page-earlier", "page-earlier")
    assert parcel.refused
    assert _order(parcel) == [first, second, third]


def test_a_record_is_moved_past_one_that_was_withdrawn(parcel: Hands) -> None:
    parcel.do("later") if parcel.desk.open.line is None else parcel.do("line-leave", "later")
    parcel.find("baf")
    first, middle, last = _order(parcel)
    parcel.do("parcel-page").mark(2).do("page-out").mark(1).do("page-later")
    assert _order(parcel) == [last, first]
    assert parcel.desk.work.parcel is not None
    assert parcel.desk.work.parcel.record(middle)["state"] == "withdrawn"


def test_skip_back_and_jump_go_where_they_say(parcel: Hands) -> None:
    parcel.find("baf").do("later")
    assert parcel.record["no"] == 2
    parcel.do("line-leave", "later")
    assert parcel.record["no"] == 3
    parcel.do("line-leave", "later")
    assert parcel.refused
    parcel.do("previous-record")
    assert parcel.record["no"] == 2
    parcel.do("previous-record")
    assert parcel.record["no"] == 1, "a title begins with no comma: its empty line lets the key through"
    parcel.do("later").type("a,")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == "a,"
    parcel.do("line-leave", "jump-record").enter("1")
    assert parcel.record["no"] == 1
    parcel.do("jump-record").enter("44")
    assert parcel.refused
    assert parcel.desk.open.line is not None


def test_a_skipped_record_keeps_what_was_said_of_it(breakwater: Hands) -> None:
    breakwater.grade("VG").do("later", "line-leave", "previous-record")
    cover = next(part for part in breakwater.record["parts"] if part["kind"] == "cover")
    assert cover["grades"][-1]["grade"] == "VG"
    assert breakwater.record["state"] == "started"


def test_coming_back_takes_up_the_part_that_still_wants_something(breakwater: Hands) -> None:
    breakwater.grade("VG").do("later", "line-leave", "previous-record")
    assert breakwater.part["kind"] == "disc"


def test_an_empty_parcel_says_so_and_takes_records_by_hand(empty: Hands) -> None:
    empty.new_parcel(0)
    assert empty.desk.work.record is None
    assert empty.desk.open.page is not None
    assert middle_rows(empty.desk, 80, 17, FANCY)
    empty.do("parcel-page", "page-add")
    assert empty.desk.open.line is not None, "its title line"
    assert "goes back to the page" in empty.said
    empty.find("baf")
    assert empty.record["title"] is not None


def test_a_parcel_of_one_ends_with_its_one_record(empty: Hands) -> None:
    empty.new_parcel(1).ready().do("take-in")
    assert [record["state"] for record in empty.desk.work.records] == ["taken-in"]
    assert empty.record["no"] == 1


def test_a_parcel_of_fifteen_goes_round_to_what_was_skipped(empty: Hands) -> None:
    empty.new_parcel(15).do("line-leave", "later")
    for _ in range(14):
        empty.ready().do("take-in")
    assert empty.record["no"] == 1
    assert sum(record["state"] == "taken-in" for record in empty.desk.work.records) == 14
    assert [record["stock"] for record in empty.desk.work.records[1:]] == [f"A{n:05}" for n in range(1, 15)]


def test_a_parcel_of_five_hundred_is_drawn_worked_and_opened_again(empty: Hands) -> None:
    empty.new_parcel(500)
    assert len(empty.desk.work.records) == 500
    empty.do("line-leave", "jump-record").enter("250")
    empty.ready().do("take-in")
    assert empty.record["no"] == 251
    for width, height in ((80, 17), (120, 33)):
        empty.do("line-leave") if empty.desk.open.line else None
        assert any("251" in text for line in queue_rows(empty.desk, width, FANCY) for text, _ in line)
        empty.do("parcel-page")
        assert page_rows(empty.desk, width, height)
        empty.do("page-leave")
    path = empty.desk.shop.path
    empty.leave()
    again = sit_down(path)
    assert again.record["no"] == 251
    assert again.at(250)["state"] == "taken-in"
    again.leave()


@pytest.mark.parametrize("letters", ["break", "A00001", "TW 363"])
def test_the_whole_shop_is_searched_and_one_stands_at_what_was_found(parcel: Hands, letters: str) -> None:
    parcel.ready().do("take-in")
    first = parcel.desk.work.parcel
    assert first is not None
    parcel.do("line-leave").new_parcel(2)
    assert parcel.desk.work.parcel is not first
    parcel.do("line-leave", "search").enter(letters)
    assert parcel.desk.work.parcel is not None
    assert parcel.desk.work.parcel.id == first.id
    assert parcel.record["no"] == 1
    assert parcel.record["stock"] == "A00001"


def test_searching_for_what_is_nowhere_says_so(parcel: Hands) -> None:
    parcel.do("line-leave", "search").enter("qqqqq zzzz")
    assert parcel.refused


@pytest.mark.parametrize(("keymap", "key"), [("two-hands", "Enter"), ("left-hand", "e"), ("number-pad", "5")])
def test_one_empty_record_says_what_to_do_with_it_and_the_others_nothing(
    keymap: str, key: str, demo_path: Path, sit: Sit
) -> None:
    hands = sit(demo_path, keymap).do("line-leave")
    perform.run(hands.desk, "parcel-page")
    told = f"empty: {key} on it, then type its title"
    for no in (3, 9, 12):
        hands.mark(no)
        rows = text_of(middle_rows(hands.desk, 80, 60, FANCY)).splitlines()
        said = [row for row in rows if "empty" in row]
        assert len(said) == 1
        assert told in said[0]
        assert f" {8 if no == 3 else no} " in said[0].partition("empty")[0]
    hands.do("page-enter")
    assert hands.record["no"] == 12
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.name == "title"
