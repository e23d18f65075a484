"""Confirmed records are counted once, undone wholly, and outweigh a wrong word in time."""

import copy
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import counts_of, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span
from benchtui.store.counts import add_up

LABEL = Clue(
    "label",
    "Label",
    "disc",
    "label",
    (Answer("silver", "silver", 1), Answer("gold", "gold", 2)),
    per_side=True,
)
RIGHT = Pressing("a", "a", Span(), expect={"label": {"silver": "always"}})
WRONG = Pressing(
    "b", "b", Span(), expect={"label": {"gold": "always"}}
)  # the book is wrong: it is silver too


def confirmed(record_of: Any, saw: Any, pressing: str = "b", answer: str = "silver") -> RecordDoc:
    record: RecordDoc = record_of()
    saw(record, "disc-1", "label", answer, place="label A")
    record["pressing"] = {"id": pressing, "how": "hand", "p": 0.9, "learn": True}
    return record


def test_a_confirmed_record_adds_its_counts_once(record_of: Any, saw: Any) -> None:
    record = confirmed(record_of, saw)
    saw(record, "disc-1", "label", "silver", place="label B")  # the other side agrees: one observation
    record["parts"][0]["sides"] = {"A": {"cut": "1"}, "B": {"cut": "2"}}
    assert counts_of([record]) == {"b": {"n": 1, "clues": {"label": {"silver": 1}}, "cuts": {"1|2": 1}}}


def test_only_what_was_seen_on_parts_that_belong_is_counted(record_of: Any, saw: Any) -> None:
    record = confirmed(record_of, saw)
    saw(record, "disc-1", "rim", "plain", how="copied")
    saw(record, "inner-1", "paper", "lined")
    record["rulings"]["inner-1"] = "swapped"
    saw(record, "cover-1", "back", "flip")
    record["parts"][1]["origin"] = {"record": "r-0"}
    saw(record, "gone-1", "poster", "there")
    assert counts_of([record]) == {"b": {"n": 1, "clues": {"label": {"silver": 1}}, "cuts": {}}}


def test_unconfirmed_records_add_nothing_and_undoing_takes_the_counts_back(record_of: Any, saw: Any) -> None:
    record = confirmed(record_of, saw)
    before = copy.deepcopy(record)
    before["pressing"]["learn"] = False
    assert counts_of([before]) == {}
    assert counts_of([record]) != {}
    record["pressing"]["learn"] = False
    assert counts_of([record]) == counts_of([before])


def test_a_rebuild_from_all_parcels_gives_the_same_counts(record_of: Any, saw: Any) -> None:
    records = [confirmed(record_of, saw, p, a) for p in ("a", "b") for a in ("silver", "gold", "silver")]
    parcels = [records[:1], records[1:4], records[4:]]
    total: dict[str, Any] = {}
    for parcel in parcels:
        add_up(total, counts_of(parcel))
    whole: dict[str, Any] = {}
    add_up(whole, counts_of(records))
    assert total == whole


def test_the_book_outweighs_one_copy_and_twenty_copies_outweigh_the_book(record_of: Any, saw: Any) -> None:
    books = Shelf([BookTitle("t", "", "", Span(), pressings=(RIGHT, WRONG))], [LABEL])
    record = record_of()
    saw(record, "disc-1", "label", "silver", place="label A")

    def odds(copies: int) -> float:
        counts = counts_of([confirmed(record_of, saw) for _ in range(copies)])
        # The same number of copies of each, so that only what the clue says changes.
        add_up(counts, counts_of([confirmed(record_of, saw, "a") for _ in range(copies)]))
        p = {one.id: one.p for one in weigh(record, books, counts=counts).pressings}
        return p["b"] / p["a"]

    assert odds(0) < odds(1) < 0.5 < odds(20)
    # theta(silver | b) = (4 x .04 + 20) / (4 + 20) with twenty copies: nearly what it is for the other.
    assert odds(20) == pytest.approx(0.84, abs=0.02)


def test_counts_shift_the_prior_towards_what_the_shop_sees(record_of: Any, saw: Any) -> None:
    books = Shelf([BookTitle("t", "", "", Span(), pressings=(RIGHT, WRONG))], [LABEL])
    counts = {"a": {"n": 30, "clues": {}, "cuts": {}}}
    p = {one.id: one.p for one in weigh(record_of(), books, counts=counts).pressings}
    assert p["a"] == pytest.approx((10 * 0.95 / 2 + 30) / (10 + 30))
    assert p["b"] == pytest.approx((10 * 0.95 / 2) / (10 + 30))


def test_the_callers_counts_may_go_on_growing(record_of: Any, saw: Any) -> None:
    books = Shelf([BookTitle("t", "", "", Span(), pressings=(RIGHT, WRONG))], [LABEL])
    counts: dict[str, Any] = {"a": {"n": 1, "clues": {}, "cuts": {}}}
    before = weigh(record_of(), books, counts=counts).pressings
    counts["a"]["n"] = 50
    assert weigh(record_of(), books, counts=counts).pressings != before
