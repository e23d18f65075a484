"""What is typed is shown as it is read, before it is taken: a new title's pieces, a date, a year that disagrees."""

import pytest
from bench_hands import Hands

from benchtui.desk.core.shapes import Pick
from benchtui.desk.look.contradicted import _is_part, _is_whole, beside, plain, title_of, with_new
from benchtui.model.title import Title

FULL = "Ada Pellimore - Sluice Tales - WK 1041"


def _about(hands: Hands) -> str:
    assert hands.desk.open.line is not None
    return hands.desk.open.line.about


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        (f"{FULL} - 1967", "artist Ada Pellimore, title Sluice Tales, number WK 1041, first issued 1967"),
        (f"{FULL} - c1967", "number WK 1041, first issued about 1967, 1966-07..1968-06"),
        (f"{FULL} - 1967?", "first issued perhaps 1967"),
        (f"{FULL} - 1962-66", "first issued 1962..1966"),
        ("Ada Pellimore - Sluice Tales - 1967", "title Sluice Tales, first issued 1967; no number"),
        (FULL, "number WK 1041; no first issued"),
    ],
)
def test_a_new_title_is_shown_as_read_while_it_is_typed(parcel: Hands, typed: str, read: str) -> None:
    parcel.type(typed)
    assert _about(parcel).startswith("Enter makes this new title: ")
    assert read in _about(parcel)


def test_the_company_of_the_shop_s_field_is_shown_too_and_a_search_is_left_in_peace(parcel: Hands) -> None:
    parcel.desk.shop.change_settings(field={"company": "Whelkin", "country": "XV", "prefixes": {}})
    parcel.type("baf")
    assert "Enter takes one" in _about(parcel)
    parcel.desk.open.line.text = ""  # type: ignore[union-attr]
    parcel.type(f"{FULL} - 1967")
    assert _about(parcel).endswith("company Whelkin")


def test_names_that_end_in_other_letters_or_numbers_are_not_one_with_a_slip() -> None:
    for typed, name in (("Weir C", "Weir A"), ("Harbour Songs 12", "Harbour Songs 13")):
        assert not _is_whole(typed, name)
        assert _is_whole(typed, typed)
    assert _is_whole("Harbur Songs 12", "Harbour Songs 12")


def test_a_number_with_its_letters_behind_is_the_same_as_with_them_before() -> None:
    for number, typed, same in (
        ("112-m", "pqm112", True),
        ("pqs112", "pqm112", False),
        ("113m", "pqm112", False),
    ):
        assert _is_part(typed, plain(number)) == same


@pytest.fixture
def known(parcel: Hands) -> Hands:
    """A title made here is known; the second record's line is open."""
    parcel.enter(f"{FULL} - 1967").do("later")
    assert parcel.desk.open.line is not None
    return parcel


def test_the_same_line_again_takes_the_title_without_a_question(known: Hands) -> None:
    known.enter(f"{FULL} - 1967")
    assert known.record["title"]["id"] == known.at(1)["title"]["id"]  # type: ignore[index]


def test_another_year_is_asked_about_and_escape_goes_back_to_the_line(known: Hands) -> None:
    known.type(f"{FULL} - c1972")
    assert _about(known).endswith("Enter asks what about 1972 is")
    known.do("line-accept")
    assert known.desk.open.menu is not None
    known.do("menu-leave")
    assert known.record["title"] is None
    assert known.desk.open.line is not None
    assert known.desk.open.line.text == f"{FULL} - c1972"


@pytest.mark.parametrize("key", ["1", "2", "3", "4"])
def test_a_copy_s_year_is_its_date_or_left_out_or_another_title_s_or_the_card_s(
    known: Hands, key: str
) -> None:
    first = known.at(1)["title"]
    assert first is not None
    known.enter(f"{FULL} - 1972").key(key)
    title, dated = known.record["title"], known.record.get("dated", [])
    assert title is not None
    assert (title["id"] == first["id"]) is (key != "3")
    assert title.get("first") == ("1972" if key in "34" else "1967")
    assert [one["span"] for one in dated] == (["1972"] if key == "1" else [])


@pytest.mark.parametrize("first", ["1958", "[1958..1961]"])
def test_a_title_typed_again_is_known_though_a_namesake_stands_before_it(parcel: Hands, first: str) -> None:
    namesake = Title("n", "Ada Pellimore", "Sluice Tales", "QF 36", first="1964")
    known = namesake._replace(id="k", catalogue="WK 1041", first=first)
    picks = [Pick((), namesake), Pick((), known)]
    told = title_of(f"{FULL} - 1964", {})
    found = with_new(parcel.desk, told, picks)
    assert [one.value.id for one in found] == ["k", "n"]
    assert beside(parcel.desk.library, told, known).other_first == "1964"
    other = with_new(parcel.desk, title_of("Ada Pellimore - Sluice Tales - QF 99 - 1964", {}), picks)
    assert [one.value.id for one in other] == ["", "n", "k"]


def test_a_number_and_year_that_the_title_lacks_stay_with_the_record(parcel: Hands) -> None:
    parcel.enter("Ada Pellimore - Sluice Tales").do("later")
    parcel.type(f"{FULL} - 1972")
    assert "keeps the number WK 1041 and first issued 1972" in _about(parcel)
    parcel.do("line-accept")
    title = parcel.record["title"]
    assert title is not None
    assert title["id"] == parcel.at(1)["title"]["id"]  # type: ignore[index]
    assert (title["catalogue"], title.get("first")) == ("WK 1041", "1972")
    assert "kept number WK 1041" in parcel.said


def test_a_date_said_by_hand_is_shown_as_read(breakwater: Hands) -> None:
    breakwater.do("commands").enter("say yourself when").type("1962-66 soft her diary")
    assert _about(breakwater) == "read as 1962..1966, soft: her diary"
    breakwater.do("line-accept")
    assert breakwater.record["dated"][0]["span"] == "[1962..1966]"


def test_the_dates_of_answers_are_shown_as_read(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("jump-clue").enter("rim colour").type("green c1966.. / blue")
    assert _about(breakwater) == "read as green, made 1965-07.., soft"
    breakwater.type(" but not before 1963")
    assert _about(breakwater).startswith("no date read from")
