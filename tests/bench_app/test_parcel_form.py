"""Opening a parcel: a line a field, senders found or made, charges with rates, mistakes kept for mending."""

from datetime import date

import pytest
from bench_hands import TODAY, Hands

from benchtui.desk.line.fields import FIELDS, read_charges, with_charges
from benchtui.desk.parcel.parcel import open_field

NAMES = [field.name for field in FIELDS]


def _at_field(empty: Hands, name: str) -> Hands:
    """A new parcel's form, gone through with Enter as far as that field."""
    empty.do("page-new")
    while empty.desk.open.line is not None and empty.desk.open.line.name != f"field-{name}":
        empty.enter()
    assert empty.desk.open.line is not None
    return empty


def test_the_form_asks_every_field_once_in_its_order(empty: Hands) -> None:
    empty.do("page-new")
    asked = []
    while empty.desk.open.line is not None and empty.desk.open.line.name.startswith("field-"):
        asked.append(empty.desk.open.line.name.removeprefix("field-"))
        empty.enter()
    assert asked == NAMES


def test_a_sender_is_completed_from_a_few_letters_and_brings_the_terms(empty: Hands) -> None:
    empty.do("page-new").enter("quil")
    sender = empty.desk.shop.senders[empty.head["sender"]]
    assert sender["name"] == "Hester Quillow"
    assert empty.head["terms"] == "consigned"


def test_initials_of_two_words_complete_a_sender_too(empty: Hands) -> None:
    empty.do("page-new").enter("d u")
    assert empty.desk.shop.senders[empty.head["sender"]]["name"] == "Una Dovrick"


def test_an_unknown_sender_is_made_from_what_is_typed(empty: Hands) -> None:
    empty.do("page-new").enter("Odo Marl, Candle Ness")
    assert empty.desk.shop.senders[empty.head["sender"]]["name"] == "Odo Marl, Candle Ness"


def test_a_new_sender_can_be_made_though_a_known_one_fits(empty: Hands) -> None:
    empty.do("page-new").type("Una").do("line-new")
    assert empty.desk.shop.senders[empty.head["sender"]]["name"] == "Una"
    assert len(empty.desk.shop.senders) == 3


def test_a_sender_of_the_same_name_is_another_person(empty: Hands) -> None:
    empty.do("page-new").type("Una Dovrick").do("line-new")
    mine = empty.head["sender"]
    assert mine is not None
    empty.do("line-leave")
    open_field(empty.desk, "sender")
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.text == f"Una Dovrick ({mine})"
    empty.enter()
    assert empty.head["sender"] == mine, "Enter over what stands there changes nothing"


def test_a_whole_form_is_kept_field_by_field(empty: Hands) -> None:
    empty.do("page-new")
    for text in (
        "Una Dovrick", "c", "4", "480 EUR @ 0.8650 2026-11-16 the bank", "38,50 EUR @ 0,8650", "", "89.70", "12",
        "Mail Packet", "UMP 7731", "XV-26", "480 EUR", "600.5 EUR", "2026-11-17", "yesterday", "today", "+14",
        "two cartons", "one corner dented", "the back room",
        "2026-11-16", "B-77", "", "", "se", "y; from a private person",
    ):  # fmt: skip
        empty.enter(text)
    while empty.desk.open.page is not None and empty.desk.open.line is not None:
        empty.enter()  # fields that may stay empty
    head = empty.head
    assert head["terms"] == "consigned"
    assert head["expected"] == 4
    assert [record["state"] for record in empty.desk.work.records] == ["empty"] * 4
    price, postage, tax, fees = head["charges"]
    assert price == {
        "what": "price", "minor": 48000, "currency": "EUR", "rate": "0.8650", "rate_date": "2026-11-16",
        "rate_from": "the bank",
    }  # fmt: skip
    assert (postage["what"], postage["minor"], postage["rate"]) == ("postage", 3850, "0.8650")
    assert postage["rate_date"] == TODAY
    assert (tax["what"], tax["minor"], tax["currency"], tax["rate"]) == ("tax", 8970, "GBP", None)
    assert (fees["what"], fees["minor"]) == ("fees", 1200)
    assert (head["carrier"], head["tracking"], head["customs"]) == ("Mail Packet", "UMP 7731", "XV-26")
    assert head["declared"] == {"minor": 48000, "currency": "EUR"}
    assert head["insured"] == {"minor": 60050, "currency": "EUR"}
    assert (head["dispatched"], head["delivered"], head["opened"]) == ("2026-11-17", "2026-11-24", TODAY)
    assert head["claim_deadline"] == "2026-12-09"
    assert (head["packing"], head["damage"], head["note"]) == (
        "two cartons", "one corner dented", "the back room"
    )  # fmt: skip
    assert (head["bought_on"], head["purchase_invoice"], head["inbound"]) == ("2026-11-16", "B-77", "sender")
    assert (head["margin_eligible"], head["margin_why"]) == (True, "from a private person")
    assert empty.record["no"] == 1, "after the last field the first record is on the bench"
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.name == "title"


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("terms", "perhaps"),
        ("expected", "a dozen"),
        ("expected", "-3"),
        ("expected", "2001"),
        ("price", "480 pieces"),
        ("price", "480 EUR"),
        ("price", "480 EUR @ nine"),
        ("price", "480 EUR @ 0"),
        ("price", "-5"),
        ("price", "1.999"),
        ("declared", "12 QQQ"),
        ("dispatched", "07/11/2026"),
        ("dispatched", "2026-02-30"),
        ("claim_deadline", "in a fortnight"),
    ],
)
def test_a_mistake_is_refused_in_one_line_with_the_text_kept_for_mending(
    empty: Hands, field: str, text: str
) -> None:
    _at_field(empty, field)
    before = dict(empty.head)
    empty.enter(text)
    assert empty.refused
    assert empty.said
    assert "\n" not in empty.said
    assert empty.desk.open.line is not None
    assert empty.desk.open.line.name == f"field-{field}"
    assert empty.desk.open.line.text == text
    assert {key: empty.head[key] for key in ("charges", "declared", "dispatched", "claim_deadline")} == {
        key: before[key] for key in ("charges", "declared", "dispatched", "claim_deadline")
    }


def test_a_field_is_changed_later_from_the_page_and_typing_replaces_what_it_held(parcel: Hands) -> None:
    parcel.do("line-leave", "parcel-page")
    assert parcel.desk.open.page is not None
    parcel.desk.open.page.marked = NAMES.index("opened")
    parcel.do("page-enter")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == TODAY
    parcel.enter("yesterday")
    assert parcel.head["opened"] == "2026-11-24"
    assert parcel.desk.open.line is None


def test_an_amount_is_taken_back_by_an_empty_line_typed_over_it(empty: Hands) -> None:
    _at_field(empty, "fees").enter("12")
    empty.do("line-leave")
    assert empty.head["charges"]
    assert empty.desk.open.page is not None
    empty.desk.open.page.marked = NAMES.index("fees")
    empty.do("page-enter").key("backspace").do("line-accept")
    assert empty.head["charges"] == []


def test_escape_leaves_the_form_with_everything_typed_kept(empty: Hands) -> None:
    empty.do("page-new").enter("dovrick").enter().enter("5").do("line-leave")
    assert empty.head["expected"] == 5
    assert empty.desk.shop.senders[empty.head["sender"]]["name"] == "Una Dovrick"


def test_fewer_expected_takes_only_empty_places_from_the_end(parcel: Hands) -> None:
    parcel.find("baf").do("parcel-page")
    assert parcel.desk.open.page is not None
    for text, left in (("1", 1), ("4", 4), ("0", 1)):
        parcel.desk.open.page.marked = NAMES.index("expected")
        parcel.do("page-enter").enter(text)
        assert len(parcel.desk.work.records) == left
    assert parcel.at(1)["title"] is not None


def test_a_field_is_taken_back_and_done_again(empty: Hands) -> None:
    _at_field(empty, "expected").enter("1").do("line-leave")
    assert empty.desk.open.page is not None
    empty.desk.open.page.marked = NAMES.index("carrier")
    empty.do("page-enter").enter("Mail Packet").do("page-leave", "line-leave", "undo")
    assert empty.head["carrier"] == ""
    empty.do("redo")
    assert empty.head["carrier"] == "Mail Packet"


def test_several_bills_of_one_kind_stand_beside_each_other(empty: Hands) -> None:
    _at_field(empty, "postage").enter("12.00 + 3.50 EUR @ 0.86 2026-11-20 bank + 4 reclaimed")
    bills = [(one["what"], one["minor"], one["currency"], one["rate"]) for one in empty.head["charges"]]
    assert bills == [
        ("postage", 1200, "GBP", None),
        ("postage", 350, "EUR", "0.86"),
        ("postage", 400, "GBP", None),
    ]
    shown = FIELDS[NAMES.index("postage")].show(empty.head)
    assert shown == "12.00 GBP + 3.50 EUR @ 0.86 2026-11-20 bank + 4.00 GBP reclaimed"
    empty.enter("18.40")
    assert [one["what"] for one in empty.head["charges"]] == ["postage"] * 3 + ["duty"]


def test_a_changed_bill_keeps_its_place_and_a_missing_one_is_asked_for(empty: Hands) -> None:
    _at_field(empty, "postage").enter("12 + 3.50").enter("18.40")
    day = date.fromisoformat(TODAY)
    postage = read_charges("postage")("5 + 6 + 7", "GBP", day)
    made = with_charges(empty.head["charges"], "postage", postage)
    assert [(one["what"], one["minor"]) for one in made] == [
        ("postage", 500), ("postage", 600), ("duty", 1840), ("postage", 700),
    ]  # fmt: skip
    assert [one["what"] for one in with_charges(made, "postage", [])] == ["duty"]
    for text in ("12 +", "+ 12", "12 + + 3"):
        with pytest.raises(ValueError, match="a bill is missing beside a \\+"):
            read_charges("postage")(text, "GBP", day)
