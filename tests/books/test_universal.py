"""The universal book as the dealer meets it."""

import pytest

from benchtui.books.library import Library
from benchtui.books.shape import Clue
from benchtui.model.record import PART_KINDS, RecordDoc, empty_record, new_part

LIBRARY = Library.open()
CLUES = LIBRARY.clues()
# A question and its answers stand in a side pane of about forty columns.
ASK, TEXT = 48, 46


def record_of(country: str, size_in: int = 12) -> RecordDoc:
    record = empty_record(1)
    record["title"] = {"id": "t", "artist": "", "title": "", "catalogue": "", "country": country}
    record["size_in"] = size_in
    return record


def asked(country: str, kind: str, **fields: object) -> list[Clue]:
    part = new_part(kind, **fields)  # type: ignore[arg-type]
    return list(LIBRARY.clues_for(record_of(country), part))


def test_a_clue_can_be_read_at_a_glance_and_answered_by_one_digit() -> None:
    for clue in CLUES:
        assert len(clue.ask) <= ASK, clue.id
        assert all(len(answer.text) <= TEXT for answer in clue.answers), clue.id
        if clue.form == "choice":
            digits = [answer.digit for answer in clue.answers]
            assert len(set(digits)) == len(digits), clue.id
            assert set(digits) <= set(range(10)), clue.id
            assert len(clue.answers) >= 2, clue.id


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_title_of_an_invented_country_is_asked_only_what_holds_everywhere(kind: str) -> None:
    found = asked("XV", kind)
    assert all(not clue.countries for clue in found)
    assert len(found) <= 5


@pytest.mark.parametrize("kind", PART_KINDS)
def test_no_country_makes_the_pane_a_wall(kind: str) -> None:
    for country in sorted({country for clue in CLUES for country in clue.countries}):
        found = asked(country, kind)
        assert len(found) <= 10, country
        asks = [(clue.ask, clue.form) for clue in found]
        assert len(set(asks)) == len(asks), country  # nothing is asked twice in the same words


def test_a_british_cover_is_asked_its_price_and_a_german_one_is_not() -> None:
    assert "gb-price" in {clue.id for clue in asked("GB", "cover")}
    assert "gb-price" not in {clue.id for clue in asked("DE", "cover")}
    assert "de-address" in {clue.id for clue in asked("DE", "cover")}


def test_the_barcode_is_asked_once_whatever_the_country() -> None:
    for country in ("XV", "US", "CA", "GB", "DE", "JP", "AU"):
        assert sum(clue.ask == "Barcode" for clue in asked(country, "cover")) == 1


def test_a_shop_that_names_its_countries_sees_them_for_titles_of_unknown_country() -> None:
    here = Library.open((), ["GB"])
    part = new_part("cover")
    assert "gb-price" in {clue.id for clue in here.clues_for(record_of(""), part)}
    assert "gb-price" not in {clue.id for clue in LIBRARY.clues_for(record_of(""), part)}
    assert "gb-price" not in {clue.id for clue in here.clues_for(record_of("XV"), part)}


def test_shellac_is_asked_only_of_shellac() -> None:
    assert "us-shellac" in {clue.id for clue in asked("US", "disc", material="shellac")}
    assert "us-shellac" not in {clue.id for clue in asked("US", "disc", material="vinyl")}


def test_the_centre_hole_is_asked_only_of_a_seven_inch_disc() -> None:
    part = new_part("disc")
    for size, there in ((7, True), (12, False)):
        found = {clue.id for clue in LIBRARY.clues_for(record_of("XV", size), part)}
        assert ("u-hole" in found) == there


def test_whatever_caps_the_sale_has_a_latest_end_and_no_earliest() -> None:
    capping = [answer for clue in CLUES for answer in clue.answers if answer.caps_sale]
    assert capping
    for answer in capping:
        assert answer.span is not None
        assert answer.span.latest is not None
        assert answer.span.earliest is None


@pytest.mark.parametrize(
    ("clue_id", "part", "place"),
    [("u-year", "disc", "label"), ("u-year-cover", "cover", "back"), ("u-dated-inner", "inner", "whole")],
)
def test_a_clue_asked_of_several_parts_has_its_own_place_on_each(clue_id: str, part: str, place: str) -> None:
    clue = LIBRARY.clue(clue_id)
    assert clue is not None
    assert (clue.part, clue.place) == (part, place)


def test_a_year_in_a_notice_bounds_only_the_earliest_and_leaks_a_little() -> None:
    clue = LIBRARY.clue("u-year")
    assert clue is not None
    found = clue.answer("y1968")
    assert found is not None
    assert found.span is not None
    assert (found.low, found.high, found.hardness, found.span.edtf()) == (1968, 1968, "firm", "[1968..]")
