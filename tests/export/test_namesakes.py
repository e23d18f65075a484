"""Two consignors of one name: two accounts, told apart on every paper and in every file."""

from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.ask import Ask
from benchtui.export.items import Item
from benchtui.export.money_tables import carried, statement_table
from benchtui.export.run import _sender
from benchtui.export.shop_books import Books, sales_table
from benchtui.export.statement_page import statement_page
from benchtui.model.filename import plain_name
from benchtui.model.parcel import new_head
from benchtui.money.book import known_as
from benchtui.money.ledger import shop_entries
from benchtui.money.policy import Rates

TODAY = date(2026, 11, 25)
SENDERS = {
    "s-1": {"name": "Una Dovrick", "address": "Oakum Yard 4, Port Ennick", "commission": "25"},
    "s-2": {"name": "una dovrick", "address": "Oakum Yard 9, Port Ennick", "commission": "40"},
    "s-3": {"name": "Hester Quillow", "address": "Oakum Yard 6"},
}
ONE, TWO = "Una Dovrick (Oakum Yard 4)", "una dovrick (Oakum Yard 9)"


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("Oakum Yard 4, Outer Leads", "Una Dovrick (Outer Leads)"),
        ("Oakum Yard 4", "Una Dovrick (s-4)"),
        ("", "Una Dovrick (s-4)"),
    ],
)
def test_a_namesake_is_told_by_what_no_other_has(address: str, says: str) -> None:
    both = {"s-1": SENDERS["s-1"], "s-3": SENDERS["s-3"], "s-4": {"name": "Una Dovrick", "address": address}}
    assert known_as(both, "s-4") == says
    assert known_as(both, "s-1") != says
    assert known_as(both, "s-3") == "Hester Quillow"
    assert (known_as(both, "s-9"), known_as(both, None)) == ("s-9", "")


def test_names_that_make_one_file_name_are_namesakes() -> None:
    both = {"s-1": {"name": "Dock/Row"}, "s-2": {"name": "Dock Row"}}
    assert len({plain_name(known_as(both, key)) for key in both}) == 2


@pytest.fixture
def shop(make: SimpleNamespace) -> Any:
    """Each consigned one record: 30.00 of the first was sold on the 10th, 50.00 of the other on the 12th."""
    parcels = []
    for no, (whose, minor, on) in enumerate((("s-1", 3000, "10"), ("s-2", 5000, "12")), 1):
        head = new_head(f"2026-11-0{no}-1")
        head |= {"sender": whose, "terms": "consigned", "delivered": f"2026-11-0{no}", "state": "closed"}
        sold = {"n": 1, "at": f"2026-11-{on}", "what": "sold", "minor": minor, "currency": "GBP"}
        parcels.append((head, [make.record(no, f"A0000{no}", id=f"r-{no}", life=[sold])]))
    settings = {"currency": "GBP", "name": "The Test Shop"}
    return SimpleNamespace(senders=SENDERS, settings=settings, parcels=parcels, closings=list)


def test_each_has_an_account_and_a_page_of_their_own(shop: Any) -> None:
    items = [Item(head, record) for head, records in shop.parcels for record in records]
    table = statement_table(shop, items, None, TODAY)
    due = {row["sender"]: row["balance_after"] for row in table.dicts()}
    assert due == {ONE: "22.50", TWO: "30.00"}, "30.00 less 25 %, 50.00 less 40 %"
    assert carried(table, table).dicts() == table.dicts(), "nothing of one is carried into the other's"
    html = statement_page(shop, table, Ask("statement", TODAY)).decode()
    first, second = html.split("<section>")[1:]
    for page, name, address, balance in ((first, ONE, "Yard 4", "22.50"), (second, TWO, "Yard 9", "30.00")):
        assert all(
            one in page for one in (name, f"Oakum {address}, Port Ennick", f"due to you: {balance} GBP")
        )
    assert "A00002" not in first


def test_sales_by_sender_keep_them_apart(shop: Any) -> None:
    entries = shop_entries(shop.parcels, shop.senders, shop.settings, (), TODAY.isoformat())
    books = Books(shop.parcels, entries, [], Rates(shop.settings))
    rows = sales_table(shop, books, Ask("sales", TODAY, by="sender")).dicts()
    assert [(row["sender"], row["price"], row["owed_to_sender"]) for row in rows] == [
        (ONE, "30.00", "22.50"),
        (TWO, "50.00", "30.00"),
    ]
    each = sales_table(shop, books, Ask("sales", TODAY)).dicts()
    assert [row["sender"] for row in each] == [ONE, TWO]


def test_one_of_them_is_named_as_the_files_name_them_or_by_id(shop: Any) -> None:
    assert [_sender(shop, one) for one in ("s-2", TWO, ONE.upper(), "hester quillow")] == [
        "s-2",
        "s-2",
        "s-1",
        "s-3",
    ]
    with pytest.raises(BenchError) as refused:
        _sender(shop, "Una Dovrick")
    assert str(refused.value) == f"--sender: 2 senders are called 'Una Dovrick'; one of: {ONE}, {TWO}"
