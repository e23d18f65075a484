"""What contradicts itself settles nothing, but where one misread clue explains it and the leader needs neither."""

from datetime import date
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness, Pressing, PressingKind
from benchtui.evidence import weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

LABEL = Clue("label", "Label", "disc", "label", (Answer("gold", "gold", 1), Answer("silver", "silver", 2)))
DUTY = Clue(
    "duty", "Duty letter", "disc", "label",
    (Answer("k", "K", 1, parse_edtf("[..1961-03]"), "hard"), Answer("none", "no letter", 0)),
)  # fmt: skip


def shelf(kind: PressingKind) -> Shelf:
    expect: Any = {"label": {"gold": "always"}}
    one = Pressing("one", "one", parse_edtf("1973"), kind, expect=expect)
    two = Pressing("two", "two", parse_edtf("1975"), expect={"label": {"silver": "always"}}, share=0.01)
    return Shelf([BookTitle("t", "", "", Span(date(1972, 11, 1)), pressings=(one, two))], (LABEL, DUTY))


@pytest.mark.parametrize(("kind", "settled"), [("ordinary", False), ("counterfeit", True), ("pirate", True)])
def test_settled_is_not_said_over_a_disc_that_contradicts_itself(
    record_of: Any, saw: Any, kind: PressingKind, settled: bool
) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "gold")
    before = weigh(record, shelf(kind))
    assert before.settled
    saw(record, "disc-1", "duty", "k")
    after = weigh(record, shelf(kind))
    assert (after.copy_span.likely is None) is (kind == "ordinary")
    assert after.clashes
    assert after.leader is not None
    assert after.leader.id == "one"
    assert after.settled is settled


EIGHT = tuple(f"c{i}" for i in range(8))


def torn_shelf(hardness: Hardness, told_by: tuple[str, ...]) -> Shelf:
    """Two pressings that ``told_by`` tell apart, and two clues of one part that exclude each other."""
    rim = Clue(
        "rim", "Rim", "disc", "label",
        (Answer("old", "old", 1, parse_edtf("[..1968]"), hardness), Answer("none", "none", 2)),
    )  # fmt: skip
    logo = Clue(
        "logo", "Logo", "disc", "label",
        (Answer("new", "new", 1, parse_edtf("[1975..]"), hardness), Answer("none", "none", 2)),
    )  # fmt: skip
    plain = [Clue(c, c, "disc", "label", LABEL.answers) for c in EIGHT]
    one = Pressing("one", "one", parse_edtf("1966"), expect={c: {"gold": "always"} for c in told_by})
    two = Pressing("two", "two", parse_edtf("1976"), expect={c: {"silver": "always"} for c in told_by})
    return Shelf([BookTitle("t", "", "", Span(date(1966, 1, 1)), pressings=(one, two))], (rim, logo, *plain))


@pytest.mark.parametrize(
    ("hardness", "told_by", "settled"),
    [
        ("firm", EIGHT, True),  # either may be misread: "one" stands without it
        ("hard", EIGHT, False),  # the impossible was seen
        ("firm", ("c0",), False),  # it would not stand without the old rim
    ],
)
def test_a_contradiction_that_one_misread_clue_explains_holds_back_only_what_rests_on_it(
    record_of: Any, saw: Any, hardness: Hardness, told_by: tuple[str, ...], settled: bool
) -> None:
    record = record_of()
    for clue in EIGHT:
        saw(record, "disc-1", clue, "gold")
    saw(record, "disc-1", "rim", "old")
    saw(record, "disc-1", "logo", "new")
    found = weigh(record, torn_shelf(hardness, told_by))
    assert found.leader is not None
    assert found.leader.id == "one"
    assert found.leader.p >= 0.95 or not settled
    assert found.clashes, "it is told all the same"
    assert found.settled is settled
    # Nor is the copy dated by what rests on one of the two; else by its pressing and by what does not clash.
    date_of_copy = found.copy_date
    assert (date_of_copy is not None) is (found.copy_span.likely is not None) is settled
    assert date_of_copy is None or date_of_copy.run.latest == date(1966, 12, 31)


def test_a_cover_that_contradicts_itself_leaves_the_date_to_the_other_parts(record_of: Any, saw: Any) -> None:
    shelf = torn_shelf("firm", EIGHT)
    price = Clue(
        "price", "Price", "cover", "front",
        (Answer("old", "old", 1, parse_edtf("[..1968]"), "firm"), Answer("none", "none", 2)),
    )  # fmt: skip
    fold = Clue(
        "fold", "Fold", "cover", "front",
        (Answer("new", "new", 1, parse_edtf("[1975..]"), "firm"), Answer("none", "none", 2)),
    )  # fmt: skip
    record = record_of()
    for clue in EIGHT:
        saw(record, "disc-1", clue, "gold")
    title = shelf.title("t")
    assert title is not None
    books = Shelf([title], (*shelf.clues_for(record, record["parts"][0]), price, fold))
    before = weigh(record, books)
    saw(record, "cover-1", "price", "old")
    saw(record, "cover-1", "fold", "new")
    found = weigh(record, books)
    assert found.clashes
    assert found.copy_span == before.copy_span, "1975 is no date of the copy: the cover says 1968 as well"
    assert before.copy_date is not None
    assert found.copy_date is not None
    assert found.copy_date.run == before.copy_date.run
