"""A title's first date in words."""

import pytest

from benchtui.model.day_words import year_words


@pytest.mark.parametrize(
    ("edtf", "said"),
    [
        ("1967", "in 1967"),
        ("1967~", "about 1967"),
        ("1967-05%", "about May 1967"),
        ("1967?", "perhaps 1967"),
        ("196X~", "about between 1960 and 1969"),
        ("1967-24", "between December 1967 and February 1968"),
        ("[1967,1968]", "between 1967 and 1968"),
        ("some day~", "some day~"),
    ],
)
def test_a_doubt_is_said_in_words(edtf: str, said: str) -> None:
    assert year_words(edtf) == said
