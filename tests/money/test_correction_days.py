"""Each correction of closed days stands on the day of its own cause, whatever is changed on a later one.

By hand: 20.00 of the 40.00 paid are the sold record's, sold for 60.00: margin 40.00, VAT 40 x 20/120 = 6.67.
At 50.00 it costs 25.00 (margin 35.00, VAT 5.83), at 60.00 30.00 (30.00, 5.00), at 70.00 35.00 (25.00, 4.17).
N. Reed's 30.00 bring 21.00 at 30 %, 18.00 at 40 %, 15.00 at 50 %.
"""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from changing_shop import ChangingShop

from benchtui.base.errors import BenchError
from benchtui.money.account import Account
from benchtui.money.book_after import stated_of
from benchtui.money.check import check_accounts
from benchtui.money.closing import digest_of
from benchtui.money.entries import balances
from benchtui.money.figures import sale_rows, vat_lines
from benchtui.money.handed_in import statement_after
from benchtui.money.known import end_of, known_doc, known_parcels
from benchtui.money.ledger import shop_entries
from benchtui.money.policy import Rates
from benchtui.money.proof import proof
from benchtui.money.stated_rows import closed_beside, closed_rows
from benchtui.money.stock import stockbook

DAYS = ("2026-10-31", "2026-11-04", "2026-11-10", "2026-11-20", "2026-11-30")
COSTS = {"2026-10-31": 2000, "2026-11-04": 2000, "2026-11-10": 2500, "2026-11-20": 3000, "2026-11-30": 3000}
VATS = {"2026-10-31": 667, "2026-11-04": 667, "2026-11-10": 583, "2026-11-20": 500, "2026-11-30": 500}
DUE = {"2026-10-31": 2100, "2026-11-04": 2100, "2026-11-10": 1800, "2026-11-20": 1500, "2026-11-30": 1500}


def changed_twice() -> ChangingShop:
    """Closed to 31 October; price paid and commission changed on 5 and on 20 November."""
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    for day, minor, percent in (("05", 5000, "40"), ("20", 6000, "50")):
        shop.price_paid(f"2026-11-{day}T10:00:00Z", minor)
        shop.commission(f"2026-11-{day}T11:00:00Z", percent)
    return shop


def stands(shop: ChangingShop, on: str) -> dict[str, int]:
    found = balances(shop_entries(*shop.books, shop.closed, "2027-01-31"), on)
    assert found["consignors"] == -statement(shop, on).due.minor
    return found


def statement(shop: ChangingShop, on: str) -> Any:
    return statement_after(
        Account("s-reed", shop.senders["s-reed"], shop.parcels, shop.settings, shop.closed), on
    )


def corrected(shop: ChangingShop, on: str) -> list[tuple[str, str, str]]:
    """(day, purchase price, why) of each correction of the sold record in the stock book of a day."""
    if on <= shop.closed[-1].through:
        rows = [*closed_beside(shop.closed, on).get("A00001", ()), closed_rows(shop.closed, on)["A00001"]]
    else:
        entry = next(one for one in stockbook(*shop.books, on) if one.stock == "A00001")
        head, records = shop.parcels[0]
        stated = stated_of(shop.closed, shop.senders, shop.settings)
        assert stated is not None
        before, last = stated.parcel(head, records).lines(records[0], entry, on)
        rows = [*before, last]
    assert sum(int(row["vat_due"].replace(".", "")) for row in rows) == VATS.get(on, 417)
    return [
        (row["sold_on"], row["purchase_price"], row["remark"])
        for row in rows
        if row["left_how"] == "correction"
    ]


FIRST, SECOND = ("2026-11-05", "5.00", "price 50.00"), ("2026-11-20", "5.00", "price 60.00")


def assert_stands_as_by_hand(shop: ChangingShop) -> None:
    for on in DAYS:
        found = stands(shop, on)
        assert (found["cost of sales"], -found["vat"], -found["consignors"]) == (COSTS[on], VATS[on], DUE[on])
    assert corrected(shop, "2026-11-04") == []
    assert corrected(shop, "2026-11-10") == [FIRST]
    assert corrected(shop, "2026-11-30") == [FIRST, SECOND]
    told = [(one.sold_on, one.description, one.net.minor) for one in statement(shop, "2026-11-30").lines
            if one.state == "correction"]  # fmt: skip
    assert told == [
        ("2026-11-05", "correction of A00003: commission 40 %, was 30 %", -300),
        ("2026-11-20", "correction of A00003: commission 50 %, was 40 %", -300),
    ]
    assert check_accounts(*shop.books, shop.closings) == []


def test_two_changes_on_two_days_are_two_corrections_also_once_the_month_is_closed() -> None:
    shop = changed_twice()
    assert_stands_as_by_hand(shop)
    shop.close("2026-11-30", "2026-12-02T09:00:00Z")
    assert_stands_as_by_hand(shop)
    shop.price_paid("2026-12-08T10:00:00Z", 7000)
    assert_stands_as_by_hand(shop)
    third = [FIRST, SECOND, ("2026-12-08", "5.00", "price 70.00")]
    assert stands(shop, "2026-12-07")["cost of sales"] == 3000
    assert corrected(shop, "2026-12-08") == third
    shop.close("2026-12-31", "2027-01-04T09:00:00Z")
    assert_stands_as_by_hand(shop)
    assert corrected(shop, "2026-12-31") == third
    entries = shop_entries(*shop.books, shop.closed, "2027-01-31")
    assert list(proof(entries, shop.parcels, shop.settings)) == []
    whys = {one.words["why"] for one in entries if one.corrects}
    assert whys == {
        "price 50.00",
        "price 60.00",
        "price 70.00",
        "commission 40 %, was 30 %",
        "commission 50 %, was 40 %",
    }


def test_what_was_known_on_a_day_is_what_stands_on_it() -> None:
    shop = changed_twice()
    now = shop_entries(*shop.books, shop.closed, "2026-12-31")
    for on in ("2026-11-04", "2026-11-05", "2026-11-19", "2026-11-20", "2026-11-30"):
        moment = end_of(date.fromisoformat(on))
        senders = {key: known_doc(doc, moment) for key, doc in shop.senders.items()}
        settings, parcels = known_doc(shop.settings, moment), known_parcels(shop.parcels, moment)
        known = shop_entries(parcels, senders, settings, shop.closed, "2026-12-31")
        assert [one for one in now if one.day <= on] == known
        account = Account("s-reed", senders["s-reed"], parcels, settings, shop.closed)
        assert statement_after(account, on).lines == statement(shop, on).lines


@pytest.mark.parametrize(("until", "vat"), [("2026-11-04", 0), ("2026-11-10", -84), ("2026-11-30", -167)])
def test_the_vat_of_each_stretch_of_november_has_the_corrections_of_its_days(until: str, vat: int) -> None:
    shop = changed_twice()
    entries = shop_entries(*shop.books, shop.closed, until)
    lines = vat_lines(entries, Rates(shop.settings), shop.closed, "2026-11-01", until)
    assert {one.name: one.amount.minor for one in lines}["VAT on sales in all"] == vat


def test_a_rule_changed_and_changed_back_is_two_corrections() -> None:
    # At 25 % the margin of 40.00 holds 8.00 of VAT.
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    shop.rule("2026-11-05T10:00:00Z", vat_rate="25")
    shop.rule("2026-11-20T10:00:00Z", vat_rate="20")
    assert [-stands(shop, on)["vat"] for on in ("2026-11-04", "2026-11-05", "2026-11-20")] == [667, 800, 667]
    told = [(one.day, one.words["why"]) for one in shop_entries(*shop.books, shop.closed) if one.corrects]
    assert told == [("2026-11-05", "VAT rate 25 %, was 20 %"), ("2026-11-20", "VAT rate 20 %, was 25 %")]


@pytest.mark.parametrize("before", [True, False], ids=["a month closed before", "the first closing"])
def test_a_sale_corrected_twice_after_its_month_and_before_that_is_closed_has_a_line_for_each_day(
    before: bool,
) -> None:
    """The closing states the month as it was; by hand: of 40.00 and 50.00 N. Reed has 28.00 and 35.00 at 30 %,
    and of a margin of 50.00 and 60.00 in place of 40.00 the VAT is 8.33 and 10.00."""
    shop = ChangingShop()
    if before:
        shop.close("2026-09-30", "2026-10-01T09:00:00Z")
    for day, theirs, ours in (("2026-11-03", 4000, 7000), ("2026-11-04", 5000, 8000)):
        shop.sold_for(day, 1, theirs)
        shop.sold_for(day, 0, ours)
    shop.close("2026-10-31", "2026-11-05T09:00:00Z")
    assert_stated_and_corrected_twice(shop)
    head, records = shop.parcels[0]
    entry = next(one for one in stockbook(*shop.books, "2026-11-04") if one.stock == "A00001")
    stated = stated_of(shop.closed, shop.senders, shop.settings)
    assert stated is not None
    rows, own = stated.parcel(head, records).lines(records[0], entry, "2026-11-04")
    found = {row["sold_on"]: row["vat_due"] for row in [*rows, own] if row["vat_due"] != "0.00"}
    assert found == {"2026-10-20": "6.67", "2026-11-03": "1.66", "2026-11-04": "1.67"}
    shop.close("2026-11-30", "2026-12-02T09:00:00Z")
    assert_stated_and_corrected_twice(shop)


def assert_stated_and_corrected_twice(shop: ChangingShop) -> None:
    due = {"2026-10-31": 2100, "2026-11-02": 2100, "2026-11-03": 2800, "2026-11-04": 3500}
    assert {on: -stands(shop, on)["consignors"] for on in due} == due
    vat = {"2026-10-31": 667, "2026-11-03": 833, "2026-11-04": 1000}
    assert {on: -stands(shop, on)["vat"] for on in vat} == vat
    told = [(one.state, one.sold_on, one.net.minor) for one in statement(shop, "2026-11-04").lines]
    assert [one for one in told if one[2]] == [
        ("stated before", "2026-10-25", 2100),
        ("correction", "2026-11-03", 700),
        ("correction", "2026-11-04", 700),
    ]
    assert check_accounts(*shop.books, shop.closings) == []


def test_a_sale_void_on_a_later_day_leaves_the_correction_before_it() -> None:
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    shop.commission("2026-11-05T11:00:00Z", "40")
    shop.void("2026-11-20T11:00:00Z", 1)
    due = [statement(shop, on).due.minor for on in ("2026-11-04", "2026-11-10", "2026-11-19", "2026-11-20")]
    assert due == [2100, 1800, 1800, 0]
    assert [-stands(shop, on)["consignors"] for on in ("2026-11-10", "2026-11-20")] == [1800, 0]
    shop.close("2026-11-30", "2026-12-02T09:00:00Z")
    assert [statement(shop, on).due.minor for on in ("2026-11-10", "2026-11-20")] == [1800, 0]
    assert check_accounts(*shop.books, shop.closings) == []


def test_what_is_entered_on_the_very_day_after_it_was_closed_counts_from_the_next() -> None:
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-10-31T12:00:00Z")
    shop.commission("2026-10-31T13:00:00Z", "40")
    shop.commission("2026-11-20T11:00:00Z", "50")
    days = {"2026-10-31": 2100, "2026-11-01": 1800, "2026-11-19": 1800, "2026-11-20": 1500}
    assert {on: statement(shop, on).due.minor for on in days} == days
    assert {on: -stands(shop, on)["consignors"] for on in days} == days
    shop.close("2026-11-30", "2026-12-02T09:00:00Z")
    assert {on: statement(shop, on).due.minor for on in days} == days
    assert check_accounts(*shop.books, shop.closings) == []


@pytest.mark.parametrize(
    "event",
    [
        "sold",
        {"n": 2, "at": "2026-11-03"},
        {"n": 2, "at": "2026-11-03", "what": "corrected", "of": [1], "why": "", "now": None},
    ],
)
def test_after_a_closing_too_what_is_no_event_is_refused_in_one_line(event: Any) -> None:
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    shop.parcels[1][1][0]["life"].append(event)
    with pytest.raises(BenchError, match="record 1"):
        statement(shop, "2026-11-20")
    stated = stated_of(shop.closed, shop.senders, shop.settings)
    assert stated is not None
    assert stated.parcel(*shop.parcels[1]).days == []


def test_what_could_not_be_reckoned_with_on_its_day_is_a_correction_of_the_next() -> None:
    shop = ChangingShop()
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    shop.commission("2026-11-05T11:00:00Z", "no rate at all")
    shop.commission("2026-11-06T11:00:00Z", "40")
    assert [statement(shop, on).due.minor for on in ("2026-11-05", "2026-11-06")] == [2100, 1800]
    assert [-stands(shop, on)["consignors"] for on in ("2026-11-05", "2026-11-06")] == [2100, 1800]


@pytest.fixture(scope="module")
def older() -> ChangingShop:
    """The same shop, with the price of 8 December, as the version before closed it three times: it put both
    changes of November on the 20th."""
    doc = json.loads((Path(__file__).parent / "closed_before.json").read_text("utf-8"))
    shop = ChangingShop()
    shop.parcels = [(head, records) for head, records in doc["parcels"]]
    shop.senders, shop.settings, shop.closings = doc["senders"], doc["settings"], doc["closings"]
    return shop


def test_closings_of_the_version_before_stand_as_they_were_written_down(older: ChangingShop) -> None:
    assert check_accounts(*older.books, older.closings) == []
    costs = [stands_then(older, on)["cost of sales"] for on in (*DAYS, "2026-12-31")]
    assert costs == [2000, 2000, 2000, 3000, 3000, 3500]
    assert [statement(older, on).due.minor for on in DAYS] == [2100, 2100, 2100, 2100, 1500]
    forged = [*older.closings[:2], older.closings[2] | {"corrections": "each on the day of its cause"}]
    forged[2] = forged[2] | {"digest": digest_of(forged[2])}
    assert check_accounts(*older.books, forged) == [], "of December there is one change only"
    forged[1] = older.closings[1] | {"corrections": "each on the day of its cause"}
    assert any("worked out again" in one.what for one in check_accounts(*older.books, forged))


def stands_then(shop: ChangingShop, on: str) -> dict[str, int]:
    return balances(shop_entries(*shop.books, shop.closed, "2027-01-31"), on)


def test_after_closings_of_the_version_before_each_change_has_its_day(older: ChangingShop) -> None:
    shop = ChangingShop()
    shop.parcels, shop.senders = list(older.parcels), dict(older.senders)
    shop.settings, shop.closings = older.settings, list(older.closings)
    shop.commission("2027-01-05T11:00:00Z", "40")
    shop.commission("2027-01-20T11:00:00Z", "30")
    days = ("2027-01-04", "2027-01-10", "2027-01-20")
    assert [statement(shop, on).due.minor for on in days] == [1500, 1800, 2100]
    shop.close("2027-01-31", "2027-02-02T09:00:00Z")
    assert [statement(shop, on).due.minor for on in days] == [1500, 1800, 2100]
    assert check_accounts(*shop.books, shop.closings) == []


def test_each_change_of_a_sale_in_another_currency_is_a_line_on_its_own_day() -> None:
    """Two in one month, of a sale of closed days: in the journal, the sales and the statement."""
    shop, on = ChangingShop(), ("2026-11-10", "2026-11-20")

    def paid(minor: int) -> dict[str, Any]:
        in_euro = {"minor": 2 * minor, "bank": 2 * minor, "currency": "EUR", "rate": "0.50"}
        return {"minor": minor, "paid_in": in_euro}

    for _, records in shop.parcels:
        sale = records[0]["life"][0]
        sale |= paid(sale["minor"])
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    for _, records in shop.parcels:
        first = records[0]["life"][0]["minor"]
        for n, at in enumerate(on, 1):
            event = {"n": n + 1, "at": at, "booked": at, "what": "corrected", "of": 1, "why": f"reason {n}"}
            records[0]["life"].append(event | {"now": paid(first - 100 * n)})
    entries = shop_entries(*shop.books, shop.closed, "2026-11-30")
    for stock in ("A00001", "A00003"):
        mine = [one for one in entries if one.stock == stock and one.day > "2026-10-31"]
        banked = [(one.day, leg.minor, leg.foreign) for one in mine for leg in one.legs if leg.role == "bank"]
        assert banked == [(day, -100, (-200, "EUR")) for day in on]
    assert [(one.day, one.stock) for one in sale_rows(entries, "2026-11-01")] == [
        (day, stock) for day in on for stock in ("A00001", "A00003")
    ]
    account = Account("s-reed", shop.senders["s-reed"], shop.parcels, shop.settings, shop.closed)
    lines = [one for one in statement_after(account, "2026-11-30").lines if one.state == "correction"]
    assert [(one.sold_on, one.net.minor) for one in lines] == [(day, -70) for day in on]


def test_a_correction_of_a_consigned_sale_is_money_on_the_statement_and_words_in_the_stock_book() -> None:
    """The shop sells it for its principal: no price of it stands in the stock book, so that nothing there adds up
    otherwise. Its row says what was corrected; statement and VAT of the commission (30 %, 20 % of that on top) have
    the amount: 10.00 less of the price is 7.00 - 0.60 less to N. Reed."""
    shop = ChangingShop()
    shop.settings["commission_vat"] = "added"
    shop.close("2026-10-31", "2026-11-02T09:00:00Z")
    stated = book_rows(shop, "2026-11-09")
    shop.sold_for("2026-11-10", 1, 2000)
    (line,) = [one for one in statement(shop, "2026-11-10").lines if one.state == "correction"]
    assert (line.price.minor, line.commission.minor, line.vat.minor, line.net.minor) == (
        -1000,
        -300,
        -60,
        -640,
    )
    entries = shop_entries(*shop.books, shop.closed, "2026-11-30")
    (booked,) = [one for one in entries if one.day == "2026-11-10"]
    assert (booked.sum_of("vat"), booked.sum_of("consignors")) == (60, 640)
    assert book_rows(shop, "2026-11-09") == stated
    said = "sold: price 20.00, was 30.00 (corrected on 2026-11-10: slip 1)"
    assert book_rows(shop, "2026-11-10") == [stated[0] | {"remark": said}]
    shop.void("2026-11-20", 1)
    shop.parcels[1][1][0]["life"][-1]["n"] = 3
    (row,) = book_rows(shop, "2026-11-20")
    said += "; sold on 2026-10-25 is void (corrected on 2026-11-20: another one)"
    assert (row["sold_on"], row["remark"]) == ("", said)
    shop.close("2026-11-30", "2026-12-02T09:00:00Z")
    assert closed_rows(shop.closed, "2026-11-09")["A00003"] == stated[0]
    assert check_accounts(*shop.books, shop.closings) == []


def book_rows(shop: ChangingShop, on: str) -> list[dict[str, str]]:
    """Those of the consigned record."""
    head, records = shop.parcels[1]
    entry = next(one for one in stockbook(*shop.books, on) if one.stock == "A00003")
    stated = stated_of(shop.closed, shop.senders, shop.settings)
    assert stated is not None
    before, last = stated.parcel(head, records).lines(records[0], entry, on)
    return [*before, last]
