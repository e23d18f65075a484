"""Whose a record was and what was agreed: dated entries, the owner asked, a lower price approved, reminders."""

import pytest
from bench_hands import Hands
from test_listing import section

from benchtui.desk.keyboard.perform import run
from benchtui.model.record import ASK_OWNER, REMIND


@pytest.fixture
def consigned(empty: Hands) -> Hands:
    """A consigned record in stock at a reserve of 20.00, on its page."""
    hands = empty.new_parcel(1, "Hester Quillow").ready().do("take-in", "take-in")
    hands.do("line-leave", "previous-record", "record-page", "record-reserve").enter("20")
    return hands


def _step(hands: Hands, no: int, text: str) -> Hands:
    return hands.do("record-custody").key(str(no)).enter(text)


def test_owners_opinions_and_values_stand_on_the_page_and_find_the_record(consigned: Hands) -> None:
    _step(consigned, 1, "R. Sorrel; 1961-1984; letter of 1984")
    _step(consigned, 2, "Prof. Umber; first state, cover right; 2026-11-20")
    _step(consigned, 3, "400; the owner")
    _step(consigned, 4, "safe, drawer 2")
    _step(consigned, 5, "Ines; photographed")
    said = section(consigned, "custody")
    for words in ("earlier owner, R. Sorrel, 1961-1984, letter of 1984", "2026-11-20  second opinion, Prof. Umber",
                  "value agreed, 400.00 GBP, the owner", "kept at, safe, drawer 2", "handled by, Ines"):  # fmt: skip
        assert words in said
    assert [one.stock for one in consigned.desk.shop.find("sorrel")] == ["A00001"]
    consigned.do("page-leave", "undo", "undo")
    assert len(consigned.record["custody"]) == 3


def test_a_lower_offer_waits_for_the_owner_and_once_approved_may_be_taken(consigned: Hands) -> None:
    _step(consigned, 6, "18; a lower offer; +3")
    (waiting,) = consigned.desk.shop.waiting()
    assert (waiting.what, waiting.note, waiting.due) == (ASK_OWNER, "18 a lower offer", "2026-11-28")
    consigned.do("record-sell").paste(" ").key("backspace")
    line = consigned.desk.open.line
    assert line is not None
    line.text = "A00001; ; 18; M. Larch"
    consigned.do("line-accept")
    assert "under the reserve" in consigned.said
    consigned.do("line-leave")
    _step(consigned, 7, "18; by telephone")
    assert consigned.desk.shop.waiting() == []
    consigned.do("record-sell")
    line = consigned.desk.open.line
    assert line is not None
    line.text = "A00001; ; 18; M. Larch"
    consigned.do("line-accept")
    assert "sold for 18.00 GBP" in consigned.said


def test_what_was_left_in_one_step_stands_in_no_other(consigned: Hands) -> None:
    """The question to the owner stood in the line of what the owner approved."""
    consigned.do("record-custody").key("6").type("may it go").do("line-leave")
    consigned.do("record-custody").key("7")
    assert consigned.desk.open.line is not None
    assert consigned.desk.open.line.text == ""
    consigned.do("line-leave", "record-custody").key("6")
    assert consigned.desk.open.line is not None
    assert consigned.desk.open.line.text == "may it go"


def test_a_reminder_waits_by_its_day_and_an_empty_entry_is_refused(consigned: Hands) -> None:
    _step(consigned, 9, "ask for the letter; +30")
    (waiting,) = consigned.desk.shop.waiting()
    assert (waiting.what, waiting.note, waiting.due) == (REMIND, "ask for the letter", "2026-12-25")
    for no, why in ((1, "who?"), (3, "which amount?"), (9, "of what?")):
        _step(consigned, no, "; x")
        assert consigned.refused
        assert why in consigned.said
        consigned.key(*["backspace"] * 3).do("line-leave")
    run(consigned.desk, "parcel-page")
    consigned.do("sender-page")
    run(consigned.desk, "sender-receipt")
    assert "a receipt written" in consigned.said
