"""The copy's own date on the bench, and the dealer's own word for when a part or the copy was made."""

import pytest
from bench_hands import Hands, sit_down
from seen import page_rows, record_rows

from benchtui.bench.pieces import FANCY, text_of
from benchtui.desk.line.when_typed import read_when
from benchtui.model.span import days_text


def dated(hands: Hands, text: str, copy: bool = False) -> Hands:
    hands.do("commands").enter("say yourself when")
    return (hands.do("line-new") if copy else hands).enter(text)


def copy_row(hands: Hands, width: int) -> str:
    rows = text_of(record_rows(hands.desk, width, 30, FANCY)).splitlines()
    return next(row for row in rows if row.strip().startswith("copy"))


@pytest.mark.parametrize(
    ("typed", "edtf", "sure", "why"),
    [
        ("1958..1960; soft; from the estate", "[1958..1960]", "soft", "from the estate"),
        ("1958-1960", "[1958..1960]", "firm", ""),
        ("1958 to 1960 firm: his diary", "[1958..1960]", "firm", "his diary"),
        ("about 1967 receipt", "1967~", "soft", "receipt"),
        ("1967~ firm", "1967~", "firm", ""),
        ("winter 1967", "1967-24", "firm", ""),
        ("by 1963 postmark", "[..1963]", "firm", "postmark"),
        ("from 1971", "[1971..]", "firm", ""),
        ("[1967,1969] one or other", "[1967,1969]", "firm", "one or other"),
        ("1967-05", "1967-05", "firm", ""),
        ("1958/1960", "[1958..1960]", "firm", ""),
        ("before 1960 his diary", "[..1959]", "firm", "his diary"),
        ("1967? soft", "1967?", "soft", ""),
        ("1967? label", "1967?", "soft", "label"),
        ("1967 on the back", "1967", "firm", "on the back"),
    ],
)
def test_a_time_is_read_as_it_is_said(typed: str, edtf: str, sure: str, why: str) -> None:
    when = read_when(typed)
    assert (when.edtf, when.sure, when.why) == (edtf, sure, why)


@pytest.mark.parametrize(
    "typed", ["", "soft", "hello 1967", "1960..1958", "TW 1960", "140-150", "after 1960 but before 1965"]
)
def test_what_begins_with_no_time_is_refused_with_what_to_type(typed: str) -> None:
    with pytest.raises(ValueError, match="write"):
        read_when(typed)


def test_the_part_in_the_hand_is_dated_by_one_line_and_undone(breakwater: Hands) -> None:
    part = breakwater.part
    dated(breakwater, "1966..1968 soft bought new by the sender")
    (own,) = breakwater.record["dated"]
    assert (own["part"], own["span"], own["sure"]) == (part["id"], "[1966..1968]", "soft")
    assert own["why"] == "bought new by the sender"
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    assert weighing.dates[-1].label.endswith("dated by you: 1966 to 1968")
    breakwater.do("undo")
    assert not breakwater.record.get("dated")


def test_the_whole_copy_is_dated_replaced_and_taken_back(breakwater: Hands) -> None:
    dated(breakwater, "1967", copy=True)
    dated(breakwater, "about 1968", copy=True)
    (own,) = breakwater.record["dated"]
    assert (own["part"], own["span"]) == ("", "1968~")
    breakwater.do("why")
    said = text_of(page_rows(breakwater.desk, 120, 60))
    assert "dated by you: about 1968 (soft)" in said
    breakwater.do("page-leave")
    dated(breakwater, " ", copy=True)
    assert breakwater.record["dated"] == []


def test_it_survives_a_restart_and_a_bad_line_stays_typed(breakwater: Hands) -> None:
    dated(breakwater, "1967 his word", copy=True)
    dated(breakwater, "some day")
    assert breakwater.refused
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "some day"
    breakwater.do("line-leave").desk.shop.close()
    again = sit_down(breakwater.desk.shop.path)
    assert [own["why"] for own in again.record["dated"]] == ["his word"]
    again.leave()


def test_a_date_that_escape_left_comes_back_at_its_own_part_only(breakwater: Hands) -> None:
    breakwater.take("cover")
    breakwater.do("commands").enter("say yourself when").type("1966 his diary").do("line-leave")
    for kind, text in (("disc", ""), ("cover", "1966 his diary")):
        breakwater.take(kind)
        breakwater.do("commands").enter("say yourself when")
        assert breakwater.desk.open.line is not None
        assert breakwater.desk.open.line.text == text
        breakwater.do("line-leave")


def test_the_copys_row_shows_the_months_that_hold_nine_tenths(demo: Hands) -> None:
    weighing = demo.desk.weighing()
    assert weighing is not None
    found = weighing.copy_date
    assert found is not None
    assert days_text(found.run) in copy_row(demo, 120)
    assert "nine in ten" in copy_row(demo, 120)
    assert str(found.run.earliest)[:4] in copy_row(demo, 60)
    demo.do("line-leave", "why")
    assert f"made {days_text(found.run)}, nine in ten" in text_of(page_rows(demo.desk, 160, 60))
