"""Life after the bench: dated events, closed days, and no record sold twice."""

import contextlib
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money import life
from benchtui.money.life import When
from benchtui.money.standings import effective, flows, standing, unsound

TODAY = date(2026, 11, 25)
PRICE = Money(2400, "GBP")
Make = Callable[..., RecordDoc]


def on(day: str, closed: str = "") -> When:
    return When(day, TODAY, closed)


@pytest.fixture
def record(make_record: Make) -> RecordDoc:
    return make_record(1)


def test_a_record_is_shelved_held_released_and_sold(record: RecordDoc) -> None:
    record["life"].append(life.shelve(record, on("2026-11-03"), "B 4"))
    record["life"].append(life.hold(record, on("2026-11-04"), "Mrs Larch", "2026-11-10"))
    now = standing(record, "2026-11-05")
    assert (now.shelf, now.held_for, now.held_until) == ("B 4", "Mrs Larch", "2026-11-10")
    assert standing(record, "2026-11-11").held_for == ""
    record["life"].append(life.release(record, on("2026-11-06")))
    assert standing(record, "2026-11-06").held_for == ""
    record["life"].append(life.sell(record, on("2026-11-07"), PRICE, buyer="Mr Elder", invoice="12"))
    now = standing(record)
    assert (now.what, now.since, now.price) == ("sold", "2026-11-07", PRICE)
    assert now.sale == {
        "n": 4,
        "at": "2026-11-07",
        "what": "sold",
        "booked": "2026-11-25",
        "minor": 2400,
        "currency": "GBP",
        "buyer": "Mr Elder",
        "invoice": "12",
    }


def test_what_is_held_sells_to_the_one_it_is_held_for(record: RecordDoc) -> None:
    assert life.hold(record, on("2026-11-04"), "Mrs Larch", "2026-11-04")["until"] == "2026-11-04"
    record["life"].append(life.hold(record, on("2026-11-04"), "Mrs Larch", "2026-11-10"))
    with pytest.raises(BenchError, match="held for Mrs Larch"):
        life.sell(record, on("2026-11-05"), PRICE, buyer="Mr Elder")
    assert life.sell(record, on("2026-11-05"), PRICE, buyer="Mrs Larch")["what"] == "sold"
    assert life.sell(record, on("2026-11-12"), PRICE, buyer="Mr Elder")["what"] == "sold"


def test_a_stock_number_is_not_sold_twice(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-11-07"), PRICE))
    with pytest.raises(BenchError, match=r"A00001 cannot be sold: it was sold on 2026-11-07"):
        life.sell(record, on("2026-11-08"), PRICE)


def test_a_return_brings_it_back_and_it_can_be_sold_again(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-11-07"), PRICE))
    record["life"].append(life.take_back(record, on("2026-11-09"), "a click on side B"))
    assert (standing(record).what, standing(record).returns) == ("in the shop", 1)
    record["life"].append(life.sell(record, on("2026-11-10"), Money(1800, "GBP")))
    assert standing(record).price == Money(1800, "GBP")
    assert [(flow.at, flow.minor) for flow in flows(record)] == [
        ("2026-11-07", 2400),
        ("2026-11-09", -2400),
        ("2026-11-10", 1800),
    ]


def test_part_refunds_lower_what_was_taken_and_never_exceed_it(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-11-07"), PRICE))
    record["life"].append(life.refund_part(record, on("2026-11-08"), Money(400, "GBP")))
    assert standing(record).price == Money(2000, "GBP")
    with pytest.raises(BenchError, match="at most 20"):
        life.refund_part(record, on("2026-11-08"), Money(2001, "GBP"))
    for wrong in (Money(2001, "GBP"), Money(100, "EUR"), Money(0, "GBP")):
        with pytest.raises(BenchError, match="at most 20"):
            life.refund_part(record, on("2026-11-09"), wrong)
    for wrong in (Money(2001, "GBP"), Money(100, "EUR")):
        with pytest.raises(BenchError, match="at most 20"):
            life.take_back(record, on("2026-11-09"), refund=wrong)
    record["life"].append(life.take_back(record, on("2026-11-09")))
    assert record["life"][-1]["minor"] == 2000
    assert sum(flow.minor for flow in flows(record)) == 0


def test_handed_back_and_scrapped_records_are_gone(make_record: Make) -> None:
    for number, event in ((1, life.hand_back), (2, life.scrap)):
        record = make_record(number)
        record["life"].append(event(record, on("2026-11-07"), "warped"))
        with pytest.raises(BenchError, match="cannot be sold"):
            life.sell(record, on("2026-11-08"), PRICE)


def test_a_sale_before_the_purchase_is_refused(record: RecordDoc) -> None:
    with pytest.raises(BenchError, match="before it came on 2026-11-02"):
        life.sell(record, on("2026-11-01"), PRICE, bought_on="2026-11-02")
    assert life.sell(record, on("2026-11-02"), PRICE, bought_on="2026-11-02")["at"] == "2026-11-02"


@pytest.mark.parametrize(
    "day", ["2026-11-26", "2026-02-30", "26-11-01", "today", "", "2026-11-01x", "20261101"]
)
def test_a_day_that_has_not_come_or_is_none_is_refused(record: RecordDoc, day: str) -> None:
    with pytest.raises(BenchError):
        life.sell(record, on(day), PRICE)


@pytest.mark.parametrize("price", [Money(-1, "GBP"), Money(10**11, "GBP")])
def test_a_price_below_zero_or_absurd_is_refused(record: RecordDoc, price: Money) -> None:
    with pytest.raises(BenchError, match=r"below zero|too large"):
        life.sell(record, on("2026-11-07"), price)


def test_what_is_set_apart_or_has_no_number_is_not_sold(make_record: Make) -> None:
    apart = make_record(1, set_apart={"why": "mould", "note": "", "at": ""})
    with pytest.raises(BenchError, match="set apart"):
        life.sell(apart, on("2026-11-07"), PRICE)
    with pytest.raises(BenchError, match="no stock number"):
        life.sell(make_record(2, stock=None), on("2026-11-07"), PRICE)
    with pytest.raises(BenchError, match="no stock number"):
        life.sell(make_record(3, state="withdrawn"), on("2026-11-07"), PRICE)


def test_a_price_under_the_reserve_needs_the_consignors_word(make_record: Make) -> None:
    record = make_record(1, terms="consigned", reserve={"minor": 3000, "currency": "GBP"})
    with pytest.raises(BenchError, match="under the reserve"):
        life.sell(record, on("2026-11-07"), PRICE)
    assert life.sell(record, on("2026-11-07"), PRICE, agreed="by telephone, 6 November")["agreed"]


def test_a_closed_day_takes_no_event_but_a_later_correction(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE, buyer="Mr Elder"))
    with pytest.raises(BenchError, match="books are closed to 2026-10-31"):
        life.take_back(record, on("2026-10-20", "2026-10-31"))
    fix = life.correct(record, on("2026-11-05", "2026-10-31"), 1, "the slip says 21", {"minor": 2100})
    record["life"].append(fix)
    assert standing(record).price == Money(2100, "GBP")
    assert standing(record, "2026-10-31").price == PRICE
    assert record["life"][0]["minor"] == 2400
    assert [(flow.at, flow.minor) for flow in flows(record)] == [("2026-10-07", 2400), ("2026-11-05", -300)]


def test_two_corrections_of_one_event_both_hold(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE, buyer="Mr Elder"))
    record["life"].append(life.correct(record, on("2026-11-05"), 1, "price", {"minor": 2100}))
    record["life"].append(life.correct(record, on("2026-11-06"), 1, "buyer", {"buyer": "Mrs Elder"}))
    (event,) = effective(record)
    assert (event["minor"], event["buyer"]) == (2100, "Mrs Elder")
    assert sum(flow.minor for flow in flows(record)) == 2100


def test_a_voided_sale_puts_the_record_back(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE))
    record["life"].append(life.correct(record, on("2026-11-05"), 1, "wrong number", None))
    assert standing(record).what == "in the shop"
    assert sum(flow.minor for flow in flows(record)) == 0
    assert life.sell(record, on("2026-11-06"), PRICE)["n"] == 3


def test_a_sale_that_was_refunded_is_not_voided_from_under_the_refund(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE))
    record["life"].append(life.take_back(record, on("2026-10-09")))
    with pytest.raises(BenchError, match="than was taken"):
        life.correct(record, on("2026-11-05"), 1, "wrong number", None)


@pytest.mark.parametrize(
    ("of", "now"),
    [
        (7, None),
        (1, {"what": "scrapped"}),
        (1, {"n": 3}),
        (1, {"currency": "EUR"}),
        (1, {"minor": -5}),
        (1, {"minor": 5.0}),
        (1, {"at": "2027-01-01"}),
    ],
)
def test_a_correction_that_cannot_be_right_is_refused(record: RecordDoc, of: int, now: Any) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE))
    with pytest.raises(BenchError):
        life.correct(record, on("2026-11-05"), of, "a slip", now)


def test_words_that_have_to_be_there_are_asked_for(record: RecordDoc) -> None:
    for attempt in (
        lambda: life.shelve(record, on("2026-11-03"), " "),
        lambda: life.hold(record, on("2026-11-03"), "", "2026-11-05"),
        lambda: life.hold(record, on("2026-11-03"), "Mrs Larch", "2026-11-01"),
        lambda: life.scrap(record, on("2026-11-03"), ""),
        lambda: life.release(record, on("2026-11-03")),
        lambda: life.take_back(record, on("2026-11-03")),
        lambda: life.refund_part(record, on("2026-11-03"), Money(1, "GBP")),
        lambda: life.pay_out(record, on("2026-11-03"), Money(0, "GBP")),
    ):
        with pytest.raises(BenchError):
            attempt()


def test_the_functions_leave_the_record_alone(record: RecordDoc) -> None:
    life.sell(record, on("2026-11-07"), PRICE)
    assert record["life"] == []


def test_a_voided_sale_does_not_come_back_once_it_was_sold_again(record: RecordDoc) -> None:
    record["life"].append(life.sell(record, on("2026-10-07"), PRICE))
    record["life"].append(life.correct(record, on("2026-10-08"), 1, "wrong number", None))
    record["life"].append(life.sell(record, on("2026-10-09"), PRICE))
    with pytest.raises(BenchError, match="though it was sold"):
        life.correct(record, on("2026-10-10"), 1, "it was right", {"minor": 2400})


@pytest.mark.parametrize(
    "event",
    [
        {"n": 1, "at": "2026-10-07", "what": "eaten"},
        {"at": "2026-10-07", "what": "sold"},
        {"n": 1, "what": "sold"},
        {"n": 1, "at": "2026-10-07", "what": "sold"},
    ],
)
def test_an_event_edited_from_outside_into_nonsense_is_told(record: RecordDoc, event: Any) -> None:
    record["life"].append(event)
    for read in (standing, flows):
        with pytest.raises(BenchError, match="record 1"):
            read(record)


def attempt(record: RecordDoc, action: str, minor: int, when: When) -> Any:
    money, number = Money(minor, "GBP"), minor % (len(record["life"]) + 1)
    if action in ("void", "reprice"):
        return life.correct(record, when, number, "slip", None if action == "void" else {"minor": minor})
    if action in ("sell", "refund", "pay"):
        verbs: dict[str, Any] = {"sell": life.sell, "refund": life.refund_part, "pay": life.pay_out}
        return verbs[action](record, when, money)
    return {"take_back": life.take_back, "hand_back": life.hand_back}[action](record, when)


ACTIONS = st.sampled_from(["sell", "sell", "take_back", "refund", "void", "reprice", "hand_back", "pay"])


@given(st.lists(st.tuples(ACTIONS, st.integers(1, 5000), st.integers(1, 28)), max_size=25))
def test_whatever_is_entered_takings_never_fall_below_zero_and_the_life_holds(steps: Any) -> None:
    record = empty_record(1)
    record["state"], record["stock"] = "taken-in", "A00001"
    for action, minor, day in steps:
        with contextlib.suppress(BenchError):
            record["life"].append(attempt(record, action, minor, on(f"2026-10-{day:02}")))
    now = standing(record)
    kept = now.price.minor if now.price else 0
    assert 0 <= kept <= sum(flow.minor for flow in flows(record))
    assert unsound(record) == ""
    assert [event["n"] for event in record["life"]] == list(range(1, len(record["life"]) + 1))
