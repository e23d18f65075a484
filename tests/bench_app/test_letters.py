"""How letters fit words: beginnings, then inside a word, then a slip; too few letters forgive nothing."""

import pytest

from benchtui.desk.line.letters import BEGINS, INSIDE, SLIPPED, Fit, begins, fit

TEXT = "Label print, disc 1, label A"


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("", BEGINS),
        ("lab", BEGINS),
        ("a lab", BEGINS),
        ("PRI dis", BEGINS),
        ("abel", INSIDE),
        ("rin lab", INSIDE),
        ("ri", None),
        ("lable", SLIPPED),
        ("prnit lab", SLIPPED),
        ("pribt", SLIPPED),
        ("pprint", SLIPPED),
        ("prn", None),
        ("paint trap", None),
        ("zzzz", None),
    ],
)
def test_each_typed_word_fits_by_its_best_and_all_by_the_worst(typed: str, found: Fit | None) -> None:
    assert fit(typed, TEXT) == found
    assert begins(typed, TEXT) is (found == BEGINS)


@pytest.mark.parametrize(
    ("typed", "found"), [("incsription", SLIPPED), ("inxsriptoin", None), ("inscrpton", SLIPPED)]
)
def test_a_long_word_forgives_two_slips_and_no_more(typed: str, found: Fit | None) -> None:
    assert fit(typed, "inscription") == found


def test_a_dash_parts_words_in_both() -> None:
    assert fit("run-out", "the run out") == BEGINS
    assert fit("out", "run-out") == BEGINS
