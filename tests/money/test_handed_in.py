"""Statements that were handed in: whatever is changed afterwards is a line of the day it was entered."""

from collections.abc import Callable
from copy import deepcopy
from datetime import date
from typing import Any

import pytest

from benchtui.export.money_tables import SENDER, carried, columns_of
from benchtui.export.table import Table, table_of
from benchtui.model.earlier import OF_SENDER, note_kept, with_earlier
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.account import Account
from benchtui.money.book_after import StatedBook
from benchtui.money.charges import landed
from benchtui.money.closing import close_books, digest_of, read_closed
from benchtui.money.entries import Closed, balances
from benchtui.money.figures import sale_rows
from benchtui.money.handed_in import statement_after
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.spreading import freeze, spread
from benchtui.money.stated_again import stated_faults
from benchtui.money.stated_rows import closed_beside, closed_rows
from benchtui.money.statement_rows import COLUMNS, statement_rows
from benchtui.money.statements import Statement, split_payout
from benchtui.money.stock import stockbook

Make = Callable[..., RecordDoc]
Shop = tuple[HeadDoc, list[RecordDoc]]
REED = {"name": "N. Reed", "commission": "30"}
SENDERS: dict[str, Any] = {"s-quill": {"name": "Mrs Quill", "commission": "20"}, "s-reed": REED}
TODAY = date(2026, 5, 20)
SETTINGS: dict[str, Any] = {"currency": "GBP", "margin_scheme": "item", "vat_rate": "20"}


def gbp(minor: int) -> Money:
    return Money(minor, "GBP")


@pytest.fixture
def shop(head: HeadDoc, make_record: Make) -> Shop:
    """40.00 for two bought records, and two consigned ones, one sold in February and paid out in March."""
    head["delivered"], head["margin_eligible"] = "2026-01-10", True
    head["charges"] = [
        {"what": "price", "minor": 4000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    records = [make_record(no, 2000) for no in (1, 2)]
    records += [make_record(no, 2000, terms="consigned", consignor="s-reed") for no in (3, 4)]
    head["shares"], head["state"] = freeze(spread(head, landed(head, "GBP"), records)), "closed"
    sold = records[2]["life"]
    sold.append(life.sell(records[2], When("2026-02-03", TODAY), gbp(3000), buyer="M. Larch"))
    sold.append(life.pay_out(records[2], When("2026-03-02", TODAY), gbp(2100), "14"))
    return head, records


def closed_to(shop: Shop, *days: str, settings: Any = SETTINGS, senders: Any = SENDERS) -> list[Closed]:
    docs: list[Any] = []
    for day in days:
        docs.append(close_books([shop], senders, settings, read_closed(docs), day, day))
    return read_closed(docs)


def made(shop: Shop, closed: list[Closed], as_of: str, sender: Any = REED, who: str = "s-reed") -> Statement:
    return statement_after(Account(who, sender, [shop], SETTINGS, closed), as_of)


def lines(got: Statement) -> list[tuple[str, str, int, int, int]]:
    return [(one.state, one.sold_on, one.price.minor, one.net.minor, one.paid_out.minor) for one in got.lines]


def change_terms(head: HeadDoc, record: RecordDoc, owner: str | None) -> None:
    """As the bench does it in a closed parcel: a dated correction."""
    record["terms"], record["consignor"] = ("consigned" if owner else "bought"), owner
    say = f"record {record['no']}: whose it is"
    head["corrections"] = [{"at": "2026-05-20T10:00:00Z", "say": say, "ops": [], "records": [record["id"]]}]


def test_terms_changed_later_leave_a_closed_statement_and_are_corrected_on_their_own_day(shop: Shop) -> None:
    head, records = shop
    closed = closed_to(shop, "2026-03-31")
    before = made(shop, closed, "2026-03-31")
    assert lines(before) == [("sold", "2026-02-03", 3000, 2100, 2100), ("in the shop", "", 0, 0, 0)]
    change_terms(head, records[2], None)
    assert made(shop, closed, "2026-03-31") == before
    assert lines(made(shop, closed, "2026-05-19")) == lines(before)
    after = made(shop, closed, "2026-05-20")
    assert lines(after) == [
        ("stated before", "2026-02-03", 3000, 2100, 2100),
        ("correction", "2026-05-20", -3000, -2100, 0),
        ("in the shop", "", 0, 0, 0),
    ]
    assert after.lines[1].description == "correction of A00003: whose it is"
    assert after.due == gbp(-2100), "it was paid for a record that is the shop's own"
    entries = shop_entries([shop], SENDERS, SETTINGS, closed, "2026-05-31")
    assert -balances(entries)["consignors"] == after.due.minor


def test_a_payout_made_void_before_the_record_left_the_account_is_not_on_it_again(shop: Shop) -> None:
    """The statement had 21.00 as paid that the journal, rightly, had not."""
    head, records = shop
    closed = closed_to(shop, "2026-03-31")
    records[2]["life"].append(life.correct(records[2], When("2026-05-10", TODAY), 2, "never paid", None))
    change_terms(head, records[2], None)
    was: Any = {"until": "2026-05-20T10:00:00Z", "was": {"terms": "consigned", "consignor": "s-reed"}}
    records[2]["earlier"] = [was]
    entries = shop_entries([shop], SENDERS, SETTINGS, closed, "2026-05-31")
    for on, due in (("2026-05-09", 0), ("2026-05-10", 2100), ("2026-05-20", 0)):
        assert made(shop, closed, on).due == gbp(due)
        assert -balances(entries, on).get("consignors", 0) == due, on


def test_each_line_says_what_it_is_and_the_balance_before_and_after(shop: Shop) -> None:
    head, records = shop
    closed = closed_to(shop, "2026-03-31")
    head["corrections"] = [
        {"at": "2026-05-20T10:00:00Z", "say": "record 4: price", "ops": [], "records": ["r-3"]}
    ]
    sender = REED | {"commission": "40"}
    records[3]["life"].append(life.sell(records[3], When("2026-04-10", TODAY), gbp(1000)))
    for on in ("2026-04-12", "2026-04-20"):
        records[3]["life"].append(life.pay_out(records[3], When(on, TODAY), gbp(100), "15"))
    rows = statement_rows(made(shop, closed, "2026-05-20", sender))
    told = [(one["stock_number"], one["what"], one["balance_before"], one["balance_after"]) for one in rows]
    assert told == [
        ("A00003", "sold on 2026-02-03, as stated before, 21.00 paid out by 2026-03-02", "0.00", "21.00"),
        ("", "paid on 2026-03-02", "21.00", "0.00"),
        ("A00004", "sold on 2026-04-10, 2.00 paid out by 2026-04-20", "0.00", "6.00"),
        ("", "paid on 2026-04-12", "6.00", "5.00"),
        ("", "paid on 2026-04-20", "5.00", "4.00"),
        ("A00003", "correction on 2026-05-20", "4.00", "1.00"),
    ]
    whole = table_of((SENDER, *columns_of(COLUMNS)), [{"sender": "N. Reed"} | one for one in rows])
    (may,) = carried(whole, Table(whole.columns, whole.rows[5:])).dicts()
    assert (may["balance_before"], may["balance_after"]) == ("4.00", "1.00")
    (first,) = carried(whole, Table(whole.columns, whole.rows[:1])).dicts()
    assert (first["balance_before"], first["balance_after"]) == ("-20.00", "1.00"), "all others are before it"


def test_a_sale_that_came_back_between_two_closings_stands_with_its_return(shop: Shop) -> None:
    """Nothing of it is due, and both are told: 10.00 at 30 % is 7.00 net."""
    record = shop[1][3]
    docs = [close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")]
    before = made(shop, read_closed(docs), "2026-04-09")
    record["life"].append(life.sell(record, When("2026-04-10", TODAY), gbp(1000)))
    record["life"].append(life.take_back(record, When("2026-04-20", TODAY), "clicks"))
    after = made(shop, read_closed(docs), "2026-04-30")
    pair = [("sold", "2026-04-10", 1000, 700, 0), ("returned", "2026-04-20", -1000, -700, 0)]
    assert [one for one in lines(after) if one not in lines(before)] == pair
    assert after.due == before.due
    docs.append(
        close_books([shop], SENDERS, SETTINGS, read_closed(docs), "2026-04-30", "2026-05-02T09:00:00Z")
    )
    assert lines(made(shop, read_closed(docs), "2026-05-20")) == lines(after)
    assert again(shop, docs) == []


def refunded(record: RecordDoc, on: str, minor: int, why: str) -> None:
    record["life"].append(life.refund_part(record, When(on, TODAY), gbp(minor), why))


def test_a_refund_after_the_closing_is_a_line_of_its_own_and_the_sale_stays_as_it_was_stated(
    shop: Shop,
) -> None:
    records = shop[1]
    doc = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")
    closed = read_closed([doc])
    refunded(records[2], "2026-04-10", 500, "scratch on B2")
    after = made(shop, closed, "2026-04-30")
    assert lines(after) == [
        ("sold", "2026-02-03", 3000, 2100, 2100),
        ("refund", "2026-04-10", -500, -350, 0),
        ("in the shop", "", 0, 0, 0),
    ]
    assert after.lines[1].description == "refund of A00003: scratch on B2"
    rows = [one for one in statement_rows(after) if one["state"] != "in the shop"]
    assert [(one["what"], one["price"], one["balance_after"]) for one in rows] == [
        ("sold on 2026-02-03, 21.00 paid out by 2026-03-02", "30.00", "21.00"),
        ("paid on 2026-03-02", "", "0.00"),
        ("refund on 2026-04-10", "-5.00", "-3.50"),
    ]
    assert (rows[1]["description"], rows[1]["paid_out"]) == ("payment, 14", "21.00")
    two = close_books([shop], SENDERS, SETTINGS, closed, "2026-04-30", "2026-05-02T09:00:00Z")
    both = read_closed([doc, two])
    assert lines(made(shop, both, "2026-05-20")) == lines(after)
    refunded(records[2], "2026-05-06", 100, "")
    third = lines(made(shop, both, "2026-05-20"))
    assert third == [*lines(after)[:2], ("refund", "2026-05-06", -100, -70, 0), lines(after)[2]]
    assert again(shop, [doc, two]) == []
    entries = shop_entries([shop], SENDERS, SETTINGS, both, "2026-05-31")
    assert -balances(entries)["consignors"] == made(shop, both, "2026-05-31").due.minor


def test_a_refund_in_days_that_are_open_is_a_line_too(shop: Shop) -> None:
    refunded(shop[1][2], "2026-03-10", 500, "clicks")
    got = made(shop, [], "2026-03-31")
    assert lines(got)[:2] == [
        ("sold", "2026-02-03", 3000, 2100, 2100),
        ("refund", "2026-03-10", -500, -350, 0),
    ]
    assert got.due == gbp(-350)


@pytest.mark.parametrize("now", [{"minor": 2700}, None], ids=["price", "void"])
def test_a_sale_of_open_days_that_is_put_right_later_stays_as_it_was_stated(
    shop: Shop, now: dict[str, Any] | None
) -> None:
    record = shop[1][3]
    record["life"].append(life.sell(record, When("2026-04-15", TODAY), gbp(3000), buyer="L. Fenwick"))
    for closed in ([], closed_to(shop, "2026-03-31")):
        before = made(shop, closed, "2026-04-30").due
        record["life"].append(life.correct(record, When("2026-05-04", TODAY), 1, "keyed wrong", now))
        after = made(shop, closed, "2026-05-20")
        rows = [one for one in statement_rows(after) if one["stock_number"] == "A00004"]
        by_then = [one for one in statement_rows(after) if one["sold_on"] <= "2026-04-30"]
        assert by_then[-1]["balance_after"] == before.plain()
        right = next(one for one in rows if one["state"] == "correction")
        assert (right["sold_on"], right["price"]) == ("2026-05-04", "-3.00" if now else "-30.00")
        told = "price 27.00, was 30.00" if now else "sale void, price was 30.00"
        assert right["description"] == f"correction of A00004, {told}: keyed wrong"
        assert [one["price"] for one in rows if one["state"] == "sold"] == ["30.00"]
        entries = shop_entries([shop], SENDERS, SETTINGS, closed, "2026-05-31")
        assert -balances(entries)["consignors"] == after.due.minor
        twice = closed_to(shop, *(["2026-03-31"] if closed else []), "2026-05-10")
        assert lines(made(shop, twice, "2026-05-20")) == lines(after)
        record["life"].pop()


@pytest.mark.parametrize(
    ("now", "told"),
    [({"minor": 2700}, "price 27.00, was 30.00"), (None, "sale void, price was 30.00")],
    ids=["price", "void"],
)
def test_a_sale_of_closed_days_that_is_put_right_says_its_price_as_one_of_open_days(
    shop: Shop, now: dict[str, Any] | None, told: str
) -> None:
    record = shop[1][2]
    refunded(record, "2026-03-10", 500, "clicks")
    if now is None:
        record["life"].pop()  # a sale of which something was given back is not made void
    closed = closed_to(shop, "2026-03-31")
    record["life"].append(life.correct(record, When("2026-04-04", TODAY), 1, "keyed wrong", now))
    for stated in (closed, closed_to(shop, "2026-03-31", "2026-04-30")):
        rows = statement_rows(made(shop, stated, "2026-05-20"))
        (right,) = [one["description"] for one in rows if one["state"] == "correction"]
        assert right == f"correction of A00003, {told}: keyed wrong"


def test_what_came_in_on_a_day_stands_in_one_order_whichever_of_it_is_sold_since(shop: Shop) -> None:
    """A row of what was sold since went before the others of its day: two statements were unlike."""
    records, sender = shop[1], REED | {"per_record": {"minor": 50, "currency": "GBP"}}
    records[2]["life"].clear()
    for sold in (False, True):
        if sold:
            records[3]["life"].append(life.sell(records[3], When("2026-02-03", TODAY), gbp(3000)))
        rows = statement_rows(made(shop, [], "2026-05-20", sender))
        came = [one["stock_number"] for one in rows if one["came_in"] == "2026-01-10" and not one["price"]]
        assert came == ["A00003", "A00004"]


def test_a_return_after_the_closing_leaves_the_sale_as_it_was_stated(shop: Shop) -> None:
    records = shop[1]
    closed = closed_to(shop, "2026-03-31")
    records[2]["life"].append(life.take_back(records[2], When("2026-04-10", TODAY), "clicks", gbp(3000)))
    after = made(shop, closed, "2026-04-30")
    assert lines(after) == [
        ("stated before", "2026-02-03", 3000, 2100, 2100),
        ("returned", "2026-04-10", -3000, -2100, 0),
        ("in the shop", "", 0, 0, 0),
        ("in the shop", "", 0, 0, 0),
    ]
    assert (after.due, after.lines[1].description) == (gbp(-2100), "return of A00003: clicks")
    both = closed_to(shop, "2026-03-31", "2026-04-30")
    assert lines(made(shop, both, "2026-05-20")) == lines(after)
    records[2]["life"].append(life.sell(records[2], When("2026-05-05", TODAY), gbp(2000)))
    assert lines(made(shop, both, "2026-05-20"))[2] == ("sold", "2026-05-05", 2000, 1400, 0)


def test_a_closing_of_an_older_version_that_put_a_refund_into_its_sale_is_still_right(shop: Shop) -> None:
    refunded(shop[1][2], "2026-03-10", 500, "clicks")
    doc = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")
    steps = doc["statements"]["s-reed"]["r-3"]
    sale, refund = steps[-1][1]
    steps[-1][1] = [sale | {name: sale[name] + refund[name] for name in ("price", "commission")}]
    assert again(shop, [doc]) == []
    assert lines(made(shop, read_closed([doc]), "2026-04-30"))[0] == ("sold", "2026-02-03", 2500, 1750, 2100)


def test_what_was_changed_before_the_first_statement_is_no_reason_for_a_later_correction(shop: Shop) -> None:
    """All on one day: a least commission agreed, March closed, the commission put right, April closed. The
    correction of May names what was put right alone."""
    sender: dict[str, Any] = dict(REED)
    senders = SENDERS | {"s-reed": sender}
    sender["noted"] = {"at": "2026-05-02T08:00:00Z", "say": "minimum 1.00", "names": ["minimum"]}
    one = close_books([shop], senders, SETTINGS, (), "2026-03-31", "2026-05-02T09:00:00Z")
    noted = {"at": "2026-05-02T10:00:00Z", "say": "commission 40", "names": ["commission"]}
    sender |= {"commission": "40", "noted": {**noted, "also": [sender["noted"]]}}
    two = close_books([shop], senders, SETTINGS, read_closed([one]), "2026-04-30", "2026-05-02T11:00:00Z")
    got = made(shop, read_closed([one, two]), "2026-05-20", sender)
    said = [line.description for line in got.lines if line.state == "correction"]
    assert said == ["correction of A00003: commission 40"]


def test_a_record_of_somebody_else_is_not_paid_twice_over(shop: Shop) -> None:
    head, records = shop
    closed = closed_to(shop, "2026-03-31")
    change_terms(head, records[2], "s-quill")
    theirs = made(shop, closed, "2026-05-20", SENDERS["s-quill"], "s-quill")
    assert lines(theirs) == [("sold", "2026-02-03", 3000, 2400, 0)]
    assert made(shop, closed, "2026-05-20").due == gbp(-2100)
    entries = shop_entries([shop], SENDERS, SETTINGS, closed, "2026-05-31")
    assert -balances(entries)["consignors"] == 2400 - 2100


def test_a_correction_is_written_down_with_the_next_closing_and_stays(shop: Shop) -> None:
    sender: dict[str, Any] = dict(REED)
    senders = SENDERS | {"s-reed": sender}
    first = closed_to(shop, "2026-03-31", senders=senders)
    sender |= {"commission": "40", "noted": {"at": "2026-04-15T09:00:00Z", "say": "commission % 40 always"}}
    corrected = lines(made(shop, first, "2026-04-30", sender))
    assert corrected == [
        ("stated before", "2026-02-03", 3000, 2100, 2100),
        ("correction", "2026-04-15", 0, -300, 0),
        ("sold", "2026-02-03", 0, 0, 0),
        ("in the shop", "", 0, 0, 0),
    ]
    one = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")
    two = close_books([shop], senders, SETTINGS, read_closed([one]), "2026-04-30", "2026-05-02")
    both = read_closed([one, two])
    sender["commission"] = "50"
    assert lines(made(shop, both, "2026-04-30", sender)) == corrected
    again = made(shop, both, "2026-05-20", sender)
    assert [one for one in lines(again) if one[0] == "correction"] == [
        ("correction", "2026-04-15", 0, -300, 0),
        ("correction", "2026-05-01", 0, -300, 0),
    ]
    assert again.net == gbp(1500)


def test_a_day_within_a_closed_period_has_the_lines_of_that_day(shop: Shop) -> None:
    head, records = shop
    days = ("2026-01-09", "2026-01-10", "2026-02-02", "2026-02-03", "2026-03-01", "2026-03-02")
    before = [lines(made(shop, [], day)) for day in days]
    closed = closed_to(shop, "2026-03-31")
    records[2]["life"].clear()
    change_terms(head, records[3], None)
    assert [lines(made(shop, closed, day)) for day in days] == before
    assert before[0] == []
    assert before[3][0] == ("sold", "2026-02-03", 3000, 2100, 0)


def test_what_is_corrected_is_due_once_for_each_record(shop: Shop) -> None:
    sender: dict[str, Any] = dict(REED)
    closed = closed_to(shop, "2026-03-31")
    sender["commission"] = "20"
    got = made(shop, closed, "2026-05-20", sender)
    assert got.due == gbp(300)
    assert split_payout(got, gbp(300)) == {"r-3": gbp(300)}


def test_the_stock_book_of_a_day_within_a_closed_period_is_that_days(shop: Shop) -> None:
    head, records = shop
    one = records[0]
    one["life"].append(life.sell(one, When("2026-02-05", TODAY), gbp(5000), buyer="M. Larch"))
    one["life"].append(life.take_back(one, When("2026-02-20", TODAY), "clicks", gbp(4000)))
    one["life"].append(life.sell(one, When("2026-03-10", TODAY), gbp(4500), buyer="P. Ash"))
    head["late"] = [
        {"what": "price", "minor": 200, "currency": "GBP", "rate": None, "id": "l-1", "on": "2026-03-01",
         "booked": "2026-03-01", "credit": True, "shares": {"r-2": -200}},
    ]  # fmt: skip
    closed = closed_to(shop, "2026-03-31")
    head["charges"][0]["minor"], one["life"] = 9900, []

    def row(day: str, stock: str = "A00001") -> dict[str, str]:
        return closed_rows(closed, day)[stock]

    assert row("2026-01-09")["left_how"] == "bought later"
    assert (row("2026-02-04")["left_how"], row("2026-02-04")["purchase_price"]) == ("", "20.00")
    sold = row("2026-02-19")
    assert (sold["sold_on"], sold["buyer"], sold["selling_price"]) == ("2026-02-05", "M. Larch", "50.00")
    back = row("2026-02-20")
    assert (back["left_how"], back["kept"], back["sold_on"]) == ("", "", "")
    above = closed_beside(closed, "2026-02-20")["A00001"]
    assert [(one["left_how"], one["kept"]) for one in above] == [("sold", ""), ("returned", "10.00")]
    assert row("2026-03-31")["buyer"] == "P. Ash"
    assert [row(day, "A00002")["purchase_price"] for day in ("2026-02-28", "2026-03-01")] == [
        "20.00",
        "18.00",
    ]


@pytest.mark.parametrize("vat", ["none", "added", "included"])
def test_a_commission_graduated_over_all_sales_is_in_the_journal_as_on_the_statement(
    head: HeadDoc, make_record: Make, vat: str
) -> None:
    # 30 % of the first 50.00 of all sales together, then 20 %: 40.00 and 60.00 make 15.00 + 10.00; when the
    # second comes back whole 12.00 are left. At least 1.00 is taken with each sale.
    sender = {"name": "N. Reed", "bands": [["50", "30"], [None, "20"]], "bands_over": "statement",
              "minimum": {"minor": 100, "currency": "GBP"}}  # fmt: skip
    settings = SETTINGS | {"commission_vat": vat}
    head["delivered"], head["terms"], head["sender"] = "2026-01-10", "consigned", "s-reed"
    records = [make_record(1), make_record(2)]
    for record, day, minor in ((records[0], "2026-02-03", 4000), (records[1], "2026-03-05", 6000)):
        record["life"].append(life.sell(record, When(day, TODAY), gbp(minor)))
    records[1]["life"].append(life.take_back(records[1], When("2026-04-01", TODAY)))
    commissions = {}
    for day in ("2026-02-28", "2026-03-31", "2026-04-30"):
        entries = shop_entries([(head, records)], {"s-reed": sender}, settings, (), day)
        stands = balances(entries, day)
        got = statement_after(Account("s-reed", sender, [(head, records)], settings), day)
        assert -stands["consignors"] == got.due.minor
        assert all(sum(leg.minor for leg in one.legs) == 0 for one in entries)
        commissions[day] = -stands["commission"]
        profit = sum(row.profit for row in sale_rows(entries, last=day))
        assert profit == commissions[day] - stands.get("vat in sales", 0)
    assert commissions == {"2026-02-28": 1200, "2026-03-31": 2500, "2026-04-30": 1200}


def again(shop: Shop, docs: list[Any], senders: Any = SENDERS) -> list[str]:
    return [fault.what for fault in stated_faults([shop], senders, SETTINGS, read_closed(docs))]


def test_check_works_closed_lines_out_again_and_tells_a_difference_by_line(shop: Shop) -> None:
    _, records = shop
    first = close_books([shop], SENDERS, SETTINGS, (), "2026-02-15", "2026-02-16T09:00:00Z")
    second = close_books(
        [shop], SENDERS, SETTINGS, read_closed([first]), "2026-03-31", "2026-04-02T09:00:00Z"
    )
    assert again(shop, [first, second]) == []
    forged = deepcopy(first)
    forged["statements"]["s-reed"]["r-3"][-1][1][0]["commission"] = 500
    forged["days"]["A00001"][0][1] = forged["rows"]["A00001"] | {"purchase_price": "25.00"}
    forged["digest"] = digest_of(forged)
    assert again(shop, [forged]) == [
        "the stock book's line A00001, 2026-01-10: purchase price 25.00 written down, but "
        "purchase price 20.00 worked out again",
        "A00003 on the statement of N. Reed, 2026-02-03: commission 5.00 written down, but "
        "commission 9.00 worked out again",
    ]
    records[2]["life"][1]["minor"] = 1500
    assert again(shop, [first, second]) == [
        "A00003 on the statement of N. Reed, 2026-03-02: paid out 21.00 written down, but "
        "paid out 15.00 worked out again"
    ]


def test_a_late_bill_that_the_sender_bears_leaves_a_closed_statement_and_comes_on_the_next(
    shop: Shop,
) -> None:
    head, _ = shop
    doc = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")
    closed = read_closed([doc])
    before = made(shop, closed, "2026-03-31")
    head["late"] = [
        {"what": "duty", "minor": 500, "currency": "GBP", "rate": None, "id": f"l-{on}", "on": on,
         "booked": "2026-04-20", "shares": {}, "inbound": {"r-3": 300, "r-4": 200}, "about": "recount"}
        for on in ("2026-03-20", "2026-04-20")
    ]  # fmt: skip
    assert made(shop, closed, "2026-03-31") == before
    assert again(shop, [doc]) == []
    after = made(shop, closed, "2026-04-20")
    assert before.due - after.due == gbp(1000)
    told = [(one["stock_number"], one["state"], one["charges"], one["what"]) for one in statement_rows(after)]
    assert [one for one in told if one[0] == "A00003"] == [
        (
            "A00003",
            "stated before",
            "0.00",
            "sold on 2026-02-03, as stated before, 21.00 paid out by 2026-03-02",
        ),
        ("A00003", "late bill", "3.00", "late duty of 2026-04-20, recount"),
        (
            "A00003",
            "correction",
            "3.00",
            "correction on 2026-04-20, charges include 3.00 late duty of 2026-03-20, recount",
        ),
    ]
    assert after.lines[1].description == "correction of A00003: late duty, recount"
    entries = shop_entries([shop], SENDERS, SETTINGS, closed, "2026-04-30")
    assert -balances(entries)["consignors"] == after.due.minor


def test_what_was_entered_since_is_no_difference_of_closed_lines(shop: Shop) -> None:
    head, records = shop
    doc = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")
    records[0]["life"].append(life.sell(records[0], When("2026-04-03", TODAY), gbp(5000)))
    records[2]["life"].append(
        life.correct(records[2], When("2026-05-20", TODAY), 1, "misread", {"minor": 2500})
    )
    head["late"] = [
        {"what": "duty", "minor": 200, "currency": "GBP", "rate": None, "id": "l-1", "on": "2026-03-01",
         "booked": "2026-04-20", "shares": {"r-2": 200}},
    ]  # fmt: skip
    assert again(shop, [doc]) == []
    sender = REED | {"commission": "40"}
    assert again(shop, [doc], SENDERS | {"s-reed": sender}) == [
        "A00003 on the statement of N. Reed, 2026-02-03: commission 9.00 written down, but "
        "commission 12.00 worked out again"
    ]
    said = {"noted": {"at": "2026-04-15T09:00:00Z", "say": "commission % 40 always"}}
    assert again(shop, [doc], SENDERS | {"s-reed": sender | said}) == []
    change_terms(head, records[1], "s-reed")
    assert again(shop, [doc]) == [], "noted on the parcel"
    head["corrections"] = []
    assert "line A00001, 2026-01-10: purchase price 20.00" in again(shop, [doc])[0]


def book(shop: Shop, closed: list[Closed], as_of: str, stock: str = "A00001") -> list[tuple[str, ...]]:
    """(how it left, day bought, purchase price, day sold, selling price, margin) of each row of a number."""
    head, records = shop
    if as_of <= closed[-1].through:
        rows = [*closed_beside(closed, as_of).get(stock, ()), closed_rows(closed, as_of)[stock]]
    else:
        stated = StatedBook(closed, SENDERS, SETTINGS)
        (entry,) = (one for one in stockbook([shop], SENDERS, SETTINGS, as_of) if one.stock == stock)
        (record,) = (one for one in records if one["stock"] == stock)
        before, last = stated.parcel(head, records).lines(record, entry, as_of)
        rows = [*before, last]
    names = ("left_how", "bought_on", "purchase_price", "sold_on", "selling_price", "margin")
    return [tuple(row[name] for name in names) for row in rows]


def test_a_price_paid_changed_later_is_a_row_of_the_stock_book_of_its_own_day(shop: Shop) -> None:
    head, records = shop
    one = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")
    closed = read_closed([one])
    stated = ("", "2026-01-10", "20.00", "", "", "")
    head["charges"][0]["minor"] = 5000
    head["shares"] = freeze(spread(head | {"shares": None}, landed(head, "GBP"), records))
    head["corrections"] = [{"at": "2026-05-20T10:00:00Z", "say": "price paid was 50.00"}]
    assert book(shop, closed, "2026-03-31") == book(shop, closed, "2026-05-19") == [stated]
    corrected = ("correction", "", "5.00", "2026-05-20", "", "")
    assert book(shop, closed, "2026-05-20") == [corrected, stated]
    records[0]["life"].append(life.sell(records[0], When("2026-06-01", date(2026, 6, 1)), gbp(4500)))
    sold = ("sold", "2026-01-10", "20.00", "2026-06-01", "45.00", "20.00")
    assert book(shop, closed, "2026-06-01") == [corrected, sold]
    two = close_books([shop], SENDERS, SETTINGS, closed, "2026-06-30", "2026-07-01T09:00:00Z")
    both = read_closed([one, two])
    assert again(shop, [one, two]) == []
    head["charges"][0]["minor"] = 6000
    head["shares"] = freeze(spread(head | {"shares": None}, landed(head, "GBP"), records))
    days = ("2026-03-31", "2026-05-19", "2026-05-20", "2026-06-30")
    assert [book(shop, both, day) for day in days] == [
        [stated], [stated], [corrected, stated], [corrected, sold],
    ]  # fmt: skip
    further = ("correction", "", "5.00", "2026-07-01", "", "-5.00")
    assert book(shop, both, "2026-07-01") == [corrected, further, sold]
    forged = deepcopy(two)
    forged["beside"]["A00001"][0][1][0]["purchase_price"] = "1.00"
    head["charges"][0]["minor"] = 5000
    head["shares"] = freeze(spread(head | {"shares": None}, landed(head, "GBP"), records))
    assert "correction 1 purchase price 1.00 written down" in again(shop, [one, forged])[0]


def test_a_stated_sale_that_was_none_stays_in_the_stock_book_with_its_correction(shop: Shop) -> None:
    _, records = shop
    one = records[0]
    one["life"].append(life.sell(one, When("2026-02-05", TODAY), gbp(5000), buyer="M. Larch"))
    closed = closed_to(shop, "2026-03-31")
    one["life"].append(life.correct(one, When("2026-04-10", TODAY), 1, "another copy", None))
    stated = ("sold", "2026-01-10", "20.00", "2026-02-05", "50.00", "30.00")
    assert book(shop, closed, "2026-04-09") == [stated]
    voided = ("correction", "", "", "2026-04-10", "-50.00", "-30.00")
    assert book(shop, closed, "2026-04-10") == [stated, voided, ("", "2026-01-10", "0.00", "", "", "")]
    one["life"].append(life.sell(one, When("2026-05-05", TODAY), gbp(4500)))
    resold = ("sold", "2026-01-10", "0.00", "2026-05-05", "45.00", "25.00")
    assert book(shop, closed, "2026-05-05") == [stated, voided, resold]
    both = closed_to(shop, "2026-03-31", "2026-05-31")
    assert book(shop, both, "2026-05-31")[-1] == book(shop, both, "2026-06-30")[-1]


def test_a_row_that_changed_within_a_period_and_back_again_is_kept_by_day(shop: Shop) -> None:
    _, records = shop
    gone = records[1]
    gone["state"] = "withdrawn"
    first = close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")
    gone["life"].append(life.hand_back(gone, When("2026-04-10", date(2026, 4, 10))))
    gone["life"].append(life.correct(gone, When("2026-05-02", date(2026, 5, 2)), 1, "another one", None))
    second = close_books(
        [shop], SENDERS, SETTINGS, read_closed([first]), "2026-05-31", "2026-06-02T09:00:00Z"
    )
    closed = read_closed([first, second])
    hows = [
        closed_rows(closed, day)["A00002"]["left_how"] for day in ("2026-04-09", "2026-04-10", "2026-05-02")
    ]
    assert hows == ["withdrawn", "handed back", "withdrawn"]
    assert again(shop, [first, second]) == []


def changed_commission(sender: dict[str, Any], to: str, at: str, closed_at: str) -> dict[str, Any]:
    """As the store keeps it."""
    noted = {"at": at, "say": f"commission {to} %", "names": ["commission"]}
    new = sender | note_kept(sender, {"commission": to, "noted": noted}, closed_at)
    return with_earlier(sender, new, OF_SENDER, at, "", closed_at)


@pytest.mark.parametrize(
    "kept", [True, False], ids=["", "a shop of an older version, without the first note"]
)
def test_a_closed_correction_keeps_its_day_when_the_same_rule_is_changed_again(
    shop: Shop, kept: bool
) -> None:
    at = ["2026-04-02T09:00:00Z", "2026-05-03T09:00:00Z"]
    sender: dict[str, Any] = dict(REED)
    docs = [close_books([shop], {"s-reed": sender}, SETTINGS, (), "2026-03-31", at[0])]
    sender = changed_commission(sender, "35", "2026-04-10T09:00:00Z", at[0])
    docs.append(close_books([shop], {"s-reed": sender}, SETTINGS, read_closed(docs), "2026-04-30", at[1]))
    sender = changed_commission(sender, "40", "2026-05-04T09:00:00Z", at[1])
    if not kept:
        del sender["noted"]["also"]
    closed = read_closed(docs)
    assert not list(stated_faults([shop], {"s-reed": sender}, SETTINGS, closed))
    after = made(shop, closed, "2026-05-20", sender)
    told = [(one.sold_on, one.net.minor) for one in after.lines if one.state == "correction"]
    assert told == [("2026-04-10", -150), ("2026-05-04", -150)]
    rows = [one["what"] for one in statement_rows(after) if one["stock_number"] == "A00003"]
    assert len(rows) == 3, "the sale and its two corrections, no line of zeros"


@pytest.mark.parametrize(
    ("to", "told"),
    [
        # 70 % of 28.00 instead of 30.00
        (("35", "30"), [(": commission 30 %, was 35 %", 150), (", price 28.00, was 30.00: misread", -140)]),
        # 60 % of 28.00 is 16.80, of 30.00 18.00
        (("35", "40"), [(": commission 40 %, was 35 %", -150), (", price 28.00, was 30.00: misread", -120)]),
    ],
)
def test_terms_that_were_put_back_or_changed_again_are_corrections_of_their_own_days(
    shop: Shop, to: tuple[str, str], told: list[tuple[str, int]]
) -> None:
    closed_at = "2026-04-02T09:00:00Z"
    closed = read_closed([close_books([shop], SENDERS, SETTINGS, (), "2026-03-31", closed_at)])
    sender: dict[str, Any] = dict(REED)
    for day, rate in zip(("10", "12"), to, strict=True):
        sender = changed_commission(sender, rate, f"2026-04-{day}T09:00:00Z", closed_at)
    sold = shop[1][2]
    sold["life"].append(life.correct(sold, When("2026-04-20", TODAY), 1, "misread", {"minor": 2800}))
    got = made(shop, closed, "2026-05-20", sender)
    corrected = [(one.description, one.net.minor) for one in got.lines if one.state == "correction"]
    first = (": commission 35 %, was 30 %", -150)
    assert corrected == [(f"correction of A00003{said}", net) for said, net in (first, *told)]


def test_a_statement_names_another_record_by_its_stock_number(shop: Shop) -> None:
    head, _ = shop
    closed = closed_to(shop, "2026-03-31")
    head["corrections"] = [{"at": "2026-05-20T10:00:00Z", "say": "record 4: price; as record 3", "ops": []}]
    after = made(shop, closed, "2026-05-20", REED | {"commission": "40"})
    (said,) = [one.description for one in after.lines if one.state == "correction"]
    assert said == "correction of A00003: A00004: price; as A00003"
