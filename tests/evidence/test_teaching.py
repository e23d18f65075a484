"""Only what was confirmed is learnt."""

from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import book_alone_is_sure
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

PAIR = (Answer("yes", "yes", 1), Answer("no", "no", 2))
CLUES = [Clue(f"c{n}", f"c{n}", "disc", "label", PAIR) for n in range(8)]
EARLY = Clue("early", "early", "disc", "label", (Answer("e", "e", 1, parse_edtf("[..1960]"), "hard"), *PAIR))
LATE = Clue("late", "late", "disc", "label", (Answer("l", "l", 1, parse_edtf("[1970..]"), "hard"), *PAIR))
TITLE = BookTitle("t", "", "t", Span(), complete="all", pressings=tuple(
    Pressing(name, name, parse_edtf("[1960..1969]"), expect={c.id: {shows: "always"} for c in CLUES})
    for name, shows in (("a", "yes"), ("b", "no"))
))  # fmt: skip


@pytest.mark.parametrize(
    ("answers", "teaches"),
    [("yyyyyyyy", True), ("yy", True), ("y", False), ("yyyyynnn", False), ("", False)],
)
def test_the_book_alone_must_be_sure_and_the_copy_like_it(
    record_of: Any, saw: Any, answers: str, teaches: bool
) -> None:
    record = record_of()
    for clue, answer in zip(CLUES, answers, strict=False):
        saw(record, "disc-1", clue.id, {"y": "yes", "n": "no"}[answer])
    assert book_alone_is_sure(record, Shelf([TITLE], CLUES)) is teaches


def test_a_copy_that_contradicts_itself_teaches_nothing(record_of: Any, saw: Any) -> None:
    record = record_of()
    for clue in CLUES:
        saw(record, "disc-1", clue.id, "yes")
    shelf = Shelf([TITLE], [*CLUES, EARLY, LATE])
    assert book_alone_is_sure(record, shelf)
    saw(record, "disc-1", "early", "e")
    saw(record, "disc-1", "late", "l")
    assert not book_alone_is_sure(record, shelf)
