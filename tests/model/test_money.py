"""Money: what a person types, what is shown, and that no float ever enters."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.model.currencies import MINOR_UNITS, use_currencies
from benchtui.model.money import ABSURD_MINOR, Money, minor_units, parse_money

CURRENCIES = st.sampled_from(sorted(MINOR_UNITS))
AMOUNTS = st.integers(0, ABSURD_MINOR - 1)


@pytest.mark.parametrize(
    ("typed", "currency", "minor", "code"),
    [
        ("24", "GBP", 2400, "GBP"),
        ("24.5", "GBP", 2450, "GBP"),
        ("24,50", "GBP", 2450, "GBP"),
        (" 24.50 EUR ", "GBP", 2450, "EUR"),
        ("eur 24", "GBP", 2400, "EUR"),
        ("24EUR", "GBP", 2400, "EUR"),
        ("£24", "EUR", 2400, "GBP"),
        ("24 €", "GBP", 2400, "EUR"),
        ("1,200.00", "GBP", 120000, "GBP"),
        ("1.200,00", "EUR", 120000, "EUR"),
        ("1 200", "EUR", 120000, "EUR"),
        ("1,234,567", "GBP", 123456700, "GBP"),
        ("0", "GBP", 0, "GBP"),
        ("0024", "GBP", 2400, "GBP"),
        ("1,200", "JPY", 1200, "JPY"),
        ("1200", "JPY", 1200, "JPY"),
        ("1.234", "KWD", 1234, "KWD"),
        ("12.5", "KWD", 12500, "KWD"),
    ],
)
def test_an_amount_is_read_the_way_people_write_it(typed: str, currency: str, minor: int, code: str) -> None:
    assert parse_money(typed, currency) == Money(minor, code)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "not an amount"),
        ("abc", "not an amount"),
        ("may it go for 22?", "not an amount"),
        ("24 XYZ", "how many decimals has the currency XYZ"),
        ("EUR", "not an amount"),
        ("-3", "below zero"),
        ("GBP -3", "below zero"),
        ("(3)", "below zero"),
        ("24.5055", "has 2 decimals"),
        ("1,200", "two ways"),
        ("1,2,3", "not an amount"),
        ("1,234,56", "not an amount"),
        ("1e3", "not an amount"),
        ("1_000", "not an amount"),
        ("٣", "not an amount"),
        ("9" * 12, "too large"),
        ("9" * 5000, "too large"),
        ("24\n25", "not an amount"),
    ],
)
def test_what_is_no_plain_amount_is_refused_in_one_sentence(typed: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        parse_money(typed, "GBP")


@pytest.mark.parametrize("bad", [24.0, True, "24", None, 2**0.5])
def test_only_whole_minor_units_make_money(bad: object) -> None:
    with pytest.raises(TypeError, match="never"):
        Money(bad, "GBP")  # type: ignore[arg-type]


def test_what_is_no_currency_code_is_refused_everywhere() -> None:
    for code in ("gbp", "", "GB", "GBPX", "G1P", "ΑΒΓ"):
        with pytest.raises(ValueError, match="is not a currency"):
            minor_units(code)
        with pytest.raises(ValueError, match="is not a currency"):
            Money(1, code)


def test_a_currency_newer_than_the_table_is_asked_for_its_decimals_and_then_used_like_any_other() -> None:
    with pytest.raises(ValueError, match=r"how many decimals has the currency QQQ.*give its decimals.*QQQ 2"):
        parse_money("12.505 QQQ", "GBP")
    use_currencies({"QQQ": 3})
    try:
        assert parse_money("12.505 QQQ", "GBP") == Money(12505, "QQQ")
        assert Money(12505, "QQQ").show() == "12.505 QQQ"
    finally:
        use_currencies({})
    with pytest.raises(ValueError, match="how many decimals"):
        Money(1, "QQQ")


@pytest.mark.parametrize(
    "given", [{"GBP": 3}, {"QQQ": 5}, {"QQQ": -1}, {"QQQ": True}, {"QQQ": "2"}, {"qqq": 2}, {7: 2}, [1], None]
)
def test_what_a_shop_cannot_give_is_passed_over(given: object) -> None:
    use_currencies(given)
    try:
        assert minor_units("GBP") == 2
        with pytest.raises(ValueError, match="how many decimals"):
            minor_units("QQQ")
    finally:
        use_currencies({})


def test_two_currencies_have_no_sum() -> None:
    with pytest.raises(ValueError, match="two currencies"):
        Money(1, "GBP") + Money(1, "EUR")


@pytest.mark.parametrize(
    ("money", "plain"),
    [
        (Money(2400, "GBP"), "24.00"),
        (Money(5, "GBP"), "0.05"),
        (Money(-50, "GBP"), "-0.50"),
        (Money(1200, "JPY"), "1200"),
        (Money(7, "KWD"), "0.007"),
        (Money(-12345, "CLF"), "-1.2345"),
    ],
)
def test_plain_text_has_the_currencys_own_decimals(money: Money, plain: str) -> None:
    assert money.plain() == plain
    assert money.show() == f"{plain} {money.currency}"


@given(AMOUNTS, CURRENCIES)
def test_what_is_shown_is_read_back_as_the_same_money(minor: int, code: str) -> None:
    money = Money(minor, code)
    assert parse_money(money.show(), "GBP") == money
    assert money.to_doc() == {"minor": minor, "currency": code}


@given(st.text(max_size=14))
def test_any_text_is_read_or_refused_and_never_breaks(typed: str) -> None:
    with contextlib.suppress(ValueError):
        assert 0 <= parse_money(typed, "GBP").minor < ABSURD_MINOR
