"""A shop's year in one line each: a sale with all that stands on its invoice, late bills, credits, the year."""

from datetime import UTC, datetime
from typing import Any

import pytest
from bench_hands import TODAY, Clock, Hands
from seen import middle_rows

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import FANCY, text_of, width_of
from benchtui.desk.keyboard.perform import run
from benchtui.desk.pages.year import due, sold_bar
from benchtui.desk.people.reckoning import close_through
from benchtui.desk.session.paging import open_parcel
from benchtui.money.closing import read_closed
from benchtui.money.entries import Entry
from benchtui.money.figures import Month
from benchtui.money.ledger import shop_entries
from benchtui.money.notice import ESTIMATE
from benchtui.money.proof import proof
from benchtui.money.saleline import _WORDS

CLOSED = "2026-10-05-1"


@pytest.fixture
def counter(demo: Hands) -> Hands:
    return demo.do("line-leave") if demo.desk.open.line else demo


def life_of(hands: Hands, stock: str) -> list[dict[str, Any]]:
    found = next(one for one in hands.desk.shop.find(stock) if one.stock == stock)
    here = hands.desk.work.parcel
    if here is not None and here.id == found.parcel:
        return here.record(found.record)["life"]
    return next(
        one["life"] for one in hands.desk.shop.read_parcel(found.parcel)[1] if one["id"] == found.record
    )


def all_is_found_again(hands: Hands) -> list[Entry]:
    shop = hands.desk.shop
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    entries = shop_entries(parcels, shop.senders, shop.settings, (), TODAY)
    assert list(proof(entries, parcels, shop.settings)) == []
    return entries


def test_two_records_of_two_parcels_are_sold_on_one_invoice(counter: Hands) -> None:
    line = "a6 + a12; -1; 10 + 30; N. Reed; #; discount 4; post 3.00; fee 1.01; sent 2.20; where fair"
    counter.do("sell").enter(line)
    assert (
        counter.said
        == "A00006, A00012 sold for 36.00 GBP to N. Reed on 2026-11-24, invoice 26-0353, 39.00 GBP to pay"
        "; A00012 was taken in only on 2026-11-25: is the day right?"
        "; no VAT yet for A00012: may the margin scheme be used? 7 on the record's page answers"
    )
    first, second = life_of(counter, "A00006")[-1], life_of(counter, "A00012")[-1]
    assert (first["minor"], second["minor"]) == (900, 2700)
    assert [first[name] + second[name] for name in ("discount", "postage", "selling_fee", "postage_paid")] == [
        400, 300, 101, 220,
    ]  # fmt: skip
    assert first["deal"] == second["deal"]
    assert (first["invoice"], first["where"], first["at"], first["booked"]) == (
        "26-0353",
        "fair",
        "2026-11-24",
        TODAY,
    )
    all_is_found_again(counter)


def test_an_invoice_number_is_given_once_and_the_next_follows_without_a_gap(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 8; N. Reed; 26-0352")
    assert counter.refused
    assert "invoice 26-0352 is taken already" in counter.said
    assert counter.desk.open.line is not None
    counter.do("line-leave").do("sell").enter("a6; ; 8; N. Reed; #")
    assert counter.said.endswith("invoice 26-0353")
    counter.do("sell").enter("a6; ; 8; N. Reed; #")
    assert counter.refused, "sold already: its number is free again"
    counter.do("line-leave").do("sell").enter("a5; ; 8; N. Reed; #")
    assert counter.said.endswith("invoice 26-0354")


def test_a_sale_in_another_currency_keeps_what_was_paid(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 20 EUR; N. Reed")
    assert counter.refused
    assert "has no rate" in counter.said
    counter.do("line-leave").do("sell").enter("a6; ; 20 EUR; N. Reed; rate 0.86")
    assert counter.said.endswith("sold for 17.20 GBP to N. Reed on 2026-11-25, 20.00 EUR to pay")
    sold = life_of(counter, "A00006")[-1]
    assert (sold["minor"], sold["currency"]) == (1720, "GBP")
    assert (sold["paid_in"]["minor"], sold["paid_in"]["currency"], sold["paid_in"]["rate"]) == (
        2000,
        "EUR",
        "0.86",
    )


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("a6 + a5; ; 10", "2 records and 1 prices"),
        ("a6 + a6; ; 10 + 10", "write each record once"),
        ("a6; ; 10; N. Reed; discount 11", "a discount of 11.00 GBP on 10.00 GBP"),
        ("a6; ; 10; N. Reed; post 1 + 2", "is not an amount"),
        ("a6; ; 10; N. Reed; traded 12", "12.00 GBP taken in exchange for 10.00 GBP"),
    ],
)
def test_a_sale_that_cannot_be_is_refused_with_the_line_kept(counter: Hands, line: str, said: str) -> None:
    before = life_of(counter, "A00006")
    counter.do("sell").enter(line)
    assert counter.refused
    assert said in counter.said
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == line
    assert life_of(counter, "A00006") == before


def test_a_record_taken_in_exchange_is_a_parcel_paid_by_the_sale(counter: Hands) -> None:
    before = set(counter.desk.shop.parcel_ids())
    counter.do("sell").enter("a12; ; 24; N. Reed; traded 10")
    (made,) = set(counter.desk.shop.parcel_ids()) - before
    assert made in counter.said
    head, records = counter.desk.shop.read_parcel(made)
    assert (head["came_as"], head["charges"][0]["minor"], len(records)) == ("traded in", 1000, 1)
    sender = counter.desk.shop.senders[head["sender"] or ""]
    assert sender["name"] == "N. Reed", "the buyer is its sender"
    senders = len(counter.desk.shop.senders)
    counter.do("sell").enter("a5; ; 4; n. reed; traded 2")
    counter.do("sell").enter("a6; ; 8; over the counter; traded 2")
    assert len(counter.desk.shop.senders) == senders, "known by now; a counter is nobody"
    all_is_found_again(counter)


def credit(hands: Hands, text: str) -> None:
    run(hands.desk, "credit-note")
    hands.enter(text)


def test_one_credit_note_gives_back_several_records_of_an_invoice(counter: Hands) -> None:
    counter.do("sell").enter("a5 + a6 + a12; -1; 4 + 10 + 30; N. Reed; #; post 3.00")
    credit(counter, "a6 + a12; ; 10 + 4 off; clicks on B2")
    assert counter.said == (
        "A00006 came back, A00012 at a lower price: 14.00 GBP back to N. Reed, credit note C0001"
    )
    back, off = life_of(counter, "A00006")[-1], life_of(counter, "A00012")[-1]
    assert (back["what"], back["minor"], back["note"]) == ("returned", 1000, "clicks on B2")
    assert (off["what"], off["minor"], off["credit_note"]) == ("refunded", 400, back["credit_note"])
    credit(counter, "26-0353; ; all; all of it came back")
    # what is still sold of it: 4.00 + 30.00 - 4.00, and 0.27 and 2.05 of the postage
    assert counter.said == "A00005, A00012 came back: 32.32 GBP back to N. Reed, credit note C0002"
    assert list(counter.desk.shop.credit_notes()) == ["C0001", "C0002"]
    all_is_found_again(counter)


def test_what_was_thrown_in_for_nothing_stands_on_the_note_of_what_it_came_with(counter: Hands) -> None:
    counter.do("sell").enter("a6 + a12; -1; 10 + free; N. Reed; #")
    credit(counter, "26-0353; ; ; came back")
    assert {life_of(counter, one)[-1]["credit_note"] for one in ("A00006", "A00012")} == {"C0001"}
    counter.do("sell").enter("a6 + a12; ; 10 + free; N. Reed; #")
    credit(counter, "26-0354; ; 3 off; scratch")
    assert life_of(counter, "A00006")[-1]["minor"] == 300
    assert life_of(counter, "A00012")[-1]["what"] == "sold", "nothing was paid for it, nothing comes off"


def test_a_credit_note_s_number_is_free_again_where_nothing_can_be_written(
    counter: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    counter.do("sell").enter("a6; -1; 10; N. Reed; #")

    def full(*_: object) -> None:
        raise BenchError("the disk is full")

    monkeypatch.setattr("benchtui.desk.sale.give_back.changing", full)
    credit(counter, "26-0353")
    counter.enter()
    assert "the disk is full" in counter.said
    assert counter.desk.shop.credit_notes() == {}


def test_an_invoice_s_number_or_a_few_letters_fill_the_line(counter: Hands) -> None:
    counter.do("sell").enter("a6 + a12; -1; 10 + 30; N. Reed; #")
    for typed in ("26-0353", "a00012"):
        run(counter.desk, "credit-note")
        counter.enter(typed)
        assert counter.desk.open.line is not None
        assert counter.desk.open.line.text == f"A00006 + A00012; {TODAY}; 10.00 + 30.00; "
        assert "invoice 26-0353, sold on 2026-11-24 to N. Reed" in counter.said
        counter.desk.open.line.text = ""
        counter.do("line-leave")
    credit(counter, "26-0353; ; 5 off; late")
    assert life_of(counter, "A00006")[-1]["minor"] + life_of(counter, "A00012")[-1]["minor"] == 500


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("a6 + a3; ; 4 + 4", "these were not sold together: A00006 on 26-0353, A00003 on 26-0340"),
        ("a6 + a5; ; 4 + 4", "A00005 is not sold"),
        ("a99; ; 4", "there is no stock number and no invoice A00099"),
        ("a6; ; 11", "at most 10.00 GBP"),
        ("a6; 2026-11-23; 4", "is before it was sold"),
        ("a6 + a12; ; 4 off + 31 off", "at most 30.00 GBP"),
    ],
)
def test_a_credit_note_that_cannot_be_is_refused_and_takes_no_number(
    counter: Hands, line: str, said: str
) -> None:
    counter.do("sell").enter("a6 + a12; -1; 10 + 30; N. Reed; #")
    before = life_of(counter, "A00006"), life_of(counter, "A00012")
    credit(counter, line)
    assert counter.refused
    assert said in counter.said
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == line
    assert (life_of(counter, "A00006"), life_of(counter, "A00012")) == before
    assert counter.desk.shop.credit_notes() == {}


def test_money_goes_back_in_the_currency_it_was_paid_in(counter: Hands) -> None:
    counter.do("sell").enter("a6 + a12; ; 10 + 20 EUR; N. Reed; #; rate 0.86")
    assert counter.refused, "one price is in another currency"
    counter.do("line-leave").do("sell").enter("a6 + a12; ; 10 EUR + 20 EUR; N. Reed; #; rate 0.86")
    credit(counter, "a6 + a12; ; 10 EUR + 5 off; clicks; rate 0.88")
    assert counter.said.startswith("A00006 came back, A00012 at a lower price: 15.00 EUR back to N. Reed")
    event = life_of(counter, "A00012")[-1]
    assert (event["minor"], event["currency"]) == (430, "GBP")
    assert event["paid_in"] == {
        "minor": 500, "currency": "EUR", "rate": "0.86", "day_rate": "0.88", "day_minor": 440,
    }  # fmt: skip
    counter.do("search").enter("A00012")
    counter.do("record-page", "record-correct").enter("2; it was 6; price 6 EUR")
    now = life_of(counter, "A00012")[-1]["now"]
    assert (now["minor"], now["paid_in"]["minor"], now["paid_in"]["day_minor"]) == (516, 600, 528)
    assert "amount 5.16 GBP, 6.00 EUR at 0.86, at the day's 0.88" in " ".join(
        text_of(middle_rows(counter.desk, 120, 60, FANCY)).split()
    )
    counter.do("record-correct").enter("1; misread; price 6 USD")
    assert counter.refused
    assert "6.00 USD is not in GBP or EUR" in counter.said
    for amount in ("18.06 GBP", "21"):
        if counter.desk.open.line:
            counter.do("line-leave")
        counter.do("record-correct")
        assert counter.desk.open.line is not None
        assert counter.desk.open.line.about.startswith("an amount of the sale is in EUR. ")
        counter.enter(f"1; misread; price {amount}")
        sold = life_of(counter, "A00012")[-1]["now"]
        assert (sold["minor"], sold["paid_in"]["minor"], sold["paid_in"]["bank"]) == (1806, 2100, 2100)
        said = "invoice 26-0353 stays as issued, its correction is a page of today's invoices"
        said = f"event 1 corrected, price 18.06 GBP: misread; {said}"
        assert counter.said.startswith("event 1 is already so" if amount == "21" else said)
    counter.do("line-leave")
    paid = [
        one.words.get("paid_in") for one in all_is_found_again(counter) if one.words.get("why") == "misread"
    ]
    assert set(paid) == {"21.00 EUR at 0.86"}


def test_what_a_carrier_took_in_the_shop_s_own_money_is_not_changed(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 20 EUR; N. Reed; rate 0.50; fee 2; sent 8.10 GBP; post 4")
    sold = life_of(counter, "A00006")[-1]
    assert (sold["selling_fee"], sold["postage_paid"], sold["postage"]) == (100, 810, 200)
    assert (sold["paid_in"]["bank"], sold["paid_in"]["own"]) == (2200, ["postage_paid"])
    parcels = [counter.desk.shop.read_parcel(one) for one in counter.desk.shop.parcel_ids()]
    entries = shop_entries(parcels, counter.desk.shop.senders, counter.desk.settings, (), TODAY)
    made = next(one for one in entries if one.key.endswith(f":{sold['n']}") and one.stock == "A00006")
    banked = [(leg.minor, leg.foreign) for leg in made.legs if leg.role == "bank"]
    assert banked == [(1100, (2200, "EUR")), (-810, None)]
    all_is_found_again(counter)
    counter.do("search").enter("A00006").do("record-page", "record-correct")
    counter.enter(f"{sold['n']}; misread; sent 3 EUR; fee 1.50 GBP; discount 2; post 5")
    now = life_of(counter, "A00006")[-1]["now"]
    assert [now[name] for name in ("postage_paid", "selling_fee", "discount", "minor", "postage")] == [
        150, 150, 100, 900, 250,
    ]  # fmt: skip
    # 20.00 less 2.00 with 5.00 of postage; the carrier's 3.00 is taken off it, the fee was paid here
    assert (now["paid_in"]["minor"], now["paid_in"]["bank"], now["paid_in"]["own"]) == (
        2300,
        2000,
        ["selling_fee"],
    )
    assert "postage paid 1.50 GBP" in " ".join(text_of(middle_rows(counter.desk, 120, 90, FANCY)).split())
    all_is_found_again(counter)


def test_fees_that_a_sale_was_entered_without_are_corrected_in_too(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 8; N. Reed").do("search").enter("A00006")
    counter.do("record-page", "record-correct")
    n = life_of(counter, "A00006")[-1]["n"]
    counter.enter(f"{n}; forgotten; sent 3.85; payment 0.20")
    assert life_of(counter, "A00006")[-1]["now"] == {"postage_paid": 385, "payment_fee": 20}
    counter.do("record-correct").enter(f"{n}; misread; discount 9")
    assert counter.refused
    assert "a discount of 9.00 GBP" in counter.said
    all_is_found_again(counter)


def test_tax_and_what_came_in_exchange_are_corrected_too(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 20 EUR; N. Reed; rate 0.50; tax 2; traded 4").do("search").enter("A00006")
    counter.do("record-page", "record-correct")
    n = life_of(counter, "A00006")[-1]["n"]
    counter.enter(f"{n}; misread; tax 3; traded 6")
    now = life_of(counter, "A00006")[-1]["now"]
    # 20.00 with 3.00 of tax, 6.00 of it in exchange
    assert (now["tax"], now["traded"], now["paid_in"]["minor"], now["paid_in"]["bank"]) == (
        150,
        300,
        1700,
        1700,
    )
    shop = counter.desk.shop
    came = next(one for one in shop.parcel_ids() if shop.read_parcel(one)[0].get("came_as") == "traded in")
    assert counter.said.endswith(f"what came in exchange is parcel {came}: correct its price too")
    counter.do("record-correct").enter(f"{n}; misread; traded 24")
    assert counter.refused
    assert "12.00 GBP taken in exchange" in counter.said
    all_is_found_again(counter)


def test_a_bare_part_refund_is_in_the_currency_of_the_sale(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 20 EUR; N. Reed; #; rate 0.86").do("search").enter("A00006")
    counter.do("record-page")
    run(counter.desk, "record-refund")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.about.startswith("20.00 EUR were paid; an amount is in EUR.")
    counter.enter("5; scratch")
    assert "part of it refunded, 5.00 EUR" in counter.said
    event = life_of(counter, "A00006")[-1]
    assert (event["minor"], event["paid_in"]["minor"]) == (430, 500)


def test_a_credit_note_on_the_page_of_a_record_that_is_not_sold_begins_empty(counter: Hands) -> None:
    counter.do("search").enter("A00006")
    counter.do("record-page", "page-more").enter("credit note")
    assert counter.desk.open.line is not None
    assert (counter.desk.open.line.name, counter.desk.open.line.text) == ("credit-note", "")


def test_a_credit_note_is_found_on_the_parcels_page_and_lists_all_of_an_invoice(counter: Hands) -> None:
    counter.do("sell").enter("a6 + a12; -1; 10 + 30; N. Reed; #")
    counter.do("parcel-page", "page-more").enter("credit note")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.name == "credit-note"
    counter.type("26-0353")
    assert [one.value.stock for one in counter.desk.open.line.picks] == ["A00006", "A00012"]


def test_the_help_of_the_sell_line_names_every_word_it_takes(counter: Hands) -> None:
    counter.do("sell").key("f10")
    said = str(counter.desk.open.explained)
    assert all(f" {word} " in said for word in (*_WORDS, "where", "rate"))
    assert "F10: all words" in said


def test_a_replacement_is_in_the_currency_the_buyer_paid_in(counter: Hands) -> None:
    counter.do("sell").enter("a6; ; 20 EUR; N. Reed; #; rate 0.86; post 3 EUR")
    counter.do("search").enter("A00006")
    counter.do("record-page")
    run(counter.desk, "record-credit-note")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == f"A00006; {TODAY}; 20.00 EUR; ", "the price, without the postage"
    counter.do("line-leave")
    run(counter.desk, "record-replace")
    counter.enter("a12; 21 EUR; clicks")
    back, going = life_of(counter, "A00006")[-1], life_of(counter, "A00012")[-1]
    assert (back["minor"], back["paid_in"]["minor"]) == (1978, 2300)
    assert (going["minor"], going["postage"], going["paid_in"]["minor"]) == (1806, 258, 2400)
    assert "the buyer pays 0.86 GBP" in counter.said
    all_is_found_again(counter)


@pytest.fixture
def closed(counter: Hands) -> Hands:
    """On the page of a bought parcel that is closed."""
    counter.do("parcel-page", "page-close").key("1")
    assert counter.head["state"] == "closed"
    return counter.do("parcel-page")


def late_bill(hands: Hands, text: str) -> None:
    """No map has a key for it: the finder opens it."""
    run(hands.desk, "late-bill")
    hands.enter(text)


def test_a_customs_bill_after_the_closing_lands_on_what_is_unsold(closed: Hands) -> None:
    before = closed.head["shares"]
    late_bill(closed, "duty; 18.40; -1; held at the border")
    assert closed.said == "late duty 18.40 GBP: on 7 records"
    (bill,) = closed.head["late"]
    assert (bill["minor"], bill["on"], bill["booked"]) == (1840, "2026-11-24", TODAY)
    assert sum(bill["shares"].values()) == 1840
    assert closed.head["shares"] == before
    late_bill(closed, "credit; 5.00; ; one was broken; 2")
    assert closed.said == "credit 5.00 GBP: on A00008"
    close_through(closed.desk, "2026-11-24")
    late_bill(closed, "postage; 2.00; -1")
    why = "the books are closed to 2026-11-24"
    assert closed.said == f"late postage 2.00 GBP: on 7 records; booked on {TODAY}: {why}"
    assert closed.head["late"].pop()["booked"] == TODAY
    late_bill(closed, "tax reclaimed; 3.00")
    assert closed.said == "late tax 3.00 GBP: comes back, no cost"
    assert len(closed.head["late"]) == 3
    all_is_found_again(closed)


def test_a_late_bill_or_credit_is_taken_back_where_it_went_with_a_reason(closed: Hands) -> None:
    """A credit entered by mistake could only be booked against by hand, a penny beside where it had gone."""
    late_bill(closed, "credit; 5.00; ; one was broken; 2 3")
    late_bill(closed, "duty; 18.41; -1; held at the border")
    close_through(closed.desk, "2026-11-24")
    credit, duty = closed.head["late"]
    run(closed.desk, "late-back")
    assert closed.desk.open.line is not None
    assert closed.desk.open.line.text == "2; ", "the one entered last"
    assert "write why" in closed.enter().said
    closed.enter("of another parcel")
    assert closed.said == "taken back: late duty 18.41 GBP: of another parcel"
    run(closed.desk, "late-back")
    closed.desk.open.line.text = ""
    closed.enter("1; it was postage")
    assert closed.said == "taken back: credit 5.00 GBP: it was postage"
    for bill, back in zip((duty, credit), closed.head["late"][2:], strict=True):
        assert back["shares"] == {record: -minor for record, minor in bill["shares"].items()}
        assert (back["on"], back["booked"]) == (TODAY, TODAY)
    page = text_of(middle_rows(closed.desk, 120, 60, FANCY))
    assert "3 taken back" in page
    assert "taken back: of another parcel" in page
    closed.do("page-find").type("taken back")
    assert closed.desk.open.line is not None
    assert len(closed.desk.open.line.picks) == 2, "rows that are only read are found too"
    closed.do("line-accept")
    shown = closed.desk.open.page
    assert shown is not None
    assert (shown.data["wanted"], shown.reads_below) == ("cost\t4", True)
    run(closed.desk, "late-back")
    assert closed.refused, "none is left"
    all_is_found_again(closed)


def test_a_bill_that_the_sender_bears_is_not_called_expensed_on_the_parcel_s_page(counter: Hands) -> None:
    open_parcel(counter.desk, "2026-10-05-1")
    counter.do("parcel-page")
    late_bill(counter, "postage; 3.00; ; van came late")
    assert "bears 3.00 GBP of it" in counter.said
    page = " ".join(text_of(middle_rows(counter.desk, 120, 60, FANCY)).split())
    assert f"1 late postage 3.00 GBP {TODAY}; on the sender's statement; van came late" in page


@pytest.mark.parametrize(
    ("text", "said"),
    [("credit", "how much? write credit; 18.40"), ("credit; 5.00", "why was it given back?")],
)
def test_a_credit_without_its_amount_or_reason_is_asked_for_it(closed: Hands, text: str, said: str) -> None:
    late_bill(closed, text)
    assert closed.refused
    assert said in closed.said
    assert "late" not in closed.head


def test_a_late_bill_is_entered_from_the_bench_for_a_parcel_that_letters_find(counter: Hands) -> None:
    run(counter.desk, "bench-late-bill")
    counter.enter("sandev")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == f"{CLOSED}; "
    counter.enter("postage; 2.40; -1; surcharge")
    assert counter.said.startswith(f"parcel {CLOSED}: late postage 2.40 GBP: Captain Orlo Sandever bears ")
    (bill,) = counter.desk.shop.read_parcel(CLOSED)[0]["late"]
    assert (bill["minor"], bill["on"], bill["about"]) == (240, "2026-11-24", "surcharge")
    run(counter.desk, "bench-late-bill")
    counter.enter()  # the marked one
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == f"{CLOSED}; "
    assert "write " in counter.enter().said, "the bill is missing, not the parcel"
    counter.desk.open.line.text = ""
    counter.enter("sandever; customs; 7.50")
    assert counter.said.startswith(f"parcel {CLOSED}: late duty 7.50 GBP: Captain Orlo Sandever bears ")
    for text, said in (
        ("nobody", "no closed parcel fits"),
        ("nobody; duty; 2", "no closed parcel 'nobody'"),
        (f"{counter.head['id']}; duty; 2", "no closed parcel"),
    ):
        run(counter.desk, "bench-late-bill")
        counter.enter(text)
        assert counter.refused
        assert said in counter.said
        counter.do("line-leave")
    all_is_found_again(counter)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("rent; 5", "not one of price, postage"),
        ("duty", "write duty; 18.40"),
        ("duty; 0", "an amount of 0"),
        ("duty; 5 EUR", "a rate is needed"),
        ("duty; 5; 2027-01-01", "has not come yet"),
        ("credit; 5; ; broken; 99", "'99' is not a record here"),
    ],
)
def test_a_late_bill_that_cannot_be_is_refused(closed: Hands, text: str, said: str) -> None:
    late_bill(closed, text)
    assert closed.refused
    assert said in closed.said
    assert closed.desk.open.line is not None
    assert "late" not in closed.head


def test_terms_changed_after_the_books_were_closed_are_a_correction_of_today(counter: Hands) -> None:
    desk = counter.desk
    assert desk.work.parcel is not None
    desk.shop.clock = desk.work.parcel._clock = lambda: f"{TODAY}T12:00:00Z"
    desk.shop.update_setting("earlier", lambda _: [])  # the demo shop was made on a later day than today's
    close_through(desk, "2026-11-24")
    record = next(one for one in desk.work.records if one["stock"] and one["terms"] is None)
    desk.work.record_id = record["id"]
    run(desk, "terms")
    counter.key("2")
    assert counter.said.endswith(f"; booked on {TODAY}: the books are closed to 2026-11-24")
    (note,) = counter.head["corrections"]
    assert (note["at"][:10], note["records"]) == (TODAY, [record["id"]])
    parcels = [desk.shop.read_parcel(one) for one in desk.shop.parcel_ids()]
    closed = read_closed(desk.shop.closings())
    entries = shop_entries(parcels, desk.shop.senders, desk.settings, closed, TODAY)
    made = [one for one in entries if one.corrects and one.record == record["id"]]
    assert made
    why = note["say"].removeprefix(f"record {record['no']}: ")
    assert {(one.day, one.words["why"]) for one in made} == {(TODAY, why)}
    counter.do("undo")
    entries = shop_entries(
        [desk.shop.read_parcel(one) for one in desk.shop.parcel_ids()],
        desk.shop.senders,
        desk.settings,
        closed,
        TODAY,
    )
    assert not [one for one in entries if one.corrects and one.record == record["id"]]


def test_terms_of_a_closed_parcel_are_changed_on_the_records_page(closed: Hands) -> None:
    desk = closed.desk
    desk.work.record_id = next(one["id"] for one in desk.work.records if one["terms"] is None)
    closed.do("page-leave", "record-page")
    run(desk, "record-terms")
    closed.key("2")
    assert "kept as a dated correction" in closed.said
    assert desk.work.record is not None
    assert desk.work.record["terms"] == "consigned"
    all_is_found_again(closed)


def test_the_books_are_closed_from_the_finder_and_files_for_them_are_written(counter: Hands) -> None:
    run(counter.desk, "books-close")
    assert counter.desk.open.line is not None
    assert counter.desk.open.line.text == "2026-10-31", "the month before"
    counter.enter()
    assert "closed_through" not in counter.desk.settings or not counter.desk.settings["closed_through"]
    counter.do("line-accept")
    assert counter.desk.settings["closed_through"] == "2026-10-31"
    for text, rows, name in (
        ("sales; 2026-11", 2, "sales-2026-11-01-2026-11-30.csv"),
        ("jou; 2026-Q4", 0, "journal-"),
        ("stock; 2026-10", 1, "stock-2026-10-31.csv"),
        ("vat; 2026-Q4", 1, "vat-2026-10-01"),
    ):
        run(counter.desk, "file-for-books" if counter.desk.open.page else "books-file")
        assert counter.desk.open.line is not None
        counter.desk.open.line.text = ""
        counter.enter(text)
        assert not counter.refused, counter.said
        assert name in counter.said
        assert not rows or f"of {rows} row" in counter.said
    for text, said in (
        ("sails", "'sails' is not one of"),
        ("sales; 2026-13", "there is no period"),
        ("journal; 2026; own", "it is not a table"),
        ("sales; 2026; none", "there is no layout"),
    ):
        run(counter.desk, "file-for-books" if counter.desk.open.page else "books-file")
        assert counter.desk.open.line is not None
        counter.desk.open.line.text = ""
        counter.enter(text)
        assert counter.refused
        assert said in counter.said
        counter.do("line-leave")


def test_late_bills_stand_on_the_parcels_page(closed: Hands) -> None:
    late_bill(closed, "duty; 18.40; -1; held at the border")
    late_bill(closed, "credit; 5.00; ; one was broken; 2")
    shown = text_of(middle_rows(closed.desk, 80, 200, FANCY))
    assert "late duty" in shown
    assert "18.40 GBP" in shown
    assert "on 7 records; held at the border" in shown
    assert "credit" in shown
    assert "-5.00 GBP" in shown
    assert "on A00008; one was broken" in shown


@pytest.mark.parametrize(("width", "height"), [(80, 17), (120, 33)])
def test_the_year_stands_on_a_page_with_what_is_owed_and_due(counter: Hands, width: int, height: int) -> None:
    run(counter.desk, "year-page")
    lines = middle_rows(counter.desk, width, 60, FANCY)
    assert all(width_of(line) <= width for line in lines)
    text = " ".join(text_of(lines).split())
    assert ESTIMATE in text
    assert [f"2026-{n:02} " in text for n in (9, 10, 11, 12)] == [False, True, True, False]
    october = [each for each in text.partition("2026-10 ")[2].split()[:6] if "." in each]
    assert (october[1], october[2]) == ("30.00", "7.50"), "one of two sales came back"
    assert "Captain Orlo Sandever" in text.partition("Owed")[2]
    assert "VAT period 2026-Q4 ends" not in text, "its end is more than a month away"
    assert ESTIMATE in " ".join(text_of(middle_rows(counter.desk, width, height, FANCY)).split())


def test_enter_turns_to_the_year_before_and_back(counter: Hands) -> None:
    """In January the page was empty, and there was no way to the year that had just ended."""

    def page() -> str:
        return " ".join(text_of(middle_rows(counter.desk, 120, 40, FANCY)).split())

    run(counter.desk, "year-page")
    counter.do("page-enter")
    assert counter.said == "there is nothing of an earlier year"
    before = page()
    counter.do("page-leave")
    counter.desk._now = Clock(datetime(2027, 1, 10, 10, tzinfo=UTC))
    run(counter.desk, "year-page")
    assert "The year 2027" in page()
    counter.do("page-enter")
    assert "The year 2026" in page()
    months = "2026-10 ", "2026-11 ", "all "
    assert [page().partition(one)[2][:30] for one in months] == [
        before.partition(one)[2][:30] for one in months
    ]
    counter.do("page-enter")
    assert "The year 2027" in page()


def test_a_vat_period_that_ended_within_a_month_is_due_too(counter: Hands) -> None:
    counter.desk.shop.change_settings(vat_period="month")
    found = [what for _, what in due(counter.desk, []) if what.startswith("VAT period")]
    assert [what.partition(";")[0] for what in found] == [
        "VAT period 2026-10 ended", "VAT period 2026-11 ends",
    ]  # fmt: skip


def test_a_month_that_lost_money_has_a_bar_as_long_as_what_it_sold() -> None:
    def whole(month: Month) -> int:
        return round(sum(share for share, *_ in sold_bar(month, 50000).stretches) * 50000)

    assert whole(Month("2026-11", 0, 49170, -1500, 0, 0)) == 49170
    assert whole(Month("2026-10", 0, 3000, 750, 0, 0)) == 3000
    assert whole(Month("2026-09", 0, 500, -1500, 0, 0)) == 1500, "more was lost than sold"


def test_a_corrected_price_keeps_the_discount_as_it_was_said(counter: Hands) -> None:
    counter.do("sell").enter("a12; ; 24; N. Reed; #; discount 10 %").do("search").enter("A00012")
    counter.do("record-page")
    page = " ".join(text_of(middle_rows(counter.desk, 120, 90, FANCY)).split())
    assert "discount 2.40 GBP (10 %)" in page
    for typed, said, minor, off, share in (
        ("price 20", "price 20.00 GBP", 1800, 200, "10"),  # a tenth of 20.00
        ("discount 12.5 %", "discount 12.5 %", 1750, 250, "12.5"),
        ("price 23; discount 3", "price 23.00 GBP, discount 3.00 GBP", 2000, 300, ""),
        ("price 1; discount 0", "price 1.00 GBP, discount 0.00 GBP", 100, 0, ""),
    ):
        counter.do("record-correct")
        assert counter.desk.open.line is not None
        assert counter.desk.open.line.about.startswith("a price is that before the discount. ")
        counter.enter(f"1; misread; {typed}")
        assert counter.said.startswith(f"event 1 corrected, {said}: misread; invoice 26-0353 stays as issued")
        sold = life_of(counter, "A00012")[0]
        for event in life_of(counter, "A00012")[1:]:
            sold = sold | event["now"]
        assert (sold["minor"], sold["discount"], sold["percent_off"]) == (minor, off, share)
    for typed, said in (("1; misread; discount 110 %", "0 to 100 %"), ("9; misread; price 3", "no event 9")):
        counter.do("record-correct").enter(typed)
        assert counter.refused
        assert said in counter.said
        counter.do("line-leave")
    all_is_found_again(counter)
