"""What a dealer types of an answer: its words, a date, how firm, and why."""

import pytest

from benchtui.books.dated_words import answers_from, read_dated, states_in_turn


@pytest.mark.parametrize(
    ("typed", "words", "span", "hardness", "why"),
    [
        ("plain", "plain", None, "none", ""),
        ("hatched 1963.. (trade paper)", "hatched", "[1963..]", "soft", "trade paper"),
        ("hatched 1958..1960 firm", "hatched", "[1958..1960]", "firm", ""),
        ("gold print ..1957-08", "gold print", "[..1957-08]", "soft", ""),
        ("red 1961", "red", "1961", "soft", ""),
        ("none ..1964", "none", "[..1964]", "soft", ""),
        ("first ..1961 firm", "first", "[..1961]", "firm", ""),
        ("plain (no print)", "plain (no print)", None, "none", ""),
        ("buff about 1967..", "buff", "[1966-07..]", "soft", ""),
        ("buff c1967..", "buff", "[1966-07..]", "soft", ""),
        ("TWO-EAR ..c1966 (I think)", "TWO-EAR", "[..1967-06]", "soft", "I think"),
        ("sage, 1963 to 1966", "sage", "[1963..1966]", "soft", ""),
        ("number TW1958", "number TW1958", None, "none", ""),
        ("sage from 1963 to 1966", "sage", "[1963..1966]", "soft", ""),
        ("sage between 1963 and about 1966", "sage", "[1963-01..1967-06]", "soft", ""),
        ("side C 1967", "side C", "1967", "soft", ""),
        ("dark maroon '58-'60", "dark maroon", "[1958..1960]", "soft", ""),
        ("box set 1961", "box set", "1961", "soft", ""),
        ("front only '64-'68", "front only", "[1964..1968]", "soft", ""),
        ("bars in the '70s", "bars", "[1970..1979]", "soft", ""),
        ("bars in 1964 firm", "bars", "1964", "firm", ""),
    ],
)
def test_words_and_date_are_taken_apart(
    typed: str, words: str, span: str | None, hardness: str, why: str
) -> None:
    found = read_dated(typed)
    assert found.words == words
    assert (found.span.edtf() if found.span else None) == span
    assert (found.hardness, found.why) == (hardness, why)


@pytest.mark.parametrize("typed", ["plain 1963-13..", "plain 1960..1958", "plain .."])
def test_a_date_that_is_none_is_said(typed: str) -> None:
    with pytest.raises(ValueError, match=r"1958\.\.1960"):
        read_dated(typed)


def test_one_answer_gets_its_absence_beside_it() -> None:
    assert [(one.digit, one.text, one.absent) for one in answers_from("hatched")] == [
        (1, "hatched", False),
        (0, "not there", True),
    ]


def test_answers_have_ids_of_their_own() -> None:
    assert [one.id for one in answers_from("red! / red? / none")] == ["red", "red-2", "none"]


def test_the_slash_of_a_date_parts_no_answers() -> None:
    """``advert till 07/1970`` became the states "advert till 07", of any time, and 1970."""
    told = {
        one.text: one.span.edtf() if one.span else ""
        for one in answers_from("card 1964/65 / advert till 07/1970 / 120/140")
    }
    assert told == {"card": "[1964..1965]", "advert": "[..1970-07]", "120": "", "140": ""}


def test_a_state_of_which_only_the_end_is_said_in_words_begins_where_the_one_before_it_ended() -> None:
    """``plum till 1961 / olive till 1966`` made olive of plum's time too."""
    told = states_in_turn(
        "plum till 1961 / olive till July 1966 / silver through 1970 (adverts) / ring ..1972"
    )
    assert [one.span.edtf() for one in told if one.span] == [
        "[..1961]", "[1962-01..1966-07]", "[1966-08..1970-12]", "[..1972]",
    ]  # fmt: skip
    spans = [
        one.span.edtf() for one in states_in_turn("red till 1961 / blue till 1960 / of any time") if one.span
    ]
    assert spans == ["[..1961]", "[..1960]"]


@pytest.mark.parametrize(
    ("date", "edtf"),
    [
        ("about 1963", "[1962-07..1964-06]"), ("c1963", "[1962-07..1964-06]"), ("before 1962", "[..1961]"),
        ("before May 1962", "[..1962-04]"), ("by 1963", "[..1963]"), ("not before May 1965", "[1965-05..]"),
        ("no later than 1960", "[..1960]"), ("after 1966", "[1967..]"), ("from 1971", "[1971..]"),
        ("between 1958 and 1961", "[1958..1961]"), ("1958 to 1961", "[1958..1961]"),
        ("winter 1967", "[1967-12..1968-02]"), ("post 1965", "[1966..]"), ("'58-'60", "[1958..1960]"),
        ("first half of 1963", "[1963-01..1963-06]"), ("until mid '63", "[..1963-08]"),
        ("before 1st May 1962", "[..1962-04]"), ("through 1960", "[..1960]"), ("thru to 7/1961", "[..1961-07]"),
        ("'60s", "[1960..1969]"), ("mid 60s", "[1964..1966]"),
    ],
)  # fmt: skip
def test_a_vague_date_behind_words_is_read_whole(date: str, edtf: str) -> None:
    said = read_dated(f"grey with box logo {date} firm (a copy)")
    assert (said.words, said.hardness) == ("grey with box logo", "firm")
    assert said.span is not None
    assert said.span.edtf() == edtf


@pytest.mark.parametrize(
    "text",
    [
        "zinc not since 1962", "zinc between 1961 and 1958", "zinc by or 1962", "rust never before 1963",
        "rust not made after 1963", "rust after 1962 but before 1965", "rust Christmas 1963",
        "rust only after March 1964", "rust no longer after 1963",
    ],
)  # fmt: skip
def test_half_a_date_is_no_date(text: str) -> None:
    with pytest.raises(ValueError, match="no date read from"):
        read_dated(text)


@pytest.mark.parametrize(
    "text",
    [
        "no print ..1957",
        "not glossy 1963",
        "early label 1963..",
        "2nd rim after 1966",
        "none up to 1964",
        "none 1963 on",
        "nothing from 1963",
    ],
)
def test_words_of_the_state_itself_are_no_part_of_its_date(text: str) -> None:
    assert read_dated(text).span is not None
