"""Cells as dealers write them: dates, countries, channels, sizes, barcodes."""

import tomllib
from collections import Counter

import pytest

from benchtui.titles.values import (
    COUNTRIES,
    barcode_of,
    channels_of,
    country_key,
    country_of,
    date_of,
    discs_in,
    is_empty,
    size_of,
)


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1967", "1967"),
        ("1967.0", "1967"),
        ("1967-05", "1967-05"),
        ("c1967", "1967~"),
        ("ca. 1967", "1967~"),
        ("1967?", "1967?"),
        ("about 1967", "1967~"),
        ("1967~", "1967~"),
        ("1967-1969", "[1967..1969]"),
        ("1967-69", "[1967..1969]"),
        ("1960s", "[1960..1969]"),
        ("196?", "[1960..1969]"),
        ("13/05/1967", "1967-05-13"),
        ("05/13/1967", "1967-05-13"),
        ("05.01.1967", "1967-01-05"),
        ("01/05/1967", "[1967-01-05..1967-05-01]"),
        ("05/05/1967", "1967-05-05"),
        ("05/1967", "1967-05"),
        ("'67", "1967"),
        ("67", "1967"),
        ("May 1967", "1967-05"),
        ("5. Mai 1967", "1967-05-05"),
        ("juin 1967", "1967-06"),
        ("juillet 1967", "1967-07"),
        ("1981年5月", "1981-05"),
        ("１９８１年５月３日", "1981-05-03"),
        ("昭和56年", "1981"),
        ("平成元年", "1989"),
        ("n.d.", ""),
        ("o.J.", ""),
        ("o. J.", ""),
        ("0", ""),
        ("1967/69", "[1967..1969]"),
        ("1967/12", "1967-12"),
        ("1967/05/01", "1967-05-01"),
        ("1967.05.01", "1967-05-01"),
        ("19670501", "1967-05-01"),
        ("1967-05-01 00:00:00", "1967-05-01"),
        ("01-May-1967", "1967-05-01"),
        ("May-67", "1967-05"),
        ("19.5.67", "1967-05-19"),
        ("(1967)", "1967"),
        ("[1967]", "1967"),
        ("©1967", "1967"),
        ("P 1967", "1967"),
        ("1967.", "1967"),
        ("1967 (?)", "1967?"),
        ("1967 or 1968", "[1967,1968]"),
        ("before 1970", "[..1969]"),
        ("nach 1965", "[1966..]"),
        ("'60s", "[1960..1969]"),
        ("60er", "[1960..1969]"),
        ("anni 60", "[1960..1969]"),
        ("60年代", "[1960..1969]"),
    ],
)
def test_a_date_keeps_what_it_says(text: str, edtf: str) -> None:
    assert date_of(text) == (edtf, "")


@pytest.mark.parametrize(
    "text",
    ["soon", "07", "May", "31/31/1967", "Foo 1967", "99年", "1967-13", "19677", "19671301", "60 s", "24593"],
)
def test_what_is_no_date_is_left_out_and_said(text: str) -> None:
    value, say = date_of(text)
    assert value == ""
    assert "is not a date" in say


@pytest.mark.parametrize(
    ("text", "code"),
    [("UK", "GB"), ("England", "GB"), ("U.K.", "GB"), ("Holland", "NL"), ("West Germany", "DE"),
     ("Deutschland", "DE"), ("DDR", "DD"), ("日本", "JP"), ("us", "US"), ("xv", "XV"), ("", ""),
     ("Made in W. Germany", "DE"), ("printed in Holland", "NL"), ("Hongkong", "HK"), ("D", "DE"), ("I", "IT"),
     ("Germany (West)", "DE"), ("Deutschland (DDR)", "DD"), ("Rhodesia", "ZW"), ("RH", "RH")],
)  # fmt: skip
def test_country_words_become_codes(text: str, code: str) -> None:
    """ISO 3166-1; user-assigned codes such as XV are left as they are."""
    assert country_of(text) == (code, "")


@pytest.mark.parametrize("text", ["UK & Europe", "EN", "WW", "Benelux"])
def test_no_code_is_made_up(text: str) -> None:
    assert country_of(text)[0] == ""


def test_no_word_stands_for_two_countries() -> None:
    with COUNTRIES.open("rb") as file:
        listed = tomllib.load(file)
    words = Counter(
        key for code, names in listed.items() for key in {country_key(name) for name in (code, *names)}
    )
    assert [word for word, count in words.items() if count > 1] == []


def test_a_country_nobody_knows_is_left_out_and_said() -> None:
    assert country_of("Ulmary") == (
        "",
        "country 'Ulmary' is not known here; write its ISO 3166 code such as GB",
    )


@pytest.mark.parametrize("text", ["5.01235E+12", "5,01235e+12", "5E+12"])
def test_a_barcode_that_a_spreadsheet_shortened_is_left_out_with_the_reason(text: str) -> None:
    value, say = barcode_of(text)
    assert value == ""
    assert "shortened by a spreadsheet" in say


@pytest.mark.parametrize(
    ("text", "channels"),
    [
        ("Mono", "mono"),
        ("STEREO", "stereo"),
        ("mono/stereo", "both"),
        ("Stereo (electronic)", "stereo"),
        ("m", "mono"),
    ],
)
def test_channels_are_read_as_written(text: str, channels: str) -> None:
    assert channels_of(text) == (channels, "")


@pytest.mark.parametrize(
    ("text", "inches", "discs"),
    [
        ('12"', 12, None),
        ("7 inch", 7, None),
        ('2 x 12"', 12, 2),
        ("30 cm", 12, None),
        ("17cm", 7, None),
        ("10", 10, None),
    ],
)
def test_sizes_are_read_in_inches_and_counts_beside_them(text: str, inches: int, discs: int | None) -> None:
    assert size_of(text) == (inches, "")
    assert discs_in(text) == discs


def test_a_barcode_that_a_spreadsheet_was_told_to_leave_alone_is_read_without_the_sign() -> None:
    assert barcode_of("'5012345678900") == ("5012345678900", "")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("5012345678900.0", "5012345678900"),
        ('="5012345678900"', "5012345678900"),
        ("5 012345 678900", "5 012345 678900"),
    ],
)
def test_digits_kept_from_a_spreadsheet_are_read(text: str, code: str) -> None:
    assert barcode_of(text) == (code, "")


@pytest.mark.parametrize("text", ["BT 3", "012345678905 / 5012345678900"])
def test_what_is_no_barcode_is_left_out_and_said(text: str) -> None:
    value, say = barcode_of(text)
    assert value == ""
    assert "is no barcode" in say


@pytest.mark.parametrize("text", ["\\N", "(null)", "#N/A", "NULL", "n/a", "-", "—", "?"])
def test_the_ways_of_writing_an_empty_cell(text: str) -> None:
    assert is_empty(text)


@pytest.mark.parametrize("text", ["", "None Such", "nana", "A-"])
def test_and_what_is_none_of_them(text: str) -> None:
    assert not is_empty(text)
