"""What the panel says of all parts together is what is said of each."""

from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import together, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span

PAIR = (Answer("a", "a", 1), Answer("b", "b", 2))
CLUES = (
    Clue("label", "Label", "disc", "label", PAIR),
    Clue("fold", "Fold", "cover", "front", PAIR),
    Clue("laminate", "Laminate", "cover", "front", PAIR),
    Clue("paper", "Paper", "inner", "front", PAIR),
    Clue("plain", "Plain", "inner", "front", PAIR),
)
TELLS = ("label", "fold", "laminate", "paper")


@pytest.mark.parametrize(
    ("seen", "says"),
    [
        ([], ""),
        (["label"], ""),
        (["label", "fold", "laminate"], "disc and cover are consistent with one copy; inner not looked at"),
        (["label", "paper"], "disc and inner are consistent with one copy; cover not looked at"),
        (["label", "plain"], "not established whether inner belongs to it; cover not looked at"),
        (["fold", "paper"], "cover and inner are consistent with one copy; disc not looked at"),
        (["label", "fold", "paper"], "disc, cover and inner are consistent with one copy"),
    ],
)
def test_only_parts_of_which_something_was_seen_are_said_to_fit(
    record_of: Any, saw: Any, seen: list[str], says: str
) -> None:
    pressings = tuple(Pressing(k, k, Span(), expect={c: {k: "always"} for c in TELLS}) for k in "ab")
    record, books = record_of(), Shelf([BookTitle("t", "", "", Span(), pressings=pressings)], CLUES)
    for clue in CLUES:
        if clue.id in seen:
            saw(record, f"{clue.part}-1", clue.id, "a")
    weighing = weigh(record, books)
    names = {"disc-1": "disc", "cover-1": "cover", "inner-1": "inner"}
    said = together(record, weighing)
    assert said == says
    for key, name in names.items():
        found = weighing.agreement[key].say
        assert ("consistent" in found) <= (name in said.partition(" are consistent")[0])
        assert "the disc" not in found or "label" in seen, "nothing is consistent with what nobody saw"


def test_a_part_that_was_graded_was_looked_at(record_of: Any) -> None:
    record, books = record_of(), Shelf([], CLUES)
    assert weigh(record, books).agreement["cover-1"].say == "cover: not looked at"
    cover = next(part for part in record["parts"] if part["id"] == "cover-1")
    cover["grades"] = [{"when": "arrived", "side": "", "grade": "VG"}]
    assert weigh(record, books).agreement["cover-1"].say == "cover: not established, nothing conclusive seen"
