"""Code 128 against two independent libraries: an encoder, bar by bar, and a decoder of pictures.

python-barcode (MIT) writes Code 128; zxing-cpp (Apache-2.0) reads it. Neither is needed to run the bench.
"""

import string

import barcode
import numpy as np
import pytest
import zxingcpp
from barcode.charsets import code128 as tables
from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.export import code128

PRINTABLE = "".join(chr(sign) for sign in range(32, 127))
MIXED = st.text(st.sampled_from(PRINTABLE + string.digits * 6), min_size=1, max_size=18)


def read(text: str, module: int = 2, height: int = 40) -> str:
    """What the decoder reads from a picture of the symbol."""
    quiet = "0" * code128.QUIET
    line = [0 if bit == "1" else 255 for bit in quiet + code128.modules(text) + quiet]
    picture = np.repeat(np.tile(np.repeat(np.array(line, dtype=np.uint8), module), (height, 1)), 1, axis=0)
    # of some signs in a row its reader of another symbol makes something too
    found = zxingcpp.read_barcodes(picture, formats=zxingcpp.barcode_formats_from_str("Code128"))
    assert len(found) == 1
    assert found[0].format == zxingcpp.BarcodeFormat.Code128
    return str(found[0].text)


def test_every_pattern_is_the_other_encoders() -> None:
    ours = ["".join(("10"[at % 2]) * int(w) for at, w in enumerate(widths)) for widths in code128._WIDTHS]
    assert ours == list(tables.CODES)
    # The other library keeps the closing bar of two modules apart from its stop pattern.
    assert code128.modules("A").endswith(tables.STOP + "11")


@pytest.mark.parametrize("text", ["A00001", "Z99999", "B01230", "A", "AB", "A1B2", "a-z ~!", "12A"])
def test_the_decoder_reads_stock_numbers_back(text: str) -> None:
    assert read(text) == text


def test_the_decoder_reads_every_printable_sign() -> None:
    for at in range(0, len(PRINTABLE), 12):
        piece = "x" + PRINTABLE[at : at + 12] + "x"
        assert read(piece) == piece


@settings(max_examples=60, deadline=None)
@given(
    st.text(st.sampled_from(PRINTABLE + string.digits * 6), min_size=1, max_size=18).map(
        lambda text: f"x{text}x"
    )
)
def test_the_decoder_reads_any_mixture_of_letters_and_digits(text: str) -> None:
    assert read(text) == text


@settings(max_examples=40, deadline=None)
@given(
    st.integers(1, 14).flatmap(
        lambda size: st.text(st.sampled_from(string.digits), min_size=size, max_size=size)
    )
)
def test_the_decoder_reads_digits_alone(text: str) -> None:
    assert read(text) == text


@pytest.mark.parametrize("text", ["A00001", "HELLO", "Wren 7"])
def test_a_symbol_is_never_longer_than_the_other_encoders(text: str) -> None:
    other = barcode.get("code128", text).build()[0]
    assert len(code128.modules(text)) <= len(other)
