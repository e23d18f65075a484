"""The VAT file, the sales and the journal say one VAT, whatever rule was changed after a closing; and each
correction names its own cause."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from benchtui.model.earlier import OF_RECORD, OF_SHOP, note_kept, notes_of, with_earlier
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.account import Account
from benchtui.money.accounts import periods_of
from benchtui.money.book_after import stated_of
from benchtui.money.charges import landed
from benchtui.money.check import check_accounts
from benchtui.money.closing import Book, close_books, read_closed
from benchtui.money.entries import vat_of
from benchtui.money.figures import grouped, sale_rows, vat_disagreements, vat_lines
from benchtui.money.handed_in import statement_after
from benchtui.money.known import known_doc
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.policy import Rates
from benchtui.money.spreading import freeze, spread
from benchtui.money.stated_again import stated_faults
from benchtui.money.stock import stockbook

Make = Callable[..., RecordDoc]
TODAY = date(2026, 4, 20)
SENDERS: dict[str, dict[str, Any]] = {"s-reed": {"name": "N. Reed", "commission": "30"}}
SETTINGS: dict[str, Any] = {
    "currency": "GBP",
    "margin_scheme": "item",
    "vat_rate": "20",
    "commission_vat": "added",
}


@pytest.fixture
def parcel(head: HeadDoc, make_record: Make) -> tuple[HeadDoc, list[RecordDoc]]:
    """Bought for 10.00 and sold for 16.00 (margin 6.00, VAT 1.00); of N. Reed and sold for 40.00 (commission
    12.00, VAT 2.40 on top)."""
    head["delivered"], head["margin_eligible"] = "2026-01-10", True
    head["charges"] = [
        {"what": "price", "minor": 1000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    records = [make_record(1, 1600), make_record(2, 4000, terms="consigned", consignor="s-reed")]
    head["shares"], head["state"] = freeze(spread(head, landed(head, "GBP"), records)), "closed"
    for record, minor in zip(records, (1600, 4000), strict=True):
        record["life"].append(life.sell(record, When("2026-02-03", TODAY), Money(minor, "GBP")))
    return head, records


@pytest.mark.parametrize(
    ("rule", "value", "commission", "due"),
    [
        ("commission_vat", "none", -240, -240),
        # 2.00 of the 12.00 instead of 2.40 on top
        ("commission_vat", "included", -40, -40),
        # 6.00 x 18 / 118 is 0.92 instead of 1.00, 12.00 x 18 % is 2.16 instead of 2.40
        ("vat_rate", "18", -24, -32),
        # 5.00 x 20 / 120 is 0.83; the commission stays
        ("price", 1100, 0, -17),
    ],
)
def test_a_rule_changed_after_a_closing_reaches_vat_file_sales_and_journal(
    parcel: Any, rule: str, value: Any, commission: int, due: int
) -> None:
    doc = close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")
    closed = read_closed([doc])
    noted = {"at": "2026-04-15T10:00:00Z", "say": "another rule"}
    settings = SETTINGS | ({} if rule == "price" else {rule: value, "noted": noted})
    if rule == "price":
        parcel[0]["charges"][0]["minor"] = value
        parcel[0]["shares"]["r-1"] = value
        parcel[0]["corrections"] = [noted | {"ops": []}]
    entries = shop_entries([parcel], SENDERS, settings, closed, "2026-06-30")
    for span, in_all, of_commission in (
        (("2026-01-01", "2026-03-31"), 340, 240),
        (("2026-04-01", "2026-06-30"), due, commission),
    ):
        told = {one.name: one.amount.minor for one in vat_lines(entries, Rates(settings), closed, *span)}
        assert (told["VAT on sales in all"], told.get("commission: VAT", 0)) == (in_all, of_commission)
        assert sum(row.vat for row in sale_rows(entries, *span)) == in_all
        assert sum(vat_of(entry) for entry in entries if span[0] <= entry.day <= span[1]) == in_all
    assert [one.what for one in check_accounts([parcel], SENDERS, settings, [doc]) if "VAT" in one.what] == []


def test_a_sale_entered_for_closed_days_is_a_sale_of_the_day_it_was_entered(parcel: Any) -> None:
    _, records = parcel
    sold = [record["life"].pop() for record in records]
    closed = read_closed([close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")])
    for record, event in zip(records, sold, strict=True):
        record["life"].append(event)
    entries = shop_entries([parcel], SENDERS, SETTINGS, closed, "2026-06-30")
    # 16.00 less 10.00 and 1.00 of VAT; 40.00 less 25.60 for N. Reed and 2.40 of VAT
    assert [(row.price, row.vat, row.profit) for row in sale_rows(entries)] == [
        (1600, 100, 500),
        (4000, 240, 1200),
    ]


def test_check_tells_where_they_do_not_agree(parcel: Any) -> None:
    entries = shop_entries([parcel], SENDERS, SETTINGS, (), "2026-06-30")
    assert list(vat_disagreements(entries, Rates(SETTINGS), (), "2026-06-30")) == []
    broken = [replace(one, memo=(("item by item VAT", 90),)) if one.memo else one for one in entries]
    assert list(vat_disagreements(broken, Rates(SETTINGS), (), "2026-06-30")) == [
        "VAT to 2026-06-30: 3.30 GBP in the VAT file, 3.40 GBP in the sales, 3.40 GBP in the journal"
    ]


def changed_since(parcel: Any) -> dict[str, Any]:
    """After the closing: a late duty of 2.00 on the first record, 11.00 paid instead of 10.00, and no VAT on
    the commission. The settings."""
    head, _ = parcel
    bill = {
        "what": "duty",
        "minor": 200,
        "currency": "GBP",
        "rate": None,
        "id": "l-1",
        "shares": {"r-1": 200},
    }
    head["late"] = [bill | {"on": "2026-02-01", "booked": "2026-04-20"}]
    head["charges"][0]["minor"], head["shares"]["r-1"] = 1100, 1100
    own = {"say": "price paid 11.00", "records": [], "fields": ["charges"], "kept": True}
    head["corrections"] = [own | {"at": "2026-04-10T10:00:00Z"}]
    said = {"say": "VAT on commission none always", "names": ["commission_vat"], "at": "2026-04-15T10:00:00Z"}
    return SETTINGS | {"commission_vat": "none", "noted": said}


def test_each_correction_names_its_own_cause_or_all_that_moved_it(parcel: Any) -> None:
    closed = read_closed([close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")])
    settings = changed_since(parcel)
    entries = shop_entries([parcel], SENDERS, settings, closed, "2026-06-30")
    assert {one.corrects: one.words["why"] for one in entries if one.kind == "correction"} == {
        f"{parcel[0]['id']}:charge:1": "price paid 11.00",
        f"{parcel[0]['id']}:late:l-1": "entered later",
        "r-1:late:l-1": "entered later",
        "r-1:share": "price paid 11.00",
        "r-1:1": "price paid 11.00; late bill",  # 13.00 of cost instead of 10.00, and VAT of 0.83
        "r-2:1": "VAT on commission none always",
    }
    account = Account("s-reed", SENDERS["s-reed"], [parcel], settings, closed)
    lines = statement_after(account, "2026-05-01").lines
    said = [line.description for line in lines if line.state == "correction"]
    assert said == ["correction of A00002: VAT on commission none always"]
    book = Book([parcel], SENDERS, settings, closed, "2026-05-01")
    book.rows()
    (corrected,) = (row for row in book._lines["A00001"][0] if row["left_how"] == "correction")
    assert (corrected["purchase_price"], corrected["vat_due"]) == ("1.00", "-0.17")
    assert corrected["remark"] == "price paid 11.00"


def test_the_answer_about_the_margin_is_the_reason_and_a_rate_that_was_put_back_has_its_own_days(
    parcel: Any,
) -> None:
    """The answer came before the closing of April was written down, the rate was changed and put back after
    it; 1.00 of VAT on the margin is no longer due, and none of it is the note of the invoice to the dealer."""
    head, (sold, _) = parcel
    docs = [close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")]
    answered: Any = {**sold, "margin_eligible": False}
    sold.update(with_earlier(sold, answered, OF_RECORD, "2026-05-01T10:00:00Z", "", docs[-1]["closed_at"]))  # type: ignore[typeddict-item]
    said = "margin scheme: no, imported by the shop"
    say = f"record 1: {said}; invoice 7 stays as issued, its correction is a page of today's invoices"
    own = {"say": say, "records": ["r-1"], "fields": ["margin_eligible"], "kept": True}
    head["corrections"] = [own | {"at": "2026-05-01T10:00:00Z"}]
    docs.append(
        close_books([parcel], SENDERS, SETTINGS, read_closed(docs), "2026-04-30", "2026-05-02T09:00:00Z")
    )
    settings = dict(SETTINGS)
    for at, rate in (("2026-05-03T09:00:00Z", "18"), ("2026-05-04T09:00:00Z", "20")):
        noted = {"at": at, "say": f"VAT rate % {rate}", "names": ["vat_rate"]}
        new = settings | note_kept(settings, {"vat_rate": rate, "noted": noted}, docs[-1]["closed_at"])
        settings = with_earlier(settings, new, OF_SHOP, at, "", docs[-1]["closed_at"])
    book = Book([parcel], SENDERS, settings, read_closed(docs), "2026-05-20")
    book.rows()
    (corrected,) = (row for row in book._lines["A00001"][0] if row["left_how"] == "correction")
    assert (corrected["vat_due"], corrected["remark"]) == ("-1.00", said)
    entries = shop_entries([parcel], SENDERS, settings, read_closed(docs), "2026-05-20")
    made = [(one.day, one.words["why"], one.sum_of("vat")) for one in entries if one.corrects == "r-1:1"]
    # outside the scheme the whole price of 16.00 is taxed: 2.67 at 20 % instead of 1.00, 2.44 at 18 %
    assert made == [
        ("2026-05-01", said, -167),
        ("2026-05-03", "VAT rate 18 %, was 20 %", 23),
        ("2026-05-04", "VAT rate 20 %, was 18 %", -23),
    ]


@pytest.mark.parametrize("is_closed_again", [False, True])
def test_a_closed_sale_that_came_back_stays_and_its_return_is_a_row_below(
    parcel: Any, is_closed_again: bool
) -> None:
    """14.00 of the 16.00 was given back: 2.00 was kept, with VAT of 0.33 in it, and the margin of 6.00 and its
    VAT of 1.00 are gone. Sold again for 22.00: margin 12.00, VAT 2.00."""
    sold = parcel[1][0]
    docs = [close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T09:00:00Z")]
    sold["life"].append(life.take_back(sold, When("2026-04-10", TODAY), "clicks", Money(1400, "GBP")))

    def rows(as_of: str) -> list[tuple[str, ...]]:
        book = Book([parcel], SENDERS, SETTINGS, read_closed(docs), as_of)
        own = book.rows()["A00001"]
        names = ("left_how", "sold_on", "purchase_price", "selling_price", "margin", "vat_due", "kept")
        return [tuple(row[name] for name in names) for row in (*book._lines["A00001"][0], own)]

    sale = ("sold", "2026-02-03", "10.00", "16.00", "6.00", "1.00", "")
    back = ("returned", "2026-04-10", "", "-16.00", "-6.00", "-0.67", "2.00")
    assert rows("2026-04-09") == [sale]
    assert rows("2026-04-30") == [sale, back, ("", "", "", "", "", "", "")]
    if is_closed_again:
        docs.append(
            close_books([parcel], SENDERS, SETTINGS, read_closed(docs), "2026-04-30", "2026-05-02T09:00:00Z")
        )
    sold["life"].append(life.sell(sold, When("2026-05-05", date(2026, 5, 5)), Money(2200, "GBP")))
    assert rows("2026-05-20") == [sale, back, ("sold", "2026-05-05", "", "22.00", "12.00", "2.00", "")]
    assert not list(stated_faults([parcel], SENDERS, SETTINGS, read_closed(docs)))


def test_a_cause_that_cannot_be_known_is_a_neutral_word(parcel: Any) -> None:
    """Edited outside, and since then only a bill of duty was entered: it moves no VAT of a commission."""
    closed = read_closed([close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02")])
    settings = changed_since(parcel)
    del settings["noted"], parcel[0]["corrections"]
    entries = shop_entries([parcel], SENDERS, settings, closed, "2026-06-30")
    assert {one.words["why"] for one in entries if one.corrects == "r-2:1"} == {"entered since"}


def test_the_notes_of_two_rules_are_both_kept_and_of_one_the_last_of_each_day(parcel: Any) -> None:
    notes = [{"at": f"2026-04-1{n // 2}T1{n}:00:00Z", "say": f"{name} {n}", "names": [name]}
             for n, name in enumerate(("vat_rate", "vat_rate", "commission_vat", "vat_rate"))]  # fmt: skip
    made: dict[str, Any] = {}
    for note in notes:
        made = note_kept(made, {"noted": note}, "2026-04-02")
    assert [one["say"] for one in notes_of(made)] == ["vat_rate 1", "commission_vat 2", "vat_rate 3"]
    known = known_doc(made, "2026-04-11T12:30:00Z")
    assert [one["say"] for one in notes_of(known)] == ["vat_rate 1", "commission_vat 2"]


@pytest.mark.parametrize(("how", "margin"), [("sold", 600), ("handed back", 0)])
def test_what_left_before_it_came_is_counted_as_bought_by_period_and_every_file_says_one_vat(
    parcel: Any, how: str, margin: int
) -> None:
    """A parcel's day was put right to one after the sale: its purchase was counted nowhere, or taken out
    without having been in; and under another scheme since then the journal lacked the VAT of the file.
    """
    head, (bought, _) = parcel
    head["delivered"] = "2026-03-05"
    if how == "handed back":
        bought["life"].clear()
        bought["life"] = [life.hand_back(bought, When("2026-02-03", TODAY))]
    by_day = [{"from": "", "value": "period"}, {"from": "2026-05-01", "value": "item"}]
    settings = SETTINGS | {"margin_scheme": by_day, "vat_period": "quarter", "commission_vat": "none"}
    until = "2026-06-30"
    entries = shop_entries([parcel], SENDERS, settings, (), until)
    periods = periods_of(entries, Rates(settings), until)
    assert sum(one.sales.minor - one.purchases.minor for one in periods) == margin
    assert list(vat_disagreements(entries, Rates(settings), (), until)) == []


@pytest.mark.parametrize(
    ("credit", "moved", "why"),
    [(True, -50, "price credited, sleeve torn"), (False, 50, "late price, sleeve torn")],
)
def test_a_late_price_or_credit_of_a_record_sold_in_closed_days_says_why_and_closed_rows_stand(
    parcel: Any, credit: bool, moved: int, why: str
) -> None:
    """Check took it for a change outside the program, the journal said "changed since", and the stock book's
    closed row was written anew.
    """
    head, records = parcel
    doc = close_books([parcel], SENDERS, SETTINGS, (), "2026-03-31", "2026-04-02T10:00:00Z")
    closed = read_closed([doc])
    bill = {"id": "l-0", "what": "price", "minor": 300, "currency": "GBP", "rate": None, "on": "2026-04-15",
            "booked": "2026-04-15", "credit": credit, "about": "sleeve torn", "inbound": {},
            "shares": {"r-1": -300 if credit else 300}}  # fmt: skip
    head["late"] = [bill]
    entries = shop_entries([parcel], SENDERS, SETTINGS, closed, "2026-06-30")
    corrections = [one for one in entries if one.corrects and vat_of(one)]
    assert [(one.day, vat_of(one), one.words["why"]) for one in corrections] == [("2026-04-15", -moved, why)]
    assert list(check_accounts([parcel], SENDERS, SETTINGS, [doc])) == []
    names = ("left_how", "sold_on", "purchase_price", "margin", "vat_due", "remark")
    for on, rows in (("2026-04-10", 1), ("2026-04-20", 2)):
        entry = next(one for one in stockbook([parcel], SENDERS, SETTINGS, on) if one.stock == "A00001")
        stated = stated_of(closed, SENDERS, SETTINGS)
        assert stated is not None
        above, last = stated.parcel(head, records).lines(records[0], entry, on)
        told = [tuple(row[name] for name in names) for row in (last, *above) if row is not None]
        sold = ("sold", "2026-02-03", "10.00", "6.00", "1.00", "")
        signs = ("-3.00", "3.00", "0.50") if credit else ("3.00", "-3.00", "-0.50")
        assert sorted(told) == sorted([sold, ("correction", "2026-04-15", *signs, f"{why}")][:rows])


def test_a_void_sale_is_counted_among_no_sales(parcel: Any) -> None:
    """Nine sales stood where eight had happened; their sums had it taken off."""
    one, two = parcel[1]
    when = When("2026-02-10", TODAY)
    two["life"].append(life.correct(two, When("2026-02-09", TODAY), 1, "misread", {"minor": 3900}))
    two["life"].append(life.correct(two, when, 1, "another record", None))
    one["life"].append(life.correct(one, when, 1, "misread", {"minor": 1500}))
    entries = shop_entries([parcel], SENDERS, SETTINGS, (), "2026-06-30")
    ((month, count, _),) = grouped(sale_rows(entries), "month", lambda row: "")
    assert (month, count) == ("2026-02", 1)
    assert {name: n for name, n, _ in grouped(sale_rows(entries), "record", lambda row: "")} == {
        "A00001": 1,
        "A00002": 0,
    }
    two["life"].append(life.sell(two, When("2026-02-12", TODAY), Money(4000, "GBP")))
    entries = shop_entries([parcel], SENDERS, SETTINGS, (), "2026-06-30")
    assert [n for _, n, _ in grouped(sale_rows(entries), "record", lambda row: "")] == [1, 1], "sold again"
