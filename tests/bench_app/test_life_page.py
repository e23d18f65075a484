"""A record's life, entered on its page: dated, refused in one sentence where it cannot be, never undone."""

from typing import Any

import pytest
from bench_hands import TODAY, Hands
from seen import middle_rows

from benchtui.base.errors import BenchError
from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.core.command import by_id
from benchtui.desk.core.lives import when_on
from benchtui.money.check import unused_credit_notes
from benchtui.money.standings import standing


@pytest.fixture
def october(demo: Hands) -> Hands:
    """The closed consigned parcel's third record, sold for 13.00, on its page."""
    return at_record(demo, "A00003")


def at_record(hands: Hands, stock: str) -> Hands:
    if hands.desk.open.line is not None:
        hands.do("line-leave")
    if hands.desk.open.page is not None:
        hands.do("page-leave")
    hands.do("search").enter(stock)
    assert hands.record["stock"] == stock
    return hands.do("record-page")


def page_of(hands: Hands, width: int = 80) -> str:
    return text_of(middle_rows(hands.desk, width, 400, FANCY))


def life(hands: Hands) -> list[dict[str, Any]]:
    return hands.record["life"]


def test_a_record_is_shelved_held_and_released(demo: Hands) -> None:
    hands = at_record(demo, "A00005")
    hands.do("record-shelf").enter("B3; yesterday")
    event = life(hands)[-1]
    assert (event["n"], event["at"], event["what"], event["place"]) == (
        len(life(hands)), "2026-11-24", "shelved", "B3"
    )  # fmt: skip
    hands.do("record-hold").enter("Miss Ada Wray; +7")
    assert (life(hands)[-1]["who"], life(hands)[-1]["until"]) == ("Miss Ada Wray", "2026-12-02")
    assert "in the shop, shelf B3, held for Miss Ada Wray until 2026-12-02" in " ".join(
        page_of(hands).split()
    )
    hands.do("record-release")
    assert life(hands)[-1]["what"] == "released"
    hands.do("record-release")
    assert hands.refused
    assert "not held" in hands.said


def test_a_held_record_is_sold_to_nobody_else(demo: Hands) -> None:
    hands = at_record(demo, "A00005")
    hands.do("record-hold").enter("Miss Ada Wray; +7")
    hands.do("record-sell")
    assert hands.desk.open.line is not None
    assert hands.desk.open.line.text == f"A00005; {TODAY}; 4.00; "
    hands.enter("N. Reed")
    assert hands.refused
    assert "held for Miss Ada Wray" in hands.said


def test_a_return_begins_with_what_is_left_of_the_price(october: Hands) -> None:
    october.do("record-return")
    assert october.desk.open.line is not None
    assert october.desk.open.line.text == "13.00; "
    october.enter("did not play through")
    assert life(october)[-1]["what"] == "returned"
    assert (life(october)[-1]["minor"], life(october)[-1]["note"]) == (1300, "did not play through")
    assert "brought back 1 time" in page_of(october)


def test_a_part_refund_is_at_most_what_was_paid(october: Hands) -> None:
    october.do("record-refund").enter("14; scratch")
    assert october.refused
    assert "at most 13.00 GBP" in october.said
    assert october.desk.open.line is not None
    october.do("line-leave", "record-refund").enter("3; scratch on B2")
    assert october.desk.open.tone == "done"
    assert "for 13.00 GBP, 3.00 GBP of it refunded" in page_of(october)
    october.do("record-refund").enter("all; lost in the post")
    assert "all of it refunded, 10.00 GBP" in october.said
    assert "for 13.00 GBP, all refunded" in page_of(october)


def test_a_record_goes_back_to_its_sender_and_cannot_be_sold_then(demo: Hands) -> None:
    hands = at_record(demo, "A00005")
    hands.do("record-back").enter("asked back")
    assert f"handed back on {TODAY}" in page_of(hands)
    hands.do("record-scrap")
    assert hands.refused
    assert hands.said == "it is handed back: nothing of it is here"


def test_scrapping_wants_a_reason_and_a_payout_an_amount(demo: Hands) -> None:
    hands = at_record(demo, "A00006")
    hands.do("record-payout").enter("0")
    assert hands.refused
    assert "more than 0" in hands.said
    hands.do("line-leave", "record-scrap").enter(" ; yesterday")
    assert hands.refused
    assert "why it left" in hands.said
    hands.do("line-leave", "record-scrap").enter("dropped")
    assert life(hands)[-1]["what"] == "scrapped"


def test_nobody_is_paid_out_for_a_record_of_the_shops_own(demo: Hands) -> None:
    hands = at_record(demo, "A00012")
    hands.do("record-payout").enter("4")
    assert hands.refused
    assert "it is the shop's own" in hands.said


def test_a_payout_stands_with_its_reference(october: Hands) -> None:
    october.do("record-payout").enter("9.75; transfer 14; 2026-11-20")
    event = life(october)[-1]
    assert (event["what"], event["minor"], event["reference"], event["at"]) == (
        "paid out", 975, "transfer 14", "2026-11-20"
    )  # fmt: skip


@pytest.mark.parametrize(
    ("action", "text", "said"),
    [
        ("record-shelf", "B3; 30/11", "not a day"),
        ("record-shelf", "B3; +1", "has not come yet"),
        ("record-shelf", "B3; today; more", "too many"),
        ("record-hold", "Miss Ada Wray", "not a day"),
        ("record-hold", "; +3", "for whom"),
        ("record-hold", "Miss Ada Wray; yesterday", "held until"),
        ("record-return", "4", "not sold"),
        ("record-refund", "4 EUR", "not sold"),
        ("record-payout", "four", "not an amount"),
        ("record-payout", "-4", "below zero"),
        ("record-price", "4.9999", "decimals"),
        ("record-reserve", "4 QQQ", "QQQ"),
        ("record-correct", "8; typed wrong; day 2026-10-06", "no event 8"),
    ],
)
def test_bad_input_is_refused_in_one_sentence_with_the_text_kept(
    demo: Hands, action: str, text: str, said: str
) -> None:
    hands = at_record(demo, "A00006")
    before = dict(hands.record)
    hands.do(action)
    if hands.desk.open.line is not None:
        hands.enter(text)
        assert hands.desk.open.line is not None
        assert hands.desk.open.line.text == text
    assert hands.refused
    assert said in hands.said
    assert "\n" not in hands.said
    assert hands.record == before


def test_a_mistake_is_corrected_by_an_entry_of_its_own_and_both_stay_readable(october: Hands) -> None:
    sold = next(event for event in life(october) if event["what"] == "sold")
    old = dict(sold)
    october.do("record-correct").enter(f"{sold['n']}; the price was misread; price 12; buyer N. Reed")
    assert october.desk.open.tone == "done", october.said
    entry = life(october)[-1]
    assert (entry["what"], entry["of"], entry["at"]) == ("corrected", sold["n"], TODAY)
    assert entry["now"] == {"minor": 1200, "buyer": "N. Reed"}
    assert next(event for event in life(october) if event["n"] == sold["n"]) == old
    text = page_of(october)
    assert "for 12.00 GBP, buyer N. Reed" in text
    assert f"(corrected by event {entry['n']})" in text


def test_a_sale_that_never_was_is_voided_and_the_record_is_in_the_shop_again(october: Hands) -> None:
    sold = next(event for event in life(october) if event["what"] == "sold")
    october.do("record-correct").enter(f"{sold['n']}; another record was sold; void")
    assert "void, it did not happen" in page_of(october)
    october.do("record-sell").enter("N. Reed")
    assert october.desk.open.tone == "done", october.said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("9; why; void", "no event 9"),
        ("x; why; void", "not the number of an event"),
        ("{n}; ; void", "why it is corrected"),
        ("{n}; why", "what the right entry is"),
        ("{n}; why; colour red", "not one of"),
        ("{n}; why; place B3", "has no place"),
        ("{n}; why; price -3", "below zero"),
        ("{n}; why; day 2026-12-24", "has not come yet"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(october: Hands, text: str, said: str) -> None:
    sold = next(event for event in life(october) if event["what"] == "sold")
    before = list(life(october))
    october.do("record-correct").enter(text.format(n=sold["n"]))
    assert october.refused
    assert said in october.said
    assert life(october) == before


def test_nothing_of_a_closed_parcel_is_taken_back_by_undo(october: Hands) -> None:
    october.do("record-payout").enter("9.75; transfer 14")
    count = len(life(october))
    october.do("page-leave", "undo")
    assert october.refused
    assert len(life(october)) == count


def test_the_books_closed_through_a_day_take_nothing_of_it(october: Hands) -> None:
    october.desk.shop.change_settings(closed_through="2026-11-20")
    october.do("record-payout").enter("9.75; transfer 14; 2026-11-20")
    assert october.refused
    assert "the books are closed to 2026-11-20" in october.said


def test_a_life_edited_into_nonsense_is_said_on_the_page(october: Hands) -> None:
    assert october.desk.work.parcel is not None
    with october.desk.work.parcel.correct("by hand") as change:
        change.record(october.record["id"])["life"].append(
            {"n": 9, "at": "2026-11-25", "what": "lent [b]out[/b]"}
        )
    page = " ".join(page_of(october).split())
    assert "this version does not know what event 9, 'lent [b]out[/b]', does to the money" in page
    assert "9 2026-11-25 lent [b]out[/b]" in page, "shown as it stands"
    october.do("page-leave")
    assert "WHAT HAPPENED TO IT CANNOT BE READ" in text_of(middle_rows(october.desk, 100, 30, FANCY))
    october.do("record-page", "record-correct").enter("9; of a newer version; void")
    assert "event 9 is void" in october.said
    assert standing(october.record).what == "sold"
    assert "9 2026-11-25 lent [b]out[/b] (corrected by event" in " ".join(page_of(october).split()), (
        "it stays"
    )


def test_an_event_whose_amount_cannot_be_read_is_voided(october: Hands) -> None:
    assert october.desk.work.parcel is not None
    payout = {"n": 9, "at": "2026-11-25", "what": "paid out", "minor": "9", "currency": "GBP"}
    with october.desk.work.parcel.correct("by hand") as change:
        change.record(october.record["id"])["life"].append(payout)
    assert "of record 3: " in page_of(october)
    october.do("record-correct").enter("9; a slip by hand; void")
    assert "event 9 is void" in october.said
    assert standing(october.record).what == "sold"


@pytest.mark.parametrize("action", ["record-shelf", "record-release", "record-correct", "record-eligible"])
def test_it_is_done_on_the_record_s_page_and_nowhere_else(demo: Hands, action: str) -> None:
    demo.do("line-leave").do("parcel-page").do(action)
    assert demo.refused
    assert "page" in demo.said


def test_every_deed_is_among_the_page_s_commands(october: Hands) -> None:
    october.do("page-more")
    assert october.desk.open.line is not None
    found = [by_id()[pick.value].words for pick in october.desk.open.line.picks]
    said = " ".join(found)
    for words in (
        "hold it for somebody",
        "no longer held",
        "the buyer returned it",
        "correct an earlier event",
    ):
        assert words in said


def test_a_record_to_which_nothing_happened_has_nothing_to_correct(demo: Hands) -> None:
    at_record(demo, "A00012").do("record-correct")
    assert demo.refused
    assert "nothing has happened" in demo.said
    assert demo.desk.open.line is None


def test_what_is_given_back_of_an_invoiced_sale_has_the_next_credit_note(demo: Hands) -> None:
    hands = at_record(demo, "A00005")
    hands.do("record-sell").enter("N. Reed; #")
    assert life(hands)[-1]["invoice"]
    hands.do("record-refund").enter("9; too much")
    assert hands.refused
    assert hands.desk.shop.credit_notes() == {}, "a number is taken with what is entered"
    hands.do("line-leave", "record-refund").enter("1; scratch")
    assert hands.said.endswith("part of it refunded, 1.00 GBP, credit note C0001")
    hands.do("record-return").enter("clicks")
    assert [event.get("credit_note") for event in life(hands)[-2:]] == ["C0001", "C0002"]
    assert "credit note C0002" in page_of(hands, 120)
    assert list(hands.desk.shop.credit_notes()) == ["C0001", "C0002"]
    shop = hands.desk.shop
    parcels = [shop.read_parcel(one) for one in shop.parcel_ids()]
    assert unused_credit_notes(parcels, shop.credit_notes()) == []
    life(hands)[-1].pop("credit_note")
    told = unused_credit_notes([(hands.head, [hands.record])], {"C0002": {}})
    assert [fault.what for fault in told] == [
        "credit note C0002 was given out, but no return or refund has it"
    ]


def test_a_number_is_free_again_where_the_return_cannot_be_kept(
    demo: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = at_record(demo, "A00005")
    hands.do("record-sell").enter("N. Reed; #")
    assert life(hands)[-1]["invoice"]

    def full(*_: object, **__: object) -> None:
        raise BenchError("the disk is full")

    monkeypatch.setattr("benchtui.desk.sale.record_life.enter_event", _after_number(full))
    hands.do("record-return").enter("clicks")
    assert "the disk is full" in hands.said
    assert hands.desk.shop.credit_notes() == {}


def _after_number(fail: Any) -> Any:
    """As `enter_event`, but nothing can be written once the event is made."""

    def enter(desk: Any, parcel: str, record: str, on: str, make: Any, say: str, then: Any) -> None:
        there = desk.work.parcel
        make(there.head, there.record(record), when_on(desk, on))
        fail()

    return enter


def test_an_amount_behind_the_refund_that_stood_there_is_no_reason(october: Hands) -> None:
    """A credit note went out with the reason "15"."""
    october.do("record-return").enter("15")
    assert october.refused
    assert "'15' is no reason" in october.said
    assert life(october)[-1]["what"] != "returned"


def test_the_line_of_a_correction_says_who_reads_its_reason_and_what_an_invoice_holds(demo: Hands) -> None:
    """ "buyer and sender read it" stood at what was bought and has no sender's statement."""
    hands = at_record(demo, "A00006")
    hands.do("record-sell").enter("N. Reed; #; post 4.50; where the fair")
    assert "buyer N. Reed, at the fair, invoice" in " ".join(page_of(hands).split())
    hands.do("record-correct")
    line = hands.desk.open.line
    assert line is not None
    terms = hands.record.get("terms") or hands.head["terms"]
    assert ("why (buyer and sender read it)" in line.about) == (terms == "consigned")
    assert "post, sent and fees are this record's part of invoice" in line.about
    assert "(now post 4.50)." in line.about, "the whole bill of several was typed over a part of it"
    hands.do("line-leave")
    bought = at_record(demo, "A00012")
    bought.do("record-sell").enter("N. Reed").do("record-correct")
    assert bought.desk.open.line is not None
    assert bought.desk.open.line.about.startswith("number of the event; why; the right entry")
    bought.do("line-leave", "commands").type("void")
    assert bought.desk.open.line.picks[0].value == "record-correct"


def test_a_key_of_the_bench_at_a_closed_parcel_names_where_things_are_put_right(demo: Hands) -> None:
    """ "Enter a dated correction" said neither what nor where."""
    hands = at_record(demo, "A00006").do("page-leave")
    hands.do("undo")
    assert hands.refused
    key = hands.desk.key("record-page")
    later = f"{key}, the record in full, takes what is put right or comes later"
    assert hands.said == f"the parcel is closed: {later}"


def test_the_commission_expected_says_what_is_in_it(demo: Hands) -> None:
    """The shop's postage was taken off in words where the sender bore it."""
    hands = at_record(demo, "A00006")
    sender = hands.head["sender"]
    hands.desk.shop.change_sender(sender, inbound="sender", per_record={"minor": 50, "currency": "GBP"})
    page = " ".join(page_of(hands).split())
    assert "GBP expected, with charges" in page
    assert "that the shop pays" not in page
    hands.desk.shop.change_sender(sender, inbound="shop", per_record=None)
    assert "of postage that the shop pays" in " ".join(page_of(hands).split())
