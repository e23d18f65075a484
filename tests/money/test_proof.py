"""The proof of the books says what does not hold: each kind of entry that was tampered with."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.entries import Entry, Leg
from benchtui.money.ledger import shop_entries
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
