"""What is given back of a sale in another currency: at the sale's rate, the last of it what is left."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.creditline import Back, read_credit_line, shared_out
from benchtui.money.deal import Extras, deal_fields
from benchtui.money.life import When
from benchtui.money.refunds import left_in, refund_of

TODAY = date(2026, 11, 25)
WHEN = When("2026-11-20", TODAY)


def sold(
    make_record: Callable[..., RecordDoc], minor: int, code: str, rate: str = "", **extra: Any
) -> RecordDoc:
    record = make_record(1)
    (own,) = deal_fields([Money(minor, code)], Extras(rate=rate, **extra), "GBP", "d")
    record["life"].append(life.sell(record, WHEN, Money(own["minor"], "GBP"), deal=own))
    return record


def give(record: RecordDoc, money: Money | None, rate: str = "") -> tuple[Money, dict[str, Any]]:
    refund, more = refund_of(record, money, rate)
    record["life"].append(life.refund_part(record, WHEN, refund, "", **more))
    return refund, more


def test_parts_given_back_come_to_what_was_paid_in_both_currencies(
    make_record: Callable[..., RecordDoc],
) -> None:
    record = sold(make_record, 1000, "EUR", "0.8553")  # 8.55
    given = [give(record, Money(333, "EUR")), give(record, Money(200, "GBP")), give(record, None)]
    assert [refund.minor for refund, _ in given] == [285, 200, 370]
    # 2.00 of 8.55 with 2.85 before: 5.67 of 10.00 by then, of which 3.33 was given
    assert [more["paid_in"]["minor"] for _, more in given] == [333, 234, 433]
    assert left_in(record) == Money(0, "EUR")


def test_currencies_of_other_decimals_are_shifted(make_record: Callable[..., RecordDoc]) -> None:
    record = sold(make_record, 3000, "JPY", "1/191.37")
    refund, more = give(record, Money(1000, "JPY"), "1/200")
    assert (refund.minor, more["paid_in"]["day_minor"]) == (523, 500)


@pytest.mark.parametrize(
    ("code", "money", "rate", "said"),
    [
        ("GBP", Money(100, "EUR"), "", "it was sold in GBP"),
        ("GBP", Money(100, "GBP"), "0.9", "it was sold in GBP"),
        ("EUR", Money(100, "USD"), "", "it was sold in EUR"),
        ("EUR", Money(1001, "EUR"), "", "at most 10.00 EUR"),
        ("EUR", Money(100, "EUR"), "x", "the rate is 'x'"),
    ],
)
def test_what_cannot_be_given_back_is_refused(
    make_record: Callable[..., RecordDoc], code: str, money: Money, rate: str, said: str
) -> None:
    record = sold(make_record, 1000, code, "0.86" if code == "EUR" else "")
    with pytest.raises(BenchError) as told:
        refund_of(record, money, rate)
    assert said in told.value.one_line()


def test_a_credit_line_names_records_amounts_and_the_rate_of_the_day() -> None:
    line = read_credit_line("a12 + A00013; -1; 24 + 4 EUR off; clicks; rate 0.88", "GBP", TODAY)
    assert (line.numbers, line.on, line.why, line.rate) == (("a12", "A00013"), "2026-11-24", "clicks", "0.88")
    assert line.backs == (Back(Money(2400, "GBP")), Back(Money(400, "EUR"), off=True))
    line = read_credit_line("26-0353; ; all", "GBP", TODAY)
    assert (line.numbers, line.on, line.backs) == (("26-0353",), "2026-11-25", (Back(whole=True),))


def test_one_amount_is_shared_out_by_what_is_left_of_each() -> None:
    left = [Money(2000, "GBP"), Money(0, "GBP"), Money(1000, "GBP")]
    parts = shared_out([Back(Money(500, "GBP"), off=True)], left)
    assert [(one.money, one.off) for one in parts] == [
        (Money(333, "GBP"), True), (Money(0, "GBP"), True), (Money(167, "GBP"), True),
    ]  # fmt: skip
    assert shared_out([Back()], left) == [Back()] * 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (" ; ; 4", "write records; day; amounts; why"),
        ("a1; ; 2 + 3", "1 records and 2 amounts"),
        ("a1 + a1; ; 2 + 3", "write each record once"),
        ("a1; ; four", "'four' is not an amount"),
        ("a1; ; 4; why; who; more", "1 to 4 fields"),
        ("a1; ; 4; why; rate 0", "the rate is 0"),
        ("a1; 2027; 4", "2027"),
    ],
)
def test_a_credit_line_that_cannot_be_is_refused(text: str, said: str) -> None:
    with pytest.raises(BenchError) as told:
        read_credit_line(text, "GBP", TODAY)
    assert said in told.value.one_line()
