"""Month names in lists, against CLDR 47 as PyPI babel ships it (Unicode License).

Source: Unicode Common Locale Data Repository, https://cldr.unicode.org/, wide month names of the Gregorian
calendar. Years of Japanese eras: the same data, era names of the Japanese calendar; 1926-12-25 and 1989-01-08 are
the first days of the last two before Reiwa (from memory).
"""

import pytest
from babel import Locale

from benchtui.titles.values import date_of

LANGUAGES = ("en", "de", "fr", "nl", "es", "it")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("form", ["wide", "abbreviated"])
def test_a_month_is_known_by_its_name_in_six_languages(language: str, form: str) -> None:
    names = Locale(language).months["format"][form]
    for number, name in names.items():
        assert date_of(f"{name} 1967") == (f"1967-{number:02}", ""), name
        assert date_of(f"5 {name} 1967") == (f"1967-{number:02}-05", ""), name


@pytest.mark.parametrize(("text", "year"), [("昭和2年", "1927"), ("昭和63年", "1988"), ("平成2年", "1990")])
def test_a_year_of_a_japanese_era(text: str, year: str) -> None:
    assert date_of(text) == (year, "")
