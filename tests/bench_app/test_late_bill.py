"""Where a bill after a parcel's closing goes, worked by hand; played through keys in `test_year_in_lines`."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from benchtui.desk.sale.late_bill import read_late, said_of
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money import life
from benchtui.money.life import When

TODAY = date(2026, 11, 25)
SETTINGS: dict[str, Any] = {"currency": "GBP", "closed_through": "2026-10-31"}
Parcel = tuple[HeadDoc, list[RecordDoc]]


@pytest.fixture
def parcel() -> Parcel:
    """Four records at 5.00 each. The first was sold in November; the second in October, and came back."""
    head = new_head("2026-10-01-1")
    head["delivered"], head["state"] = "2026-10-02", "closed"
    head["charges"] = [
        {"what": "price", "minor": 2000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    records = [empty_record(no) for no in (1, 2, 3, 4)]
    for record in records:
        record["id"], record["state"] = f"r-{record['no']}", "taken-in"
        record["stock"] = f"A0000{record['no']}"
    head["shares"] = dict.fromkeys(("r-1", "r-2", "r-3", "r-4"), 500)
    price = Money(900, "GBP")
    records[0]["life"].append(life.sell(records[0], When("2026-11-05", TODAY), price))
    records[1]["life"].append(life.sell(records[1], When("2026-10-10", TODAY), price))
    records[1]["life"].append(life.take_back(records[1], When("2026-11-10", TODAY), "clicks"))
    return head, records


def test_a_bill_of_a_closed_day_goes_on_what_is_unsold_when_it_is_booked(parcel: Parcel) -> None:
    bill = read_late("duty; 3.00; 2026-10-20", *parcel, SETTINGS, TODAY)
    assert (bill["on"], bill["booked"]) == ("2026-10-20", "2026-11-25")
    assert bill["shares"] == {"r-2": 100, "r-3": 100, "r-4": 100}
    of_open_days = read_late("duty; 3.00; 2026-11-04", *parcel, SETTINGS, TODAY)
    assert of_open_days["shares"] == {"r-1": 100, "r-3": 100, "r-4": 100}, "those unsold on its own day"


def all_sold(head: HeadDoc, records: list[RecordDoc]) -> None:
    for record in records[1:]:
        record["life"].append(life.sell(record, When("2026-11-20", TODAY), Money(900, "GBP")))


def consigned(head: HeadDoc, records: list[RecordDoc]) -> None:
    head["terms"] = "consigned"


def of_the_sender(head: HeadDoc, records: list[RecordDoc]) -> None:
    head["terms"], head["inbound"] = "consigned", "sender"


@pytest.mark.parametrize(
    ("change", "rule", "why"),
    [
        (lambda head, records: None, "expense", "the shop's rule for late bills says expense"),
        (all_sold, "unsold", "nothing bought is unsold"),
        (consigned, "unsold", "the records are consigned, which bear no cost"),
        (
            of_the_sender,
            "unsold",
            "the records are consigned; the sender bears inbound postage: "
            "enter it on the sender's page, other charges",
        ),
    ],
)
def test_a_bill_on_no_record_says_why(
    parcel: Parcel, change: Callable[[HeadDoc, list[RecordDoc]], None], rule: str, why: str
) -> None:
    change(*parcel)
    settings = SETTINGS | {"late_cost": rule}
    bill = read_late("postage; 3.00", *parcel, settings, TODAY)
    assert bill["shares"] == {}
    shown = said_of(bill, *parcel, settings, None)
    assert shown == f"late postage 3.00 GBP: on no record, expensed: {why}"
