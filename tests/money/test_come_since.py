"""What comes on a consignor's account for closed days: statement and journal have it from one day.

By hand: N. Reed bears 3.00 postage and 0.50 a record, and gets 21.00 of the 30.00 that A00003 fetched: 17.50 at
the end of October. A00001 fetched 60.00, of which 42.00 would be N. Reed's, less 0.50.
"""

from typing import Any

from changing_shop import ChangingShop

from benchtui.model.earlier import begun_with
from benchtui.money.account import Account
from benchtui.money.check import check_accounts
from benchtui.money.entries import balances
from benchtui.money.handed_in import statement_after
from benchtui.money.ledger import shop_entries
from benchtui.money.statement_rows import statement_rows

DAYS = [f"2026-11-{day:02}" for day in range(1, 31)]


def shop_closed_to_october() -> ChangingShop:
    shop = ChangingShop()
    shop.senders["s-reed"] |= {"per_record": {"minor": 50, "currency": "GBP"}, "inbound": "sender"}
    head, _ = shop.parcels[1]
    postage = {
        "what": "postage",
        "minor": 300,
        "currency": "GBP",
        "rate": None,
        "rate_date": "",
        "rate_from": "",
    }
    head["charges"], head["shares"] = [postage], {"r-3": 300}
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    return shop


def add(shop: ChangingShop, at: str) -> None:
    """A record more in the parcel of October."""
    head, records = shop.parcels[1]
    new = begun_with(dict(shop._record(2, 4)), at, head["begun"], shop.closed_at)
    noted = {"at": at, "say": "record 2 added", "records": ["r-4"], "fields": ["queue"], "kept": True}
    shop.parcels[1] = head | {"corrections": [noted]}, [*records, new]


def rows(shop: ChangingShop, as_of: str) -> list[dict[str, str]]:
    account = Account("s-reed", shop.senders["s-reed"], shop.parcels, shop.settings, shop.closed)
    return statement_rows(statement_after(account, as_of))


def assert_one_account(shop: ChangingShop) -> dict[str, int]:
    """The statement of each day, the rows of the last one by each day, and the journal; what is due by day."""
    entries, last = shop_entries(*shop.books, shop.closed, DAYS[-1]), rows(shop, DAYS[-1])
    due = {on: -balances(entries, on).get("consignors", 0) for on in DAYS}
    for on, minor in due.items():
        by_then = [row for row in last if (row["sold_on"] or row["came_in"]) <= on]
        for told in (rows(shop, on), by_then):
            assert int(told[-1]["balance_after"].replace(".", "")) == minor, on
    assert check_accounts(*shop.books, shop.closings) == []
    return due


def test_a_record_added_to_a_parcel_of_closed_days_is_charged_from_the_day_it_was_added() -> None:
    shop = shop_closed_to_october()
    add(shop, "2026-11-05T10:00:00Z")
    shop.commission("2026-11-20T11:00:00Z", "40")
    for closed in (False, True):
        due = assert_one_account(shop)
        assert [due[f"2026-11-{day}"] for day in ("04", "05", "19", "20")] == [1750, 1700, 1700, 1400]
        (came,) = [row for row in rows(shop, "2026-11-30") if row["sold_on"] == "2026-11-05"]
        assert (came["stock_number"], came["state"], came["net"]) == ("A00004", "came in", "-0.50")
        assert "came in on 2026-10-12, on this account from 2026-11-05" in came["what"]
        if not closed:
            shop.close("2026-11-30", "2026-12-02T09:00:00Z")


def test_a_sender_reads_which_record_shares_the_postage_since_not_how_it_was_entered() -> None:
    shop = shop_closed_to_october()
    add(shop, "2026-11-05T10:00:00Z")
    head, records = shop.parcels[1]
    noted: dict[str, Any] = {"at": "2026-11-05T10:10:00Z", "say": "record 2 taken in as A00004; new title"}
    noted |= {"records": ["r-4"], "fields": ["state"], "kept": True}
    was = {"until": "2026-11-05T10:10:00Z", "was": {"shares": head["shares"]}}
    shared = {"shares": {"r-3": 150, "r-4": 150}, "earlier": [was]}
    shop.parcels[1] = head | shared | {"corrections": [*head["corrections"], noted]}, records
    told = [row["description"] for row in rows(shop, "2026-11-30") if row["state"] == "correction"]
    assert told == ["correction of A00003: A00004: entered on 2026-11-05"]


def whose(shop: ChangingShop, at: str, terms: str, owner: str | None) -> None:
    def make(_: Any, records: Any) -> None:
        records[0] |= {"terms": terms, "consignor": owner}

    shop.change(at, 0, "whose it is", ["terms"], make)


def test_a_closed_sale_of_a_record_that_turns_out_to_be_consigned_counts_from_that_day() -> None:
    shop = shop_closed_to_october()
    whose(shop, "2026-11-05T10:00:00Z", "consigned", "s-reed")
    due = assert_one_account(shop)
    assert [due[f"2026-11-{day}"] for day in ("04", "05")] == [1750, 3900]
    whose(shop, "2026-11-10T10:00:00Z", "bought", None)
    due = assert_one_account(shop)
    assert [due[f"2026-11-{day:02}"] for day in (4, 5, 9, 10)] == [1750, 3900, 3900, 1750]
    whose(shop, "2026-11-15T10:00:00Z", "consigned", "s-reed")
    for closed in (False, True):
        due = assert_one_account(shop)
        assert [due[f"2026-11-{day}"] for day in (14, 15)] == [1750, 3900]
        if not closed:
            shop.close("2026-11-30", "2026-12-02T09:00:00Z")
