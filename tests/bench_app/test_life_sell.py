"""A sale in one line: the number found by letters, written into whichever parcel the record is in."""

from pathlib import Path
from typing import Any

import pytest
from bench_hands import TODAY, Hands, sit_down
from seen import middle_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.cli import main
from benchtui.desk.core.lives import has_left
from benchtui.desk.pages.record_life import details
from benchtui.model.money import Money
from benchtui.money.figures import sale_rows
from benchtui.money.ledger import shop_entries
from benchtui.store import Shop

CLOSED = "2026-10-05-1"


@pytest.fixture
def counter(demo: Hands) -> Hands:
    """At the demo shop with its line closed: its closed parcel has A00002, A00005 and A00006 unsold."""
    return demo.do("line-leave") if demo.desk.open.line else demo


def life_of(hands: Hands, stock: str) -> list[dict[str, Any]]:
    """What stands on the disk."""
    found = next(one for one in hands.desk.shop.find(stock) if one.stock == stock)
    if hands.desk.work.parcel is not None and hands.desk.work.parcel.id == found.parcel:
        return hands.desk.work.parcel.record(found.record)["life"]
    parcel = hands.desk.shop.open_parcel(found.parcel, read_only=True)
    life = parcel.record(found.record)["life"]
    parcel.close()
    return life


def test_a_record_of_a_closed_parcel_is_sold_from_the_bench_of_another(counter: Hands) -> None:
    before = counter.head["revision"], counter.record["id"]
    counter.do("sell").enter("a6; -1; 8.50; N. Reed; 26-0370")
    assert counter.said == f"A00006 sold for 8.50 GBP to N. Reed on {TODAY[:8]}24"
    sold = life_of(counter, "A00006")[-1]
    assert (sold["what"], sold["at"], sold["minor"], sold["currency"]) == ("sold", "2026-11-24", 850, "GBP")
    assert (sold["buyer"], sold["invoice"]) == ("N. Reed", "26-0370")
    assert (counter.head["revision"], counter.record["id"]) == before, "the parcel on the bench is as it was"
    assert counter.desk.open.line is None


def test_a_sale_before_the_record_was_taken_in_is_said(counter: Hands) -> None:
    came = next(one for one in counter.desk.work.records if one["stock"] and one["state"] == "taken-in")
    stock = came["stock"] or ""
    counter.do("sell").enter(f"{stock}; 2026-11-24; 6.50; N. Reed")
    assert f"; {stock} was taken in only on 2026-11-25: is the day right?" in counter.said
    asked = f"; no VAT yet for {stock}: may the margin scheme be used? 7 on the record's page answers"
    assert counter.said.endswith(asked)
    counter.do("search").enter(stock)
    assert has_left(counter.record)
    assert not has_left({**counter.record, "life": []}), "what is sold has nothing at stake"


def test_the_bench_opens_on_its_own_parcel_after_a_sale_from_another(counter: Hands, demo_path: Path) -> None:
    counter.do("sell").enter("a6; ; 8; ; ")
    counter.leave()
    again = sit_down(demo_path)
    assert again.head["id"] == "2026-11-25-1"
    assert again.record["no"] == 7
    again.leave()


def test_a_closed_parcel_on_the_bench_takes_its_sale_too(counter: Hands) -> None:
    counter.do("search").enter("A00006")
    assert counter.head["state"] == "closed"
    counter.do("sell").enter("a6; ; 8; N. Reed")
    assert counter.said == f"A00006 sold for 8.00 GBP to N. Reed on {TODAY}"
    counter.do("parcel-page")
    row = next(
        one for one in text_of(middle_rows(counter.desk, 80, 60, FANCY)).splitlines() if "A00006" in one
    )
    assert row.split()[-3:] == ["8.00", "GBP", "sold"]


def test_the_page_of_a_sold_record_says_what_was_realised_in_place_of_what_was_expected(
    counter: Hands,
) -> None:
    desk = counter.do("search").enter("A00006").do("record-page").desk
    assert "expected" in text_of(middle_rows(desk, 80, 90, FANCY))
    counter.do("page-leave", "sell").enter("a6; ; 8; N. Reed; fee 1.00").do("record-page")
    text = text_of(middle_rows(desk, 80, 90, FANCY))
    parcels = [desk.shop.read_parcel(one) for one in desk.shop.parcel_ids()]
    rows = sale_rows(shop_entries(parcels, desk.shop.senders, desk.settings, (), TODAY))
    (profit,) = [one.profit for one in rows if one.stock == "A00006"]
    assert f"{Money(profit, 'GBP').show()} realised" in text
    assert "expected" not in text


def test_vat_on_top_of_a_commission_is_not_taken_off_its_profit(counter: Hands) -> None:
    """13.00 at 25 %: 3.25, and a fifth of it on top."""
    counter.desk.shop.change_settings(commission_vat="added", vat_rate="20")
    counter.do("search").enter("A00003").do("record-page")
    text = " ".join(text_of(middle_rows(counter.desk, 120, 90, FANCY)).split())
    assert "VAT on the commission 0.65 GBP on top, borne by the sender" in text
    assert "taken off" not in text


def test_a_sale_abroad_says_its_price_without_the_postage_in_both_currencies() -> None:
    """50.00 EUR and 6.00 of postage at 0.86."""
    paid_in = {
        "minor": 5600,
        "currency": "EUR",
        "rate": "0.86",
        "of": {"postage": 600, "tax": 0, "traded": 0},
    }
    sold = {"what": "sold", "minor": 4300, "currency": "GBP", "postage": 516, "paid_in": paid_in}
    assert details(sold, "GBP") == ", 43.00 GBP, 50.00 EUR at 0.86, postage charged 5.16 GBP"
    now = {"minor": 4472, "paid_in": {**paid_in, "minor": 5800}}
    put_right = {"what": "corrected", "of": 1, "now": now, "why": "misread"}
    assert details(put_right, "GBP") == ", event 1: amount 44.72 GBP, 52.00 EUR at 0.86, misread"
    older = {**sold, "paid_in": {name: paid_in[name] for name in ("minor", "currency", "rate")}}
    assert details(older, "GBP") == details(sold, "GBP"), "of an older version: worked back"


def test_letters_of_the_title_find_the_number_and_fill_the_line(counter: Hands) -> None:
    counter.do("sell").type("bell king")
    assert counter.desk.open.line is not None
    assert "A00006" in text_of(middle_rows(counter.desk, 80, 17, FANCY))
    counter.do("line-accept")
    assert counter.desk.open.line.text == f"A00006; {TODAY}; 8.00; "
    assert life_of(counter, "A00006")[-1]["what"] == "shelved", "nothing is sold by completing"
    counter.enter("N. Reed")
    assert life_of(counter, "A00006")[-1]["buyer"] == "N. Reed"


def test_a_short_number_is_completed_too(counter: Hands) -> None:
    counter.do("sell").type("a6").do("line-accept")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text.startswith("A00006; ")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("A00001; ; 30", "cannot be sold: it was sold on 2026-10-12"),
        ("A00099; ; 30", "no stock number A00099"),
        ("A00006; 2026-10-01; 8", "before it came on 2026-10-05"),
        ("A00006; 2026-12-24; 8", "has not come yet"),
        ("A00006; 2026-02-30; 8", "2026-02-30"),
        ("A00006; ; eight", "eight"),
        ("A00006; ; -8", "below zero"),
        ("A00006; ; 8 EUR", "GBP"),
        ("A00006; ; 8 QQQ", "QQQ"),
        ("A00006; ; 999999999999", "too large"),
        ("A00006; 8", "3 to 6 fields"),
        ("six; ; 8", "not a stock number"),
        ("zzzz", "no record with a stock number"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line_and_the_text_stays(
    counter: Hands, text: str, said: str
) -> None:
    before = life_of(counter, "A00006"), life_of(counter, "A00001")
    counter.do("sell").enter(text)
    assert counter.refused
    assert said in counter.said
    assert "\n" not in counter.said
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == text
    assert (life_of(counter, "A00006"), life_of(counter, "A00001")) == before


def test_a_sold_record_is_told_before_the_line_is_filled(counter: Hands) -> None:
    counter.do("sell").enter("a1")
    assert "A00001 cannot be sold: it was sold on 2026-10-12" in counter.said


def test_a_parcel_on_another_bench_is_said_with_who_has_it(counter: Hands, demo_path: Path) -> None:
    other = Shop.open(demo_path, letter="B")
    held = other.open_parcel(CLOSED)
    counter.do("sell").enter("a6; ; 8; N. Reed")
    assert counter.refused
    assert f"parcel {CLOSED} is open on another bench" in counter.said
    assert counter.desk.open.line is not None
    held.close()
    counter.do("line-accept")
    assert counter.desk.open.tone == "done"
    assert life_of(counter, "A00006")[-1]["what"] == "sold"
    other.close()


def test_a_parcel_that_is_open_for_reading_only_takes_no_sale(
    counter: Hands, demo_path: Path, sit: Any
) -> None:
    second = sit(demo_path)
    assert second.desk.work.parcel is not None
    assert second.desk.work.parcel.read_only
    second.do("sell").enter("a12; ; 8")
    assert second.refused
    assert "another bench has it" in second.said
    second.do("line-leave", "sell").enter("a6; ; 8")
    assert second.desk.open.tone == "done", "a parcel that nobody has open takes it"


def test_a_record_of_the_open_parcel_is_sold_and_undo_takes_it_back_on_the_same_day(counter: Hands) -> None:
    counter.do("sell").enter("a12; ; 6.50; over the counter")
    assert [event["what"] for event in life_of(counter, "A00012")] == ["sold"]
    counter.do("undo", "undo")  # of another record: said first
    assert life_of(counter, "A00012") == []


def test_a_day_that_is_over_is_never_undone(counter: Hands) -> None:
    counter.do("sell").enter("a12; 2026-11-24; 6.50; over the counter")
    assert counter.desk.open.tone == "done", counter.said
    counter.do("undo")
    assert counter.refused
    assert "correct" in counter.said
    assert len(life_of(counter, "A00012")) == 1


def test_under_the_reserve_only_with_the_consignors_word(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 4; N. Reed")
    assert "under the reserve" in counter.said
    assert "5.00 GBP" in counter.said
    counter.do("line-leave", "sell").enter("a6; ; 4; N. Reed; 26-0370; the captain, by telephone")
    assert counter.desk.open.tone == "done"
    assert life_of(counter, "A00006")[-1]["agreed"] == "the captain, by telephone"


def test_a_half_typed_sale_is_there_again_after_a_restart(counter: Hands, demo_path: Path) -> None:
    counter.do("sell").type("a6; ; 8; N. R")
    counter.leave()
    again = sit_down(demo_path)
    assert again.desk.open.line is not None
    assert (again.desk.open.line.name, again.desk.open.line.text) == ("sell", "a6; ; 8; N. R")
    again.enter("eed")
    assert life_of(again, "A00006")[-1]["buyer"] == "N. Reed"
    again.leave()


def test_the_stock_book_s_sale_side_is_filled(
    counter: Hands, demo_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    counter.do("sell").enter("a12; ; 26.50; N. Reed; 26-0371")
    counter.leave()
    capsys.readouterr()
    assert main(["export", "stockbook", "--shop", str(demo_path)]) == 0
    (line,) = [one for one in capsys.readouterr().out.splitlines() if one.startswith("A00012")]
    assert f",{TODAY},26-0371,26.50,sold,N. Reed," in line


def test_a_parcel_begun_by_mistake_is_the_next_new_one_and_escape_leads_on(counter: Hands) -> None:
    counter.do("parcels-page", "page-new", "line-leave")
    made, count = counter.head["id"], len(counter.desk.shop.parcel_ids())
    assert counter.desk.open.page is not None
    counter.do("page-leave")
    assert counter.desk.open.page.name == "parcels"
    assert f"parcel {made} has no record yet" in counter.said
    counter.do("page-undo")
    assert f"parcel {made} is still empty: the next new parcel of today takes its place" in counter.said
    counter.do("page-new").enter("Una Dovrick").do("line-leave")
    assert (counter.head["id"], len(counter.desk.shop.parcel_ids())) == (made, count)
    counter.do("parcels-page", "page-new", "line-leave")
    assert counter.head["id"] != made, "something was entered in that one"
