"""A pressing that the dealer made and priced is priced at the next copy: by the price before, as it is graded."""

import pytest
from bench_hands import Hands

from benchtui.bench.asked import question_now
from benchtui.bench.pieces import FANCY
from benchtui.bench.widgets.pressing import pressing_rows
from benchtui.desk.hand.prices import price_source, worked_for


def _one(hands: Hands, disc: str, shade: str, made: bool = False) -> Hands:
    """A record of a title that no book describes, all graded; ``made``: its pressing is the first of it."""
    if hands.desk.open.page is not None:
        hands.do("page-leave")
    hands.find("Orla Finch - Coal Barges - OF 12 - 1961")
    hands.take("cover")
    hands.do("answer-1")  # something seen, by which to know it again
    hands.grade("VG", "+")
    hands.take("disc")
    hands.grade(disc, shade)
    hands.do("pressing")
    if not made:
        assert hands.desk.open.menu is not None
        return hands.key(next(one.key for one in hands.desk.open.menu.choices if "black barge" in one.words))
    hands.key("n")
    if hands.desk.open.menu is not None:  # what makes the difference
        hands.key("n")
    return hands.enter("black barge")


@pytest.fixture
def priced(parcel: Hands) -> Hands:
    """The first copy, priced by hand and taken in."""
    _one(parcel, "VG", "+", made=True).do("price-hand").enter("17.30")
    return parcel.do("take-in")


def _worked(hands: Hands) -> str:
    worked = worked_for(hands.desk)
    assert worked is not None
    return worked.price.plain() if worked.price else worked.say


def test_the_next_copy_asks_what_the_last_one_asked(priced: Hands) -> None:
    _one(priced, "VG", "+")
    assert _worked(priced) == "17.30"
    number = priced.record["no"]
    priced.do("take-in")
    taken = priced.at(number)
    assert taken["state"] == "taken-in"
    assert taken["price"] == {"minor": 1730, "currency": "GBP", "how": "worked"}


def test_a_copy_like_the_one_before_is_not_called_unlike_nor_asked_about_marks_of_another_time(
    priced: Hands,
) -> None:
    priced.find("Orla Finch - Coal Barges")
    priced.take("cover")
    priced.do("answer-1")
    shown = question_now(priced.desk)
    assert shown is None or "late" not in shown.asked[1]
    weighing = priced.desk.weighing()
    assert weighing is not None
    assert weighing.pressings[0].id is None, "one copy seen makes no pressing sure"
    said = " ".join(text for line in pressing_rows(priced.desk, 70, 30, FANCY) for text, _ in line)
    assert "as 'black barge' so far" in said
    assert "unlike" not in said


def test_a_worse_copy_asks_less_and_says_where_it_is_from(priced: Hands) -> None:
    _one(priced, "G", "")
    assert 0 < float(_worked(priced)) < 17.30
    priced.do("price-accept")
    assert priced.record["price"] is not None
    assert price_source(priced.desk, priced.record["price"]) == "by your last price"


def test_a_copy_does_not_go_by_its_own_price_and_a_price_put_right_is_gone_by(priced: Hands) -> None:
    if priced.desk.open.line is not None:
        priced.key("escape")
    priced.do("previous-record")
    assert _worked(priced).startswith("no sale seen")
    priced.do("price-hand").enter("21")
    _one(priced.do("next-record"), "VG", "+")
    assert _worked(priced) == "21.00"
