"""A bought part that moves takes what of the cost the dealer says with it."""

import re
from typing import Any

import pytest
from bench_hands import Hands
from seen import page_rows, view_rows

from benchtui.bench.pieces import FANCY
from benchtui.desk.core.page_parts import PageView
from benchtui.desk.pages.record_life import money
from benchtui.desk.parcel.result import result_of
from benchtui.model.record import is_here

DAY = r"\d{4}-\d\d-\d\d"
"""The store's own clock dates a move."""


def _pay(hands: Hands, minor: int, **more: Any) -> None:
    """The parcel's price, in pounds unless told otherwise."""
    charge = {
        "what": "price",
        "minor": minor,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    assert hands.desk.work.parcel is not None
    with hands.desk.work.parcel.action("paid") as change:
        change.head["charges"] = [{**charge, **more}]  # type: ignore[typeddict-item]


@pytest.fixture
def two(parcel: Hands) -> Hands:
    """Three records that cost 30.00 together, the others without a cover; the first one's in the hand."""
    parcel.ready().do("take-in")
    parcel.ready().do("take-in")
    parcel.find("lo")
    _pay(parcel, 3000)
    _to_cover(parcel, 3).do("not-here")
    _to_cover(parcel, 2).do("not-here")
    return _to_cover(parcel, 1)


def _to_cover(hands: Hands, no: int) -> Hands:
    hands.do("jump-record").enter(str(no))
    hands.take("cover")
    return hands


def _shares(hands: Hands) -> list[int]:
    return [row.share.cost_share.minor for row in result_of(hands.desk).rows]


def _shown(lines: list[Any]) -> str:
    return "\n".join("".join(text for text, _ in line) for line in lines)


def _ask(hands: Hands, to: str = "2") -> Any:
    line = hands.do("record-page", "record-move").enter(to).desk.open.line
    assert line is not None
    assert line.name == "move-cost"
    return line


def test_the_amount_goes_from_the_one_share_to_the_other_and_undo_takes_it_back(two: Hands) -> None:
    before = _shares(two)
    paid = [row.share.margin_purchase_price for row in result_of(two.desk).rows]
    line = _ask(two)
    assert "10.00 GBP" in line.about
    two.enter("2.50")
    assert "2.50 GBP of cost with it; undo puts it back" in two.said
    assert _shares(two) == [before[0] - 250, before[1] + 250, *before[2:]]
    assert [row.share.margin_purchase_price for row in result_of(two.desk).rows] == paid
    two.do("page-leave", "undo")
    assert _shares(two) == before
    assert is_here(next(part for part in two.at(1)["parts"] if part["kind"] == "cover"))


def test_enter_alone_moves_no_cost(two: Hands) -> None:
    before = _shares(two)
    _ask(two)
    two.enter()
    assert not any(record.get("cost_moved") for record in two.desk.work.records)
    assert _shares(two) == before
    assert any(part["kind"] == "cover" and is_here(part) for part in two.at(2)["parts"])


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("10.01", "more than the record's cost share, 10.00 GBP"),
        ("-1", "-1"),
        ("5 EUR", "EUR"),
        ("a [b]", "a [b]"),
    ],
)
def test_what_cannot_go_is_refused_and_the_text_stays(two: Hands, typed: str, said: str) -> None:
    _ask(two)
    two.enter(typed)
    assert two.refused
    assert said in two.said
    assert two.desk.open.line is not None
    assert two.desk.open.line.text == typed
    two.do("line-leave")
    assert any(part["kind"] == "cover" and is_here(part) for part in two.at(1)["parts"])


def test_both_records_money_says_what_moved_when_and_where(two: Hands) -> None:
    _ask(two)
    two.enter("2.50")
    said = _money(two, 1)
    assert "7.50 GBP: 10.00 GBP of 30.00 GBP it cost to get here" in said
    assert re.search(f"less 2.50 GBP with the cover to record 2, {DAY}", said)
    said = _money(two, 2)
    assert re.search(f"plus 2.50 GBP with the cover from record 1, {DAY}", said)


def test_a_part_moved_back_offers_what_came_with_it(two: Hands) -> None:
    before = _shares(two)
    _ask(two)
    two.enter("2.50").do("page-leave")
    cover = next(part["id"] for part in two.at(2)["parts"] if part["kind"] == "cover" and is_here(part))
    two.do("jump-record").enter("2")
    while two.part["id"] != cover:
        two.do("take-cover")
    line = _ask(two, "1")
    assert line.text == "2.50"
    assert "so much came with it" in line.about
    two.do("line-accept")
    assert _shares(two) == before


def test_an_open_question_is_there_again_after_the_bench_was_left(two: Hands, sit: Any) -> None:
    _ask(two)
    two.type("2")
    path = two.desk.shop.path
    two.leave()
    again = sit(path)
    assert again.desk.open.line is not None
    assert (again.desk.open.line.name, again.desk.open.line.text) == ("move-cost", "2")
    again.type(".50").do("line-accept")
    assert again.at(2)["cost_moved"][0]["minor"] == 250


def test_a_share_that_is_not_known_sets_no_bound(two: Hands) -> None:
    _pay(two, 3000, currency="EUR")
    line = _ask(two)
    assert "not known yet" in line.about
    two.enter("2.50")
    assert two.at(2)["cost_moved"][0]["minor"] == 250


def test_a_parcel_that_cost_nothing_is_not_asked(two: Hands) -> None:
    _pay(two, 0)
    two.do("record-page", "record-move").enter("2")
    assert two.desk.open.line is None
    assert "moved to" in two.said


def test_between_parcels_both_say_so_and_a_move_back_takes_it_back(two: Hands) -> None:
    stock, first = two.at(2)["stock"], two.head["id"]
    two.new_parcel(1)
    two.ready("lo")
    _pay(two, 800)
    two.take("cover")
    _ask(two, str(stock))
    two.enter("3").key("m")
    assert _shares(two) == [500]
    assert "cost that went with parts to other parcels: 3.00 GBP" in _page(two)
    parcel = two.desk.shop.open_parcel(first, read_only=True)
    moved = parcel.records[1]["cost_moved"]
    parcel.close()
    assert moved[0]["from"] == [two.head["id"], two.record["id"]]
    assert moved[0]["minor"] == 300


def _page(hands: Hands) -> str:
    hands.do("page-parcel", "result-page")
    return _shown(page_rows(hands.desk, 80, 40, FANCY))


def _money(hands: Hands, no: int) -> str:
    sections = tuple(money(hands.desk, hands.at(no)))
    return _shown(view_rows(PageView((), sections=sections), 100))
