"""A record split in two, one found later, one that goes instead of another, one that cost nothing."""

import re
from datetime import date
from typing import Any

import pytest
from bench_hands import TODAY, Hands
from same_parcel import canonical

from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.keyboard.perform import run
from benchtui.export.ask import Ask
from benchtui.export.papers import invoice_of
from benchtui.model.record import PACK, RecordDoc, parts_of
from benchtui.money.charges import landed
from benchtui.money.ledger import shop_entries
from benchtui.money.proof import proof
from benchtui.money.spreading import spread
from benchtui.money.standings import standing
from benchtui.money.stock import stockbook


@pytest.fixture
def counter(demo: Hands) -> Hands:
    return demo.do("line-leave") if demo.desk.open.line else demo


@pytest.fixture
def closed(counter: Hands) -> Hands:
    counter.do("parcel-page", "page-close").key("1")
    return counter.do("page-leave") if counter.desk.open.page else counter


def at(hands: Hands, stock: str) -> Hands:
    """The record's page."""
    desk = hands.desk
    desk.work.record_id = next(one["id"] for one in desk.work.records if one["stock"] == stock)
    desk.work.part_id = desk.work.record["parts"][0]["id"]  # type: ignore[index]
    return hands.do("record-page")


def line(hands: Hands, command: str, text: str) -> Hands:
    """No map has a key for it: the finder opens it."""
    run(hands.desk, command)
    assert hands.desk.open.line is not None, hands.said
    return hands.enter(text)


def record_of(hands: Hands, stock: str) -> RecordDoc:
    found = next(one for one in hands.desk.shop.find(stock) if one.stock == stock)
    return next(one for one in hands.desk.shop.read_parcel(found.parcel)[1] if one["id"] == found.record)


def all_is_found_again(hands: Hands) -> None:
    shop = hands.desk.shop
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    entries = shop_entries(parcels, shop.senders, shop.settings, (), TODAY)
    assert list(proof(entries, parcels, shop.settings)) == []
    stockbook(parcels, shop.senders, shop.settings)


def bought(hands: Hands) -> tuple[str, int, int]:
    """Number, cost share and price paid of a bought record with a cover to be split off."""
    head, records = hands.desk.work.parcel.head, hands.desk.work.records  # type: ignore[union-attr]
    shares = spread(head, landed(head, "GBP"), records).by_record()
    one = next(
        one
        for one in records
        if one["stock"]
        and parts_of(one, "cover")
        and one["id"] in shares
        and shares[one["id"]].cost_share.minor
    )
    share = shares[one["id"]]
    return str(one["stock"]), share.cost_share.minor, share.margin_purchase_price.minor


def test_the_cover_of_a_closed_parcels_record_is_kept_with_its_part_of_cost_and_price(closed: Hands) -> None:
    stock, cost, paid = bought(closed)
    before = len(closed.desk.work.records)
    line(at(closed, stock), "record-split", "cov; 6; 1.00")
    assert "split: cover is record" in closed.said
    head, records = closed.desk.work.parcel.head, closed.desk.work.records  # type: ignore[union-attr]
    new, old = records[-1], next(one for one in records if one["stock"] == stock)
    assert len(records) == before + 1
    assert (new["state"], [part["kind"] for part in new["parts"]]) == ("taken-in", ["cover"])
    assert new["stock"] not in (None, stock)
    assert new["price"] == {"minor": 600, "currency": "GBP", "how": "hand"}
    assert not parts_of(old, "cover")
    shares = spread(head, landed(head, "GBP"), records).by_record()
    mine, theirs = shares[new["id"]], shares[old["id"]]
    assert (mine.cost_share.minor, theirs.cost_share.minor) == (100, cost - 100)
    assert mine.margin_purchase_price.minor + theirs.margin_purchase_price.minor == paid
    assert abs(mine.margin_purchase_price.minor - paid * 100 / cost) <= 1
    assert head["corrections"][-1]["say"].endswith(f"cover split off as record {before + 1}")
    all_is_found_again(closed)
    closed.do("sell") if closed.desk.open.page is None else closed.do("page-leave", "sell")
    closed.enter(f"{new['stock']}; ; 6; N. Reed")
    assert "sold for 6.00 GBP" in closed.said


def test_in_an_open_parcel_both_share_the_cost_by_price_and_undo_joins_them_again(counter: Hands) -> None:
    stock, _, _ = bought(counter)
    assert counter.desk.work.parcel is not None
    before = canonical(counter.desk.work.parcel)
    line(at(counter, stock), "record-split", "cover; 6; 1")
    assert counter.refused
    assert "shared by price until" in counter.said
    counter.do("line-leave")
    line(counter, "record-split", "cover; 6")
    assert "split: cover is record" in counter.said
    all_is_found_again(counter)
    counter.do("page-leave", "undo")
    assert canonical(counter.desk.work.parcel) == before


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("; 6; 1", "leave at least one"),
        ("spine; 6; 1", "'spine' is not one part of it"),
        ("cover; 6; 9999", "is more than its cost"),
        ("cover; 6", "say how much of its cost"),
        ("cover; six; 1", "six"),
    ],
)
def test_a_split_that_cannot_be_is_refused(closed: Hands, text: str, said: str) -> None:
    stock, _, _ = bought(closed)
    line(at(closed, stock), "record-split", text)
    assert closed.refused
    assert said in closed.said
    assert closed.desk.open.line is not None


def test_a_record_found_behind_the_shelf_waits_in_a_parcel_that_cost_nothing(closed: Hands) -> None:
    box = closed.head["id"]
    closed.do("parcel-page")
    line(closed, "record-found", "2; behind the shelf; -1")
    head, desk = closed.head, closed.desk
    assert desk.work.parcel is not None
    assert desk.work.parcel.id != box
    assert closed.said == f"found, cost nothing: parcel {desk.work.parcel.id}, take it in"
    assert (head["came_as"], head["delivered"], head["charges"]) == ("find", "2026-11-24", [])
    assert head["note"] == f"found, of parcel {box}; behind the shelf"
    assert head["sender"] == desk.shop.read_parcel(box)[0]["sender"]
    assert [one["state"] for one in desk.work.records] == ["empty", "empty"]
    assert desk.work.record_id == desk.work.records[0]["id"]
    all_is_found_again(closed)
    closed.do("parcels-page")
    line(closed, "record-found", "none; shelf")
    assert closed.refused


def replaced(hands: Hands, text: str) -> tuple[dict[str, Any], dict[str, Any]]:
    hands.do("sell").enter("a7; ; 20; N. Reed; #; post 3.00; tax 1.00; where fair")
    line(at(hands, "A00007"), "record-replace", text)
    return record_of(hands, "A00007")["life"][-1], record_of(hands, "A00008")["life"][-1]


def test_an_invoice_that_was_given_back_in_full_is_said_to_be(counter: Hands) -> None:
    counter.do("sell").enter("a7; ; 20; N. Reed; #")
    number = str(record_of(counter, "A00007")["life"][-1]["invoice"])
    line(counter, "credit-note", f"{number}; ; all; clicks")
    assert not counter.refused, counter.said
    line(counter, "credit-note", f"{number}; ; 1 off; clicks")
    assert f"nothing that was sold on invoice {number} is left to be given back" in counter.said


def test_a_record_goes_instead_of_one_that_came_back_and_nothing_is_paid(counter: Hands) -> None:
    back, going = replaced(counter, "a8; ; clicks on B2")
    said = "A00007 came back, A00008 went instead at 20.00 GBP; invoice 26-0354, credit note C0001"
    asked = "; no VAT yet for A00008: may the margin scheme be used? 7 on the record's page answers"
    assert counter.said == said + asked
    assert back["credit_note"] == "C0001"
    assert (back["what"], back["minor"], back["note"]) == ("returned", 2400, "clicks on B2; A00008 instead")
    assert (going["what"], going["minor"], going["postage"], going["tax"]) == ("sold", 2000, 300, 100)
    assert (going["buyer"], going["where"], going["note"]) == ("N. Reed", "fair", "instead of A00007")
    assert standing(record_of(counter, "A00007")).what == "in the shop"
    shop = counter.desk.shop
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    entries = shop_entries(parcels, shop.senders, shop.settings, (), TODAY)
    assert sum(one.sum_of("bank") for one in entries if one.stock in ("A00007", "A00008")) == 2400
    assert [one["what"] for one in record_of(counter, "A00008")["chores"] if not one["done"]] == [PACK]
    assert PACK not in [one["what"] for one in record_of(counter, "A00007")["chores"] if not one["done"]]
    assert invoice_foot(counter, "A00008") == ["in all, in GBP 24.00", CAME_BACK, "to pay, in GBP 0.00"]
    all_is_found_again(counter)


CAME_BACK = "A00007 came back, credit note C0001 -24.00"


def invoice_foot(hands: Hands, stock: str) -> list[str]:
    """The last rows of the record's invoice, from its whole on."""
    head, records = next(
        (head, mine) for head, mine in all_parcels(hands.desk) if any(one["stock"] == stock for one in mine)
    )
    record = next(one for one in records if one["stock"] == stock)
    paper = invoice_of(
        record, [(head, records)], hands.desk.settings, Ask("invoices", date(2026, 11, 25))
    ).decode()
    rows = re.findall(r"<tr.*?</tr>", paper)
    said = [" ".join(re.sub(r"<[^>]*>", " ", one).split()) for one in rows]
    return said[next(n for n, one in enumerate(said) if one.startswith("in all")) :]


def test_a_dearer_replacement_says_what_is_to_be_paid_and_a_missing_one_is_refused(counter: Hands) -> None:
    replaced(counter, "a8; 24.50")
    assert "the buyer pays 4.50 GBP" in counter.said
    assert invoice_foot(counter, "A00008") == ["in all, in GBP 28.50", CAME_BACK, "to pay, in GBP 4.50"]
    line(at(counter, "A00008"), "record-replace", "a999")
    assert "there is no stock number A00999" in counter.said
    counter.do("line-leave")
    line(counter, "record-replace", "a8")
    assert counter.refused, "it is the one that comes back"


def test_for_a_cheaper_replacement_the_invoice_says_what_the_buyer_gets(counter: Hands) -> None:
    replaced(counter, "a8; 12")
    assert "the buyer gets 8.00 GBP" in counter.said
    paid = ["in all, in GBP 16.00", CAME_BACK, "paid back to the buyer, in GBP 8.00"]
    assert invoice_foot(counter, "A00008") == paid


def test_a_record_thrown_in_is_sold_free_and_one_that_was_a_gift_bears_no_cost(counter: Hands) -> None:
    line(at(counter, "A00008"), "record-free", "gi")
    assert "gift, cost nothing" in counter.said
    head, records = counter.desk.work.parcel.head, counter.desk.work.records  # type: ignore[union-attr]
    shares = spread(head, landed(head, "GBP"), records).by_record()
    assert shares[record_of(counter, "A00008")["id"]].cost_share.minor == 0
    counter.do("page-leave", "sell").enter("a7 + a8; ; 20 + free; N. Reed; #; post 3.00")
    assert counter.said.startswith("A00007, A00008 sold for 20.00 GBP")
    assert record_of(counter, "A00008")["life"][-1]["minor"] == 0
    all_is_found_again(counter)
    line(at(counter, "A00007"), "record-free", "won")
    assert counter.refused
