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
from benchtui.model.span import Span, parse_edtf

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
        "1963-24",
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
