"""An anchor whose own clues contradict each other settles nothing, however likely the leader."""

from datetime import date
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, PressingKind
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
    assert after.clashes
    assert after.leader is not None
    assert after.leader.id == "one"
    assert after.settled is settled
