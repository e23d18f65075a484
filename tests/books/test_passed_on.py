"""A retired pressing passes to another: what its copies taught counts as that one's, while the book says so."""

from benchtui.books.check import check_books
from benchtui.books.library import Library
from benchtui.books.passed_on import heirs_of, living, pressing_of, taught_of
from benchtui.books.shape import Pressing
from benchtui.model.span import Span


def _one(name: str, to: str = "") -> Pressing:
    return Pressing(name, name, Span(), retired="replaced" if to else "", passes_to=to)


def test_it_passes_on_by_any_number_of_steps_and_never_in_a_circle_or_to_what_is_lost() -> None:
    several = [_one("a", "b"), _one("b", "c"), _one("c"), _one("x", "y"), _one("y", "x"), _one("z", "gone")]
    assert heirs_of(several) == {"a": "c", "b": "c"}
    (kept,) = living(several)
    assert kept.was == ("a", "b")


def test_counts_of_both_are_added_and_are_apart_again_where_the_line_is_gone() -> None:
    counts = {
        "a": {"n": 2, "clues": {"rim": {"thick": 2}}, "cuts": {"1|1": 1}},
        "b": {"n": 3, "clues": {"rim": {"thick": 1, "thin": 2}}, "cuts": {}},
    }
    (kept,) = living([_one("a", "b"), _one("b")])
    assert (taught_of(counts, kept)["n"], taught_of(counts, kept)["cuts"]) == (5, {"1|1": 1})
    assert taught_of(counts, kept)["clues"] == {"rim": {"thick": 3, "thin": 2}}
    assert [taught_of(counts, one)["n"] for one in living([_one("a"), _one("b")])] == [2, 3]


BOOK = """[book]
name = "Mossgate"
[[title]]
id = "ms-1"
artist = "Osier Choir"
title = "Crooked Weir"
[[title.pressing]]
id = "ms-1/1"
name = "first"
[[title.pressing]]
id = "ms-1/2"
retired = "the same as first"
passes_to = "ms-1/1"
"""


def test_a_record_that_names_the_retired_one_is_of_the_other(tmp_path) -> None:
    (tmp_path / "mossgate.toml").write_text(BOOK)
    title = Library.open([tmp_path], cache=tmp_path / "cache").title("ms-1")
    assert title is not None
    assert [one.id for one in title.pressings] == ["ms-1/1"]
    assert pressing_of(title, "ms-1/2") == pressing_of(title, "ms-1/1")
    assert check_books([tmp_path]) == []


def test_check_tells_a_pressing_that_passes_to_nothing_or_is_not_retired(tmp_path) -> None:
    (tmp_path / "mossgate.toml").write_text(
        BOOK.replace('passes_to = "ms-1/1"', 'passes_to = "ms-1/9"').replace(
            'name = "first"', 'passes_to = "ms-1/2"'
        )
    )
    said = [one.what for one in check_books([tmp_path])]
    assert said == ["only a retired pressing passes to another", "no other pressing is 'ms-1/9'"]
