"""Where a bill after a parcel's closing goes, worked by hand; played through keys in `test_year_in_lines`."""

from collections.abc import Callable
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.desk.pages.year import due
from benchtui.desk.sale.late_bill import Billed, read_late, said_of
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money import life
from benchtui.money.entries import balances
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.proof import proof
from benchtui.money.statement_rows import statement_rows
from benchtui.money.statements import statement

TODAY = date(2026, 11, 25)
SETTINGS: dict[str, Any] = {"currency": "GBP", "closed_through": "2026-10-31"}
RECORDS = ("r-1", "r-2", "r-3", "r-4")
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
    bill = read_late("duty; 3.00; 2026-10-20", Billed(*parcel, SETTINGS, {}), TODAY)
    assert (bill["on"], bill["booked"]) == ("2026-10-20", "2026-11-25")
    assert bill["shares"] == {"r-2": 100, "r-3": 100, "r-4": 100}
    assert bill["counts_on"] == "2026-11-25"
    of_open_days = read_late("duty; 3.00; 2026-11-04", Billed(*parcel, SETTINGS, {}), TODAY)
    assert of_open_days["shares"] == {"r-1": 100, "r-3": 100, "r-4": 100}, "those unsold on its own day"
    assert "counts_on" not in of_open_days


def test_the_year_names_what_was_sold_without_an_answer_about_the_scheme(parcel: Parcel) -> None:
    desk: Any = SimpleNamespace(today=TODAY.isoformat, settings={"currency": "GBP", "margin_scheme": "item"})
    asked = "sold, and no VAT reckoned: may the margin scheme be used? A00001"
    assert ("2026-11-25", asked) in due(desk, [parcel]), "the second came back"
    parcel[1][0]["margin_eligible"] = False
    assert asked not in [said for _, said in due(desk, [parcel])]


def all_sold(head: HeadDoc, records: list[RecordDoc]) -> None:
    for record in records[1:]:
        record["life"].append(life.sell(record, When("2026-11-20", TODAY), Money(900, "GBP")))


def consigned(head: HeadDoc, records: list[RecordDoc]) -> None:
    head["terms"], head["sender"] = "consigned", "s-1"


def of_nobody_yet(head: HeadDoc, records: list[RecordDoc]) -> None:
    consigned(head, records)
    head["sender"] = "s-2"


def of_the_sender(head: HeadDoc, records: list[RecordDoc]) -> None:
    consigned(head, records)
    head["inbound"] = "sender"


SENDERS: dict[str, dict[str, Any]] = {
    "s-1": {"id": "s-1", "name": "Orlo Sandever", "commission": "25"},
    "s-2": {"id": "s-2", "name": "Una Dovrick"},
}


@pytest.mark.parametrize(
    ("change", "rule", "why"),
    [
        (lambda head, records: None, "expense", "the shop's rule for late bills says expense"),
        (all_sold, "unsold", "nothing bought is unsold"),
        (
            consigned,
            "expense",
            "the records are consigned and the shop bears inbound postage as agreed; "
            "if the sender shall pay: sender's page, other charges",
        ),
        (
            of_nobody_yet,
            "unsold",
            "the records are consigned and no commission is agreed yet; "
            "if the sender shall pay: sender's page, other charges",
        ),
    ],
)
def test_a_bill_on_no_record_says_why(
    parcel: Parcel, change: Callable[[HeadDoc, list[RecordDoc]], None], rule: str, why: str
) -> None:
    change(*parcel)
    of = Billed(*parcel, SETTINGS | {"late_cost": rule}, SENDERS)
    bill = read_late("carriage; 3.00", of, TODAY)
    assert bill["shares"] == {}
    shown = said_of(bill, of)
    assert shown == f"late postage 3.00 GBP: on no record, expensed: {why}"


def test_what_the_sender_bears_comes_on_the_next_statement_and_not_on_an_earlier_one(parcel: Parcel) -> None:
    of_the_sender(*parcel)
    head, records = parcel
    before = statement("s-1", SENDERS["s-1"], [parcel], SETTINGS, "2026-11-25")
    bill = read_late("customs; 3.01; 2026-11-20; parcel held", Billed(*parcel, SETTINGS, SENDERS), TODAY)
    # no prices, so all weigh the same: 301 over four records
    assert (bill["inbound"], bill["shares"]) == ({"r-1": 76, "r-2": 75, "r-3": 75, "r-4": 75}, {})
    assert said_of(bill, Billed(*parcel, SETTINGS, SENDERS)) == (
        "late duty 3.01 GBP: Orlo Sandever bears 3.01 GBP of it, on the next statement "
        "(4 records, sold ones too)"
    )
    head["late"] = [bill]
    earlier, now = (
        statement("s-1", SENDERS["s-1"], [parcel], SETTINGS, day) for day in ("2026-11-19", "2026-11-20")
    )
    assert (earlier.charges + Money(301, "GBP"), before.due - Money(301, "GBP")) == (now.charges, now.due)
    said = [row["what"] for row in statement_rows(now) if row["stock_number"] == "A00003"]
    came = "came in on 2026-10-02: inbound postage and charges; in the shop"
    assert said == [came, "late duty of 2026-11-20, parcel held"]
    entries = shop_entries([parcel], SENDERS, SETTINGS)
    assert list(proof(entries, [parcel], SETTINGS)) == []
    mine = [one for one in entries if one.day == "2026-11-20" and one.record]
    assert sum(one.sum_of("consignors") for one in mine) == 301
    records[3]["set_apart"] = {"why": "mould", "note": "", "at": "2026-11-21T10:00:00Z"}
    assert list(proof(shop_entries([parcel], SENDERS, SETTINGS), [parcel], SETTINGS)) == []


def test_a_carriers_credit_goes_to_the_sender_who_paid_the_bill(parcel: Parcel) -> None:
    """3.01 of postage, of which the carrier gives 1.00 back: 0.25 of each record's part, sold or not."""
    of_the_sender(*parcel)
    head, _ = parcel
    before = statement("s-1", SENDERS["s-1"], [parcel], SETTINGS, "2026-11-25").due
    head["late"] = [read_late("postage; 3.01; 2026-11-20", Billed(*parcel, SETTINGS, SENDERS), TODAY)]
    bill = read_late(
        "postage credit; 1.00; 2026-11-22; lost on the way", Billed(*parcel, SETTINGS, SENDERS), TODAY
    )
    assert (bill["what"], bill["inbound"], bill["shares"]) == ("postage", dict.fromkeys(RECORDS, -25), {})
    assert said_of(bill, Billed(*parcel, SETTINGS, SENDERS)) == (
        "postage credit 1.00 GBP: Orlo Sandever gets 1.00 GBP of it, on the next statement "
        "(4 records, sold ones too)"
    )
    alone = read_late("credit; 1.00; 2026-11-22; lost", Billed(*parcel, SETTINGS, SENDERS), TODAY)
    assert (alone["what"], alone["inbound"]) == (bill["what"], bill["inbound"]), "nothing was bought here"
    head["late"].append(bill)
    now = statement("s-1", SENDERS["s-1"], [parcel], SETTINGS, "2026-11-25")
    assert now.due == before - Money(201, "GBP")
    said = [row["what"] for row in statement_rows(now) if row["stock_number"] == "A00003"]
    assert said[1:] == ["late postage of 2026-11-20", "postage credited on 2026-11-22, lost on the way"]
    assert list(proof(shop_entries([parcel], SENDERS, SETTINGS), [parcel], SETTINGS)) == []


def test_every_charge_stands_on_its_own_day_on_the_statement_as_in_the_journal(parcel: Parcel) -> None:
    """Sold after the bill, between bill and credit, and come back: the balance of each day is the journal's."""
    of_the_sender(*parcel)
    head, records = parcel
    head["charges"] = [{**head["charges"][0], "what": "postage", "minor": 400}]
    senders = {"s-1": SENDERS["s-1"] | {"per_sale": {"minor": 30, "currency": "GBP"}}}
    head["late"] = [
        {**read_late(text, Billed(*parcel, SETTINGS, senders), TODAY), "booked": text[-10:]}
        for text in ("postage; 3.01; 2026-11-10", "postage credit; 1.00; 2026-11-22; lost")
    ]
    for n, (on, what) in enumerate((("2026-11-15", "sold"), ("2026-11-18", "returned")), 1):
        event = {"n": n, "at": on, "booked": on, "what": what, "minor": 2000, "currency": "GBP"}
        records[2]["life"].append(event)
    entries = shop_entries([parcel], senders, SETTINGS, (), "2026-11-25")
    for text, last in (("in the middle", "2026-11-16"), ("the end", "2026-11-25")):
        rows = statement_rows(statement("s-1", senders["s-1"], [parcel], SETTINGS, last))
        for day in sorted({row["sold_on"] or row["came_in"] for row in rows}):
            due = [row["balance_after"] for row in rows if (row["sold_on"] or row["came_in"]) <= day][-1]
            assert due == Money(-balances(entries, day)["consignors"], "GBP").plain(), f"{text}, {day}"


def test_a_credit_of_a_parcel_that_was_bought_is_the_sellers_unless_it_says_whose(parcel: Parcel) -> None:
    mine = read_late("credit; 1.00; ; torn", Billed(*parcel, SETTINGS, SENDERS), TODAY)
    carriers = read_late("credit postage; 1.00; ; torn", Billed(*parcel, SETTINGS, SENDERS), TODAY)
    assert [(one["what"], one["credit"]) for one in (mine, carriers)] == [("price", True), ("postage", True)]


def test_what_is_only_for_some_records_falls_on_these_and_what_comes_back_on_none(parcel: Parcel) -> None:
    of_the_sender(*parcel)
    assert read_late("fee; 2; ; ; 3 4", Billed(*parcel, SETTINGS, SENDERS), TODAY)["inbound"] == {
        "r-3": 100,
        "r-4": 100,
    }
    assert "inbound" not in read_late("tax reclaimed; 2", Billed(*parcel, SETTINGS, SENDERS), TODAY)
    assert "inbound" not in read_late("price; 2", Billed(*parcel, SETTINGS, SENDERS), TODAY)
