"""The proof of the books says what does not hold: each kind of entry that was tampered with."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.entries import Entry, Leg, balances
from benchtui.money.figures import months, sale_rows
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.proof import proof

SETTINGS = {"currency": "GBP"}
Books = tuple[list[Entry], list[tuple[HeadDoc, list[RecordDoc]]]]


@pytest.fixture
def books(head: HeadDoc, make_record: Callable[..., RecordDoc]) -> Books:
    """A parcel of two, paid for in euros."""
    head["charges"] = [
        {"what": "price", "minor": 3000, "currency": "EUR", "rate": "0.8", "rate_date": "2026-11-01",
         "rate_from": "bank"}
    ]  # fmt: skip
    parcels = [(head, [make_record(1, 2400), make_record(2, 1200)])]
    return list(shop_entries(parcels, {}, SETTINGS, (), "2026-11-30")), parcels


LATE = {"what": "fees", "currency": "GBP", "rate": None, "on": "2026-11-20", "booked": "2026-11-20"}


def test_a_late_bill_of_the_day_of_a_return_is_in_the_sales_as_in_the_journal(
    head: HeadDoc, make_record: Callable[..., RecordDoc]
) -> None:
    one, today = make_record(1, 2400), date(2026, 11, 30)
    head["delivered"] = "2026-11-10"
    head["charges"] = [{**LATE, "what": "price", "minor": 1000, "on": "2026-11-10"}]  # type: ignore[typeddict-item]
    one["life"].append(life.sell(one, When("2026-11-19", today), Money(2000, "GBP")))
    one["life"].append(life.take_back(one, When("2026-11-20", today)))
    head["late"] = [{**LATE, "id": "l-1", "minor": 73, "shares": {"r-1": 73}}]
    entries = shop_entries([(head, [one])], {}, SETTINGS, (), "2026-11-30")
    rows = sale_rows(entries)
    assert {row.what: row.cost for row in rows} == {"sold": 1000, "late cost": 73, "returned": -1073}
    assert sum(row.profit for row in rows) == 0
    assert (balances(entries)["cost of sales"], balances(entries)["stock"]) == (0, 1073)


def test_a_late_bill_on_no_record_is_bought_in_its_month_and_told(books: Books) -> None:
    _, ((head, records),) = books
    head["late"] = [{**LATE, "id": "l-1", "minor": 1840, "shares": {}}]
    made = months(shop_entries([(head, records)], {}, SETTINGS, (), "2026-11-30"), "2026")
    assert [(one.name, one.expensed) for one in made if one.expensed] == [("2026-11", 1840)]
    assert (sum(one.bought for one in made), made[-1].stock) == (2400 + 1840, 2400)


def test_postage_of_consigned_records_is_not_bought_and_told_where_the_shop_bears_it(
    head: HeadDoc, make_record: Callable[..., RecordDoc]
) -> None:
    """9.48 of postage for one consigned record: the shop's where it bears it, else the sender's."""
    head["delivered"], head["terms"], head["sender"] = "2026-11-10", "consigned", "s-reed"
    head["charges"] = [{**LATE, "what": "postage", "minor": 948, "on": "2026-11-10"}]  # type: ignore[typeddict-item]
    for bears, inbound in (("sender", 0), ("shop", 948)):
        head["inbound"] = bears  # type: ignore[typeddict-item]
        senders = {"s-reed": {"name": "N. Reed", "commission": "30"}}
        made = months(
            shop_entries([(head, [make_record(1, 2400)])], senders, SETTINGS, (), "2026-11-30"), "2026"
        )
        assert sum(one.bought for one in made) == 0
        assert sum(one.inbound for one in made) == inbound


def changed(entries: list[Entry], how: Callable[[Leg], Leg]) -> list[Entry]:
    return [replace(entry, legs=tuple(map(how, entry.legs))) for entry in entries]


def test_sound_books_have_nothing_to_say(books: Books) -> None:
    entries, parcels = books
    assert any(leg.foreign for entry in entries for leg in entry.legs)
    assert list(proof(entries, parcels, SETTINGS)) == []


def test_an_entry_out_of_balance_is_named_with_its_day(books: Books) -> None:
    entries, parcels = books
    spoilt = [replace(entries[0], legs=(*entries[0].legs, Leg("bank", 5))), *entries[1:]]
    (said,) = proof(spoilt, parcels, SETTINGS)
    assert said == f"the entry {entries[0].key} of {entries[0].day} is out of balance by 0.05 GBP"


def test_cost_that_is_not_what_was_paid_is_said(books: Books) -> None:
    entries, parcels = books
    lost = Entry("x", "2026-11-20", "x", "p", legs=(Leg("stock", -500), Leg("bank", 500)))
    (said,) = proof([*entries, lost], parcels, SETTINGS)
    assert "19.00 GBP, but 24.00 GBP was paid" in said


def test_money_in_another_currency_that_left_the_bank_without_a_bill_is_said(books: Books) -> None:
    entries, parcels = books
    spoilt = changed(
        entries, lambda leg: leg._replace(foreign=(leg.foreign[0] - 100, "EUR")) if leg.foreign else leg
    )
    assert list(proof(spoilt, parcels, SETTINGS)) == [
        "31.00 EUR left the bank for goods, but the bills say 30.00 EUR"
    ]
