"""Sequences of a shop's year that once gave wrong figures, each as it was found."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.desk.line.fields import read_charge
from benchtui.model.grade import Scale
from benchtui.model.money import Money, parse_money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, new_part
from benchtui.money import life
from benchtui.money.accounts import periods_of
from benchtui.money.charges import landed
from benchtui.money.check import check_money
from benchtui.money.dated import change_from
from benchtui.money.late import late_bills, spread_late
from benchtui.money.ledger import shop_entries
from benchtui.money.life import When
from benchtui.money.policy import Rates
from benchtui.money.result import parcel_result
from benchtui.money.rounding import rate_of
from benchtui.money.spreading import freeze, spread, spread_over
from benchtui.money.statements import statement
from benchtui.money.stock import stockbook
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
Make = Callable[..., RecordDoc]


def gbp(minor: int) -> Money:
    return Money(minor, "GBP")


def charge(what: str, minor: int, **fields: Any) -> Any:
    doc = {"what": what, "minor": minor, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    return doc | fields


@pytest.fixture
def bought(head: HeadDoc) -> HeadDoc:
    head["charges"] = [charge("price", 4000)]
    head["margin_eligible"] = True
    return head


def sold(record: RecordDoc, minor: int, on: str = "2026-11-10", **fields: Any) -> RecordDoc:
    record["life"].append(life.sell(record, When(on, TODAY), gbp(minor), **fields))
    return record


def test_1_a_sold_record_cannot_be_taken_out_of_its_parcel_and_one_that_was_is_told(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    record = sold(make_record(1, 6000), 6000)
    with pytest.raises(BenchError, match="sold on 2026-11-10: it stays in its parcel"):
        life.may_be_taken_out(record)
    record["state"] = "withdrawn"  # as an older version let it
    (row,) = [entry.row("GBP") for entry in stockbook([(bought, [record])], {}, settings)]
    assert (row["left_how"], row["selling_price"]) == ("sold", "60.00")
    assert [fault.what for fault in check_money([(bought, [record])], {}, settings)] == [
        "it was sold and is taken out of its parcel all the same"
    ]


def test_3_a_commission_agreed_later_leaves_a_paid_statement_as_it_was(
    head: HeadDoc, make_record: Make, settings: Any
) -> None:
    head["terms"], head["delivered"] = "consigned", "2026-01-05"
    record = sold(make_record(1, 5000), 5000, "2026-02-03")
    record["life"].append(life.pay_out(record, When("2026-02-28", TODAY), gbp(3500)))
    sender = {"name": "Mrs Quill", "commission": "30"}
    sender |= change_from(sender, {"commission": "50"}, "2026-11-20")
    paid = statement("s-quill", sender, [(head, [record])], settings, "2026-11-25")
    assert (paid.due, paid.commission) == (gbp(0), gbp(1500))
    later = sold(make_record(2, 1000), 1000, "2026-11-21")
    assert statement("s-quill", sender, [(head, [later])], settings, "2026-11-25").commission == gbp(500)


@pytest.mark.parametrize(("rule", "shares"), [("unsold", [2000, 2500]), ("expense", [2000, 2000])])
def test_4_a_customs_bill_after_closing_is_on_what_is_unsold_or_expensed(
    bought: HeadDoc, make_record: Make, settings: Any, rule: str, shares: list[int]
) -> None:
    records = [make_record(1, 3000), make_record(2, 3000)]
    before = spread(bought, landed(bought, "GBP"), records)
    bought["shares"], bought["state"] = freeze(before), "closed"
    sold(records[0], 6000, "2026-11-04")
    costs = {share.record: share.cost_share.minor for share in before.shares}
    parts = spread_late(500, bought, records, costs, "2026-11-20", rule)
    bought["late"] = [charge("duty", 500, id="l-1", on="2026-11-20", booked="2026-11-25", shares=parts)]
    made = spread(bought, landed(bought, "GBP"), records)
    assert [share.cost_share.minor for share in made.shares] == shares
    (bill,) = late_bills(bought, "GBP")
    assert bill.expensed == 500 - sum(parts.values())
    assert sum(shares) + bill.expensed + made.unspread.minor == 4500
    assert freeze(made) == bought["shares"], "the shares of the closing stay"


def test_5_the_stock_book_of_a_day_lists_nothing_bought_later(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    bought["delivered"] = "2025-12-30"
    other = new_head("2026-01-05-1")
    other["delivered"] = "2026-01-05"
    parcels = [(bought, [make_record(1), make_record(3)]), (other, [make_record(2), make_record(4)])]
    entries = stockbook(parcels, {}, settings, as_of="2025-12-31")
    assert [(one.stock, one.left_how) for one in entries] == [
        ("A00001", ""),
        ("A00002", "bought later"),
        ("A00003", ""),
    ]
    assert entries[1].purchase is None


def test_6_cost_that_came_with_a_part_is_not_lost_with_the_record_that_is_taken_out(
    bought: HeadDoc, make_record: Make
) -> None:
    move = {"at": "2026-11-10", "part": "p-1", "minor": 1200, "currency": "GBP", "from": ["other", "r-9"]}
    record = make_record(1, 3000, cost_moved=[move])
    with pytest.raises(BenchError, match="a part of another record is in it"):
        life.may_be_taken_out(record)
    record["state"] = "withdrawn"
    made = spread(bought, landed(bought, "GBP"), [record, make_record(2, 3000)])
    assert [share.cost_share.minor for share in made.shares] == [4000]
    assert (made.unspread, made.moved) == (gbp(1200), gbp(1200))


def test_7_what_is_kept_of_a_refund_is_the_same_in_accounts_and_stock_book(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    record = sold(make_record(1, 6000), 2400)
    record["life"].append(life.take_back(record, When("2026-11-12", TODAY), "fee kept", gbp(2000)))
    by_period = settings | {"margin_scheme": "period"}
    (period,) = periods_of(shop_entries([(bought, [record])], {}, by_period), Rates(by_period))
    (row,) = [entry.row("GBP") for entry in stockbook([(bought, [record])], {}, by_period)]
    assert period.sales == gbp(400)
    assert (row["kept"], row["selling_price"], row["left_how"]) == ("4.00", "", "")
    sold(record, 3000, "2026-11-20")
    (period,) = periods_of(shop_entries([(bought, [record])], {}, by_period), Rates(by_period))
    (row,) = [entry.row("GBP") for entry in stockbook([(bought, [record])], {}, by_period)]
    assert period.sales == gbp(3400)
    assert (row["kept"], row["selling_price"]) == ("4.00", "30.00")


def test_8_what_is_set_apart_has_its_purchase_price_in_the_stock_book(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    apart = make_record(1, 3000, set_apart={"why": "mould", "note": "", "at": ""})
    rows = [entry.row("GBP") for entry in stockbook([(bought, [apart, make_record(2, 3000)])], {}, settings)]
    assert [row["purchase_price"] for row in rows] == ["20.00", "20.00"]
    assert rows[0]["description"] == ""


def test_9_a_share_by_hand_below_what_went_with_a_part_is_refused(bought: HeadDoc, make_record: Make) -> None:
    move = {"at": "2026-11-10", "part": "p-1", "minor": 900, "currency": "GBP", "to": ["other", "r-9"]}
    records = [make_record(1, 3000, cost_moved=[move]), make_record(2, 3000)]
    with pytest.raises(BenchError, match=r"a share of 2\.00 GBP, but 9\.00 GBP went with its parts"):
        spread_over(landed(bought, "GBP"), records, "hand", by_hand={"r-1": 200})
    assert spread_over(landed(bought, "GBP"), records, "hand", by_hand={"r-1": 900}).shares[
        0
    ].cost_share == gbp(0)


def seen(minor: int, days: int) -> dict[str, Any]:
    on = (TODAY - timedelta(days=days)).isoformat()
    return {"id": f"x{minor}{days}", "pressing": "p", "date": on, "minor": minor, "currency": "GBP",
            "scale": "plain", "disc": "NM", "cover": "NM"}  # fmt: skip


def price(
    sales: list[dict[str, Any]], settings: Any, scales: dict[str, Scale], base: Money | None = None
) -> Any:
    return worked_price("p", sales, (1, 1), base, settings, TODAY, scales=scales)


def test_10_one_fresh_sale_does_not_outweigh_the_others_in_silence(
    settings: Any, scales: dict[str, Scale]
) -> None:
    sales = [seen(4000, 3 * 365), seen(4000, 3 * 365), seen(20000, 1)]
    got = price(sales, settings, scales)
    assert "few: they count as 2.3 equal sales" in got.say
    assert "one sale outweighs all the others" in got.say
    assert "far off the rest: 40.00, 40.00" in got.say
    with_base = price(sales, settings, scales, gbp(5000))
    assert (with_base.price, with_base.how) == (gbp(5000), "base price")
    old = price([seen(4000, 1400), seen(4000, 1400), seen(4000, 1400)], settings, scales)
    assert "old: together worth less than one and a half of today" in old.say
    assert "few" not in old.say, "equal weights are three sales, however old"
    rising = price([seen(4000, 400), seen(4000, 390), seen(8000, 10), seen(8000, 5)], settings, scales)
    assert "rising: the older half at 40.00, the newer at 80.00" in rising.say


def test_10_a_table_of_prices_of_the_shops_own_makes_old_sales_dearer(
    settings: Any, scales: dict[str, Scale]
) -> None:
    index = [{"from": "2020-01-01", "value": "100"}, {"from": "2026-01-01", "value": "110"}]
    sales = [seen(4000, 700), seen(4000, 700), seen(4000, 700)]
    got = price(sales, settings | {"price_index": index}, scales)
    assert got.price == gbp(4400)
    assert "made equal by your price index" in got.say
    assert "price index" not in price(sales, settings, scales).say


def test_11_a_rate_the_other_way_round_and_a_bare_yen_sign_are_read() -> None:
    read = read_charge("price")("145.00 EUR @ 1/1.1692 2026-11-20 bank", "GBP", TODAY)
    assert (read["rate"], read["rate_date"], read["rate_from"]) == ("1/1.1692", "2026-11-20", "bank")
    assert rate_of(read["rate"]) == 1 / rate_of("1.1692")
    assert read_charge("price")("145 EUR @ 1 / 1.1692", "GBP", TODAY)["rate"] == "1/1.1692"
    assert parse_money("¥1200", "JPY") == Money(1200, "JPY")
    assert parse_money("1200 ¥", "JPY") == Money(1200, "JPY")
    with pytest.raises(ValueError, match="sign of JPY and CNY; write the code"):
        parse_money("¥1200", "GBP")


def test_12_a_period_scheme_without_a_limit_for_an_item_is_told(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    by_period = settings | {"margin_scheme": "period"}
    faults = check_money([(bought, [make_record(1)])], {}, by_period)
    assert [fault.where for fault in faults] == ["setting period_limit"]
    assert check_money([(bought, [make_record(1)])], {}, by_period | {"period_limit": "500"}) == []
    assert check_money([(bought, [make_record(1)])], {}, by_period | {"period_limit": "none"}) == []


def test_14_one_invoice_number_on_two_sales_is_found(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    records = [sold(make_record(1), 2400, invoice="0042"), sold(make_record(2), 1200, invoice="0042")]
    assert check_money([(bought, records)], {}, settings) == [], (
        "two records, one buyer, one day: one invoice"
    )
    sold(other := make_record(3), 900, "2026-11-12", invoice="0042")
    faults = check_money([(bought, [*records, other])], {}, settings)
    assert [fault.what for fault in faults] == ["invoice 0042 is on two sales: also record 1 (A00001)"]


def test_15_expected_margin_has_sunk_cost_in_it_and_is_not_known_before_anything_is_priced(
    bought: HeadDoc, make_record: Make, settings: Any
) -> None:
    assert parcel_result(bought, [make_record(1), make_record(2)], settings).margin is None
    apart = make_record(2, 3000, set_apart={"why": "mould", "note": "", "at": ""})
    got = parcel_result(bought, [make_record(1, 3000), apart], settings)
    assert (got.margin, got.sunk) == (gbp(3000 - 4000), gbp(2000))
    bought["charges"].append(charge("postage", 400))
    records = [make_record(1, 3000), make_record(2, 3000, terms="consigned")]
    got = parcel_result(bought, records, settings)
    assert (got.sunk, got.margin) == (gbp(200), gbp(3000 - 4200 - 200))


@pytest.mark.parametrize(
    ("kinds", "gone", "shown"),
    [
        (("cover",), (), "TW 1041, cover only"),
        (("disc", "disc", "disc", "cover"), (1,), "TW 1041, 12-inch, 2 of 3 discs"),
        (("disc", "cover"), (), "TW 1041, 12-inch"),
        (("disc", "cover"), (0,), "TW 1041, cover only"),
    ],
)
def test_16_a_line_names_only_the_parts_that_are_there(
    head: HeadDoc, make_record: Make, settings: Any, kinds: Any, gone: Any, shown: str
) -> None:
    head["terms"] = "consigned"
    record = make_record(1, size_in=12)
    record["title"] = {"id": "t", "artist": "Ansel Quorrow", "title": "Slates", "catalogue": "TW 1041"}
    record["parts"] = [new_part(kind, number=at + 1) for at, kind in enumerate(kinds)]
    for at in gone:
        record["parts"][at]["gone"] = {"to": "elsewhere"}
    made = statement("s-quill", {"name": "Q", "commission": "30"}, [(head, [record])], settings, "2026-11-25")
    assert made.lines[0].description.endswith(shown)
