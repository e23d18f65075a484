"""How many decimals a currency has, against CLDR as babel brings it, for every currency babel knows."""

from babel.core import get_global
from babel.numbers import get_currency_precision

from benchtui.model.currencies import MINOR_UNITS
from benchtui.model.money import minor_units

# Source: Unicode CLDR supplemental data, as read by babel (https://babel.pocoo.org).
EVERY_CURRENCY = sorted(get_global("all_currencies"))


def test_every_currency_babel_knows_has_babels_decimals() -> None:
    assert len(EVERY_CURRENCY) > 300
    assert {code: minor_units(code) for code in EVERY_CURRENCY} == {
        code: get_currency_precision(code) for code in EVERY_CURRENCY
    }


def test_no_currency_is_in_our_table_that_babel_does_not_know() -> None:
    assert set(MINOR_UNITS) == set(EVERY_CURRENCY)
