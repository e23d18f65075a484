"""The date of the whole copy, against enumeration by exact fractions; and the dealer's own dating."""

from calendar import monthrange
from datetime import date
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness, Pressing
from benchtui.evidence import ModelSettings, WeighSettings, weigh
from benchtui.evidence.dating import shortest_run
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

EXACT = WeighSettings(model=ModelSettings(misread=0.0))
WORDS = {
    "always": Fraction(96, 100),
    "usually": Fraction(8, 10),
    "sometimes": Fraction(3, 10),
    "rarely": Fraction(5, 100),
}
LABEL = Clue("print", "Print", "disc", "label", (Answer("gold", "gold", 1), Answer("red", "red", 2)))


def title_of(*rows: tuple[str, str, int, str]) -> BookTitle:
    """Pressings by name, period, share and the word for a gold print."""
    pressings = tuple(
        Pressing(name, name, parse_edtf(period), share=share, expect={"print": {"gold": word}})  # type: ignore[dict-item]
        for name, period, share, word in rows
    )
    return BookTitle("t", "", "", Span(date(1960, 1, 1), None), pressings=pressings)


def month_of(day: int) -> tuple[int, int]:
    at = date.fromordinal(day)
    return at.year, at.month


def by_fractions(rows: Any, seen: str, allowed: Any) -> tuple[Span, Fraction]:
    """Every pressing, cell and day walked through: the shortest run of months holding nine tenths.

    ``allowed``: whether a cell's middle is let pass by what else dates the copy.
    """
    odds = {}
    for name, _, share, word in rows:
        gold = WORDS[word]  # two answers: the other one has what is left
        odds[name] = share * (gold if seen == "gold" else 1 - gold)
    total = sum(odds.values())
    months: dict[tuple[int, int], Fraction] = {}
    for name, period, _, _ in rows:
        span = parse_edtf(period)
        assert span.earliest
        assert span.latest
        low, high = span.earliest.toordinal(), span.latest.toordinal() + 1
        count = max(1, min(24, -(-(high - low) // 30)))
        edges = [low + Fraction(i * (high - low), count) for i in range(count + 1)]
        cells = [(a, b) for a, b in pairwise(edges) if allowed((a + b) / 2)] or list(pairwise(edges))
        for a, b in cells:
            for day in range(int(a), int(b) + 1):
                inside = max(Fraction(0), min(b, Fraction(day + 1)) - max(a, Fraction(day)))
                if inside:
                    part = Fraction(odds[name]) / Fraction(total) / len(cells) * inside / (b - a)
                    months[month_of(day)] = months.get(month_of(day), Fraction(0)) + part
    first, last = min(months), max(months)
    axis = [(y, m) for y in range(first[0], last[0] + 1) for m in range(1, 13) if first <= (y, m) <= last]
    runs = []
    for i in range(len(axis)):
        for j in range(i, len(axis)):
            held = sum((months.get(month, Fraction(0)) for month in axis[i : j + 1]), Fraction(0))
            if held >= Fraction(9, 10):
                runs.append((j - i, -held, i, j))
                break
    _, held, i, j = min(runs)
    (y, m), (y2, m2) = axis[i], axis[j]
    return Span(date(y, m, 1), date(y2, m2, monthrange(y2, m2)[1])), -held


ROWS = [
    [("one", "1967", 1, "always")],
    [("one", "[1967..1968]", 3, "always"), ("two", "[1970..1971]", 1, "rarely")],
    [("one", "[1967..1968]", 1, "usually"), ("two", "[1969..1972]", 1, "sometimes")],
    [
        ("one", "[1967-03..1967-08]", 5, "rarely"),
        ("two", "[1971-11..1974]", 1, "always"),
        ("three", "1969", 2, "usually"),
    ],
]


@pytest.mark.parametrize("rows", ROWS)
@pytest.mark.parametrize("seen", ["gold", "red"])
def test_the_shortest_run_of_months_is_that_of_enumeration(
    rows: Any, seen: str, record_of: Any, saw: Any
) -> None:
    record = record_of("t", ("disc",))
    saw(record, "disc-1", "print", seen)
    found = weigh(record, Shelf([title_of(*rows)], [LABEL]), settings=EXACT).copy_date
    assert found is not None
    run, held = by_fractions(rows, seen, lambda middle: True)
    assert found.run == run
    assert found.held == pytest.approx(float(held), abs=1e-9)


@pytest.mark.parametrize("rows", ROWS[1:])
def test_the_copy_is_no_older_than_its_other_parts_and_sold_by_what_caps_it(
    rows: Any, record_of: Any, saw: Any
) -> None:
    code = Clue(
        "code",
        "Code",
        "inner",
        "front",
        (Answer("yes", "yes", 1, parse_edtf("[1967-11..]"), "hard"), Answer("no", "no", 2)),
    )
    stamp = Clue(
        "stamp",
        "Stamp",
        "cover",
        "front",
        (Answer("yes", "yes", 1, parse_edtf("[..1971-05]"), "hard", True), Answer("no", "no", 2)),
    )
    record = record_of("t")
    saw(record, "disc-1", "print", "gold")
    saw(record, "inner-1", "code", "yes")
    saw(record, "cover-1", "stamp", "yes")
    settings = WeighSettings(model=ModelSettings(misread=0.0, swap_inner=0.0, swap_cover=0.0))
    weighed = weigh(record, Shelf([title_of(*rows)], [LABEL, code, stamp]), settings=settings)
    found = weighed.copy_date
    assert found is not None
    low, high = date(1967, 11, 1).toordinal(), date(1971, 6, 1).toordinal()
    odds = {one.id: one.p for one in weighed.pressings if one.id}
    told = [
        (name, period, Fraction(odds[name]).limit_denominator(10**15), "always")
        for name, period, _, _ in rows
    ]
    run, held = by_fractions(told, "gold", lambda middle: low <= middle < high)
    assert found.run == run
    assert found.held == pytest.approx(float(held), abs=1e-6)


def test_none_of_these_is_left_out_and_its_share_told(record_of: Any, saw: Any) -> None:
    record = record_of("t", ("disc",))
    saw(record, "disc-1", "print", "red")
    weighed = weigh(record, Shelf([title_of(("one", "1967", 1, "always"))], [LABEL]))
    found = weighed.copy_date
    assert found is not None
    unknown = next(one.p for one in weighed.pressings if one.id is None)
    assert found.unknown == unknown > 0.1
    assert found.say() == f"1967-01 to 1967-11, nine in ten; none of these ({unknown:.0%}) left out"
    record["pressing"] |= {"id": None, "how": "hand"}
    weighed = weigh(record, Shelf([title_of(("one", "1967", 1, "always"))], [LABEL]))
    assert weighed.copy_date is None, "none of these, by the dealer's word"


def test_a_pressing_that_the_dealer_named_dates_the_copy_whatever_the_odds(record_of: Any, saw: Any) -> None:
    rows = ("one", "[1967-01..1967-12]", 9, "always"), ("two", "[1971-01..1971-12]", 1, "rarely")
    record, books = record_of("t", ("disc",)), Shelf([title_of(*rows)], [LABEL])
    saw(record, "disc-1", "print", "gold")
    assert weigh(record, books).copy_date.run.latest < date(1968, 1, 1)  # type: ignore[union-attr,operator]
    record["pressing"] |= {"id": "two", "how": "hand"}
    found = weigh(record, books).copy_date
    assert found is not None
    assert found.say() == "1971-01 to 1971-11, nine in ten", "none of these is out of the question"


def test_the_months_lie_inside_the_likely_span_or_are_not_told(record_of: Any, saw: Any) -> None:
    def dated_to(begins: str, period: str) -> tuple[Any, Any]:
        docket = Clue(
            "docket", "Docket", "inner", "front",
            (Answer("yes", "yes", 1, parse_edtf(begins), "soft"), Answer("no", "no", 2)),
        )  # fmt: skip
        record = record_of("t")
        saw(record, "disc-1", "print", "gold")
        saw(record, "inner-1", "docket", "yes")
        record["rulings"]["inner-1"] = "own"
        weighed = weigh(record, Shelf([title_of(("one", period, 1, "always"))], [LABEL, docket]))
        return weighed.copy_span.likely, weighed.copy_date

    likely, found = dated_to("[1971-07..]", "[1967..1970]")
    assert likely.edtf() == "[1969-07..]"
    # Odds that double in 1.4 years: nine tenths of those after mid-1969 lie from September on, of all from 1968.
    assert date(1969, 8, 1) <= found.run.earliest <= date(1969, 10, 1)
    assert found.run.latest == date(1970, 12, 31)
    likely, found = dated_to("[1979..]", "[1967..1968]")
    assert (likely.edtf(), found) == ("[1977..]", None), "its pressing was never made then"


def test_without_a_known_pressing_or_anything_seen_nothing_is_said(record_of: Any, saw: Any) -> None:
    assert weigh(record_of("t"), Shelf([title_of(*ROWS[1])], [LABEL])).copy_date is None
    record = record_of("t", ("disc",))
    saw(record, "disc-1", "print", "red")
    assert weigh(record, Shelf([BookTitle("t", "", "", Span())], [LABEL])).copy_date is None


def test_of_runs_as_short_the_fullest_then_the_earliest() -> None:
    assert shortest_run({0: 0.5, 1: 0.4, 2: 0.1})[:2] == (0, 2)
    assert shortest_run({0: 0.08, 1: 0.45, 2: 0.47})[:2] == (1, 2)
    assert shortest_run({0: 0.05, 1: 0.9, 2: 0.05})[:2] == (1, 1)
    assert shortest_run({0: 0.5, 5: 0.5})[:2] == (0, 6)
    assert shortest_run({7: 1.0}) == (7, 1, 1.0)


# -- by hand ----------------------------------------------------------------------------------------


def by_hand(part: str, span: str, sure: Hardness = "firm", why: str = "") -> dict[str, str]:
    return {"part": part, "span": span, "sure": sure, "why": why, "at": "2026-11-25T09:00:00Z"}


def test_a_part_dated_by_hand_is_bounded_and_weighs_as_evidence(record_of: Any, saw: Any) -> None:
    books = Shelf([title_of(("one", "1967", 1, "always"), ("two", "1973", 1, "always"))], [LABEL])
    record = record_of("t", ("disc",))
    saw(record, "disc-1", "print", "gold")
    assert weigh(record, books).pressings[0].p == pytest.approx(weigh(record, books).pressings[1].p)
    record["dated"] = [by_hand("disc-1", "[1966..1968]", "firm", "the press's own docket")]
    told = weigh(record, books)
    assert told.pressings[0].id == "one"
    assert told.pressings[0].p > 0.9
    assert told.parts["disc-1"].likely == parse_edtf("[1966..1968]")  # its grace is for odds and clashes
    assert told.parts["disc-1"].certain == Span()  # nobody's word is certain
    (line,) = told.dates
    assert (line.label, line.hardness(), line.source) == (
        "disc: dated by you: 1966 to 1968", "firm", "the press's own docket",
    )  # fmt: skip
    assert any(line.label == "disc: dated by you 1966 to 1968" for line in told.why)


def test_the_whole_copy_dated_by_hand_ends_there(record_of: Any, saw: Any) -> None:
    record = record_of("")
    record["dated"] = [by_hand("", "[1958..1960]", "soft")]
    weighed = weigh(record, Shelf([], []))
    assert weighed.copy_span.likely == parse_edtf("[1956-01-02..1962-12-31]")
    assert weighed.copy_span.certain == Span()
    assert len(weighed.dates) == 1
    paper = Clue(
        "paper",
        "Paper",
        "inner",
        "front",
        (Answer("yes", "yes", 1, parse_edtf("[1975..]"), "hard"), Answer("no", "no", 2)),
    )
    saw(record, "inner-1", "paper", "yes")
    assert "inner-1" in weigh(record, Shelf([], [paper])).elsewhere


@pytest.mark.parametrize(
    ("part", "sure", "disc", "copy"),
    [
        ("disc-1", "firm", "1990", "[1990..]"),
        ("", "firm", "1990", "1990"),
        ("disc-1", "soft", "[1988-01-02..1992-12-30]", "[1988-01-02..]"),
    ],
)
def test_a_firm_date_by_hand_is_told_of_the_disc_and_of_the_copy_as_it_was_given(
    record_of: Any, part: str, sure: Hardness, disc: str, copy: str
) -> None:
    record = record_of("")
    record["dated"] = [by_hand(part, "1990", sure)]
    weighed = weigh(record, Shelf([], []))
    assert weighed.parts["disc-1"].likely == weighed.disc_span.likely == parse_edtf(disc)
    assert weighed.copy_span.likely == parse_edtf(copy)


def test_several_spans_and_a_date_that_cannot_be_read(record_of: Any) -> None:
    record = record_of("")
    record["dated"] = [by_hand("cover-1", "[1958,1961]", "firm")]
    weighed = weigh(record, Shelf([], []))
    assert weighed.dates[0].when() == "1958 or 1961"
    record["dated"] = [by_hand("cover-1", "some day"), by_hand("gone", "1958")]
    assert weigh(record, Shelf([], [])).dates == ()


def test_an_inner_that_may_not_belong_does_not_date_the_copy_beyond_its_pressing(
    record_of: Any, saw: Any
) -> None:
    """A copy of 1963, as sure as can be, was told as of 1966 or later by an inner that may be another copy's."""
    docket = Clue(
        "docket", "Docket", "inner", "front",
        (Answer("yes", "yes", 1, parse_edtf("[1968..]"), "soft"), Answer("no", "no", 2)),
    )  # fmt: skip
    print_of = Clue(
        "print", "Print", "disc", "label",
        (Answer("gold", "gold", 1, parse_edtf("[..1963]"), "firm"), Answer("red", "red", 2)),
    )  # fmt: skip
    books = Shelf([title_of(("one", "1963", 1, "always"))], [print_of, docket])
    record = record_of("t")
    saw(record, "disc-1", "print", "gold")
    saw(record, "inner-1", "docket", "yes")
    record["pressing"] |= {"id": "one", "how": "hand"}
    found = weigh(record, books)
    assert found.agreement["inner-1"].stands == "open"
    assert found.copy_span.likely == parse_edtf("1963")
    record["rulings"]["inner-1"] = "own"
    assert weigh(record, books).copy_span.likely == parse_edtf("[1966..]"), "the dealer says that it belongs"
