"""Cost that goes with a part: the shares follow it, the sums stand, the price paid to the seller stays."""

from collections.abc import Callable
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.charges import landed
from benchtui.money.check import check_money
from benchtui.money.command import spread_json, spread_text
from benchtui.money.moved_cost import cost_moves
from benchtui.money.result import parcel_result
from benchtui.money.spreading import freeze, spread

Make = Callable[..., RecordDoc]
HERE, FAR = "2026-11-25-1", "2026-11-26-1"


def moved(minor: int, **way: Any) -> dict[str, Any]:
    return {"at": "2026-11-25T10:00:00Z", "part": "p-1", "minor": minor, "currency": "GBP", **way}


@pytest.fixture
def paid(head: HeadDoc) -> HeadDoc:
    """A parcel for 20.00 and 4.00 of postage."""
    for what, minor in (("price", 2000), ("postage", 400)):
        charge: Any = {"what": what, "minor": minor, "currency": "GBP", "rate": None}
        head["charges"].append(charge | {"rate_date": "", "rate_from": ""})
    return head


def two(make_record: Make, **giver: Any) -> list[RecordDoc]:
    """Two records of one price; 5.00 went from the first to the second."""
    first = make_record(1, 3000, cost_moved=[moved(500, to=[HERE, "r-2"])], **giver)
    return [first, make_record(2, 3000, cost_moved=[moved(500, **{"from": [HERE, "r-1"]})])]


def test_within_a_parcel_the_giver_bears_less_the_receiver_more_and_the_sum_is_the_same(
    paid: HeadDoc, make_record: Make
) -> None:
    made = spread(paid, landed(paid, "GBP"), two(make_record))
    assert [share.cost_share.minor for share in made.shares] == [700, 1700]
    assert [share.moved.minor for share in made.shares] == [-500, 500]
    assert made.moved.minor == made.unspread.minor == 0


def test_the_price_paid_to_the_seller_stays_with_the_record_that_was_bought(
    paid: HeadDoc, make_record: Make
) -> None:
    made = spread(paid, landed(paid, "GBP"), two(make_record))
    assert [share.margin_purchase_price.minor for share in made.shares] == [1000, 1000]


def test_between_parcels_what_crossed_is_said_and_the_sums_still_add_up(
    paid: HeadDoc, make_record: Make, settings: dict[str, Any]
) -> None:
    records = [make_record(1, 3000, cost_moved=[moved(500, to=[FAR, "r-9"])]), make_record(2, 3000)]
    result = parcel_result(paid, records, settings)
    shares = result.spread.shares
    assert [share.cost_share.minor for share in shares] == [700, 1200]
    assert sum(share.cost_share.minor for share in shares) == result.landed.minor + result.spread.moved.minor
    assert "cost that went with parts to other parcels: 5.00 GBP" in spread_text(result, paid)
    assert "record 1: -5.00 GBP of its cost share went with parts" in spread_text(result, paid)
    as_json = spread_json(result)
    assert as_json["whole"]["cost_moved"] == {"minor": -500, "currency": "GBP"}
    assert [one["cost_moved"]["minor"] for one in as_json["records"]] == [-500, 0]


def test_the_other_parcel_says_what_came(paid: HeadDoc, make_record: Make, settings: dict[str, Any]) -> None:
    record = make_record(1, 3000, cost_moved=[moved(500, **{"from": [FAR, "r-9"]})])
    result = parcel_result(paid, [record], settings)
    assert result.spread.shares[0].cost_share.minor == 2900
    assert "cost that came with parts from other parcels: 5.00 GBP" in spread_text(result, paid)


def test_shares_frozen_at_the_closing_follow_a_part_that_moves_afterwards(
    paid: HeadDoc, make_record: Make
) -> None:
    still = [make_record(1, 3000), make_record(2, 3000)]
    paid["shares"] = freeze(spread(paid, landed(paid, "GBP"), still))
    paid["state"] = "closed"
    made = spread(paid, landed(paid, "GBP"), two(make_record))
    assert [share.cost_share.minor for share in made.shares] == [700, 1700]
    assert freeze(made) == paid["shares"], "what moved is the records' own, never frozen twice"


@pytest.mark.parametrize("giver", [{"state": "withdrawn"}, {"terms": "consigned"}])
def test_what_came_from_a_record_that_bears_no_cost_any_more_is_left_out(
    paid: HeadDoc, make_record: Make, giver: dict[str, Any]
) -> None:
    made = spread(paid, landed(paid, "GBP"), two(make_record, **giver))
    assert made.moved.minor == 0
    carried = sum(share.cost_share.minor + share.inbound.minor for share in made.shares)
    assert carried + made.unspread.minor == 2400


def test_more_gone_than_the_record_cost_is_found_by_check(
    paid: HeadDoc, make_record: Make, settings: dict[str, Any]
) -> None:
    records = [make_record(1, 3000, cost_moved=[moved(1300, to=[FAR, "r-9"])]), make_record(2, 3000)]
    faults = check_money([(paid, records)], {}, settings)
    assert [fault.what for fault in faults] == ["moved parts leave it a cost of -1.00 GBP"]
    assert "record 1" in str(faults[0])


@pytest.mark.parametrize(
    "entry",
    [
        moved(500),
        moved(-5, to=[FAR, "r-9"]),
        moved(5, to="r-9"),
        moved(5, to=[FAR]),
        moved(5, to=[FAR, "r-9"], **{"from": [FAR, "r-9"]}),
        {**moved(5, to=[FAR, "r-9"]), "currency": "EUR"},
        "5.00",
    ],
)
def test_an_entry_that_cannot_be_read_is_named(make_record: Make, entry: Any) -> None:
    with pytest.raises(BenchError, match="cost moved of record 3"):
        cost_moves(make_record(3, cost_moved=[entry]), "GBP")
