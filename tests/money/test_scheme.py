"""Margin scheme: no VAT on a loss, never a negative one, and what is carried on is carried exactly."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.accounts import periods_of
from benchtui.money.dated import change_from, show_dated
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.policy import Rates, policy_of
from benchtui.money.rounding import RULES
from benchtui.money.scheme import Period, eligibility, item_margin, period_of, periods, scheme_of, vat_in
from benchtui.money.stock import stockbook

TODAY = date(2027, 3, 1)
RATE = Fraction(1, 5)
AMOUNTS = st.integers(0, 10**8)
RATES = st.sampled_from([Fraction(0), Fraction(1, 5), Fraction(21, 100), Fraction(1, 1)])
Make = Callable[..., RecordDoc]


def gbp(minor: int) -> Money:
    return Money(minor, "GBP")


def test_an_item_sold_at_a_loss_bears_no_vat() -> None:
    got = item_margin(gbp(2000), gbp(1500), RATE)
    assert (got.margin, got.vat) == (gbp(-500), gbp(0))


@pytest.mark.parametrize("currency", ["JPY", "EUR", "KWD"])
def test_the_fraction_is_the_same_in_currencies_of_any_decimals(currency: str) -> None:
    assert vat_in(Money(600, currency), RATE) == Money(100, currency)


def test_a_shortfall_is_carried_on_until_it_is_used_up() -> None:
    totals = [("1", gbp(1000), gbp(400)), ("2", gbp(0), gbp(500)), ("3", gbp(0), gbp(700))]
    got = periods(totals, RATE)
    assert [(one.margin.minor, one.vat.minor, one.carried_on.minor) for one in got] == [
        (-600, 0, 600),
        (-100, 0, 100),
        (600, 100, 0),
    ]


def test_the_stock_at_the_start_may_be_carried_in_but_never_less_than_nothing() -> None:
    assert periods([("1", gbp(0), gbp(700))], RATE, carried_in=gbp(100))[0].vat == gbp(100)
    with pytest.raises(BenchError, match="carried in"):
        periods([("1", gbp(0), gbp(700))], RATE, carried_in=gbp(-1))


@given(AMOUNTS, AMOUNTS, RATES, st.sampled_from(RULES))
def test_vat_on_an_item_lies_between_nothing_and_the_margin(
    purchase: int, selling: int, rate: Fraction, rule: Any
) -> None:
    got = item_margin(gbp(purchase), gbp(selling), rate, rule)
    assert got.margin.minor == selling - purchase
    # A rule that goes to whole pounds may round a margin of less than a pound up to one.
    assert 0 <= got.vat.minor <= max(0, got.margin.minor) + (100 if rule.startswith("whole") else 0)
    if selling <= purchase:
        assert got.vat.minor == 0


@given(
    st.lists(st.tuples(AMOUNTS, st.integers(-(10**6), 10**8)), max_size=12),
    AMOUNTS,
    RATES,
    st.sampled_from(RULES),
)
def test_period_vat_is_never_negative_and_nothing_carried_is_lost(
    rows: Any, start: int, rate: Fraction, rule: Any
) -> None:
    got = periods(
        [(str(at), gbp(bought), gbp(sold)) for at, (bought, sold) in enumerate(rows)], rate, rule, gbp(start)
    )
    carried = start
    for one, (bought, sold) in zip(got, rows, strict=True):
        assert one.carried_in.minor == carried
        assert one.vat.minor >= 0
        assert one.vat.minor == 0 or one.margin.minor > 0
        assert max(0, one.margin.minor) - one.carried_on.minor == sold - bought - carried
        carried = one.carried_on.minor
        assert carried >= 0
    taxed = sum(max(0, one.margin.minor) for one in got)
    assert taxed - carried == sum(sold - bought for bought, sold in rows) - start


def test_a_dear_item_comes_out_of_period_accounting_by_what_it_cost() -> None:
    policy = policy_of(SETTINGS | {"period_limit": "150"})
    schemes = [scheme_of({"margin_eligible": True}, {}, gbp(cost), policy) for cost in (20000, 15000)]
    assert schemes == ["item by item", "by period"]


@pytest.mark.parametrize(("length", "name"), [("month", "2026-11"), ("quarter", "2026-Q4"), ("year", "2026")])
def test_a_day_belongs_to_its_calendar_period(length: str, name: str) -> None:
    assert period_of("2026-11-25", length) == name


def test_eligibility_is_asked_and_never_decided(head: HeadDoc, make_record: Make) -> None:
    assert eligibility(make_record(1), head).answer is None
    assert eligibility(make_record(1), head).ask == ("does the purchase invoice show VAT?",)
    head["customs"] = "a customs form"
    assert len(eligibility(make_record(1), head).ask) == 2
    head["margin_eligible"] = True
    assert eligibility(make_record(1), head).answer is True
    own = eligibility(make_record(1, margin_eligible=False, margin_why="the invoice shows VAT"), head)
    assert (own.answer, own.why, own.ask) == (False, "the invoice shows VAT", ())


@pytest.fixture
def shop_parcel(head: HeadDoc, make_record: Make) -> tuple[HeadDoc, list[RecordDoc]]:
    """Two records of 30.00 and 10.00 bought on 2 November; the first sold at 60.00, in January returned."""
    head["charges"] = [
        {"what": "price", "minor": 4000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    head["margin_eligible"] = True
    records = [make_record(1, 6000), make_record(2, 2000)]
    records[0]["life"].append(life.sell(records[0], When("2026-11-20", TODAY), gbp(6000)))
    return head, records


SETTINGS = {"currency": "GBP", "margin_scheme": "period", "vat_rate": "20", "vat_period": "month"}


def period_accounts(parcels: Any, settings: dict[str, Any], until: str = "") -> list[Period]:
    """Each period from the first movement to the last, or to that of the day ``until``."""
    return periods_of(shop_entries(parcels, {}, settings, (), until), Rates(settings), until)


def test_purchases_count_when_bought_and_takings_when_taken(shop_parcel: Any) -> None:
    (november,) = period_accounts([shop_parcel], SETTINGS)
    assert (november.name, november.purchases, november.sales, november.vat) == (
        "2026-11",
        gbp(4000),
        gbp(6000),
        gbp(333),
    )


def test_a_refund_counts_in_its_own_period_and_the_months_between_are_there(shop_parcel: Any) -> None:
    head, records = shop_parcel
    records[0]["life"].append(life.take_back(records[0], When("2027-01-03", TODAY)))
    got = period_accounts([(head, records)], SETTINGS, until="2027-02-28")
    assert [one.name for one in got] == ["2026-11", "2026-12", "2027-01", "2027-02"]
    assert [one.sales.minor for one in got] == [6000, 0, -6000, 0]
    assert [one.vat.minor for one in got] == [333, 0, 0, 0]
    assert got[-1].carried_on == gbp(6000)


def test_what_is_scrapped_takes_its_purchase_out_again(shop_parcel: Any) -> None:
    head, records = shop_parcel
    records[1]["life"].append(life.scrap(records[1], When("2026-12-05", TODAY), "warped"))
    got = period_accounts([(head, records)], SETTINGS)
    assert [one.purchases.minor for one in got] == [4000, -1000]


def test_what_is_not_eligible_not_answered_consigned_or_over_the_limit_stays_out(
    shop_parcel: Any, make_record: Make
) -> None:
    head, records = shop_parcel
    records[1]["margin_eligible"] = False
    assert period_accounts([(head, records)], SETTINGS)[0].purchases == gbp(3000)
    del head["margin_eligible"]
    assert period_accounts([(head, records)], SETTINGS) == []
    head["margin_eligible"], records[1]["margin_eligible"] = True, True
    assert period_accounts([(head, records)], SETTINGS | {"period_limit": "20"})[0].purchases == gbp(1000)
    records[1]["terms"] = "consigned"
    assert period_accounts([(head, records)], SETTINGS)[0].purchases == gbp(4000)


def test_without_a_rate_there_is_no_reckoning(shop_parcel: Any) -> None:
    with pytest.raises(BenchError, match="no VAT rate is set"):
        period_accounts([shop_parcel], SETTINGS | {"vat_rate": None})


def test_quarters_and_years_follow_one_another(shop_parcel: Any) -> None:
    quarters = period_accounts([shop_parcel], SETTINGS | {"vat_period": "quarter"}, until="2027-03-01")
    assert [one.name for one in quarters] == ["2026-Q4", "2027-Q1"]
    years = period_accounts([shop_parcel], SETTINGS | {"vat_period": "year"}, until="2028-03-01")
    assert [one.name for one in years] == ["2026", "2027", "2028"]


def test_another_length_of_the_period_holds_for_those_that_begin_from_its_day_on(shop_parcel: Any) -> None:
    def names(length: Any) -> list[str]:
        found = period_accounts([shop_parcel], SETTINGS | length, until="2027-07-01")
        return [one.name for one in found]

    monthly = change_from({"vat_period": "quarter"}, {"vat_period": "month"}, "2027-02-15")
    assert names(monthly) == ["2026-Q4", "2027-Q1", "2027-04", "2027-05", "2027-06", "2027-07"]
    quarterly = change_from({"vat_period": "month"}, {"vat_period": "quarter"}, "2027-02-01")
    assert names(quarterly) == ["2026-11", "2026-12", "2027-01", "2027-02", "2027-03", "2027-Q2", "2027-Q3"]


def test_another_rule_of_rounding_holds_from_its_day_on(shop_parcel: Any) -> None:
    _, records = shop_parcel
    rounding = change_from({"vat_rounding": "half-up"}, {"vat_rounding": "down"}, "2026-12-01")
    settings = SETTINGS | {"margin_scheme": "item"} | rounding
    records[0]["life"] = []
    for record, on, price in zip(records, ("2026-11-20", "2026-12-02"), (3010, 1010), strict=True):
        record["life"].append(life.sell(record, When(on, TODAY), gbp(price)))
    book = stockbook([shop_parcel], {}, settings)
    assert [(one.margin, one.vat) for one in book] == [(gbp(10), gbp(2)), (gbp(10), gbp(1))]


def test_equal_values_in_a_row_are_shown_as_one() -> None:
    def shown(*values: str) -> str:
        starts = ("", "2026-10-15", "2026-11-04")
        rows = [{"from": on, "value": value} for on, value in zip(starts, values, strict=False)]
        return show_dated({"vat_rate": rows}, ("vat_rate",), lambda doc: str(doc["vat_rate"]))

    assert shown("20", "20", "20") == "20 always"
    assert shown("20", "19", "19") == "20 before / 19 from 2026-10-15"
    assert shown("20", "20", "18") == "20 before / 18 from 2026-11-04"
