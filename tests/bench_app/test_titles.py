"""Recognising the title: letters, initials, numbers, slips; one key takes it; a new one from what is typed."""

import pytest
from bench_hands import Hands

from benchtui.books.library import Library
from benchtui.desk.look.short_form import short_form
from benchtui.desk.look.title_picks import year_shown
from benchtui.model.title import Title


def _title(hands: Hands) -> str:
    title = hands.record["title"]
    assert title is not None
    return title["id"]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("bafflers on", "tw-breakwater"),
        ("break baff", "tw-breakwater"),
        ("almanac orr", "tw-almanac"),
        ("tsa", "tw-almanac"),
        ("tw 528", "tw-almanac"),
        ("twd 528", "tw-almanac"),
        ("528", "tw-almanac"),
        ("salf alma", "tw-almanac"),
        ("orindale latitudes", "tw-latitudes"),
        ("BMD 161", "bm-longpeal"),
        ("LONG PEAL", "bm-longpeal"),
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
    parcel.type("orrind")
    assert parcel.desk.open.line is not None
    second = parcel.desk.open.line.picks[1].value.id
    parcel.do("line-down", "line-down", "line-up", "line-accept")
    assert _title(parcel) == second


def test_the_mark_goes_round_the_list(parcel: Hands) -> None:
    parcel.type("orrind")
    assert parcel.desk.open.line is not None
    last = len(parcel.desk.open.line.picks) - 1
    parcel.do("line-up")
    assert parcel.desk.open.line.marked == last
    parcel.do("line-down")
    assert parcel.desk.open.line.marked == 0


def test_a_row_the_list_does_not_have_is_refused_and_the_line_stays(parcel: Hands) -> None:
    parcel.type("bafflers breakwater tw 363").do("pick-8")
    assert parcel.refused
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == "bafflers breakwater tw 363"


def test_everything_the_lists_know_is_filled_in(parcel: Hands) -> None:
    parcel.find("salt")
    title = parcel.record["title"]
    assert title is not None
    assert title == {
        "id": "tw-almanac", "artist": "The Orrindales", "title": "The Salt Almanac",
        "catalogue": "TW 528", "first": "1978-03", "company": "Tarrowick", "country": "XV",
        "book": title["book"],
    }  # fmt: skip
    assert parcel.record["size_in"] == 10
    assert parcel.kinds().count("disc") == 2
    assert parcel.kinds().count("inner") == 2
    extras = [part.get("name") for part in parcel.record["parts"] if part["kind"] == "extra"]
    assert extras == ["sea chart", "tide table"]
    assert parcel.part["kind"] == "cover", "the first part is in the hand at once"
    assert parcel.desk.asking.asked is not None, "and its first question is open"
    assert parcel.desk.open.line is None
    assert parcel.record["state"] == "started"


def test_a_year_or_number_typed_behind_a_few_letters_is_not_lost(parcel: Hands) -> None:
    parcel.type("last boat 1966").do("line-accept")
    assert parcel.desk.open.menu is not None
    assert parcel.desk.open.menu.title == "Last Boat but One: what is 1966?"
    parcel.key("3")
    made = parcel.record["title"]
    assert made is not None
    assert (made["artist"], made["title"], made["first"]) == ("Idony Perrick", "Last Boat but One", "1966")
    parcel.do("undo", "find-title").desk.open.line.text = ""  # type: ignore[union-attr]
    parcel.type("perick last boat TW 999 1966")
    assert parcel.desk.open.line is not None
    head = parcel.desk.open.line.picks[0].value
    assert (head.artist, head.title, head.catalogue, head.first) == (
        "Idony Perrick", "Last Boat but One", "TW 999", "1966",
    )  # fmt: skip
    parcel.do("line-accept")
    assert parcel.record["title"] is not None
    assert (parcel.record["title"]["catalogue"], parcel.record["title"]["first"]) == ("TW 999", "1966")


@pytest.mark.parametrize(
    ("typed", "number", "year"),
    [
        ("last boat 1966", "", "1966"),
        ("last boat c1966", "", "1966~"),  # no number "c1966"
        ("last boat 196x", "", "196X"),
        ("perrick last boat tw999", "tw999", ""),
        ("boat TWS 321 1966", "TWS 321", "1966"),
        ("boat 1966 322", "322", "1966"),
        ("boat one 7", None, None),  # fewer figures may be a word of the title
        ("boat one 196", None, None),  # a year not typed to its end
        ("something else TW 999", None, None),
        ("TW 999", None, None),
        ("Idony Perrick - Last Boat but One - TW 999", None, None),
        ("boat 4006381333931", None, None),
    ],
)
def test_what_is_read_behind_a_few_letters_of_a_title(
    typed: str, number: str | None, year: str | None
) -> None:
    title = Title("t", "Idony Perrick", "Last Boat but One", "TW 321", first="1964-12")
    read = short_form(Library([]), typed, title)
    assert (read and (read.catalogue, read.first)) == (None if number is None else (number, year))


def test_a_number_that_another_title_of_the_list_has_marks_that_one(parcel: Hands) -> None:
    for text, its in (("hestrel four pilots TB 3 1974", "tw-pilots"), ("tw363 1967", "tw-breakwater")):
        line = parcel.paste(text).desk.open.line
        assert line is not None
        assert line.picks[0].value.id == its
        line.text = ""


def test_a_year_after_the_number_is_when_a_new_title_was_first_issued(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1 - 1963").do("line-new")
    title = parcel.record["title"]
    assert title is not None
    assert (title["catalogue"], title["first"]) == ("OWN 1", "1963")


@pytest.mark.parametrize(
    ("first", "shown"),
    [("[1965-07..1967-06]", "1965-67"), ("[..1964]", "to 1964"), ("1967~", "1967"), ("[what", "[wha")],
)
def test_a_title_s_line_has_the_years_of_a_span(first: str, shown: str) -> None:
    assert year_shown(first) == shown


def test_when_nothing_fits_one_key_makes_a_title_from_what_was_typed(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    title = parcel.record["title"]
    assert title is not None
    assert (title["artist"], title["title"], title["catalogue"]) == (
        "Ada Pellimore",
        "Sluice Tales",
        "OWN 1",
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
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    made = _title(parcel)
    parcel.do("later").find("slu pel")
    assert _title(parcel) == made


def test_what_was_picked_lately_comes_first_for_two_letters(parcel: Hands) -> None:
    parcel.find("orrindale latitudes").do("later").type("orr")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.picks[0].value.id == "tw-latitudes"


def test_an_empty_line_taken_or_left_changes_nothing(parcel: Hands) -> None:
    parcel.do("line-accept")
    assert parcel.desk.open.line is None
    assert parcel.record["state"] == "empty"
    parcel.do("find-title").type("salt").do("line-leave")
    assert parcel.record["title"] is None
    assert parcel.record["state"] == "empty"


def test_a_title_taken_by_mistake_leaves_no_part_too_many_and_none_too_few(parcel: Hands) -> None:
    parcel.find("baf").find("salt")
    assert sorted(parcel.kinds()) == ["cover", "disc", "disc", "extra", "extra", "inner", "inner"]
    parcel.find("baf")
    assert sorted(parcel.kinds()) == ["cover", "disc", "inner"]


def test_a_changed_title_keeps_what_was_said_of_the_parts(parcel: Hands) -> None:
    parcel.find("salt")
    parcel.take("disc", 2)
    parcel.grade("G").find("baf")
    discs = [part for part in parcel.record["parts"] if part["kind"] == "disc"]
    assert [part.get("number") for part in discs] == [1, 2]
    assert discs[1]["grades"][-1]["grade"] == "G"


def test_parts_added_by_hand_before_the_title_stay(parcel: Hands) -> None:
    parcel.do("line-leave", "add-part").key("1").do("add-part").key("1").find("baf")
    assert sorted(parcel.kinds()) == ["cover", "disc", "disc", "inner"]


def test_insert_of_a_title_that_is_there_says_so_first(parcel: Hands) -> None:
    parcel.enter("Ada Pellimore - Sluice Tales - OWN 1").do("later")
    count = len(parcel.desk.shop.made_titles())
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    assert "is there already" in parcel.said
    assert len(parcel.desk.shop.made_titles()) == count
    parcel.do("line-new")
    assert len(parcel.desk.shop.made_titles()) == count + 1


def test_a_record_is_added_from_the_bench_too(parcel: Hands) -> None:
    before = len(parcel.desk.work.records)
    parcel.do("line-leave").do("commands").enter("add record")
    assert len(parcel.desk.work.records) == before + 1
    assert parcel.record["no"] == before + 1
    assert parcel.said == f"record {before + 1} added to the queue: its title"
