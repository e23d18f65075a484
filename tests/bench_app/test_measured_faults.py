"""Faults that are measured: centimetres and ticks as typed decide how bad it is, and stand in the text."""

import pytest
from bench_hands import Hands

from benchtui.books.faults import load_faults
from benchtui.desk.grade.measured import read_amount
from benchtui.desk.record.describing import item_of, wording
from benchtui.export.claims import say
from benchtui.model.grade import Fault

FAULTS = {fault.id: fault for fault in load_faults()}


def _menu(hands: Hands, fault: Fault) -> Hands:
    return hands.do("fault").key(fault.key)


@pytest.mark.parametrize(
    ("fault", "text", "amount", "place"),
    [
        ("seam-split", "4.5", "4.5", ""),
        ("seam-split", " 4,5 cm bottom edge ", "4.5", "bottom edge"),
        ("seam-split", "12 top [left]", "12", "top [left]"),
        ("seam-split", "3 cmx", "3", "cmx"),
        ("scratch", "3 ticks at 2:30", "3", "at 2:30"),
        ("scratch", "0", "0", ""),
    ],
)
def test_a_number_comes_first_and_where_it_is_after_it(
    fault: str, text: str, amount: str, place: str
) -> None:
    assert read_amount(text, FAULTS[fault]) == (amount, place)


@pytest.mark.parametrize(
    ("fault", "text"),
    [
        ("seam-split", "0"), ("seam-split", "-4"), ("seam-split", "four"), ("seam-split", "4.555"),
        ("seam-split", "4..5"), ("seam-split", "4-5"), ("seam-split", "1001"), ("seam-split", "99999 cm"),
        ("seam-split", "bottom 4"), ("scratch", "2.5"), ("scratch", "3/4"), ("warp", "0"),
    ],
)  # fmt: skip
def test_what_is_no_measure_is_refused_in_words(fault: str, text: str) -> None:
    with pytest.raises(ValueError, match=FAULTS[fault].severities[0].unit):
        read_amount(text, FAULTS[fault])


@pytest.mark.parametrize(
    ("text", "severity"), [("2", "cm-2"), ("2.01", "cm-8"), ("8", "cm-8"), ("8.5 bottom", "cm-more")]
)
def test_the_measure_decides_how_bad_it_is(breakwater: Hands, text: str, severity: str) -> None:
    breakwater.take("cover")
    _menu(breakwater, FAULTS["seam-split"]).key("m").enter(text)
    (fault,) = breakwater.part["faults"]
    assert fault["severity"] == severity
    assert fault["amount"] == text.split()[0]


def test_the_measure_and_the_place_stand_in_the_description(breakwater: Hands) -> None:
    breakwater.take("cover")
    _menu(breakwater, FAULTS["seam-split"]).key("m").enter("4.5 bottom edge")
    text = say("faults", item_of(breakwater.desk, breakwater.record), wording(breakwater.desk)).text
    assert text == "cover: seam split (4.5 cm, bottom edge)"
    assert "4.5 cm, bottom edge" in breakwater.said


def test_a_seam_may_be_split_at_the_top(breakwater: Hands) -> None:
    breakwater.take("cover")
    _menu(breakwater, FAULTS["seam-split"]).key("t", "2")
    text = say("faults", item_of(breakwater.desk, breakwater.record), wording(breakwater.desk)).text
    assert text == "cover: seam split (up to 8 cm, top)"


def test_a_measured_fault_is_named_again_without_a_measure_by_its_digit(breakwater: Hands) -> None:
    breakwater.take("cover")
    _menu(breakwater, FAULTS["seam-split"]).key("m").enter("4.5")
    _menu(breakwater, FAULTS["seam-split"]).key("1")
    (fault,) = breakwater.part["faults"]
    assert fault["severity"] == FAULTS["seam-split"].severities[0].id
    assert "amount" not in fault


def test_a_wrong_measure_is_refused_and_stays_in_the_line(breakwater: Hands) -> None:
    breakwater.take("cover")
    _menu(breakwater, FAULTS["seam-split"]).key("m").enter("four")
    assert breakwater.refused
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.text == "four"
    assert breakwater.part["faults"] == []
    breakwater.do("line-leave")
    assert breakwater.part["faults"] == []


def test_only_faults_with_a_unit_can_be_measured(breakwater: Hands) -> None:
    for kind in ("cover", "disc"):
        breakwater.take(kind)
        for fault in breakwater.desk.references.faults:
            if kind not in fault.parts or len(fault.severities) < 2:
                continue
            _menu(breakwater, fault)
            assert breakwater.desk.open.menu is not None
            keys = [choice.key for choice in breakwater.desk.open.menu.choices]
            assert ("m" in keys) == any(one.upto is not None for one in fault.severities), fault.id
            assert len(keys) == len(set(keys))
            breakwater.do("menu-leave", "menu-leave")
