"""A search in steps shows what the whole search shows; what is taken is taken from the whole list."""

import pytest
from bench_hands import Hands

from benchtui.desk.line.lines import search_on
from benchtui.desk.look.title_picks import warm, warm_on
from benchtui.titles.barcode import check_digit

TYPED = ["l", "sal", "orrind", "528", "salf alma", "tsa", "zzzz", "break baff"]


def _titles(hands: Hands) -> list[str]:
    assert hands.desk.open.line is not None
    return [pick.value.id for pick in hands.desk.open.line.picks]


@pytest.fixture
def patient(parcel: Hands) -> Hands:
    """A desk whose screen goes on with the search between the keys, here: only where a test says so."""
    parcel.desk.background.patient = True
    return parcel


@pytest.mark.parametrize("typed", TYPED)
def test_the_steps_end_where_the_whole_search_ends(parcel: Hands, typed: str) -> None:
    parcel.type(typed)
    whole = _titles(parcel)
    parcel.do("line-leave", "find-title")
    parcel.desk.background.patient = True
    parcel.type(typed)
    while search_on(parcel.desk, 0.0):
        pass
    assert _titles(parcel) == whole
    assert parcel.desk.background.search is None


def test_a_search_is_not_whole_at_once_and_the_next_letter_begins_a_new_one(
    patient: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    patient.type("l")
    first = patient.desk.background.search
    assert first is not None
    patient.type("a")
    assert patient.desk.background.search is not None
    assert patient.desk.background.search is not first


@pytest.mark.parametrize("action", ["line-accept", "pick-1"])
def test_what_is_taken_is_the_first_of_the_whole_list(
    patient: Hands, monkeypatch: pytest.MonkeyPatch, action: str
) -> None:
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    patient.type("salf alma").do(action)
    assert patient.record["title"] is not None
    assert patient.record["title"]["id"] == "tw-almanac"


def test_enter_takes_nothing_from_a_list_that_was_not_there_yet(
    patient: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    patient.type("salf alma").do("line-leave", "find-title", "line-accept")
    assert patient.record["title"] is None
    assert (patient.refused, _titles(patient)[:1]) == (True, ["tw-almanac"])
    patient.do("line-accept")
    assert patient.record["title"] is not None


def test_arrows_move_on_the_whole_list(patient: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    patient.type("orrind").do("line-down")
    assert patient.desk.open.line is not None
    assert patient.desk.open.line.marked == 1
    assert len(patient.desk.open.line.picks) > 1


def test_letters_that_fit_nothing_empty_the_list(patient: Hands) -> None:
    patient.type("sal")
    while search_on(patient.desk):
        pass
    assert _titles(patient)
    patient.type("qqqqxxxxzzzz")
    while search_on(patient.desk):
        pass
    assert _titles(patient) == []


def test_a_line_that_is_left_lets_go_of_its_search(patient: Hands, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchtui.desk.line.lines.FIRST_SHARE", 0.0)
    patient.type("sal").do("line-leave")
    assert not search_on(patient.desk)
    assert patient.desk.background.search is None


def test_a_barcode_with_a_wrong_check_digit_is_said_and_makes_no_title(parcel: Hands) -> None:
    body = "501234567890"
    right = check_digit(body)
    wrong = str((int(right) + 1) % 10)
    parcel.type(body + wrong)
    assert f"the check digit is {wrong}, by GS1 it should be {right}" in parcel.said
    assert not parcel.desk.open.bell, "more digits might have come"
    parcel.do("line-accept")
    assert parcel.refused
    assert parcel.record["title"] is None
    assert parcel.desk.open.line is not None, "the digits stay, to be mended"
    parcel.key("backspace").type(right)
    assert "check digit" not in parcel.said


def test_a_barcode_nobody_knows_makes_no_title_of_its_digits(parcel: Hands) -> None:
    code = "501234567890" + check_digit("501234567890")
    parcel.type(code).do("line-new")
    assert parcel.refused
    assert "no list has the barcode" in parcel.said
    assert parcel.record["title"] is None


def test_a_line_opened_while_all_is_made_ready_is_made_ready_itself(parcel: Hands) -> None:
    desk = parcel.do("line-leave").desk
    desk.open.ranked_by = None  # as before the first line
    desk.finder.detach_lists()  # what a line means is to be looked for anew
    desk.background.patient = True
    ready = warm(desk)
    next(ready)
    parcel.do("find-title").type("l")
    for _ in range(1000):  # in turns, as between the keys
        next(ready, None)
        if not (search_on(desk) or warm_on(desk) or desk.background.search):
            break
    assert desk.background.warming is None
    assert desk.open.ranked_by is not None
    assert desk.finder.is_warm(desk.open.ranked_by[1])
