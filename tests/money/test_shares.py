"""Cost shares: exact to the penny, always adding up, and the two figures never mixed."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc, new_head
from benchtui.model.record import RecordDoc, empty_record
from benchtui.money.charges import Landed, landed
from benchtui.money.result import guess_in_words, parcel_result
from benchtui.money.spreading import HOWS, changed, freeze, spread, spread_over

Make = Callable[..., RecordDoc]


def cost(paid: int, carriage: int = 0, currency: str = "GBP") -> Landed:
    head = new_head("p")
    for what, minor in (("price", paid), ("postage", carriage)):
        charge: Any = {"what": what, "minor": minor, "currency": currency, "rate": None}
        head["charges"].append(charge | {"rate_date": "", "rate_from": ""})
    return landed(head, currency)


def shares(landed: Landed, records: list[RecordDoc], how: str = "worked", **more: Any) -> dict[str, Money]:
    """Record id -> its share, of the bought ones."""
    made = spread_over(landed, records, how, **more).shares
    return {share.record: share.cost_share for share in made if share.terms == "bought"}


def minors(got: dict[str, Money]) -> list[int]:
    return [money.minor for money in got.values()]


def test_shares_follow_the_worked_price(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000)]
    assert minors(shares(cost(2000), records)) == [1500, 500]


def test_shares_follow_the_weights_given_before_the_price_asked(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000)]
    assert minors(shares(cost(2000), records, weights={"r-1": 1000})) == [1000, 1000]


def test_evenly_gives_the_odd_pennies_to_the_first(make_record: Make) -> None:
    assert minors(shares(cost(100), [make_record(no, no * 500) for no in (1, 2, 3)], "even")) == [34, 33, 33]


def test_by_hand_fixes_one_and_spreads_the_rest(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000), make_record(3, 1000)]
    assert minors(shares(cost(2000), records, "hand", by_hand={"r-2": 1200})) == [600, 1200, 200]


def test_by_hand_may_be_nothing_at_all(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000)]
    assert minors(shares(cost(2000), records, "hand", by_hand={"r-2": 0})) == [2000, 0]


def test_by_hand_is_read_from_the_record_itself(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000, cost_by_hand={"minor": 1200, "currency": "GBP"})]
    assert minors(shares(cost(2000), records, "hand")) == [800, 1200]


@pytest.mark.parametrize(
    ("by_hand", "says"),
    [
        ({"r-1": 3000}, "1000 minor units more"),
        ({"r-1": 500, "r-2": 500}, "1000 minor units less"),
        ({"r-1": -1}, "not 0 or more"),
        ({"r-1": 10.5}, "not 0 or more"),
    ],
)
def test_shares_by_hand_that_cannot_add_up_are_refused(make_record: Make, by_hand: Any, says: str) -> None:
    with pytest.raises(BenchError, match=says):
        shares(cost(2000), [make_record(1, 1), make_record(2, 1)], "hand", by_hand=by_hand)


def test_an_unknown_way_of_sharing_is_refused(make_record: Make) -> None:
    with pytest.raises(BenchError, match="worked, even, hand"):
        shares(cost(1), [make_record(1)], "by weight")


def test_a_record_without_a_price_weighs_like_the_middle_one_and_says_so(make_record: Make) -> None:
    records = [make_record(1, 1000), make_record(2, 2000), make_record(3, 9000), make_record(4)]
    got = spread_over(cost(1400), records)
    assert [share.weight for share in got.shares] == [1000, 2000, 9000, 2000]
    assert [share.guessed for share in got.shares] == [False, False, False, True]


def test_a_price_of_nothing_carries_nothing_while_others_have_one(make_record: Make) -> None:
    assert minors(shares(cost(777), [make_record(1, 0), make_record(2, 500), make_record(3, 0)])) == [
        0,
        777,
        0,
    ]


def test_all_weights_zero_means_evenly(make_record: Make) -> None:
    assert minors(shares(cost(5), [make_record(no, 0) for no in (1, 2, 3)])) == [2, 2, 1]


def test_one_dominating_weight_leaves_the_pennies_exact(make_record: Make) -> None:
    records = [make_record(1, 9_999_999_999), *(make_record(no, 1) for no in range(2, 16))]
    got = minors(shares(cost(12345), records))
    assert sum(got) == 12345
    assert got[0] == 12345


def test_a_withdrawn_record_has_no_share(make_record: Make) -> None:
    records = [make_record(1, 100), make_record(2, 100, state="withdrawn")]
    assert list(shares(cost(50), records)) == ["r-1"]


def test_without_a_record_the_cost_is_told_as_not_spread() -> None:
    got = spread_over(cost(2000, 300), [])
    assert got.shares == ()
    assert got.unspread == Money(2300, "GBP")


def test_postage_is_in_the_cost_share_and_not_in_the_margin_purchase_price(make_record: Make) -> None:
    got = spread_over(cost(10000, 1500), [make_record(1, 3000), make_record(2, 1000)])
    assert [share.cost_share.minor for share in got.shares] == [8625, 2875]
    assert [share.margin_purchase_price.minor for share in got.shares] == [7500, 2500]


def test_consigned_records_never_enter_the_shops_cost(make_record: Make) -> None:
    records = [make_record(1, 3000), make_record(2, 1000, terms="consigned")]
    got = spread_over(cost(10000, 1000), records)
    bought, consigned = got.shares
    assert bought.cost_share == Money(10750, "GBP")
    assert bought.margin_purchase_price == Money(10000, "GBP")
    assert (consigned.cost_share.minor, consigned.margin_purchase_price.minor) == (0, 0)
    assert consigned.inbound == Money(250, "GBP")
    assert list(shares(cost(10000, 1000), records)) == ["r-1"]


def test_a_price_in_another_currency_is_refused_and_names_the_record(make_record: Make) -> None:
    record = make_record(4, price=None)
    record["price"] = {"minor": 100, "currency": "EUR", "how": "hand"}
    with pytest.raises(BenchError, match=r"price of record 4: 1\.00 EUR is not in GBP"):
        shares(cost(100), [record])


def test_shares_are_frozen_when_the_parcel_is_closed_and_tell_what_changed(
    make_record: Make, head: HeadDoc
) -> None:
    records = [make_record(1, 3000), make_record(2, 1000)]
    head["charges"] = [
        {"what": "price", "minor": 2000, "currency": "GBP", "rate": None, "rate_date": "", "rate_from": ""}
    ]
    cost_now = landed(head, "GBP")
    head["state"] = "closed"
    head["shares"] = freeze(spread(head, cost_now, records))
    records[0]["price"] = {"minor": 1000, "currency": "GBP", "how": "hand"}
    still = spread(head, cost_now, records)
    assert still.frozen
    assert [share.cost_share.minor for share in still.shares] == [1500, 500]
    assert changed(head["shares"] or {}, spread(head, cost_now, records, afresh=True)) == {
        "r-1": (1500, 1000),
        "r-2": (500, 1000),
    }


def test_a_charge_corrected_after_closing_shows_as_not_spread(make_record: Make, head: HeadDoc) -> None:
    records = [make_record(1, 3000)]
    head["state"] = "closed"
    head["shares"] = freeze(spread_over(cost(2000), records))
    assert spread(head, cost(1900), records).unspread == Money(-100, "GBP")
    assert spread(head, cost(2100), records).unspread == Money(100, "GBP")


@st.composite
def parcels(draw: st.DrawFn) -> list[RecordDoc]:
    records = []
    for no, price in enumerate(draw(st.lists(st.none() | st.integers(0, 10**9), max_size=40)), 1):
        record = empty_record(no)
        record["terms"] = draw(st.sampled_from(["bought", "consigned", None]))
        record["state"] = draw(st.sampled_from(["empty", "started", "taken-in", "withdrawn"]))
        if price is not None:
            record["price"] = {"minor": price, "currency": "KWD", "how": "worked"}
        records.append(record)
    return records


@given(parcels(), st.integers(0, 10**9), st.integers(0, 10**9), st.sampled_from(HOWS))
def test_shares_inbound_and_what_is_not_spread_are_the_landed_total_exactly(
    records: list[RecordDoc], paid: int, carriage: int, how: str
) -> None:
    got = spread_over(cost(paid, carriage, "KWD"), records, how)
    carried = sum(share.cost_share.minor + share.inbound.minor for share in got.shares)
    assert carried + got.unspread.minor == paid + carriage
    if any(share.terms == "bought" for share in got.shares):
        assert got.unspread.minor == 0
        assert sum(share.margin_purchase_price.minor for share in got.shares) == paid
    assert all(0 <= share.margin_purchase_price.minor <= share.cost_share.minor for share in got.shares)


@pytest.mark.parametrize("count", [0, 1, 15, 500])
@pytest.mark.parametrize("how", HOWS)
def test_a_parcel_of_any_size_adds_up(make_record: Make, count: int, how: str) -> None:
    records = [make_record(no, (no * 7919) % 4001) for no in range(1, count + 1)]
    got = shares(cost(98765, 4321), records, how)
    assert sum(minors(got)) == (98765 + 4321 if count else 0)


def test_a_record_without_a_price_says_at_what_it_is_counted(head: HeadDoc, make_record: Any) -> None:
    """The worked prices weigh, not those asked: 4.00, 6.50 and (never worked) 8.00; the middle one is 6.50."""
    records = [make_record(1, 1000), make_record(2, 2000), make_record(3, 800), make_record(4)]
    records[0]["worked"], records[1]["worked"] = ({"minor": one, "currency": "GBP"} for one in (400, 650))
    made = parcel_result(head, records, {"currency": "GBP"})
    assert [row.share.weight for row in made.rows] == [400, 650, 800, 650]
    shown = "counted at 6.50 GBP, the lower middle of the worked prices (asked, where none)"
    assert guess_in_words(made) == f"no price yet: {shown}"
    assert guess_in_words(parcel_result(head, records[:3], {"currency": "GBP"})) == ""
    alone = parcel_result(head, records[3:], {"currency": "GBP"})
    assert guess_in_words(alone) == "no price yet: all are counted alike"
