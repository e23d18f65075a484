"""Landed cost: every charge converted once, by a named rule, and nothing foreign without its rate."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.currencies import MINOR_UNITS
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.money.charges import landed
from benchtui.money.rounding import RULES


def charge(what: str, minor: Any, currency: str = "GBP", rate: Any = None, **fields: Any) -> Any:
    return {
        "what": what,
        "minor": minor,
        "currency": currency,
        "rate": rate,
        "rate_date": "",
        "rate_from": "",
    } | fields


def of(*charges: Any) -> HeadDoc:
    head = new_head("2026-11-25-1")
    head["charges"] = list(charges)
    return head


def test_what_was_paid_to_the_seller_stays_apart_from_the_carriage() -> None:
    cost = landed(of(charge("price", 10000), charge("postage", 1250), charge("duty", 300)), "GBP")
    assert (cost.paid, cost.carriage, cost.total) == (
        Money(10000, "GBP"),
        Money(1550, "GBP"),
        Money(11550, "GBP"),
    )
    assert {one.what: one.landed for one in cost.charges} == {
        "price": Money(10000, "GBP"),
        "postage": Money(1250, "GBP"),
        "duty": Money(300, "GBP"),
    }


def test_a_parcel_without_charges_costs_nothing() -> None:
    assert landed(of(), "GBP").total == Money(0, "GBP")


def test_a_foreign_charge_is_converted_by_its_rate_and_keeps_where_the_rate_is_from() -> None:
    line = charge("price", 12345, "EUR", "0.8553", rate_date="2026-11-01", rate_from="the bank's letter")
    (one,) = landed(of(line), "GBP").charges
    # 123.45 EUR x 0.8553 = 105.586785 GBP
    assert one.landed == Money(10559, "GBP")
    assert (one.charged, one.rate_date, one.rate_from) == (
        Money(12345, "EUR"),
        "2026-11-01",
        "the bank's letter",
    )


@pytest.mark.parametrize(
    ("minor", "currency", "rate", "shop", "expected"),
    [
        (1000, "JPY", "0.0052", "GBP", 520),  # 1000 JPY x 0.0052 = 5.20 GBP
        (1234, "GBP", "192.31", "JPY", 2373),  # 12.34 GBP x 192.31 = 2373.1 JPY
        (5000, "KWD", "2.457", "GBP", 1229),  # 5.000 KWD x 2.457 = 12.285 GBP
        (1229, "GBP", "0.407", "KWD", 5002),  # 12.29 GBP x 0.407 = 5.002 KWD
        (5000, "KWD", "490", "JPY", 2450),
        (11692, "EUR", "1/1.1692", "GBP", 10000),  # quoted as 1.1692 EUR for one GBP
    ],
)
def test_currencies_of_none_two_and_three_decimals_convert_into_one_another(
    minor: int, currency: str, rate: str, shop: str, expected: int
) -> None:
    assert landed(of(charge("fees", minor, currency, rate)), shop).total == Money(expected, shop)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [("half-up", 13), ("half-even", 12), ("down", 12), ("whole half-up", 0), ("whole down", 0)],
)
def test_the_rounding_rule_is_a_choice_and_is_named(rule: Any, expected: int) -> None:
    cost = landed(of(charge("fees", 25, "EUR", "0.5")), "GBP", rule)  # 12.5 pence
    assert cost.total == Money(expected, "GBP")
    assert cost.rule == rule


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (charge("price", 100, "QQQ", "1"), "how many decimals"),
        (charge("price", 100, "EUR"), "has no rate"),
        (charge("price", 100, "EUR", ""), "has no rate"),
        (charge("price", 100, "EUR", "0"), "rate is 0"),
        (charge("price", 100, "EUR", "1/0"), "rate is 0"),
        (charge("price", 100, "EUR", "2/3"), "plain number"),
        (charge("price", 100, "EUR", "-1"), "rate"),
        (charge("price", 100, "EUR", 0.85), "as text"),
        (charge("price", 100, "EUR", "1e3"), "plain number"),
        (charge("price", 100, "GBP", "1.2"), "own currency"),
        (charge("price", -100), "below zero"),
        (charge("price", 10**11), "too large"),
        (charge("price", 10**10, "KWD", "1000000"), "too large"),
        (charge("price", 100.0), "never float"),
        (charge("lunch", 100), "no charge 'lunch'"),
        (charge("price", 100, "EUR", "1", rate_date="yesterday"), "day of the rate"),
    ],
)
def test_a_charge_that_cannot_be_right_is_refused_and_says_which(line: Any, says: str) -> None:
    with pytest.raises(BenchError, match=says) as refusal:
        landed(of(charge("postage", 1), line), "GBP")
    assert "charge 2 of parcel 2026-11-25-1" in str(refusal.value)


CHARGES = st.builds(
    charge,
    st.sampled_from(["price", "postage", "duty", "tax", "fees"]),
    st.integers(0, 10**6),
    st.sampled_from(sorted(MINOR_UNITS)),
    st.sampled_from(["1", "0.8553", "0.01", "17"]),
)


@given(st.lists(CHARGES, max_size=12), st.sampled_from(["JPY", "EUR", "KWD"]), st.sampled_from(RULES))
def test_paid_and_carriage_and_the_charges_always_add_up_to_the_total(
    lines: Any, shop: str, rule: Any
) -> None:
    for line in lines:
        line["rate"] = None if line["currency"] == shop else line["rate"]
    cost = landed(of(*lines), shop, rule)
    assert cost.paid + cost.carriage == cost.total
    assert sum(one.landed.minor for one in cost.charges) == cost.total.minor
