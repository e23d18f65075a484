"""Either of two: seen, but not told apart. It weighs as the sum, and dates by what either allows."""

from fractions import Fraction
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness, Pressing
from benchtui.evidence import ModelSettings, WeighSettings, counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import hull, parse_edtf

EXACT = WeighSettings(model=ModelSettings(misread=0.0, dates=False))


def made(
    name: str,
    digit: int,
    times: str = "",
    start: Hardness = "hard",
    end: Hardness | str = "",
    caps: bool = False,
) -> Answer:
    spans = tuple(parse_edtf(text) for text in times.split()) or (None,)
    span = hull([one for one in spans if one]) if times else None
    several = tuple(one for one in spans if one) if len(spans) > 1 else ()
    return Answer(name, name, digit, span, start if times else "none", caps, to_hardness=end, times=several)  # type: ignore[arg-type]


def test_it_weighs_as_the_sum_of_its_answers(record_of: Any, saw: Any) -> None:
    """By fractions: usually .8 and the two without a word share .2; never .005 and the rest share .995."""
    clue = Clue(
        "ink", "Ink", "disc", "label", tuple(made(k, n) for n, k in enumerate(("gold", "red", "blue"), 1))
    )
    pressings = (
        Pressing("one", "one", parse_edtf("1967"), expect={"ink": {"gold": "usually"}}),
        Pressing("two", "two", parse_edtf("1967"), expect={"ink": {"gold": "never", "red": "sometimes"}}),
    )
    record = record_of("t", ("disc",))
    saw(record, "disc-1", "ink", "gold", also=["blue"])
    record["answers"][0]["also"] = ["blue"]
    books = Shelf([BookTitle("t", "", "", parse_edtf("1967"), pressings=pressings)], [clue])
    got = {one.id: one.p for one in weigh(record, books, settings=EXACT).pressings}
    one = Fraction(8, 10) + Fraction(1, 10)
    two = Fraction(5, 1000) + (1 - Fraction(5, 1000) - Fraction(3, 10))
    assert got["one"] / got["two"] == pytest.approx(float(one / two), abs=1e-12)


@pytest.mark.parametrize(
    ("first", "second", "certain", "likely"),
    [
        (("[1960..1962]",), ("[1963..1965]",), "[1960..1965]", "[1960..1965]"),
        (("[1960..1962]",), ("[1968..1970]",), "[1960..1970]", "[1960..1970]"),
        (("[1960..1962]",), ("[..1955]",), "[..1962]", "[..1962]"),
        (("[1960..1962]",), ("[1964..1966]", "firm"), "", "[1959-07-02..1967-07-02]"),
        (("[1960..1962]",), ("",), "", ""),
        (("[1960..1962]",), ("[..1964]", "hard", "", True), "", ""),
    ],
)
def test_its_date_is_what_either_allows(
    first: Any, second: Any, certain: str, likely: str, record_of: Any, saw: Any
) -> None:
    clue = Clue("mark", "Mark", "cover", "front", (made("a", 1, *first), made("b", 2, *second), made("c", 3)))
    record = record_of("")
    saw(record, "cover-1", "mark", "a")["also"] = ["b"]
    span = weigh(record, Shelf([], [clue])).parts["cover-1"]
    assert span.certain is not None
    assert span.likely is not None
    assert (span.certain.edtf(), span.likely.edtf()) == (certain, likely)


def test_a_time_between_two_spans_is_excluded_though_either_may_hold(record_of: Any, saw: Any) -> None:
    clue = Clue(
        "mark", "Mark", "cover", "front", (made("a", 1, "[1960..1962]"), made("b", 2, "[1968..1970]"))
    )
    code = Clue("code", "Code", "cover", "back", (made("yes", 1, "[1965..]"), made("no", 2)))
    record = record_of("")
    saw(record, "cover-1", "mark", "a")["also"] = ["b"]
    saw(record, "cover-1", "code", "yes", place="back")
    assert weigh(record, Shelf([], [clue, code])).parts["cover-1"].certain == parse_edtf("[1968..1970]")


def test_two_stickers_cap_the_sale_by_the_later(record_of: Any, saw: Any) -> None:
    answers = (made("a", 1, "[..1964]", "hard", "", True), made("b", 2, "[..1966]", "hard", "", True))
    record = record_of("")
    saw(record, "cover-1", "sticker", "a")["also"] = ["b"]
    clue = Clue("sticker", "Sticker", "cover", "front", answers)
    assert weigh(record, Shelf([], [clue])).copy_span.certain == parse_edtf("[..1966]")


def test_two_numbers_are_the_brackets_of_both(record_of: Any, saw: Any) -> None:
    answers = tuple(
        Answer(f"y{y}", str(y), 1, parse_edtf(str(y)), "hard", low=y, high=y) for y in range(1960, 1970)
    )
    record = record_of("")
    doc = saw(record, "cover-1", "year", "y1961", value=[1961, 1967])
    doc["also"] = ["y1967"]
    clue = Clue("year", "Year", "cover", "front", answers, form="number")
    assert weigh(record, Shelf([], [clue])).parts["cover-1"].certain == parse_edtf("[1961..1967]")


def test_it_teaches_neither_and_a_lost_answer_counts_for_nothing(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "ink", "gold")["also"] = ["red"]
    record["pressing"] = {"id": "one", "how": "hand", "p": 1.0, "learn": True}
    assert counts_of([record])["one"]["clues"] == {}
    clue = Clue("ink", "Ink", "disc", "label", (made("gold", 1), made("blue", 2)))
    assert [doc["clue"] for doc in weigh(record, Shelf([], [clue])).lost] == ["ink"]
