"""Spans against ``edtf`` and ``portion``, and the rule of terminus post quem on coins."""

import random
from datetime import date, timedelta
from typing import Any

import edtf
import portion
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.books.shape import Answer, Clue
from benchtui.evidence import weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc, empty_record, new_part
from benchtui.model.span import Span, parse_dated, parse_edtf

DAYS = st.dates(date(1900, 1, 1), date(2030, 12, 31))


def bounds_by_edtf(text: str) -> tuple[date | None, date | None]:
    """The strict bounds that the edtf package reads, None for an open end."""
    parsed: Any = edtf.parse_edtf(text)
    low, high = parsed.lower_strict(), parsed.upper_strict()
    return tuple(date(*end[:3]) if hasattr(end, "tm_year") else None for end in (low, high))  # type: ignore


@settings(max_examples=40, deadline=None)
@given(st.none() | DAYS, st.none() | DAYS)
def test_every_span_written_is_read_to_the_same_days_by_the_edtf_package(
    a: date | None, b: date | None
) -> None:
    if a is None and b is None:
        return
    if a and b and a > b:
        a, b = b, a
    assert bounds_by_edtf(Span(a, b).edtf()) == (a, b)


@pytest.mark.parametrize(
    "text",
    # Strict bounds of edtf 5.0.2; forms of ISO 8601-2:2019 in the Library of Congress profile.
    [
        "[1963-07-01..1968-11-22]",
        "[1963-07-01..]",
        "196X",
        "1963-21",
        "1963",
        "1963-07",
        "[..1971]",
        "1964-02",
        "19XX",
    ],
)
def test_what_is_read_has_the_bounds_the_edtf_package_reads(text: str) -> None:
    span = parse_edtf(text)
    assert (span.earliest, span.latest) == bounds_by_edtf(text)


# Examples of the Extended Date/Time Format specification (Library of Congress, 4 February 2019; ISO 8601-2:2019),
# https://www.loc.gov/standards/datetime/, with what it says of each, as days. What is about ("~", "%") is
# widened by our own rule: a year by half a year, a month by a month, a day by fifteen days.
SPECIFIED = [
    # level 0
    ("1985-04-12", "1985-04-12", "1985-04-12"),
    ("1985-04", "1985-04-01", "1985-04-30"),
    ("1985", "1985-01-01", "1985-12-31"),
    # level 1: seasons, qualification of a date, unspecified digits from the right
    ("2001-21", "2001-03-01", "2001-05-31"),
    ("1984?", "1984-01-01", "1984-12-31"),
    ("2004-06~", "2004-05-01", "2004-07-31"),
    ("2004-06-11%", "2004-05-27", "2004-06-26"),
    ("201X", "2010-01-01", "2019-12-31"),
    ("20XX", "2000-01-01", "2099-12-31"),
    ("2004-XX", "2004-01-01", "2004-12-31"),
    ("1985-04-XX", "1985-04-01", "1985-04-30"),
    ("1985-XX-XX", "1985-01-01", "1985-12-31"),
    # level 2: sub-year groupings, one of a set, qualification of a component, unspecified digits anywhere
    ("2001-34", "2001-04-01", "2001-06-30"),  # second quarter of 2001
    ("[1667,1668,1670..1672]", "1667-01-01", "1672-12-31"),
    ("[..1760-12-03]", None, "1760-12-03"),
    ("[1760-12..]", "1760-12-01", None),
    ("[1760-01,1760-02,1760-12..]", "1760-01-01", None),
    ("[1667,1760-12]", "1667-01-01", "1760-12-31"),
    ("[..1984]", None, "1984-12-31"),
    ("2004?-06-11", "2004-06-11", "2004-06-11"),
    ("156X-12-25", "1560-12-25", "1569-12-25"),
    ("15XX-12-25", "1500-12-25", "1599-12-25"),
    ("1XXX-12", "1000-12-01", "1999-12-31"),
    ("1XXX-XX", "1000-01-01", "1999-12-31"),
    ("1984-1X", "1984-10-01", "1984-12-31"),
]


@pytest.mark.parametrize(("text", "low", "high"), SPECIFIED)
def test_the_specifications_own_examples_are_read_as_it_says(
    text: str, low: str | None, high: str | None
) -> None:
    if text != "1984-1X":  # another reader of the same specification takes them too, but for this one
        edtf.parse_edtf(text)
    span = parse_edtf(text)
    assert (span.earliest, span.latest) == tuple(end and date.fromisoformat(end) for end in (low, high))


@pytest.mark.parametrize("text", ["[1667,1668,1670..1672]", "[1667,1760-12]", "[1760-01,1760-02,1760-12..]"])
def test_each_member_of_a_set_is_a_span_of_its_own_where_they_do_not_touch(text: str) -> None:
    """Against the members the edtf package finds: every one lies in a span, and the spans end with one."""
    members = edtf.parse_edtf(text).objects
    spans = parse_dated(text).spans
    bounds = [bounds_by_edtf(str(one)) if ".." not in str(one) else (None, None) for one in members]
    for day in [end for ends in bounds for end in ends if end is not None]:
        assert any(span.meet(Span(day, day)) for span in spans)
    assert len(spans) > 1


@pytest.mark.parametrize(
    "text",
    # of the same specification: what is no single moment between two ends, or no year of a record
    ["1964/2008", "2004-06/..", "{1667,1668,1670..1672}", "{1960,1961-12}", "Y170000002", "-1985", "1950S2",
     "1985-04-12T23:20:30"],
)  # fmt: skip
def test_what_a_dealer_has_no_use_for_is_refused_with_the_words_to_type(text: str) -> None:
    edtf.parse_edtf(text)
    with pytest.raises(ValueError, match="write"):
        parse_edtf(text)


def test_a_winter_is_december_to_february_where_the_edtf_package_ends_it_with_the_year() -> None:
    """The specification gives season 24 no months. Meteorological winter: December, January, February
    (https://en.wikipedia.org/wiki/Winter#Meteorological_reckoning); a dealer's "winter 1967" begins in 1967.
    """
    assert bounds_by_edtf("1967-24") == (date(1967, 12, 1), date(1967, 12, 31))
    assert parse_edtf("1967-24") == Span(date(1967, 12, 1), date(1968, 2, 29))


@pytest.mark.parametrize("text", ["1963-02-30", "1960s", "1963..1968"])
def test_what_the_edtf_package_refuses_is_refused(text: str) -> None:
    with pytest.raises(edtf.parser.edtf_exceptions.EDTFParseException):
        edtf.parse_edtf(text)
    with pytest.raises(ValueError, match=r"196"):
        parse_edtf(text)


def test_a_reversed_set_is_refused_though_the_package_takes_it() -> None:
    edtf.parse_edtf("[1968..1963]")
    with pytest.raises(ValueError, match="reversed"):
        parse_edtf("[1968..1963]")


def dated_record(spans: list[tuple[str, Span]]) -> tuple[RecordDoc, Shelf]:
    """A record with one answer of a hard bound for each (part kind, span)."""
    record = empty_record(1)
    clues = []
    for i, (kind, span) in enumerate(spans):
        if not any(part["id"] == kind for part in record["parts"]):
            part = new_part(kind.split("-")[0])  # type: ignore[arg-type]
            part["id"] = kind
            record["parts"].append(part)
        answers = (Answer("yes", "yes", 1, span, "hard"), Answer("no", "no", 2))
        clues.append(Clue(f"c{i}", f"c{i}", kind.split("-")[0], "front", answers))
        record["answers"].append(
            {"part": kind, "place": "front", "clue": f"c{i}", "answer": "yes", "value": None, "how": "seen",
             "text": "", "book": "", "at": ""}
        )  # fmt: skip
    return record, Shelf([], clues)


def as_interval(span: Span) -> Any:
    low = span.earliest.toordinal() if span.earliest else -portion.inf
    high = span.latest.toordinal() if span.latest else portion.inf
    return portion.closed(low, high)


@pytest.mark.parametrize("seed", range(60))
def test_hard_bounds_of_a_part_intersect_as_portion_says(seed: int) -> None:
    rng = random.Random(seed)
    spans = []
    for _ in range(rng.randint(1, 4)):
        low = date(1955, 1, 1) + timedelta(days=rng.randrange(7000))
        span = Span(low, low + timedelta(days=rng.randrange(6000)))
        spans.append(rng.choice([span, Span(span.earliest, None), Span(None, span.latest)]))
    weighing = weigh(*dated_record([("cover", span) for span in spans]))
    want = portion.closed(-portion.inf, portion.inf)
    for span in spans:
        want &= as_interval(span)
    certain = weighing.parts["cover"].certain
    assert (certain is None) == want.empty
    assert bool(weighing.clashes) == want.empty
    if certain is not None:
        assert as_interval(certain) == want


def test_three_bounds_meet_as_the_worked_example_says() -> None:
    # portion 2.6.3: from 1964, 1960-1969, to 1967 give [1964, 1967].
    spans = [parse_edtf("[1964..]"), parse_edtf("[1960..1969]"), parse_edtf("[..1967]")]
    weighing = weigh(*dated_record([("disc", span) for span in spans]))
    assert weighing.disc_span.certain == parse_edtf("[1964..1967]")
    years = (
        portion.closed(1964, portion.inf) & portion.closed(1960, 1969) & portion.closed(-portion.inf, 1967)
    )
    assert years == portion.closed(1964, 1967)


def test_the_newest_surely_dated_thing_dates_the_find_and_a_loosely_dated_one_does_not() -> None:
    # https://en.wikipedia.org/wiki/Terminus_post_quem: coins of 1588, 1595, 1590-1625: not before 1595.
    coins = [("extra-1", "1588"), ("extra-2", "1595"), ("extra-3", "[1590..1625]")]
    weighing = weigh(*dated_record([(part, parse_edtf(text)) for part, text in coins]))
    assert weighing.copy_span.certain == parse_edtf("[1595..]")
