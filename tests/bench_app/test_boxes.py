"""A box has a base and a lid: each is graded by itself, and has its faults to itself."""

import pytest
from bench_hands import Hands
from seen import pane_rows

from benchtui.bench.pieces import PLAIN, text_of
from benchtui.desk.record.describing import item_of, wording
from benchtui.export.claims import say
from benchtui.export.telling import lowest
from benchtui.model.grade import Fault


@pytest.fixture
def boxed(breakwater: Hands) -> Hands:
    """A record in a box, which is in the hand."""
    breakwater.do("add-part").key("3")
    assert breakwater.part["kind"] == "box"
    return breakwater


def _grades(hands: Hands) -> list[tuple[str, str]]:
    return [(event["side"], event["grade"] + event["shade"]) for event in hands.part["grades"]]


def _fault(hands: Hands, fault_id: str) -> Fault:
    return next(fault for fault in hands.desk.references.faults if fault.id == fault_id)


def test_the_cover_key_goes_through_the_whole_box_its_base_and_its_lid(boxed: Hands) -> None:
    halves = []
    for _ in range(3):
        halves.append(boxed.desk.work.side)
        boxed.do("take-cover")
    assert halves == ["", "base", "lid"]
    assert (boxed.part["kind"], boxed.desk.work.side) == ("box", ""), "there is no other cover to go on to"


def test_each_is_graded_by_itself_and_the_box_is_as_good_as_the_worse(boxed: Hands) -> None:
    boxed.grade("VG", "+").do("take-cover").grade("G").do("take-cover").grade("VG")
    assert _grades(boxed) == [("", "VG+"), ("base", "G"), ("lid", "VG")]
    item, words = item_of(boxed.desk, boxed.record), wording(boxed.desk)
    assert say("cover_grade", item, words).text.startswith("box base G, lid VG (")
    assert lowest("cover")(item, words) == "G"


def test_a_base_graded_by_itself_leaves_the_lid_the_grade_of_the_whole(boxed: Hands) -> None:
    boxed.grade("VG", "+").do("take-cover").grade("G")
    item, words = item_of(boxed.desk, boxed.record), wording(boxed.desk)
    assert say("cover_grade", item, words).text.startswith("box base G, lid VG+ (")


def test_a_fault_of_the_lid_does_not_hold_against_the_base(boxed: Hands) -> None:
    fault = _fault(boxed, "seam-split")
    boxed.do("take-cover", "take-cover", "fault").key(fault.key, "3")
    assert boxed.part["faults"][0]["place"] == "lid"
    boxed.do("take-cover", "take-cover")
    assert boxed.desk.work.side == "base"
    boxed.grade("NM")
    assert boxed.desk.open.tone != "clash"
    boxed.do("take-cover").grade("NM")
    assert boxed.desk.open.tone == "clash"


def test_the_half_in_the_hand_is_named_where_it_is_asked_about(boxed: Hands) -> None:
    boxed.do("take-cover")
    assert "box base" in text_of(pane_rows(boxed.desk, 50, 20, PLAIN))
    assert "base" in boxed.said
    boxed.do("fault")
    assert boxed.desk.open.menu is not None
    assert "box base" in boxed.desk.open.menu.title


def test_a_scratch_on_one_side_of_a_disc_does_not_hold_against_the_other(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("take-disc", "take-disc", "fault").key(_fault(breakwater, "scratch").key, "5")
    assert breakwater.part["faults"][0]["place"] == "B"
    breakwater.do("take-disc", "take-disc", "take-disc")
    while breakwater.desk.work.side != "A":
        breakwater.do("take-disc")
    breakwater.grade("NM")
    assert breakwater.desk.open.tone != "clash"
    breakwater.do("take-disc").grade("NM")
    assert breakwater.desk.open.tone == "clash"
    assert "side B" in breakwater.said
