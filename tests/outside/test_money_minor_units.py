"""How many decimals a currency has, against ISO 4217; CLDR where the standard is silent or ours goes its way."""

from babel.core import get_global
from babel.numbers import get_currency_precision
from iso4217 import Currency

from benchtui.model.currencies import MINOR_UNITS
from benchtui.model.money import minor_units

# Source: ISO 4217 list one, published by its maintenance agency (https://www.six-group.com/en/products-services/
# financial-information/data-standards.html), edition of 2026-01-01, as the package iso4217 1.16.20260101 ships it.
STANDARD = {one.code.upper(): one.exponent for one in Currency}
# Source: Unicode CLDR supplemental data, as read by babel (https://babel.pocoo.org).
CLDR = {code: get_currency_precision(code) for code in get_global("all_currencies")}
WITHOUT_SMALL_MONEY = {
    # Source: Unicode CLDR 47, supplemental data, currency fractions: the country handles no small unit, though the
    # standard lists one. Ours says 0, and stays so when CLDR changes its mind (48 gives RSD two decimals again):
    # amounts already written down would mean something else.
    *("AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER")
}


def test_every_current_currency_has_the_decimals_of_the_standard() -> None:
    said = {code: digits for code, digits in STANDARD.items() if digits is not None}
    assert len(said) > 150
    ours = {code: minor_units(code) for code in said}
    assert {code for code, digits in said.items() if ours[code] != digits} == WITHOUT_SMALL_MONEY


def test_the_table_knows_every_code_of_the_standard_also_those_without_decimals_of_their_own() -> None:
    assert set(STANDARD) <= set(MINOR_UNITS)


def test_where_ours_leaves_the_standard_it_has_no_decimals() -> None:
    assert {minor_units(code) for code in WITHOUT_SMALL_MONEY} == {0}


def test_a_withdrawn_currency_has_the_decimals_that_cldr_still_lists() -> None:
    withdrawn = (set(MINOR_UNITS) & set(CLDR)) - set(STANDARD)
    assert len(withdrawn) > 100
    assert {code: minor_units(code) for code in withdrawn} == {code: CLDR[code] for code in withdrawn}
