"""Misspelt over a lexicon, held against looking at every word."""

from array import array

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from benchtui.titles import misspelt
from benchtui.titles.lexicon import Lexicon, build_lexicon
from benchtui.titles.misspelt import Misspelt, kind_cost, slip_cost

WORD = st.text("abcd", min_size=2, max_size=7)


def lexicon_of(words: list[str]) -> Lexicon:
    return build_lexicon({word: array("I", [no]) for no, word in enumerate(dict.fromkeys(words))})


def found(lexicon: Lexicon, typed: str, most: int = 1) -> set[str]:
    near = Misspelt(lexicon).near(typed, most)
    return {lexicon.word(no).decode() for one in near for no in range(one.low, one.high)}


def within(word: str, typed: str) -> bool:
    """Whether some beginning of the word is at most one slip away."""
    return any(OSA.distance(typed, word[:cut]) <= 1 for cut in range(1, len(word) + 1))


@pytest.mark.parametrize("bucket", [1, 3, 600])
@settings(max_examples=120, deadline=None)
@given(words=st.lists(WORD, min_size=1, max_size=40), typed=st.text("abcd", min_size=3, max_size=6))
def test_all_words_one_slip_away_are_found_and_no_others(bucket: int, words: list[str], typed: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(misspelt, "BUCKET", bucket)
        assert found(lexicon_of(words), typed) == {word for word in words if within(word, typed)}


def test_two_slips_are_found_among_words_that_share_a_beginning() -> None:
    lexicon = lexicon_of(["accommodate", "accompany", "accordion", "lantern"])
    assert "accommodate" in found(lexicon, "acomodat", 2)
    assert "lantern" not in found(lexicon, "acomodat", 2)


def test_the_likelier_slip_costs_less() -> None:
    swapped, left_out = kind_cost("lanetrn", "lantern"), kind_cost("lantrn", "lantern")
    doubled, wrong, added = (kind_cost(typed, "lantern") for typed in ("lanttern", "lanxern", "lantxern"))
    assert swapped == left_out == 0 < doubled < wrong < added


@pytest.mark.parametrize(
    ("typed", "word", "cost"),
    [("lant", "lantern", 0.0), ("latn", "lantern", 1.0), ("lnt", "lantern", 1.0), ("zzzz", "lantern", None)],
)
def test_what_it_costs_to_read_a_text_as_the_beginning_of_a_word(
    typed: str, word: str, cost: float | None
) -> None:
    assert slip_cost(typed, word, 1) == cost


@settings(max_examples=60, deadline=None)
@given(
    words=st.lists(st.text("abcdé漢", min_size=1, max_size=6), max_size=80),
    prefix=st.text("abcdé漢", max_size=3),
)
def test_a_lexicon_gives_the_words_that_begin_so(words: list[str], prefix: str) -> None:
    lexicon = lexicon_of(words)
    low, high = lexicon.range(prefix.encode())
    assert lexicon.texts(low, high) == sorted({word for word in words if word.startswith(prefix)})
    assert lexicon.begins(prefix.encode()) == (low < high)
