"""An event that nobody here can read: sums stop in one line, papers and lists of records go on without it."""

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.items import Item
from benchtui.export.untold import told_items, told_parcels
from benchtui.model.parcel import new_head
from benchtui.model.record import RecordDoc
from benchtui.money.ledger import shop_entries
from benchtui.money.result import parcel_result
from benchtui.money.stock import stockbook

HEAD = new_head("2026-11-25-1")
LENT = {"n": 9, "at": "2026-11-12", "what": "lent out", "minor": 500, "currency": "GBP"}
SAID = (
    "parcel 2026-11-25-1, record 1 (A00001): this version does not know what event 9, 'lent out', does to the "
    "money; use the newer version that made it, or void it on the record's page: 9; why; void"
)


def sold(number: int, invoice: str, **more: Any) -> dict[str, Any]:
    return {
        "n": number, "at": "2026-11-10", "what": "sold", "minor": 2400, "currency": "GBP", "invoice": invoice,
    } | more  # fmt: skip


@pytest.fixture
def records(make: SimpleNamespace) -> list[RecordDoc]:
    """1 was lent out and is on invoice 7 with 2, which came back and is on 9 with 3; 4 is on an invoice of its
    own."""
    back = {"n": 2, "at": "2026-11-11", "what": "returned", "minor": 2400, "currency": "GBP"}
    lives = ([sold(1, "7"), LENT], [sold(1, "7"), back, sold(3, "9")], [sold(1, "9")], [sold(1, "10")])
    return [make.record(no, f"A0000{no}", life=life) for no, life in enumerate(lives, 1)]


def test_a_paper_goes_on_unless_one_of_its_records_cannot_be_told(records: list[RecordDoc]) -> None:
    said: list[str] = []
    ((_, left),) = told_parcels([(HEAD, records)], said.append)
    assert [one["stock"] for one in left] == ["A00004"], "an invoice of two is no invoice of one"
    assert said == [f"left out: {SAID}", "left out too, on one paper with it: A00002, A00003"]
    corrected = {
        "n": 4,
        "at": "2026-11-12",
        "what": "corrected",
        "of": 1,
        "why": "misread",
        "now": {"invoice": "10"},
    }
    records[1]["life"].append(corrected)
    assert told_parcels([(HEAD, records)], said.append) == [(HEAD, [])], "its other number is a paper too"


def test_a_list_of_records_goes_on_without_it_and_nothing_does_in_silence(records: list[RecordDoc]) -> None:
    said: list[str] = []
    items = [Item(HEAD, one) for one in records]
    assert [one.stock for one in told_items(items, said.append)] == ["A00002", "A00003", "A00004"]
    assert said == [f"left out: {SAID}"]
    assert not items[0].in_stock
    for refused in (lambda: told_items(items, None), lambda: told_parcels([(HEAD, records)], None)):
        with pytest.raises(BenchError, match="2026-11-25-1, record 1"):
            refused()


@pytest.mark.parametrize(
    "add_up",
    [
        lambda parcels: shop_entries(parcels, {}, {"currency": "GBP"}),
        lambda parcels: stockbook(parcels, {}, {"currency": "GBP"}),
        lambda parcels: parcel_result(parcels[0][0], parcels[0][1], {"currency": "GBP"}),
    ],
)
def test_a_sum_stops_with_parcel_event_and_what_to_do(
    records: list[RecordDoc], add_up: Callable[[Any], object]
) -> None:
    with pytest.raises(BenchError) as stopped:
        add_up([(HEAD, records)])
    assert str(stopped.value) == SAID
    void = {
        "n": 10,
        "at": "2026-11-12",
        "what": "corrected",
        "of": 9,
        "why": "of a newer version",
        "now": None,
    }
    records[0]["life"].append(void)
    add_up([(HEAD, records)])


@pytest.mark.parametrize(
    "event",
    [
        "sold",
        {"n": 2, "at": "2026-11-12", "what": "corrected", "now": None, "why": "misread"},
        {"n": 2, "at": "2026-11-12", "what": "corrected", "of": 1, "now": 7, "why": "misread"},
        {"n": 2, "at": "2026-11-12", "what": "corrected", "of": 1, "now": {"paid_in": 7}, "why": "misread"},
        sold(2, "8", paid_in="EUR 20"),
    ],
)
def test_what_is_no_event_is_told_as_one_line(records: list[RecordDoc], event: Any) -> None:
    records[3]["life"].append(event)
    said: list[str] = []
    told_parcels([(HEAD, records[3:])], said.append)
    (line,) = said
    assert "record 4 (A00004): this is no event: " in line
    assert line.endswith("put the parcel back from a backup, or mend its file")
