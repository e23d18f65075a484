"""The stock book: numbers unbroken, purchase side and sale side, nothing that has to stay out."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.stockfile import in_turn
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.book_after import CORRECTION, stated_of, with_sales
from benchtui.money.closing import close_books, read_closed
from benchtui.money.late import taken_back
from benchtui.money.ledger import parcel_entries
from benchtui.money.life import When
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates
from benchtui.money.stated_again import stated_faults
from benchtui.money.stock import COLUMNS, corrected_words, stockbook

TODAY = date(2026, 11, 25)
SENDERS = {"s-quill": {"name": "Mrs Quill"}}
Make = Callable[..., RecordDoc]


@pytest.fixture
def bought(head: HeadDoc) -> HeadDoc:
    head["charges"] = [
        {"what": what, "minor": minor, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}  # type: ignore[typeddict-item]
        for what, minor in (("price", 4000), ("postage", 400))
    ]
    head["margin_eligible"] = True
    head["purchase_invoice"] = "P 17"
    head["state"] = "closed"
    return head


def titled(record: RecordDoc) -> RecordDoc:
    record["title"] = {
        "id": "t-1",
        "artist": "Ansel Quorrow",
        "title": "Evening Slates",
        "catalogue": "TW 1041",
    }
    record["size_in"] = 12
    return record


def sold(record: RecordDoc, minor: int, **fields: Any) -> RecordDoc:
    record["life"].append(life.sell(record, When("2026-11-10", TODAY), Money(minor, "GBP"), **fields))
    return record


def rows(parcels: Any, settings: Any) -> list[dict[str, str]]:
    return [entry.row(settings["currency"]) for entry in stockbook(parcels, SENDERS, settings)]


def test_a_record_sold_has_both_sides_with_the_margin_on_what_the_seller_got(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    records = [
        sold(titled(make_record(1, 6000)), 6000, buyer="Mr Elder", invoice="0042"),
        make_record(2, 2000),
    ]
    first, second = rows([(bought, records)], settings)
    assert first == {
        "stock_number": "A00001",
        "bought_on": "2026-11-02",
        "purchase_invoice": "P 17",
        "purchase_price": "30.00",
        "seller": "Mrs Quill",
        "description": "Ansel Quorrow - Evening Slates, TW 1041, 12-inch",
        "sold_on": "2026-11-10",
        "sales_invoice": "0042",
        "selling_price": "60.00",
        "left_how": "sold",
        "buyer": "Mr Elder",
        "margin": "30.00",
        "vat_due": "5.00",
        "kept": "",
        "scheme": "item by item",
        "currency": "GBP",
        "remark": "",
        "basis": ESTIMATE,
    }
    assert list(first) == [column.name for column in COLUMNS]
    assert (second["purchase_price"], second["sold_on"], second["selling_price"], second["vat_due"]) == (
        "10.00",
        "",
        "",
        "",
    )


def test_no_number_is_missing_whatever_became_of_it(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    records = [
        make_record(2, state="withdrawn"),
        make_record(3, set_apart={"why": "mould", "note": "", "at": ""}),
        make_record(5, terms="consigned"),
        make_record(6, stock=None),
        make_record(7, stock="B00002"),
    ]
    records[2]["life"].append(life.hand_back(records[2], When("2026-11-10", TODAY)))
    got = rows([(bought, records)], settings)
    assert [(row["stock_number"], row["left_how"]) for row in got] == [
        ("A00001", "not used"),
        ("A00002", "withdrawn"),
        ("A00003", "set apart"),
        ("A00004", "not used"),
        ("A00005", "handed back"),
        ("B00001", "not used"),
        ("B00002", ""),
    ]
    assert (got[2]["description"], got[2]["seller"], got[2]["purchase_price"]) == ("", "", "13.34")
    assert got[6]["purchase_price"] == "13.33", "with 13.33 of the record without a number that is 40.00"
    assert (got[4]["scheme"], got[4]["purchase_price"], got[4]["seller"]) == ("consigned", "", "Mrs Quill")


def test_a_loss_bears_no_vat(bought: HeadDoc, make_record: Make, settings: Any) -> None:
    (row,) = rows([(bought, [sold(make_record(1, 6000), 1500)])], settings)
    assert (row["margin"], row["vat_due"]) == ("-25.00", "0.00")


@pytest.mark.parametrize(
    ("eligible", "scheme", "rate", "shown", "vat"),
    [
        (True, "item", "20", "item by item", "3.33"),
        (True, "period", "20", "by period", ""),
        (False, "item", "20", "outside", ""),
        (None, "item", "20", "to be asked", ""),
        (True, "none", "20", "none", ""),
        (True, "item", None, "item by item", ""),
    ],
)
def test_the_scheme_of_a_line_is_the_shops_if_the_record_is_eligible(
    bought: HeadDoc,
    make_record: Make,
    settings: Any,
    eligible: Any,
    scheme: str,
    rate: Any,
    shown: str,
    vat: str,
) -> None:
    bought["margin_eligible"] = eligible
    settings |= {"margin_scheme": scheme, "vat_rate": rate}
    (row,) = rows([(bought, [sold(make_record(1, 6000), 6000)])], settings)
    assert (row["scheme"], row["vat_due"]) == (shown, vat)
    assert ("no VAT rate is set" in row["remark"]) == (rate is None)


def test_while_the_parcel_is_open_the_line_says_that_its_price_may_change(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    bought["state"] = "open"
    (row,) = rows([(bought, [make_record(1, 6000)])], settings)
    assert row["remark"] == "parcel open: purchase price may change"


def test_dear_items_leave_period_accounting(bought: HeadDoc, make_record: Make, settings: Any) -> None:
    settings |= {"margin_scheme": "period", "period_limit": "20"}
    got = rows([(bought, [make_record(1, 6000), make_record(2, 2000)])], settings)
    assert [row["scheme"] for row in got] == ["item by item", "by period"]
    settings |= {"period_limit": "30"}
    at_the_limit = rows([(bought, [make_record(1, 6000), make_record(2, 2000)])], settings)
    assert [row["scheme"] for row in at_the_limit] == ["by period", "by period"]


@pytest.mark.parametrize("through", [(), ("2026-11-09",), ("2026-11-09", "2026-11-17"), ("2026-11-30",)])
def test_each_sale_and_each_return_is_a_row_with_its_own_remark_whenever_the_books_were_closed(
    bought: HeadDoc, make_record: Make, settings: Any, through: tuple[str, ...]
) -> None:
    """30.00 of 40.00 paid. VAT by pencil: (57 - 30) / 6 = 4.50, 2.00 kept / 6 = 0.33, (50 - 30) / 6 = 3.33."""
    record, late = make_record(1, 6000), date(2026, 12, 31)

    def sell(on: str, minor: int, invoice: str) -> None:
        record["life"].append(life.sell(record, When(on, late), Money(minor, "GBP"), invoice=invoice))

    def back(on: str, minor: int) -> None:
        record["life"].append(life.take_back(record, When(on, late), "clicks", Money(minor, "GBP")))

    sell("2026-11-05", 6000, "7")
    record["life"].append(life.refund_part(record, When("2026-11-08", late), Money(300, "GBP")))
    back("2026-11-10", 5500)
    sell("2026-11-15", 5000, "8")
    record["life"].append(life.correct(record, When("2026-11-16", late), 4, "slip", {"buyer": "Mr Elder"}))
    back("2026-11-20", 5000)
    parcels, docs = [(bought, [record, make_record(2, 2000)])], list[dict[str, Any]]()
    for on in through:
        docs.append(close_books(parcels, {}, settings, read_closed(docs), on, f"{on}T23:00:00Z"))
    entry = stockbook(parcels, {}, settings, "2026-12-01")[0]
    stated = stated_of(read_closed(docs), {}, settings)
    above, last = (
        stated.parcel(*parcels[0]).lines(record, entry, "2026-12-01")
        if stated
        else with_sales([], entry.over, entry.row("GBP"))
    )
    names = ("sales_invoice", "left_how", "purchase_price", "selling_price", "vat_due", "kept", "remark")
    price = "purchase price in the row of the sale that came back"
    assert [tuple(row[name] for name in names) for row in [*above, last]] == [
        ("7", "sold", "30.00", "57.00", "4.50", "", "part refund on 2026-11-08: 3.00"),
        ("7", "returned", "", "-57.00", "-4.17", "2.00", "came back on 2026-11-10, given back: 55.00"),
        ("8", "sold", "", "50.00", "3.33", "", f"{price}; sold: buyer (corrected on 2026-11-16: slip)"),
        ("8", "returned", "", "-50.00", "-3.33", "", "came back on 2026-11-20, given back: 50.00"),
        ("", "", "", "", "", "", f"in the shop again; {price}"),
    ]
    assert list(stated_faults(parcels, {}, settings, read_closed(docs))) == []


def test_one_number_on_two_records_is_refused_and_names_both(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    other = new_head("2026-11-25-2")
    with pytest.raises(
        BenchError, match=r"A00001 is used twice: also parcel 2026-11-25-1, record 1"
    ) as refusal:
        stockbook([(bought, [make_record(1)]), (other, [make_record(9, stock="A00001")])], SENDERS, settings)
    assert "parcel 2026-11-25-2, record 9" in str(refusal.value)


def test_the_book_can_be_read_as_it_stood_on_a_day(bought: HeadDoc, make_record: Make, settings: Any) -> None:
    records = [sold(make_record(1, 6000), 6000)]
    (before,) = stockbook([(bought, records)], SENDERS, settings, as_of="2026-11-09")
    assert (before.left_how, before.selling) == ("", None)


@pytest.mark.parametrize(("currency", "shown"), [("JPY", "3000"), ("EUR", "30.00"), ("KWD", "3.000")])
def test_amounts_have_their_currencys_decimals(
    make_record: Make, head: HeadDoc, currency: str, shown: str
) -> None:
    head["charges"] = [
        {"what": "price", "minor": 3000, "currency": currency, "rate": None, "rate_date": "", "rate_from": ""}
    ]
    assert rows([(head, [make_record(1)])], {"currency": currency})[0]["purchase_price"] == shown


def test_vat_in_what_was_kept_of_a_sale_that_came_back_is_at_the_rate_of_that_sale_whatever_day_is_asked_for(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    record = sold(make_record(1, 6000), 2200)
    record["life"].append(life.take_back(record, When("2026-11-20", TODAY), "clicks", Money(2000, "GBP")))
    steps = ("", "17"), ("2026-11-05", "20"), ("2026-11-15", "50")
    dated = settings | {"vat_rate": [{"from": on, "value": rate} for on, rate in steps]}
    for as_of in (None, "2026-11-25"):
        (entry,) = stockbook([(bought, [record])], SENDERS, dated, as_of)
        assert entry.vat == Money(33, "GBP"), "2.00 x 20 / 120, as in the journal"


def test_a_correction_is_remarked_from_what_to_what(make_record: Make) -> None:
    record = make_record(1)
    record["life"].append(life.sell(record, When("2026-11-10", TODAY), Money(3100, "GBP")))
    for now in ({"minor": 2900}, {"at": "2026-11-09", "minor": 2900}):
        record["life"].append(life.correct(record, When("2026-11-20", TODAY), 1, "misread", now))
    assert [corrected_words(record, one) for one in record["life"][1:]] == [
        "sold: price 29.00, was 31.00",
        "sold: day 2026-11-09, was 2026-11-10",
    ]
    record["life"].append(life.correct(record, When("2026-11-20", TODAY), 1, "misread", None))
    assert corrected_words(record, record["life"][3]) == "sold on 2026-11-09 is void"
    other = make_record(2)
    sale = life.sell(other, When("2026-11-10", TODAY), Money(2160, "GBP"), deal={"discount": 240})
    other["life"].append(sale | {"percent_off": "10"})
    now = {"minor": 1890, "discount": 210}
    other["life"].append(life.correct(other, When("2026-11-20", TODAY), 1, "misread", now))
    assert corrected_words(other, other["life"][1]) == (
        "sold: price 18.90 (21.00 less discount 2.10), was 21.60 (24.00 less discount 2.40)"
    )


def test_what_was_corrected_from_what_to_what_is_told_on_the_row_of_the_correction(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    record, late = make_record(1, 6000), date(2026, 12, 31)
    record["life"].append(life.sell(record, When("2026-11-05", late), Money(6000, "GBP")))
    parcels = [(bought, [record])]
    closed = read_closed([close_books(parcels, {}, settings, [], "2026-11-30", "2026-12-01T09:00:00Z")])
    record["life"].append(life.correct(record, When("2026-12-05", late), 1, "misread", {"minor": 5400}))
    (entry,) = stockbook(parcels, {}, settings, "2026-12-31")
    above, last = stated_of(closed, {}, settings).parcel(*parcels[0]).lines(record, entry, "2026-12-31")  # type: ignore[union-attr]
    assert [(row["selling_price"], row["remark"]) for row in [last, *above]] == [
        ("60.00", ""),
        ("-6.00", "sold: price 54.00, was 60.00 (corrected on 2026-12-05: misread)"),
    ]


def test_a_correction_stands_below_the_row_it_corrects() -> None:
    def shown(before: list[str], row: str) -> list[str]:
        made = [
            {"left_how": CORRECTION if one.startswith("c") else "sold", "n": one} for one in [*before, row]
        ]
        return [one["n"] for one in in_turn(made[:-1], made[-1])]

    assert shown(["c1", "c2"], "a") == ["a", "c1", "c2"]
    assert shown(["a", "c1"], "b") == ["a", "c1", "b"], "of a sale that is no longer so"
    assert shown(["c1", "a", "c2"], "b") == ["a", "c1", "c2", "b"]


def test_a_credit_of_open_days_is_told_once_in_the_stock_book_and_with_what_records_bear_in_the_journal(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    """The price paid was another one than the parcel's share, without a word; the spread was "late cost"."""
    records = [sold(titled(make_record(1, "A00001")), 3000), titled(make_record(2, "A00002"))]
    one = records[0]
    bought["shares"] = {record["id"]: 2200 for record in records}
    bill: dict[str, Any] = {"id": "l-0", "what": "price", "minor": 500, "currency": "GBP", "rate": None}
    bill |= {"on": "2026-11-12", "booked": "2026-11-12", "credit": True, "about": "sleeve torn"}
    bought["late"] = [bill | {"shares": {one["id"]: -500}, "inbound": {}}]
    one["life"].append(life.take_back(one, When("2026-11-16", TODAY), "clicks", Money(3000, "GBP")))
    entries = stockbook([(bought, records)], SENDERS, settings)
    above, now = with_sales((), entries[0].over, entries[0].row("GBP"))
    told = "price credited 5.00 on 2026-11-12, sleeve torn"
    remarks = [row["remark"] for row in (*above, now, entries[1].row("GBP"))]
    assert [told in remark for remark in remarks] == [True, False, False, False]
    before = stockbook([(bought, records)], SENDERS, settings, "2026-11-11")
    assert told not in before[0].row("GBP")["remark"]
    journal = parcel_entries(bought, records, SENDERS, Rates(settings))
    said = {entry.kind: entry.words.get("about") for entry in journal if ":late:" in entry.key}
    assert said == {"credit": "sleeve torn", "late cost": "price credited, sleeve torn"}
    bought["late"].append(taken_back(bought["late"][0], "l-1", "2026-11-20", "taken back: another's"))
    for on, is_told in (("2026-11-19", True), ("2026-11-20", False)):
        entry, _ = stockbook([(bought, records)], SENDERS, settings, on)
        assert (told in entry.over[0].sale.row("GBP")["remark"]) is is_told


def test_the_row_of_a_sale_that_was_stated_gets_no_remark_that_it_had_not(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    """Of a closing of an older version, whose rows do not tell a credit."""
    record = sold(titled(make_record(1, "A00001")), 3000)
    bought["shares"] = {record["id"]: 4400}
    bill: dict[str, Any] = {"id": "l-0", "what": "price", "minor": 500, "currency": "GBP", "rate": None}
    bill |= {"on": "2026-11-12", "booked": "2026-11-12", "credit": True, "about": "sleeve torn"}
    bought["late"] = [bill | {"shares": {record["id"]: -500}, "inbound": {}}]
    parcel = (bought, [record])
    doc = close_books([parcel], SENDERS, settings, (), "2026-11-30", "2026-12-01T09:00:00Z")
    told = "price credited 5.00 on 2026-11-12, sleeve torn"
    for remark in (told, ""):
        doc["rows"]["A00001"]["remark"] = remark
        stated = stated_of(read_closed([doc]), SENDERS, settings)
        assert stated is not None
        (entry,) = stockbook([parcel], SENDERS, settings, "2027-01-05")
        above, own = stated.parcel(*parcel).lines(record, entry, "2027-01-05")
        assert (above, own["remark"]) == ([], remark)
