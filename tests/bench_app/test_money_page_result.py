"""The parcel's result: bars of the whole and of each record, shares chosen, set by hand, frozen at closing."""

import json
from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands, sit_down
from seen import middle_rows

from benchtui.bench.pieces import FANCY, PLAIN, text_of, width_of
from benchtui.cli import main
from benchtui.model.money import Money
from benchtui.money.charges import landed
from benchtui.money.notice import ESTIMATE
from benchtui.money.result import parcel_result

SIZES = [(80, 17), (120, 33)]


@pytest.fixture
def result(demo: Hands) -> Hands:
    """The result of the demo's open parcel: six of fifteen taken in and priced."""
    return demo.do("line-leave", "parcel-page", "result-page")


def drawn(hands: Hands, width: int = 80, height: int = 400) -> str:
    return text_of(middle_rows(hands.desk, width, height, FANCY))


def shares(hands: Hands) -> dict[str, int]:
    desk = hands.desk
    made = parcel_result(hands.head, desk.work.parcel.records, desk.settings)  # type: ignore[union-attr]
    return {row.record: row.share.cost_share.minor for row in made.rows}


def test_the_page_shows_paid_landed_asked_and_margin_of_the_whole_and_of_each_record(result: Hands) -> None:
    text = drawn(result)
    assert "415.20 GBP" in text
    assert "550.20 GBP" in text
    assert "6 of 15 records have a price" in text
    made = parcel_result(result.head, result.desk.work.records, result.desk.settings)
    for row in made.rows:
        below = text.partition("  no  record")[2].splitlines()
        line = next(one for one in below if one.split()[:1] == [str(row.no)])
        assert f" {row.share.cost_share.plain()}" in line
        assert (f" {row.asked.plain()} " if row.asked else " - ") in line
        assert (f" {row.margin.plain()} " if row.margin else "?") in f"{line} "
    assert made.landed.show() in text
    assert made.margin == Money(-24865, "GBP"), (
        "106.50 asked; a share of 355.15 by weights 10650 of 16500, to the penny"
    )
    assert made.margin.show() in text


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("glyphs", [FANCY, PLAIN])
def test_it_fits_the_screen_and_the_estimate_is_always_in_sight(
    result: Hands, width: int, height: int, glyphs: Any
) -> None:
    for _ in range(4):
        lines = middle_rows(result.desk, width, height, glyphs)
        assert all(width_of(line) <= width for line in lines)
        assert ESTIMATE in " ".join(text_of(lines).split())
        result.do("page-screen-down")


def test_bars_are_as_long_as_the_amounts_are_large(result: Hands) -> None:
    lines = drawn(result).splitlines()
    paid = next(line for line in lines if "paid to the seller" in line).count(FANCY.bar)
    cost = next(line for line in lines if line.strip().startswith("cost to get here")).count(FANCY.bar)
    assert cost > 30
    assert paid == round(41520 * cost / 55020)


def test_shares_are_evenly_by_one_choice_and_add_up(result: Hands) -> None:
    result.do("result-how").key("e")
    assert result.head["share_how"] == "even"
    assert sum(shares(result).values()) == 55020
    assert max(shares(result).values()) - min(shares(result).values()) <= 1
    assert "shares evenly" in drawn(result)
    result.do("page-leave", "undo")
    assert result.head["share_how"] == "worked"


def test_shares_by_hand_leave_the_rest_to_the_others_to_the_penny(result: Hands) -> None:
    result.do("result-share").enter("3 40; 5 99,99")
    assert result.desk.open.tone == "done", result.said
    found = shares(result)
    assert (found[result.at(3)["id"]], found[result.at(5)["id"]]) == (4000, 9999)
    assert sum(found.values()) == 55020
    assert result.head["share_how"] == "hand"
    result.do("result-share").enter("3")
    assert shares(result)[result.at(3)["id"]] != 4000
    assert sum(shares(result).values()) == 55020


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3 551", "more"),
        ("3 500; 5 50.21", "more"),
        ("3 forty", "not an amount"),
        ("3 40 EUR", "not in GBP"),
        ("3 -4", "below zero"),
        ("16 4", "not a record here"),
        ("three 4", "not a record here"),
    ],
)
def test_shares_that_cannot_be_are_refused_with_the_text_kept(result: Hands, text: str, said: str) -> None:
    before = shares(result)
    result.do("result-share").enter(text)
    assert result.refused
    assert said in result.said
    assert "\n" not in result.said
    assert result.desk.open.line is not None
    assert result.desk.open.line.text == text
    assert shares(result) == before


def test_a_consigned_record_s_share_is_set_by_nobody(result: Hands) -> None:
    """It was said to be set, and stayed what it was."""
    with result.desk.act("record 3: terms") as change:
        change.record(result.at(3)["id"])["terms"] = "consigned"
    result.do("result-share").enter("3 5")
    assert result.refused
    assert "record 3 is consigned" in result.said
    assert not result.at(3).get("cost_by_hand")


def test_what_weighs_is_the_worked_price_kept_at_take_in_whatever_is_asked(
    result: Hands,
) -> None:
    before = shares(result)
    first = result.at(1)
    # sold at 7, 6, 4 (VG+) and 3.50 (VG): 11.86, 10.17, 6.78 and 10.00 at the top; the middle one, 10.00, by
    # .494 (six tenths of VG+ .59, four of VG .35): 4.94
    assert first["worked"]["minor"] == 500  # type: ignore[index]
    result.do("page-leave", "jump-record").enter("1")
    result.do("price-hand").enter("500")
    assert result.record["price"]["minor"] == 50000  # type: ignore[index]
    assert shares(result) == before


def test_closing_freezes_the_shares_and_later_charges_say_what_would_change(
    result: Hands, demo_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    result.do("page-leave", "parcel-page", "page-close").key("1")
    frozen = dict(result.head["shares"])
    assert result.head["state"] == "closed"
    taken_in = [record["id"] for record in result.desk.work.records if record["state"] != "empty"]
    assert sorted(frozen) == sorted(taken_in)
    assert sum(frozen.values()) == 55020, "what the empty places bore falls on the records that came"
    result.do("result-page")
    assert "frozen" in drawn(result)
    assert "changed since" not in drawn(result)
    result.do("result-how")
    assert result.refused
    assert "frozen" in result.said
    late_duty(result, "12.34")
    result.do("result-page")
    assert result.head["shares"] == frozen
    text = drawn(result)
    assert text.count("changed since it was closed") == len(frozen)
    assert "on no record: 12.34 GBP" in text
    result.leave()
    capsys.readouterr()
    assert main(["spread", "2026-11-25-1", "--json", "--shop", str(demo_path)]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["frozen"] is True
    assert {one["id"]: one["cost_share"]["minor"] for one in told["records"]} == frozen
    since = {one["id"]: (one["before"], one["now"]) for one in told["changed_since_closing"]}
    assert sum(now - before for before, now in since.values()) == 1234


def late_duty(hands: Hands, amount: str) -> None:
    """A bill of the customs that came after the closing, entered on the parcel's page."""
    hands.do("page-leave", "parcel-page")
    assert hands.desk.open.page is not None
    hands.desk.open.page.marked = 5
    hands.do("page-enter").enter(amount)
    assert hands.desk.open.tone == "done", hands.said
    assert "dated correction" in hands.said


def test_a_parcel_whose_shares_do_not_come_out_is_not_closed(result: Hands) -> None:
    result.do("result-share").enter("3 540")
    result.do("page-leave", "parcel-page")
    assert result.desk.open.page is not None
    result.desk.open.page.marked = 3
    result.do("page-enter").enter("100")
    assert landed(result.head, "GBP").total.minor < 54000
    result.do("page-close").key("1")
    assert result.refused
    assert "more than the cost" in result.said
    assert result.head["state"] == "open"
    assert len(result.desk.work.records) == 15, "nothing is half done"
    result.do("result-page")
    assert "more than the cost" in drawn(result), "and the page says it in place of figures"


def test_a_consigned_record_in_a_bought_parcel_stands_apart(result: Hands) -> None:
    result.do("page-leave", "jump-record").enter("5")
    result.do("terms").key("3")
    result.enter("Hester Quillow")
    result.do("parcel-page", "result-page")
    made = parcel_result(
        result.head, result.desk.work.records, result.desk.settings, senders=result.desk.shop.senders
    )
    row = next(one for one in made.rows if one.no == 5)
    assert row.share.cost_share.minor == 0
    assert row.share.inbound.minor > 0
    assert made.asked_consigned == row.asked
    assert f"consigned: asked {made.asked_consigned.show()}" in drawn(result)


def test_without_a_parcel_there_is_no_result(empty: Hands) -> None:
    empty.do("result-page")
    assert empty.refused
    assert "parcel" in empty.said


@pytest.mark.parametrize(
    "bad",
    [
        {"vat_rate": "seventeen"},
        {"vat_rate": "120"},
        {"currency": "QQQ"},
        {"price_steps": [["10", "0"]]},
        {"half_life_days": "soon"},
        {"disc_weight": "7"},
        {"margin_scheme": "both"},
        {"threshold": "high", "hour_wage": "20"},
        {"conversion_rounding": "up and down"},
    ],
)
def test_a_bad_setting_is_said_on_every_page_and_stops_none(demo_path: Path, bad: dict[str, Any]) -> None:
    hands = sit_down(demo_path)
    hands.do("line-leave")
    hands.desk.shop.change_settings(**bad)
    hands.leave()
    hands = sit_down(demo_path)
    if hands.desk.open.line is not None:
        hands.do("line-leave")
    for way in ((), ("record-page",), ("parcel-page",), ("result-page",), ("sender-page",), ("page-leave",)):
        hands.do(*way)
        for width, height in SIZES:
            assert middle_rows(hands.desk, width, height, FANCY)
    hands.do("price-accept")
    hands.do("parcel-page", "result-page")
    if "threshold" not in bad:
        (name,) = bad
        assert f"setting {name}" in drawn(hands)
    hands.leave()
