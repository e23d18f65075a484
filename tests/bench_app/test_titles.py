"""Recognising the title: letters, initials, numbers, slips; one key takes it; a new one from what is typed."""

import pytest
from bench_hands import Hands


def _title(hands: Hands) -> str:
    title = hands.record["title"]
    assert title is not None
    return title["id"]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("stompers on", "qm-slipway"),
        ("slip stom", "qm-slipway"),
        ("lantern cor", "qm-lantern-year"),
        ("tly", "qm-lantern-year"),
        ("qm 1228", "qm-lantern-year"),
        ("sqm 1228", "qm-lantern-year"),
        ("1228", "qm-lantern-year"),
        ("lamtern yea", "qm-lantern-year"),
        ("corridale country", "qm-country"),
        ("HCS 101", "hc-acre"),
        ("LONG ACRE", "hc-acre"),
    ],
)
def test_a_title_is_found_by_letters_in_any_order_initials_numbers_and_with_slips(
    parcel: Hands, typed: str, wanted: str
) -> None:
    parcel.type(typed)
    assert parcel.desk.open.line is not None
    ids = [pick.value.id for pick in parcel.desk.open.line.picks]
    assert wanted in ids[:3], ids
    row = ids.index(wanted) + 1
    parcel.do(f"pick-{row}")
    assert _title(parcel) == wanted


def test_enter_takes_the_marked_line_and_arrows_move_the_mark(parcel: Hands) -> None:
    parcel.type("corried")
    assert parcel.desk.open.line is not None
    second = parcel.desk.open.line.picks[1].value.id
    parcel.do("line-down", "line-down", "line-up", "line-accept")
    assert _title(parcel) == second


def test_the_mark_goes_round_the_list(parcel: Hands) -> None:
    parcel.type("corried")
    assert parcel.desk.open.line is not None
    last = len(parcel.desk.open.line.picks) - 1
    parcel.do("line-up")
    assert parcel.desk.open.line.marked == last
    parcel.do("line-down")
    assert parcel.desk.open.line.marked == 0


def test_a_row_the_list_does_not_have_is_refused_and_the_line_stays(parcel: Hands) -> None:
    parcel.type("stompers slipway qm 1063").do("pick-8")
    assert parcel.refused
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == "stompers slipway qm 1063"


def test_everything_the_lists_know_is_filled_in(parcel: Hands) -> None:
    parcel.find("lan")
    title = parcel.record["title"]
    assert title == {
        "id": "qm-lantern-year", "artist": "The Corriedales", "title": "The Lantern Year",
        "catalogue": "QM 1228", "first": "1969-11", "company": "Quillmoor", "country": "XV",
        "book": title["book"],
    }  # fmt: skip
    assert parcel.record["size_in"] == 12
    assert parcel.kinds().count("disc") == 2
    assert parcel.kinds().count("inner") == 2
    extras = [part.get("name") for part in parcel.record["parts"] if part["kind"] == "extra"]
    assert extras == ["poster", "almanac"]
    assert parcel.part["kind"] == "cover", "the first part is in the hand at once"
    assert parcel.desk.asking.asked is not None, "and its first question is open"
    assert parcel.desk.open.line is None
    assert parcel.record["state"] == "started"


def test_when_nothing_fits_one_key_makes_a_title_from_what_was_typed(parcel: Hands) -> None:
    parcel.type("Ada Fennimore - Sluice Songs - PRIV 1").do("line-new")
    title = parcel.record["title"]
    assert title is not None
    assert (title["artist"], title["title"], title["catalogue"]) == (
        "Ada Fennimore",
        "Sluice Songs",
        "PRIV 1",
    )
    assert parcel.kinds() == ["cover", "disc", "inner"]
    assert any(made["id"] == title["id"] for made in parcel.desk.shop.made_titles())


def test_enter_makes_it_too_where_nothing_at_all_fits(parcel: Hands) -> None:
    parcel.enter("Zzyzx Wqrt")
    assert parcel.refused, "a bare word is as likely a slip: asked first"
    assert parcel.record["title"] is None
    parcel.do("line-accept")
    title = parcel.record["title"]
    assert title is not None
    assert (title["artist"], title["title"]) == ("", "Zzyzx Wqrt")


def test_another_word_is_asked_about_anew(parcel: Hands) -> None:
    parcel.enter("Zzyzx Wqrt").type("x").do("line-accept")
    assert parcel.refused
    assert parcel.record["title"] is None


def test_a_title_made_on_the_bench_is_found_by_its_letters_afterwards(parcel: Hands) -> None:
    parcel.type("Ada Fennimore - Sluice Songs - PRIV 1").do("line-new")
    made = _title(parcel)
    parcel.do("later").find("slu fen")
    assert _title(parcel) == made


def test_what_was_picked_lately_comes_first_for_two_letters(parcel: Hands) -> None:
    parcel.find("corriedale country").do("later").type("co")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.picks[0].value.id == "qm-country"


def test_an_empty_line_taken_or_left_changes_nothing(parcel: Hands) -> None:
    parcel.do("line-accept")
    assert parcel.desk.open.line is None
    assert parcel.record["state"] == "empty"
    parcel.do("find-title").type("lan").do("line-leave")
    assert parcel.record["title"] is None
    assert parcel.record["state"] == "empty"


def test_a_title_taken_by_mistake_leaves_no_part_too_many_and_none_too_few(parcel: Hands) -> None:
    parcel.find("sto").find("lan")
    assert sorted(parcel.kinds()) == ["cover", "disc", "disc", "extra", "extra", "inner", "inner"]
    parcel.find("sto")
    assert sorted(parcel.kinds()) == ["cover", "disc", "inner"]


def test_a_changed_title_keeps_what_was_said_of_the_parts(parcel: Hands) -> None:
    parcel.find("lan")
    parcel.take("disc", 2)
    parcel.grade("G").find("sto")
    discs = [part for part in parcel.record["parts"] if part["kind"] == "disc"]
    assert [part.get("number") for part in discs] == [1, 2]
    assert discs[1]["grades"][-1]["grade"] == "G"


def test_parts_added_by_hand_before_the_title_stay(parcel: Hands) -> None:
    parcel.do("line-leave", "add-part").key("1").do("add-part").key("1").find("sto")
    assert sorted(parcel.kinds()) == ["cover", "disc", "disc", "inner"]
