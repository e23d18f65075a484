"""Consignment: terms that can be, commission to the penny, statements whose lines add up to the net."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record, new_part
from benchtui.money import life
from benchtui.money.consign import terms_of
from benchtui.money.life import When
from benchtui.money.notice import CONSIGNED_ESTIMATE
from benchtui.money.policy import policy_of
from benchtui.money.statement_rows import COLUMNS, statement_rows
from benchtui.money.statements import Statement, consignors, split_payout, statement

TODAY = date(2026, 11, 25)
SETTINGS: dict[str, Any] = {"currency": "GBP"}
Make = Callable[..., RecordDoc]


def gbp(minor: int) -> dict[str, Any]:
    return {"minor": minor, "currency": "GBP"}


def sold(record: RecordDoc, minor: int, day: str = "2026-11-10") -> RecordDoc:
    record["life"].append(life.sell(record, When(day, TODAY), Money(minor, "GBP"), buyer="Mr Elder"))
    return record


def consigned(head: HeadDoc, *records: RecordDoc) -> list[tuple[HeadDoc, list[RecordDoc]]]:
    head["terms"] = "consigned"
    return [(head, list(records))]


def made(parcels: Any, as_of: str = "2026-11-25", **terms: Any) -> Statement:
    return statement("s-quill", {"name": "Mrs Quill"} | terms, parcels, SETTINGS, as_of)


def test_a_flat_commission_is_taken_off_each_sale(head: HeadDoc, make_record: Make) -> None:
    got = made(
        consigned(head, sold(make_record(1), 2400), sold(make_record(2), 999), make_record(3)),
        commission="30",
    )
    assert [line.commission.minor for line in got.lines] == [720, 300, 0]
    assert [line.net.minor for line in got.lines] == [1680, 699, 0]
    assert (got.gross.minor, got.commission.minor, got.net.minor, got.due.minor) == (3399, 1020, 2379, 2379)
    assert [line.stock for line in got.in_the_shop()] == ["A00003"]


def test_a_graduated_commission_is_reckoned_within_each_price(head: HeadDoc, make_record: Make) -> None:
    bands = [["50", "30"], ["200", "20"], [None, "10"]]
    got = made(consigned(head, sold(make_record(1), 30000)), bands=bands)
    # 50 at 30 % + 150 at 20 % + 100 at 10 %
    assert got.commission.minor == 1500 + 3000 + 1000
    assert got.terms.startswith(
        "commission 30 % up to 50.00 GBP, then 20 % up to 200.00 GBP, then 10 % of each price"
    )


def test_a_commission_graduated_over_all_sales_is_shared_out_over_the_lines(
    head: HeadDoc, make_record: Make
) -> None:
    records = [sold(make_record(no), 3333) for no in (1, 2, 3)]
    got = made(consigned(head, *records), bands=[["50", "30"], [None, "10"]], bands_over="statement")
    # 99.99 in all: 50 at 30 % + 49.99 at 10 % = 19.999
    assert got.commission.minor == 2000
    assert [line.commission.minor for line in got.lines] == [667, 667, 666]


def test_the_minimum_is_at_least_taken_but_never_more_than_the_price(
    head: HeadDoc, make_record: Make
) -> None:
    got = made(
        consigned(head, sold(make_record(1), 500), sold(make_record(2), 100)),
        commission="20",
        minimum=gbp(200),
    )
    assert [line.commission.minor for line in got.lines] == [200, 100]


def test_charges_of_a_sale_a_record_and_the_whole_come_off_the_net(head: HeadDoc, make_record: Make) -> None:
    got = made(
        consigned(head, sold(make_record(1), 2000), make_record(2)),
        commission="25",
        per_sale=gbp(50),
        per_record=gbp(10),
        charges=[{"what": "photographs", **gbp(300)}],
    )
    assert [line.charges.minor for line in got.lines] == [60, 10, 300]
    assert got.net.minor == 2000 - 500 - 60 - 10 - 300
    assert (got.lines[-1].record, got.lines[-1].description, got.lines[-1].state) == (
        "",
        "photographs",
        "charge",
    )


@pytest.mark.parametrize(
    ("sender_bears", "head_says", "charged"),
    [("sender", None, 500), ("shop", None, 0), ("shop", "sender", 500), (None, None, 0)],
)
def test_inbound_postage_is_borne_as_agreed(
    head: HeadDoc, make_record: Make, sender_bears: str | None, head_says: Any, charged: int
) -> None:
    head["charges"] = [{"what": "postage", **gbp(500), "rate": None, "rate_date": "", "rate_from": ""}]  # type: ignore[typeddict-item]
    if head_says:
        head["inbound"] = head_says
    got = made(consigned(head, make_record(1, 1000)), commission="25", inbound=sender_bears)
    assert got.charges.minor == charged


def test_a_return_takes_the_sale_and_its_commission_out_again(head: HeadDoc, make_record: Make) -> None:
    record = sold(make_record(1), 2400)
    record["life"].append(life.take_back(record, When("2026-11-12", TODAY)))
    parcels = consigned(head, record)
    assert made(parcels, "2026-11-11", commission="30").due.minor == 1680
    after = made(parcels, "2026-11-12", commission="30")
    assert (after.due.minor, [line.state for line in after.lines]) == (0, ["sold", "returned", "in the shop"])
    # 30 % of 24.00 is 7.20; the line that has nothing of its own to say is not printed
    rows = [(row["what"], row["price"], row["commission"], row["net"]) for row in statement_rows(after)]
    assert rows == [
        ("sold on 2026-11-10", "24.00", "7.20", "16.80"),
        ("came back on 2026-11-12", "-24.00", "-7.20", "-16.80"),
    ]


def test_a_payment_of_an_earlier_day_is_for_what_was_due_then_and_the_rest_of_it_was_in_advance(
    head: HeadDoc, make_record: Make
) -> None:
    """20.00 and 40.00 at 50 %: on the 10th 10.00 was due, on the 20th 20.00 more. 12.00 was paid on the 11th."""
    early, late = sold(make_record(1), 2000), make_record(2)
    late["life"].append(life.sell(late, When("2026-11-20", TODAY), Money(4000, "GBP")))
    parcels = consigned(head, early, late)
    now, then = (made(parcels, on, commission="50") for on in ("2026-11-25", "2026-11-11"))
    assert split_payout(now, Money(900, "GBP"), then) == {"r-1": Money(900, "GBP")}
    parts = split_payout(now, Money(1200, "GBP"), then)
    assert parts == {"r-1": Money(1000, "GBP"), "r-2": Money(200, "GBP")}
    for record in (early, late):
        record["life"].append(life.pay_out(record, When("2026-11-11", TODAY), parts[record["id"]], "7"))
    rows = statement_rows(made(parcels, commission="50"))
    assert [(row["what"], row["paid_out"], row["balance_after"]) for row in rows] == [
        ("sold on 2026-11-10, 10.00 paid out by 2026-11-11", "0.00", "10.00"),
        ("paid on 2026-11-11, 2.00 of it in advance", "12.00", "-2.00"),
        ("sold on 2026-11-20, not paid out yet", "0.00", "18.00"),
    ]


def test_what_was_paid_out_is_taken_off_what_is_due(head: HeadDoc, make_record: Make) -> None:
    records = [sold(make_record(1), 3000), sold(make_record(2), 1000), make_record(3)]
    parcels = consigned(head, *records)
    parts = split_payout(made(parcels, commission="50"), Money(1000, "GBP"))
    assert {record: part.minor for record, part in parts.items()} == {"r-1": 750, "r-2": 250}
    for record in records[:2]:
        record["life"].append(
            life.pay_out(record, When("2026-11-20", TODAY), parts[record["id"]], "transfer 7")
        )
    got = made(parcels, commission="50")
    assert (got.net.minor, got.paid_out.minor, got.due.minor) == (2000, 1000, 1000)


def test_only_this_senders_consigned_records_stand_in_it(head: HeadDoc, make_record: Make) -> None:
    other = new_head("2026-11-25-2")
    other["terms"], other["sender"] = "consigned", "s-other"
    parcels = consigned(
        head, make_record(1), make_record(2, terms="bought"), make_record(3, stock=None, state="started")
    )
    parcels.append((other, [make_record(4)]))
    parcels[0][1].append(make_record(5, state="withdrawn"))
    parcels[0][1].append(make_record(6, stock=None))
    assert [line.stock for line in made(parcels, commission="30").lines] == ["A00001"]


def test_a_neighbours_record_in_somebody_elses_parcel_is_the_neighbours(
    head: HeadDoc, make_record: Make
) -> None:
    disc = new_part("disc", owner="s-neighbour")
    parcels = [(head, [make_record(1), sold(make_record(2, terms="consigned", parts=[disc]), 2000)])]
    assert consignors(parcels) == ["s-neighbour"]
    assert made(parcels, commission="30").lines == ()
    got = statement("s-neighbour", {"name": "Mr Rowan", "commission": "30"}, parcels, SETTINGS, "2026-11-25")
    assert [line.stock for line in got.lines] == ["A00002"]
    assert got.net.minor == 1400


def test_a_record_set_apart_is_counted_and_not_shown(head: HeadDoc, make_record: Make) -> None:
    apart = make_record(1, set_apart={"why": "mould", "note": "", "at": ""})
    got = made(consigned(head, apart, make_record(2)), commission="30")
    assert ([line.stock for line in got.lines], got.apart) == (["A00002"], 1)


def test_a_parcel_that_came_later_is_not_in_an_earlier_statement(head: HeadDoc, make_record: Make) -> None:
    assert made(consigned(head, make_record(1)), "2026-11-01", commission="30").lines == ()


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ({"commission": "101"}, "enter 0 to 100"),
        ({"commission": "-1"}, "commission"),
        ({"commission": 30.0}, "as text"),
        ({"commission": ""}, "No commission agreed yet"),
        ({}, "No commission agreed yet"),
        ({"bands": [["50", "120"], [None, "10"]]}, "enter 0 to 100"),
        ({"bands": [["50", "20"], ["50", "10"], [None, "5"]]}, "do not rise"),
        ({"bands": [["50", "20"]]}, "do not rise"),
        ({"bands": [["50"]]}, "not pairs"),
        ({"bands": [["0.005", "5"], [None, "5"]]}, "more decimals"),
        ({"commission": "30", "minimum": {"minor": -1, "currency": "GBP"}}, "below zero"),
        ({"commission": "30", "per_sale": {"minor": 5, "currency": "EUR"}}, "not in GBP"),
        ({"commission": "30", "charges": [{"what": "x", "minor": 1.5, "currency": "GBP"}]}, "never float"),
        ({"commission": "30", "inbound": "the post"}, "inbound"),
        ({"commission": "30", "bands_over": "week"}, "bands over"),
    ],
)
def test_terms_that_cannot_be_are_refused_and_name_the_sender(terms: Any, says: str) -> None:
    with pytest.raises(BenchError, match=says) as refusal:
        terms_of({"name": "Mrs Quill"} | terms, policy_of(SETTINGS))
    assert "sender Mrs Quill" in str(refusal.value)


def test_the_rows_have_every_column_and_say_that_it_is_an_estimate(head: HeadDoc, make_record: Make) -> None:
    rows = statement_rows(made(consigned(head, sold(make_record(1), 2400), make_record(2)), commission="30"))
    assert all(list(row) == [column.name for column in COLUMNS] for row in rows)
    assert {row["basis"] for row in rows} == {CONSIGNED_ESTIMATE}
    assert [(row["state"], row["price"], row["net"]) for row in rows] == [
        ("in the shop", "", "0.00"),
        ("sold", "24.00", "16.80"),
    ]
    assert [row["what"] for row in rows] == ["in the shop", f"sold on {rows[1]['sold_on']}, not paid out yet"]


TERMS = st.fixed_dictionaries(
    {
        "bands": st.sampled_from(
            [[[None, "33.3"]], [["20", "40"], [None, "12.5"]], [["1", "100"], ["2", "0"], [None, "7"]]]
        ),
        "bands_over": st.sampled_from(["item", "statement"]),
        "minimum": st.integers(0, 300).map(gbp),
        "per_sale": st.integers(0, 99).map(gbp),
        "per_record": st.integers(0, 99).map(gbp),
        "inbound": st.sampled_from(["shop", "sender"]),
    }
)


@given(
    TERMS, st.lists(st.tuples(st.integers(0, 99999), st.integers(0, 3)), max_size=20), st.integers(0, 9999)
)
def test_the_lines_add_up_to_the_net_exactly(terms: Any, sales: Any, postage: int) -> None:
    head = new_head("p")
    head["sender"], head["delivered"] = "s-quill", "2026-11-02"
    head["charges"] = [{"what": "postage", **gbp(postage), "rate": None, "rate_date": "", "rate_from": ""}]  # type: ignore[typeddict-item]
    records = []
    for no, (price, fate) in enumerate(sales, 1):
        record = empty_record(no)
        record["state"], record["stock"] = "taken-in", f"A{no:05}"
        if fate:
            sold(record, price)
        if fate == 2:
            record["life"].append(life.take_back(record, When("2026-11-11", TODAY)))
        if fate == 3 and price > 1:
            record["life"].append(
                life.refund_part(record, When("2026-11-11", TODAY), Money(price // 2, "GBP"))
            )
        records.append(record)
    got = made(consigned(head, *records), **terms)
    assert (
        sum(line.net.minor for line in got.lines)
        == got.net.minor
        == got.gross.minor - got.commission.minor - got.charges.minor
    )
    assert all(line.net == line.price - line.commission - line.charges for line in got.lines)
    assert all(0 <= abs(line.commission.minor) <= abs(line.price.minor) for line in got.lines)
    below = ("refund", "returned")
    assert all((line.state in below) == (line.price.minor < 0) for line in got.lines if line.price.minor)
    returned = {line.record for line in got.lines if line.state == "returned"}
    stands = [line for line in got.lines if line.state not in below]
    stands = [line for line in stands if line.state != "sold" or line.record not in returned]
    inbound = sum(line.charges.minor for line in got.lines) - sum(
        terms["per_record"]["minor"] + (terms["per_sale"]["minor"] if line.sold_on else 0) for line in stands
    )
    assert inbound == (postage if terms["inbound"] == "sender" and records else 0)


@pytest.mark.parametrize(
    ("currency", "price", "commission"), [("JPY", 999, "300"), ("EUR", 999, "3.00"), ("KWD", 999, "0.300")]
)
def test_currencies_of_any_decimals_go_through_the_statement(
    head: HeadDoc, make_record: Make, currency: str, price: int, commission: str
) -> None:
    record = make_record(1)
    record["life"].append(life.sell(record, When("2026-11-10", TODAY), Money(price, currency)))
    got = statement(
        "s-quill", {"commission": "30"}, consigned(head, record), {"currency": currency}, "2026-11-25"
    )
    assert [(row["price"], row["commission"]) for row in statement_rows(got)] == [
        (Money(price, currency).plain(), commission)
    ]


def test_a_sale_in_another_currency_than_the_shops_is_refused(head: HeadDoc, make_record: Make) -> None:
    record = make_record(1)
    record["life"].append(life.sell(record, When("2026-11-10", TODAY), Money(999, "EUR")))
    with pytest.raises(BenchError, match="EUR in books that are in GBP"):
        made(consigned(head, record), commission="30")
    with pytest.raises(BenchError, match="use GBP, the shop's currency"):
        life.sell(make_record(2), When("2026-11-10", TODAY, currency="GBP"), Money(999, "EUR"))
