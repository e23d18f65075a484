"""Regrading blind on the bench: no grade is shown, nothing is lost, the end says how far one agrees."""

import re

import pytest
from bench_hands import Hands, Sit
from seen import page_rows, queue_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.queue.background import work_on
from benchtui.desk.record.regrading import sample
from benchtui.store import Shop


@pytest.fixture
def stock(parcel: Hands) -> Hands:
    """Two records in stock, six parts graded VG+; the third is not begun."""
    parcel.ready().do("take-in")
    parcel.ready().do("take-in")
    return parcel.do("line-leave")


def start(hands: Hands, size: str = "1") -> Hands:
    """The page from the list of every command, and a sample of ten."""
    hands.do("commands").enter("regrade")
    if size and hands.desk.open.menu is not None:
        hands.key(size)
        while work_on(hands.desk):
            pass
    return hands


def drawn(hands: Hands, width: int = 80, height: int = 17) -> str:
    return text_of(page_rows(hands.desk, width, height, FANCY))


def parts_of_sample(hands: Hands) -> int:
    return len(sample(hands.desk))


def test_the_page_shows_number_part_and_title_and_never_a_grade(stock: Hands) -> None:
    count = parts_of_sample(start(stock))
    assert count >= 4
    assert stock.desk.open.line is not None
    assert stock.desk.open.line.name == "regrade"
    first = sample(stock.desk)[0]
    assert stock.desk.open.line.label == f"grade of {first['stock']}, {first['part']}"
    said = drawn(stock)
    assert str(stock.at(1)["stock"]) in said
    assert "The Quayside Bafflers, Bafflers on the Breakwater" in said
    assert "VG" not in said
    stock.enter("NM")
    assert "NM" not in drawn(stock), "nor the one just given"
    assert f"1 of {count} done" in drawn(stock)
    assert "VG" not in text_of(queue_rows(stock.desk, 80, FANCY)), "nor on the strip above"
    stock.do("line-leave", "page-leave")
    assert "VG+" in text_of(queue_rows(stock.desk, 80, FANCY))


def test_it_goes_on_to_the_next_and_at_the_end_says_kappa_and_drift(stock: Hands) -> None:
    count = parts_of_sample(start(stock))
    stock.enter("vg")
    for _ in range(count - 1):
        assert stock.desk.open.line is not None
        stock.enter("v+")
    assert stock.desk.open.line is None
    assert stock.desk.open.page is not None
    assert stock.desk.open.page.name == "regraded"
    said = drawn(stock, height=40)
    assert f"American: {count} parts, weighted kappa 0.00" in said, (
        "one grade at first: chance agrees as well"
    )
    assert re.search(rf"VG\+ +{re.escape(f'{-1 / count:+.2f}')} +over {count}", said)
    assert f"same step {(count - 1) / count:.0%}" in said
    assert re.search("VG\\+ then +VG now", said)


def test_it_is_left_and_gone_on_with_after_the_bench_was_closed(stock: Hands, sit: Sit) -> None:
    count = parts_of_sample(start(stock))
    stock.enter("VG").type("N")
    path = stock.desk.shop.path
    stock.leave()
    again = sit(path)
    assert again.desk.open.line is not None
    assert again.desk.open.line.text == "N", "what was typed is there too"
    assert f"1 of {count} done" in drawn(again)
    again.type("M").do("line-accept")
    assert [one["given"] for one in sample(again.desk)][:3] == ["VG", "NM", ""]
    again.do("line-leave", "page-leave", "line-leave")
    start(again, "")
    assert again.desk.open.line is not None
    assert again.desk.open.line.data["at"] == 2


@pytest.mark.parametrize("typed", ["lovely", "[VG]", "VG++", "x"])
def test_what_the_scale_does_not_have_is_refused_and_stays(stock: Hands, typed: str) -> None:
    start(stock).enter(typed)
    assert stock.refused
    assert "American" in stock.said
    assert stock.desk.open.line is not None
    assert stock.desk.open.line.text == typed
    assert not any(one["given"] for one in sample(stock.desk))


def test_what_is_not_found_is_passed_over_and_counts_for_nothing(stock: Hands) -> None:
    count = parts_of_sample(start(stock))
    for _ in range(count):
        stock.enter("-")
    said = drawn(stock)
    assert "nothing was graded twice" in said
    assert f"skipped: {count}" in said


def test_a_slip_is_mended_by_marking_the_line_again(stock: Hands) -> None:
    start(stock).enter("P").do("line-leave", "page-up", "page-enter")
    assert stock.desk.open.line is not None
    assert stock.desk.open.line.data["at"] == 0
    stock.enter("VG+")
    assert sample(stock.desk)[0]["given"] == "VG+"


def test_what_escape_left_at_one_part_does_not_come_back_at_another(stock: Hands) -> None:
    start(stock).type("N").do("line-leave", "page-down", "page-enter")
    assert stock.desk.open.line is not None
    assert (stock.desk.open.line.data["at"], stock.desk.open.line.text) == (1, "")
    stock.do("line-leave", "page-up", "page-enter")
    assert stock.desk.open.line.text == "N"


def test_a_new_sample_is_drawn_from_the_page_of_the_results(stock: Hands) -> None:
    count = parts_of_sample(start(stock))
    for _ in range(count):
        stock.enter("VG+")
    stock.do("page-enter").key("1")
    while work_on(stock.desk):
        pass
    assert parts_of_sample(stock) == count
    assert not any(one["given"] for one in sample(stock.desk))
    assert stock.desk.open.line is not None


def test_a_shop_with_nothing_graded_says_so(parcel: Hands) -> None:
    start(parcel.do("line-leave"))
    assert parcel.refused
    assert "nothing in stock is graded" in parcel.said


def test_two_benches_at_one_sample_lose_none_of_each_other_s_grades(stock: Hands) -> None:
    start(stock)
    other = Shop.open(stock.desk.shop.path)
    try:

        def third(doc):  # type: ignore[no-untyped-def]
            doc["items"][2]["given"] = "NM"
            return doc

        other.update_setting("regrading", third)
    finally:
        other.close()
    stock.enter("VG")
    assert [one["given"] for one in sample(stock.desk)][:3] == ["VG", "", "NM"]


def test_the_records_themselves_are_not_touched(stock: Hands) -> None:
    before = [dict(record) for record in stock.desk.work.records]
    start(stock).enter("P")
    assert [dict(record) for record in stock.desk.work.records] == before
