"""GS1 check digits against published numbers and against python-stdnum."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean

from benchtui.titles.barcode import check_digit, read_barcode

PUBLISHED = [
    # GS1, check digit calculator, the worked example: http://www.gs1.org/barcodes/support/check_digit_calculator
    # (repeated in https://www.ibm.com/support/pages/how-calculate-check-digit-manually).
    "6291041500213",
    # GS1 Sweden, "Så beräknas kontrollsiffran",
    # https://www.gs1.se/Support/Berakna-kontrollsiffra/Sa-beraknas-kontrollsiffran/
    "7300011000017",
    # GS1 India, "How to calculate the Check Digit", http://www.gs1india.org/SERV/checkdgt.htm
    "8904000210037",
    # IBM support, GTIN-14 in the same page as above.
    "40987650000223",
    # python-stdnum 2.2, documentation of stdnum.ean.
    "73513537",
    "9780471117094",
]


@pytest.mark.parametrize("number", PUBLISHED)
def test_the_published_check_digit_comes_out(number: str) -> None:
    assert check_digit(number[:-1]) == number[-1]
    read = read_barcode(number)
    assert read is not None
    assert read.valid is True


@pytest.mark.parametrize("number", PUBLISHED)
def test_every_wrong_digit_is_noticed(number: str) -> None:
    """A modulo 10 check with weights 1 and 3 notices each single wrong digit, both being prime to 10."""
    for place, digit in enumerate(number):
        for other in "0123456789":
            if other != digit:
                read = read_barcode(number[:place] + other + number[place + 1 :])
                assert read is not None
                assert read.valid is False


@given(
    st.sampled_from([7, 11, 12, 13]).flatmap(lambda size: st.text("0123456789", min_size=size, max_size=size))
)
def test_check_digits_agree_with_python_stdnum(body: str) -> None:
    assert check_digit(body) == ean.calc_check_digit(body)
    read = read_barcode(body + ean.calc_check_digit(body))
    assert read is not None
    assert read.valid is True


@given(
    st.sampled_from([8, 12, 13, 14]).flatmap(lambda size: st.text("0123456789", min_size=size, max_size=size))
)
def test_barcodes_are_valid_exactly_where_python_stdnum_says_so(number: str) -> None:
    read = read_barcode(number)
    assert read is not None
    assert read.valid is ean.is_valid(number)
