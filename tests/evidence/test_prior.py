"""How likely a pressing is before anything is seen, and one that nobody knows."""

from dataclasses import replace
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Completeness, Pressing, Said
from benchtui.books.trust import trusted, worth_of
from benchtui.evidence import weigh
from benchtui.evidence.pooling import pooled
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

LABEL = Clue(
    "label", "Label", "disc", "label", tuple(Answer(a, a, n) for n, a in enumerate(("red", "blue", "grey")))
)


def odds(
    record: Any, title: BookTitle, counts: dict[str, Any] | None = None, *more: BookTitle
) -> dict[Any, float]:
    return {one.id: one.p for one in weigh(record, Shelf([title, *more], [LABEL]), counts=counts).pressings}


def title_of(*pressings: Pressing, complete: Completeness = "", **fields: Any) -> BookTitle:
    return BookTitle("t", "", "t", parse_edtf("1960"), pressings=pressings, complete=complete, **fields)


@pytest.mark.parametrize(
    ("complete", "left_out"), [("all", 0.01), ("most", 0.05), ("", 0.05), ("some", 0.25)]
)
def test_a_new_pressing_is_as_likely_as_the_book_is_incomplete(
    record_of: Any, complete: Completeness, left_out: float
) -> None:
    title = title_of(Pressing("a", "a", Span(), share=3), Pressing("b", "b", Span()), complete=complete)
    p = odds(record_of(), title)
    assert p == pytest.approx({"a": 0.75 * (1 - left_out), "b": 0.25 * (1 - left_out), None: left_out})


def test_without_a_book_one_copy_seen_leaves_three_to_one_for_another_pressing(record_of: Any) -> None:
    grown = title_of(Pressing("a", "a", Span(), known="grown"))
    assert odds(record_of(), grown, {"a": {"n": 1}})[None] == pytest.approx(0.75)
    assert odds(record_of(), grown)[None] == pytest.approx(0.75)  # it rests on the copy it grew from
    assert odds(record_of(), grown, {"a": {"n": 9}})[None] == pytest.approx(1.5 / 10)


def test_grown_pressings_in_a_written_title_make_more_of_them_likelier(record_of: Any) -> None:
    title = title_of(Pressing("a", "a", Span()), Pressing("b", "b", Span(), known="grown"))
    p = odds(record_of(), title, {"a": {"n": 6}, "b": {"n": 2}})
    whole = 10 + 8
    assert p == pytest.approx({"a": (9.5 + 6) / whole, "b": 1.5 / whole, None: (0.5 + 0.5) / whole})


def test_a_grown_pressing_in_the_place_of_a_ladder_s_stretch_has_its_share(record_of: Any) -> None:
    title = title_of(
        Pressing("a", "a", Span(), known="grown", stretch=3.0), Pressing("t/~1970", "b", Span(), share=1.0)
    )
    new = 1.5 / 2  # as without a ladder; of it a quarter fits no stretch
    p = odds(record_of(), title, {"a": {"n": 1}})
    assert p == pytest.approx({"a": 0.25 + 0.75 * new * 0.75, "t/~1970": 0.75 * new * 0.25, None: new / 4})


def test_none_of_these_looks_as_its_company_s_other_titles_do(record_of: Any, saw: Any) -> None:
    known = title_of(Pressing("a", "a", Span(), expect={"label": {"red": "always"}}), company="C")
    other = Pressing("x", "x", Span(), expect={"label": {"blue": "always"}})
    elsewhere = BookTitle("u", "", "u", parse_edtf("1960"), company="C", pressings=(other,))
    record = record_of()
    saw(record, "disc-1", "label", "blue")
    seen = odds(record, known, None, elsewhere)
    assert seen[None] > 1.9 * odds(record, known)[None]
    # theta(blue) = (.96 + 1/3) / 2 for what nobody knows, .02 for the known one; misreads at .015
    new, a = (0.985 * x + 0.015 * (1 - x) / 2 for x in ((0.96 + 1 / 3) / 2, 0.02))
    assert seen[None] == pytest.approx(0.05 * new / (0.05 * new + 0.95 * a))


def test_what_no_book_says_is_pooled_so_that_chance_is_no_evidence(record_of: Any, saw: Any) -> None:
    title = title_of(Pressing("a", "a", Span()), Pressing("b", "b", Span()))
    counts = {"a": {"n": 6, "clues": {"label": {"red": 4, "blue": 2}}},
              "b": {"n": 6, "clues": {"label": {"red": 2, "blue": 4}}}}  # fmt: skip
    record = record_of()
    saw(record, "disc-1", "label", "red")
    p = odds(record, title, counts)
    assert 1 < p["a"] / p["b"] < 1.3


def test_a_true_difference_is_still_learnt_where_no_book_speaks() -> None:
    theta, _ = pooled([[20.0, 0.0, 0.0], [0.0, 20.0, 0.0]], [1 / 3] * 3)
    assert theta[0][0] > 0.9
    assert theta[1][1] > 0.9


def test_a_pressing_grown_here_tells_by_what_the_dealer_marked_and_not_by_the_rest(
    record_of: Any, saw: Any
) -> None:
    def against(*differs: str) -> float:
        one, two = (
            Pressing(name, name, Span(), known="grown", differs=differs, expect={"label": {shows: "usually"}})
            for name, shows in (("a", "red"), ("b", "blue"))
        )
        record = record_of()
        saw(record, "disc-1", "label", "red")
        p = odds(record, title_of(one, two))
        return p["a"] / p["b"]

    assert against() == pytest.approx(1.0)
    assert against("label") > 5


def test_the_word_of_a_source_less_trusted_gives_way_sooner_to_what_copies_show(
    record_of: Any, saw: Any
) -> None:
    red = Pressing("a", "a", Span(), expect={"label": {"red": "always"}}, source="a stranger")
    other = Pressing("b", "b", Span(), expect={"label": {"red": "always"}})
    counts = {"a": {"n": 3, "clues": {"label": {"blue": 3}}}, "b": {"n": 3, "clues": {"label": {"blue": 3}}}}
    record = record_of()
    saw(record, "disc-1", "label", "blue")
    even = odds(record, title_of(red, other), counts)
    assert even["a"] == pytest.approx(even["b"])
    less = odds(record, trusted(title_of(red, other), {"a stranger": 0.5}), counts)
    assert less["a"] > less["b"], "the copies say blue, and the stranger's red is worth two of them, not four"


def test_a_source_is_worth_more_the_more_copies_bear_it_out() -> None:
    said = Said("theirs", expect={"rim": {"thick": "always"}})
    one = Pressing("a", "a", Span(), source="ours", expect={"rim": {"thick": "always"}, "label": {"red": "always"}},
                   said=(said,))  # fmt: skip
    seen = {"rim": {"thick": 6}, "label": {"blue": 2}}
    assert worth_of([], {"theirs"}) == {"theirs": 0.5}
    assert worth_of([(one, seen)], {"theirs"}) == {"theirs": 1.4, "ours": 0.5}
    assert trusted(title_of(one), {"theirs": 1.4}).pressings[0].trust == {"": 1.0, "rim": 1.4}
    assert worth_of([(replace(one, source="by the dealer"), seen)], set()) == {"theirs": 1.75}
