"""Folding, number keys, initials."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.titles.fold import article_length, fold, initials, number_keys, word_starts


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Don't Stop – Now!", "dont stop now"),
        ("Q.U.O.B. and M.K.", "quob and mk"),
        ("Ünder/Over", "under over"),
        ("Söv & Dröm", "sov and drom"),
        ("ＦＵＬＬ　ｗｉｄｔｈ", "full width"),
        ("straße", "strasse"),
        ("  two   spaces ", "two spaces"),
        ("№ 5", "no 5"),
        ("½ past", "1 2 past"),
        ("שָׁלוֹם", "שלום"),
        ("ЁЛКА", "елка"),
    ],
)
def test_case_accents_width_and_punctuation_fold_away(text: str, folded: str) -> None:
    assert fold(text) == folded


def test_vowel_signs_that_carry_the_word_stay() -> None:
    assert fold("हिन्दी") != fold("हन्द")


def test_a_half_typed_hangul_syllable_is_a_prefix_of_the_finished_one() -> None:
    assert fold("한국").startswith(fold("하"))


@given(st.text(max_size=60))
def test_folding_twice_changes_nothing_more(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text(max_size=60))
def test_folded_text_is_words_with_single_spaces(text: str) -> None:
    assert fold(text) == " ".join(fold(text).split())


@given(st.text(max_size=30))
def test_upper_and_lower_case_fold_alike(text: str) -> None:
    assert fold(text.lower()) == fold(text.lower().casefold())


def test_a_leading_article_is_known_only_where_something_follows() -> None:
    assert article_length("the long way") == 4
    assert article_length("the") == 0
    assert article_length("theory of it") == 0


def test_initials_keep_numbers_whole() -> None:
    assert initials("the long 1041 home") == "tl1041h"


@pytest.mark.parametrize(
    ("number", "keys"),
    [
        ("TW 1041", {"tw1041", "1041"}),
        ("tw-1041", {"tw1041", "1041"}),
        ("BRK 12-3456", {"brk123456", "123456", "3456"}),
        ("TW 1041 / TWD 1041", {"tw1041", "1041", "twd1041"}),
        ("33A7", {"33a7", "a7", "7"}),
        ("TW 0041", {"tw0041", "0041", "tw41", "41"}),
        ("12-ABC-5", {"12abc5", "abc5", "5"}),
        ("MOD 7", {"m0d7", "7"}),
        ("", set()),
        ("-", set()),
    ],
)
def test_a_catalogue_number_may_be_typed_from_each_of_its_groups_on(number: str, keys: set[str]) -> None:
    assert set(number_keys(number)) == keys


def test_in_scripts_without_spaces_a_word_may_start_anywhere() -> None:
    assert "物語" in word_starts(fold("月光物語"))


@pytest.mark.parametrize(
    ("voiced", "plain"), [("ガ", "カ"), ("パ", "ハ"), ("バ", "ハ"), ("ば", "は"), ("ｶﾞ", "カ")]
)
def test_a_voicing_mark_makes_another_kana_and_its_plain_one_a_beginning(voiced: str, plain: str) -> None:
    """Unicode decomposes a voiced kana into the plain one and a combining mark of class 8, which stays."""
    assert fold(voiced) != fold(plain)
    assert fold(voiced).startswith(fold(plain))
    assert len(fold(voiced)) == 2
