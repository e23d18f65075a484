"""The parcel's result and ``spread``, as text and as JSON."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.charges import landed
from benchtui.money.command import spread_command, spread_text
from benchtui.money.notice import ESTIMATE
from benchtui.money.result import parcel_result
from benchtui.money.spreading import freeze, spread

Make = Callable[..., RecordDoc]


@pytest.fixture
def parcel(head: HeadDoc, make_record: Make) -> tuple[HeadDoc, list[RecordDoc]]:
    head["charges"] = [
        {
            "what": "price",
            "minor": 4000,
            "currency": "EUR",
            "rate": "0.9",
            "rate_date": "2026-11-01",
            "rate_from": "the bank",
        },
        {"what": "postage", "minor": 500, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""},
    ]
    head["margin_eligible"] = True
    return head, [
        make_record(1, 6000),
        make_record(2, 2000),
        make_record(3, 2000, terms="consigned"),
        make_record(4),
    ]


def test_the_result_sets_paid_landed_asked_and_margin_side_by_side(parcel: Any, settings: Any) -> None:
    head, records = parcel
    got = parcel_result(head, records[:2], settings)
    assert (got.paid, got.landed, got.asked, got.margin) == (
        Money(3600, "GBP"),
        Money(4100, "GBP"),
        Money(8000, "GBP"),
        Money(3900, "GBP"),
    )
    assert [
        (row.share.cost_share.minor, row.margin and row.margin.minor, row.vat and row.vat.minor)
        for row in got.rows
    ] == [
        (3075, 2925, 550),  # VAT: (6000 - 2700) / 6
        (1025, 975, 183),
    ]


def test_a_consigned_record_earns_its_commission_less_the_postage_the_shop_bears(
    parcel: Any, settings: Any
) -> None:
    head, records = parcel
    sender = {"name": "Mrs Quill", "commission": "25"}
    senders = {"s-quill": sender}
    row = parcel_result(head, records, settings, senders=senders).rows[2]
    assert row.share.inbound == Money(83, "GBP"), (
        "5.00 postage by 60, 20, 20 and the middle one's 20: a sixth"
    )
    assert row.margin == Money(417, "GBP"), "a quarter of 20.00, less the postage"
    bears = parcel_result(head, records, settings, senders={"s-quill": sender | {"inbound": "sender"}}).rows[
        2
    ]
    assert bears.margin == Money(500, "GBP")
    whole = parcel_result(head, records, settings, senders=senders)
    assert (whole.asked, whole.asked_consigned) == (Money(8000, "GBP"), Money(2000, "GBP"))
    assert whole.commission == row.margin
    assert parcel_result(head, records, settings).rows[2].margin is None


def test_a_commission_graduated_over_all_sales_together_is_hoped_for_too(
    head: HeadDoc, make_record: Make, settings: Any
) -> None:
    """It stood at 0.00: only a commission on each price by itself was reckoned."""
    head["terms"] = "consigned"
    sender = {"name": "Mrs Quill", "bands": [["100", "40"], [None, "20"]], "bands_over": "statement"}
    records = [make_record(1, 8000), make_record(2, 7000), make_record(3)]
    got = parcel_result(head, records, settings, senders={"s-quill": sender})
    assert got.commission == Money(5000, "GBP"), "asked 150.00: 40 % of 100.00 and 20 % of 50.00"
    assert [row.margin and row.margin.minor for row in got.rows] == [2667, 2333, None], "80 : 70 of 50.00"


def test_what_is_not_known_is_not_guessed(parcel: Any, settings: Any) -> None:
    head, records = parcel
    del head["margin_eligible"]
    got = parcel_result(head, records, settings)
    assert got.rows[0].vat is None
    assert (got.rows[3].asked, got.rows[3].margin, got.priced) == (None, None, 3)
    outside = parcel_result(head | {"margin_eligible": False}, records, settings)
    assert outside.rows[0].vat == Money(1000, "GBP")
    assert parcel_result(head, records, settings | {"margin_scheme": "none"}).rows[0].vat == Money(0, "GBP")


def test_the_json_adds_up_and_holds_no_float(parcel: Any, settings: Any) -> None:
    head, records = parcel

    def no_float(text: str) -> float:
        raise AssertionError(f"a float entered: {text}")

    got = json.loads(spread_command(head, records, settings, as_json=True), parse_float=no_float)
    carried = sum(row["cost_share"]["minor"] + row["inbound"]["minor"] for row in got["records"])
    assert carried + got["whole"]["unspread"]["minor"] == got["whole"]["landed"]["minor"] == 4100
    assert (
        sum(row["margin_purchase_price"]["minor"] for row in got["records"])
        == got["whole"]["paid"]["minor"]
        == 3600
    )
    assert got["charges"][0] == {
        "what": "price",
        "charged": {"minor": 4000, "currency": "EUR"},
        "rate": "0.9",
        "rate_date": "2026-11-01",
        "rate_from": "the bank",
        "landed": {"minor": 3600, "currency": "GBP"},
    }
    assert (got["note"], got["how"], got["frozen"], got["rounding"]) == (ESTIMATE, "worked", False, "half-up")


def test_the_text_says_all_of_it_and_that_it_is_an_estimate(parcel: Any, settings: Any) -> None:
    head, records = parcel
    text = spread_command(head, records, settings)
    for word in (
        "40.00 EUR at 0.9 (2026-11-01, the bank) = 36.00 GBP",
        "41.00 GBP",
        "A00001",
        "consigned",
        "no price yet",
        "3 of 4 records",
    ):
        assert word in text
    assert text.endswith(ESTIMATE + "\n")
    assert text.isascii()
    parcel[0]["share_how"] = "even"
    assert "no price yet" not in spread_command(parcel[0], parcel[1], settings)


def test_an_empty_parcel_is_told_too(head: HeadDoc, settings: Any) -> None:
    head["charges"] = [
        {"what": "price", "minor": 4000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    assert "on no record: 40.00 GBP" in spread_command(head, [], settings)
    assert json.loads(spread_command(head, [], settings, as_json=True))["whole"]["unspread"]["minor"] == 4000


def test_a_parcel_opened_again_tells_what_changed_since_it_was_closed(parcel: Any, settings: Any) -> None:
    head, records = parcel
    head["state"] = "closed"
    head["shares"] = freeze(spread(head, landed(head, "GBP"), records))
    head["closed_at"] = "2026-11-20T10:00:00Z"
    assert json.loads(spread_command(head, records, settings, as_json=True))["frozen"] is True
    assert "frozen when it was closed on 2026-11-20" in spread_command(head, records, settings)
    records[0]["price"]["minor"] = 9000
    still = parcel_result(head, records, settings)
    assert freeze(still.spread) == head["shares"]
    head["state"] = "open"
    again = json.loads(spread_command(head, records, settings, as_json=True))
    assert again["frozen"] is False
    changes = {change["id"]: (change["before"], change["now"]) for change in again["changed_since_closing"]}
    assert changes["r-1"][0] == head["shares"]["r-1"] < changes["r-1"][1]
    assert "changed since it was closed: record 1 " in spread_command(head, records, settings)


def test_bad_input_is_one_clear_line(parcel: Any, settings: Any) -> None:
    head, records = parcel
    head["charges"][0]["rate"] = None
    with pytest.raises(
        BenchError,
        match=r"charge 1 of parcel 2026-11-25-1: 40\.00 EUR has no rate; enter how much GBP one EUR is",
    ):
        spread_command(head, records, settings)


@pytest.mark.parametrize("currency", ["JPY", "EUR", "KWD"])
def test_every_figure_has_its_currencys_decimals(head: HeadDoc, make_record: Make, currency: str) -> None:
    head["charges"] = [
        {"what": "price", "minor": 4000, "currency": currency, "rate": None, "rate_date": "", "rate_from": ""}
    ]
    record = make_record(1)
    record["price"] = {"minor": 12345, "currency": currency, "how": "hand"}
    text = spread_command(head, [record], {"currency": currency})
    assert Money(4000, currency).show() in text
    assert Money(12345 - 4000, currency).plain() in text


def test_spread_lists_the_late_bills_so_that_its_lines_add_up(parcel: Any, settings: Any) -> None:
    head, records = parcel
    bill = {"what": "duty", "currency": "GBP", "rate": None, "on": "2026-11-20", "booked": "2026-11-20"}
    head["late"] = [
        bill | {"id": "l-1", "minor": 300, "shares": {"r-1": 300}},
        bill | {"id": "l-2", "minor": 1840, "shares": {}},
    ]
    text = spread_text(parcel_result(head, records[:2], settings), head)
    assert "late bills             21.40 GBP, of it on no record (expensed) 18.40 GBP" in text
    assert "cost to get here       62.40 GBP" in text, "36.00 + 5.00 + 21.40"
