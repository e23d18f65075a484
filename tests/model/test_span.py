"""Spans: parsing, the shortest exact form, intersection."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.model.record import TitleRef
from benchtui.model.span import (
    UNKNOWN,
    Span,
    dated_text,
    dots_text,
    months_text,
    parse_dated,
    parse_edtf,
    spans_text,
)
from benchtui.model.title import first_issued

DAYS = st.dates(date(1900, 1, 1), date(2030, 12, 31))


@pytest.mark.parametrize(
    ("text", "earliest", "latest"),
    [
        ("1963", date(1963, 1, 1), date(1963, 12, 31)),
        ("1963-07", date(1963, 7, 1), date(1963, 7, 31)),
        ("1964-02", date(1964, 2, 1), date(1964, 2, 29)),
        ("1963-07-01", date(1963, 7, 1), date(1963, 7, 1)),
        ("196X", date(1960, 1, 1), date(1969, 12, 31)),
        ("19XX", date(1900, 1, 1), date(1999, 12, 31)),
        ("1963-XX", date(1963, 1, 1), date(1963, 12, 31)),
        ("[1963-07..1968-11-22]", date(1963, 7, 1), date(1968, 11, 22)),
        ("[1971..]", date(1971, 1, 1), None),
        ("[..1971]", None, date(1971, 12, 31)),
        ("1963-24", date(1963, 12, 1), date(1964, 2, 29)),  # the winter that begins in 1963
        ("1963~", date(1962, 7, 1), date(1964, 6, 30)),
        ("1963%", date(1962, 7, 1), date(1964, 6, 30)),
        ("1963?", date(1963, 1, 1), date(1963, 12, 31)),
        ("about 1963", date(1962, 7, 1), date(1964, 6, 30)),
        ("c. 1963-05", date(1963, 4, 1), date(1963, 6, 30)),
        ("1963-05-03~", date(1963, 4, 18), date(1963, 5, 18)),
        ("[1963,1968]", date(1963, 1, 1), date(1968, 12, 31)),
        ("[1963~..]", date(1962, 7, 1), None),
        ("196X-07", date(1960, 7, 1), date(1969, 7, 31)),
        ("[196X..1971]", date(1960, 1, 1), date(1971, 12, 31)),
        ("", None, None),
    ],
)
def test_each_accepted_form_gives_its_days(text: str, earliest: date | None, latest: date | None) -> None:
    assert parse_edtf(text) == Span(earliest, latest)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[1968..1963]", "[1963..1968]"),
        ("1963/", "[A..B]"),
        ("1963/1968", "[A..B]"),
        ("1963-02-30", "28"),
        ("1963-13", "months run 01 to 12"),
        ("1960s", "196X"),
        ("1963..1968", "[1963-07..1968]"),
        ("[..]", "[1971..]"),
        ("before 1963", "[..1968]"),
        ("{1963,1968}", "[1963,1968]"),
        ("1950S2", "196X"),
        ("[1963,,1968]", "[1963-07..1968]"),
        ("[1963,[1968]", "[1963-07..1968]"),
        ("1963-9X", "months run 01 to 12"),
        ("~", "is not a date"),
        ("1963-24-05", "no month 24"),
        ("0000", "0001"),
        ("[1963]", "[1963-07..1968]"),
    ],
)
def test_what_is_refused_says_what_would_be_right(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=re.escape(says)):
        parse_edtf(text)


@pytest.mark.parametrize(
    "text",
    ["1963", "1963-07", "1963-07-01", "[1963..1968]", "[1963-07-01..1968-11-22]", "[1971..]", "[..1968-11]"],
)
def test_the_shortest_form_is_written_back(text: str) -> None:
    assert parse_edtf(text).edtf() == text


@pytest.mark.parametrize(
    ("text", "spans", "soft"),
    [
        ("[1963,1968]", "1963 or 1968", False),
        ("[1963,1964,1968..]", "1963..1964 or 1968..", False),
        ("[1963?,1968]", "1963 or 1968", True),
        ("[1968,1963]", "1963 or 1968", False),
        ("1963~", "1962-07..1964-06", True),
        ("", "", False),
    ],
)
def test_a_set_is_each_of_its_spans_and_a_doubt_is_soft(text: str, spans: str, soft: bool) -> None:
    dated = parse_dated(text)
    assert (spans_text(dated.spans), dated.soft) == (spans, soft)


def test_nothing_known_is_the_empty_text() -> None:
    assert Span().edtf() == ""


@given(st.none() | DAYS, st.none() | DAYS)
def test_every_span_comes_back_from_its_text(a: date | None, b: date | None) -> None:
    if a and b and a > b:
        a, b = b, a
    assert parse_edtf(Span(a, b).edtf()) == Span(a, b)


def holds(span: Span, day: date) -> bool:
    return (span.earliest or day) <= day <= (span.latest or day)


@given(DAYS, DAYS, DAYS, DAYS, DAYS)
def test_a_day_is_in_the_meeting_when_it_is_in_both(a: date, b: date, c: date, d: date, day: date) -> None:
    one, two = Span(min(a, b), max(a, b)), Span(min(c, d), max(c, d))
    meeting = one.meet(two)
    assert (holds(one, day) and holds(two, day)) == (meeting is not None and holds(meeting, day))


def test_a_reversed_span_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="earlier end first"):
        Span(date(1968, 1, 1), date(1963, 1, 1))


@pytest.mark.parametrize(
    ("edtf", "words"),
    [
        ("[1971..1972]", "1971 to 1972"),
        ("[1971..]", "1971 on"),
        ("[..1963]", "to 1963"),
        ("[1967,1969]", "1967 or 1969"),
        ("1967~", "about 1967"),
        ("1967?", "perhaps 1967"),
        ("1967-05", "1967-05"),
        ("no date", "no date"),
        ("", ""),
    ],
)
def test_a_date_kept_is_shown_in_plain_words(edtf: str, words: str) -> None:
    assert dated_text(edtf) == words


@given(DAYS, DAYS)
def test_a_span_as_a_person_types_it_is_read_again_as_it_was(one: date, other: date) -> None:
    whole, open_end = Span(min(one, other), max(one, other)), Span(one, None)
    for span in (whole, open_end, Span(None, one)):
        text = dots_text(span)
        assert parse_edtf(f"[{text}]" if ".." in text else text) == span
    assert dots_text(Span(date(1958, 1, 1), date(1963, 12, 31))) == "1958..1963"
    assert dots_text(Span(None, date(1967, 3, 31))) == "..1967-03"


@pytest.mark.parametrize(
    "text", ["1967-12", "1967-01-01", "1967", "[1966-07..1966-12]", "[1967-05..1968]", ""]
)
def test_within_one_year_both_ends_of_a_span_are_equally_short(text: str) -> None:
    """A December was "1967-12..1967"."""
    assert dots_text(parse_edtf(text)) == text.strip("[]")


def test_a_title_whose_first_issue_cannot_be_read_has_none() -> None:
    """Of a record changed by hand: the time line broke off, and the bench with it."""
    title: TitleRef = {"id": "t-1", "artist": "", "title": "", "catalogue": "", "first": "um 1966"}
    assert first_issued(title) == first_issued(None) == UNKNOWN
    assert first_issued({**title, "first": "1966"}).edtf() == "1966"


@pytest.mark.parametrize(
    ("edtf", "words"),
    [
        ("[1977-08-30..1979-10-30]", "1977-08 to 1979-10"), ("[..1963-07-02]", "to 1963-07"),
        ("[1977-08-30..1977-09-02]", "1977-08-30 to 1977-09-02"), ("[1958..1960]", "1958 to 1960"),
    ],
)  # fmt: skip
def test_of_a_long_span_that_is_only_likely_no_day_is_told(edtf: str, words: str) -> None:
    assert months_text(parse_edtf(edtf)) == words
