"""What a cell says, and that it is written so that it is read the same."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.books.shape import Answer, Clue
from benchtui.knowledge.cells import read_cell, write_cell
from benchtui.knowledge.columns import Column, knows, placed_words
from benchtui.knowledge.heads import Heading
from benchtui.knowledge.values import (
    cuts_of,
    cuts_text,
    ends_of,
    list_of,
    list_text,
    price_of,
    span_of,
    stems_of,
    stems_text,
)
from benchtui.model.span import Span


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("gold", "says", {"gold": "always"}),
        ("gold / silver", "says", {"gold": "usually", "silver": "usually"}),
        ("gold or silver", "says", {"gold": "usually", "silver": "usually"}),
        ("gold, rarely silver", "says", {"gold": "usually", "silver": "rarely"}),
        ("gold; seldom silver", "says", {"gold": "usually", "silver": "rarely"}),
        ("mostly gold, sometimes silver", "says", {"gold": "usually", "silver": "sometimes"}),
        ("gold (rare)", "says", {"gold": "rarely"}),
        ("always gold, not silver", "says", {"gold": "always", "silver": "never"}),
        ("not gold", "says", {"gold": "never"}),
        ("gold?", "says", {"gold": "usually"}),
        ("", "silent", {}),
        ("  ", "silent", {}),
        ("?", "unknown", {}),
        ("n/k", "unknown", {}),
        ("-", "absent", {}),
        ("–", "absent", {}),
        ("not there", "says", {"there": "never"}),
    ],
)  # fmt: skip
def test_a_cell_says(text, kind, words):
    cell = read_cell(text)
    assert (cell.kind, dict(cell.words)) == (kind, words)


def test_an_answer_with_a_comma_of_its_own_is_not_taken_apart():
    assert read_cell("red, white", lambda text: text == "red, white").words == (("red, white", "always"),)


def _clue(texts):
    answers = tuple(Answer(f"a{no}", text, no, absent=text == "not there") for no, text in enumerate(texts))
    return Clue("c", "Ask", "disc", "label", answers)


TEXTS = ["gold", "silver, thin", "gold / red", "not there", "rarely seen", "?", "-", "gold?", "no", "a3", "x; y",
         "NONE", "all gold", "gold (rare)"]  # fmt: skip


@given(
    st.lists(st.sampled_from(TEXTS), min_size=1, max_size=6, unique=True).flatmap(
        lambda texts: st.tuples(
            st.just(texts),
            st.dictionaries(
                st.integers(0, len(texts) - 1).map(lambda no: f"a{no}"),
                st.sampled_from(["always", "usually", "sometimes", "rarely", "never"]),
                min_size=1,
            ),
        )
    )
)
def test_whatever_a_book_says_is_written_so_that_it_is_read_again(both):
    texts, words = both
    clue = _clue(texts)
    column = Column(Heading(0, "Ask"), "known", clue)
    found, told = placed_words(read_cell(write_cell(words, clue), knows(column)), column)
    assert found == words
    assert not told


@pytest.mark.parametrize(
    ("start", "end", "made", "edtf"),
    [
        ("1974-09", "1977-09", "", "[1974-09..1977-09]"),
        ("1974", "", "", "[1974..]"),
        ("", "1977", "", "[..1977]"),
        ("Sept 1974", "12/77", "", "[1974-09..1977-12]"),
        ("", "", "1974-77", "[1974..1977]"),
        ("", "", "1974 to 1977", "[1974..1977]"),
        ("1974-1977", "", "", "[1974..1977]"),
        ("", "", "'74", "1974"),
        ("early 1974", "1975", "", "[1974..1975]"),
        ("?", "-", "", ""),
        ("", "", "1974-", "[1974..]"),
        ("", "", "1974 onwards", "[1974..]"),
        ("", "", "from Sept 1974", "[1974-09..]"),
        ("1974+", "", "", "[1974..]"),
        ("", "", "-1977", "[..1977]"),
        ("until 1977", "", "", "[..1977]"),
        ("", "Sep 1977", "1974", "[1974-01..1977-09]"),
        ("1974", "", "1976", "[1974..1976]"),
    ],
)
def test_dates_as_dealers_write_them(start, end, made, edtf):
    assert span_of(start, end, made).edtf() == edtf


@pytest.mark.parametrize("text", ["next spring", "1974 or so, I think", "32/13/1974"])
def test_what_is_no_date_is_said_to_be_none(text):
    with pytest.raises(ValueError, match="is not a date"):
        span_of(text, "", "")


DAYS = st.dates(date(1900, 1, 1), date(2020, 12, 31))


@given(st.one_of(st.none(), DAYS), st.one_of(st.none(), DAYS))
def test_a_span_is_written_as_two_cells_and_read_the_same(one, two):
    if one and two and one > two:
        one, two = two, one
    span = Span(one, two)
    assert span_of(*ends_of(span), "") == span


PART = (
    st.text("abc 1;,/\\=", min_size=1, max_size=6).map(str.strip).filter(lambda t: t and not t.endswith("\\"))
)


@given(st.lists(PART.filter(lambda text: "\\;" not in text), max_size=3))
def test_names_in_one_cell_are_read_as_they_were(names):
    assert list_of(list_text(names)) == names


def test_cuts_stems_and_prices():
    cuts: Any = ((("1", "1"), "usually"), (("2", "1"), "sometimes"))
    assert cuts_of(cuts_text(cuts)) == [["1", "1", "usually"], ["2", "1", "sometimes"]]
    stems = {"A": "WK 1041 A/", "B": "WK 1041 B/"}
    assert stems_of(stems_text(stems)) == stems
    assert [price_of(text, "GBP") for text in ("£18.50", "24,00", "1,200.00", "24,-", "30 GBP")] == [
        "18.50", "24.00", "1200.00", "24.00", "30.00"]  # fmt: skip
    with pytest.raises(ValueError, match="not a pair"):
        cuts_of("first")
