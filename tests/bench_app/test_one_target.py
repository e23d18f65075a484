"""Every key goes to the part that the prompt names."""

import pytest
from bench_hands import Hands, sit_down
from seen import seen

from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.widgets.stack import stack_rows
from benchtui.desk.ask.asking import HERE, ahead, wanted, wants_grade
from benchtui.desk.ask.inner import speaks_of_print
from benchtui.desk.queue.queue import lacking, waits_for_grade
from benchtui.model.record import PartDoc


def _next(hands: Hands) -> PartDoc:
    """The part that the prompt names, which is not yet in the hand."""
    following = ahead(hands.desk)
    assert following is not None
    assert following.part["id"] != hands.part["id"]
    return following.part


def _cover_done(breakwater: Hands) -> tuple[str, PartDoc]:
    for _ in breakwater.desk.asking.order:
        if breakwater.desk.asking.asked is not None:
            breakwater.do("next-clue")
    assert breakwater.desk.asking.asked is None
    breakwater.grade("VG")
    assert breakwater.part["kind"] == "cover"
    return breakwater.part["id"], _next(breakwater)


def _part(hands: Hands, part_id: str) -> PartDoc:
    return next(part for part in hands.record["parts"] if part["id"] == part_id)


def test_a_grade_goes_to_the_part_that_is_named_not_to_the_one_that_is_done(breakwater: Hands) -> None:
    cover, following = _cover_done(breakwater)
    breakwater.grade("NM")
    assert [event["grade"] for event in _part(breakwater, cover)["grades"]] == ["VG"]
    assert [event["grade"] for event in _part(breakwater, following["id"])["grades"]] == ["NM"]
    assert breakwater.part["id"] == following["id"]


def test_a_fault_goes_to_the_part_that_is_named(breakwater: Hands) -> None:
    cover, following = _cover_done(breakwater)
    breakwater.do("fault")
    assert breakwater.desk.open.menu is not None
    breakwater.key("1") if breakwater.desk.open.menu.choices[0].key == "1" else breakwater.key("s", "1")
    assert _part(breakwater, cover)["faults"] == []
    assert [fault["fault"] for fault in _part(breakwater, following["id"])["faults"]] == ["scuffs"]


def test_a_shade_directly_after_a_grade_belongs_to_that_grade(breakwater: Hands) -> None:
    cover, following = _cover_done(breakwater)
    breakwater.do("shade-up", "shade-down", "shade-down")
    assert _part(breakwater, cover)["grades"][-1]["shade"] == "-"
    assert _part(breakwater, following["id"])["grades"] == []


def test_a_shade_later_is_not_given_to_the_part_that_is_done(breakwater: Hands) -> None:
    cover, following = _cover_done(breakwater)
    breakwater.do("explain", "explain", "shade-up")
    assert breakwater.refused
    assert _part(breakwater, cover)["grades"][-1]["shade"] == ""
    assert breakwater.part["id"] == following["id"]


def test_a_shade_some_keys_after_the_grade_changes_nothing_but_by_name_or_on_a_part_taken(
    breakwater: Hands,
) -> None:
    breakwater.grade("VG").do("looked", "shade-up")
    assert breakwater.refused
    assert "directly after a grade" in breakwater.said
    assert breakwater.part["grades"][-1]["shade"] == ""
    breakwater.do("commands").enter("shade up")
    assert breakwater.part["grades"][-1]["shade"] == "+"
    breakwater.do("looked", "take-cover", "shade-down")
    assert breakwater.part["grades"][-1]["shade"] == ""


def test_chores_and_the_list_of_grades_go_to_the_part_that_is_named(breakwater: Hands) -> None:
    cover, following = _cover_done(breakwater)
    breakwater.do("chore").key("c")
    assert [chore["part"] for chore in breakwater.record["chores"]] == [following["id"]]
    breakwater.do("grade-ladder").key("2")
    assert len(_part(breakwater, cover)["grades"]) == 1
    assert len(_part(breakwater, following["id"])["grades"]) == 1


def test_a_part_taken_by_its_own_key_is_meant_though_it_is_done(breakwater: Hands) -> None:
    cover, _ = _cover_done(breakwater)
    breakwater.do("take-cover")
    assert ahead(breakwater.desk) is None
    breakwater.grade("G")
    assert [event["grade"] for event in _part(breakwater, cover)["grades"]] == ["G"]
    assert _next(breakwater)["kind"] != "cover"


def test_a_side_taken_is_graded_and_the_next_one_after_it(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("take-disc").grade("VG").do("take-disc").grade("G")
    assert [(event["side"], event["grade"]) for event in breakwater.part["grades"]] == [
        ("A", "VG"),
        ("B", "G"),
    ]


def test_an_extra_stays_in_the_hand_until_it_is_graded(parcel: Hands) -> None:
    parcel.find("salt")
    extras = [part for part in parcel.record["parts"] if part["kind"] == "extra"]
    assert len(extras) > 1
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    first = parcel.part["id"]
    parcel.do("answer-1")
    assert (parcel.part["id"], parcel.part.get("state")) == (first, "present")
    assert ahead(parcel.desk) is None
    parcel.do("answer-1")
    assert parcel.refused, "no figure answers for another extra"
    parcel.grade("VG", "+")
    assert [event["grade"] + event["shade"] for event in _part(parcel, first)["grades"]] == ["VG+"]
    assert all(not part["grades"] for part in parcel.record["parts"] if part["id"] != first)


def test_an_extra_is_left_by_the_key_for_the_next_part_and_a_missing_one_by_itself(parcel: Hands) -> None:
    parcel.find("salt")
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    first = parcel.part["id"]
    parcel.do("answer-1", "next-part")
    assert parcel.part["id"] != first
    while parcel.desk.asking.asked != HERE:
        parcel.do("next-part")
    second = parcel.part["id"]
    parcel.do("answer-2")
    assert _part(parcel, second).get("state") == "missing"
    assert parcel.part["id"] != second or ahead(parcel.desk) is not None


def test_what_is_held_is_held_after_a_restart(breakwater: Hands) -> None:
    _cover_done(breakwater)
    breakwater.do("take-cover")
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit_down(path)
    assert ahead(again.desk) is None
    again.grade("P")
    assert [part["kind"] for part in again.record["parts"] if part["grades"]] == ["cover"]
    again.leave()


def test_side_c_is_two_keys_away(parcel: Hands) -> None:
    parcel.find("salt").do("take-side").key("c")
    assert (parcel.part["number"], parcel.desk.work.side) == (2, "C")
    parcel.grade("G")
    assert [(event["side"], event["grade"]) for event in parcel.part["grades"]] == [("C", "G")]


def test_a_fault_s_place_is_one_key(parcel: Hands) -> None:
    parcel.find("salt").take("disc", 2)
    parcel.do("fault").key("c", "d", "1")
    (fault,) = parcel.part["faults"]
    assert fault["place"] == "D"
    assert parcel.desk.work.side == "", "the hand still holds the whole disc"


def test_a_place_on_a_cover_is_one_key_and_still_a_fault_of_the_cover(breakwater: Hands) -> None:
    breakwater.do("fault").key("r", "b", "1")
    (fault,) = breakwater.part["faults"]
    assert (fault["place"], fault["note"]) == ("", "back")
    assert "back" in breakwater.said


def test_leaving_how_bad_goes_back_to_the_faults(breakwater: Hands) -> None:
    breakwater.do("fault").key("r")
    assert breakwater.desk.open.menu is not None
    assert "how bad" in breakwater.desk.open.menu.title
    breakwater.do("menu-leave")
    assert breakwater.desk.open.menu is not None
    assert breakwater.desk.open.menu.title.startswith("Fault of")
    breakwater.do("menu-leave")
    assert breakwater.desk.open.menu is None


def test_the_mark_in_the_stack_stands_where_the_prompt_sends_the_keys(breakwater: Hands) -> None:
    _, following = _cover_done(breakwater)
    rows = text_of(stack_rows(breakwater.desk, 70, 20, FANCY)).splitlines()
    marked = [row for row in rows if row.lstrip().startswith(FANCY.hand)]
    assert len(marked) == 1
    assert following["kind"] in marked[0]


def test_an_inner_whose_questions_were_passed_over_is_graded_before_the_keys_go_on(parcel: Hands) -> None:
    inner = parcel.find("orr").take("inner")
    parcel.desk.work.held = False
    while parcel.desk.asking.asked is not None:
        parcel.do("next-clue")
        parcel.desk.work.held = False
    assert ahead(parcel.desk) is None, "its grade is asked first"
    parcel.grade("VG")
    assert [event["grade"] for event in _part(parcel, inner["id"])["grades"]] == ["VG"]
    assert ahead(parcel.desk) is not None


@pytest.mark.parametrize(
    ("answer", "ruled", "asked"),
    [
        ("russet", "", True),
        ("words", "", True),
        ("oiled", "", False),
        ("white", "", False),
        ("russet", "2", False),
    ],
)
def test_the_grade_of_a_printed_inner_is_asked_and_that_of_a_plain_or_a_swapped_one_is_not(
    breakwater: Hands, answer: str, ruled: str, asked: bool
) -> None:
    inner = breakwater.take("inner")
    breakwater.ask("kind of inner").answer(answer)
    breakwater.do("ruling").key(ruled) if ruled else None
    assert wants_grade(breakwater.desk, _part(breakwater, inner["id"])) is asked
    breakwater.do("take-disc")
    named = any("grade of inner" in one for one in lacking(breakwater.desk, breakwater.record))
    assert named is asked, "what is printed is graded, also where the hand has left it"
    for kind in ("cover", "disc"):
        breakwater.take(kind)
        breakwater.grade("VG")
    assert waits_for_grade(breakwater.desk, breakwater.record) is asked
    breakwater.take("inner")
    breakwater.grade("VG", "+")
    assert not waits_for_grade(breakwater.desk, breakwater.record)
    assert not wants_grade(breakwater.desk, _part(breakwater, inner["id"]))


def test_nobody_asks_what_a_plain_white_inner_advertises(parcel: Hands) -> None:
    inner = parcel.find("marble feet").take("inner")
    parcel.ask("kind of inner").answer("plain")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    order = [("advertisements", "u-advertised")]
    asked = wanted(parcel.desk, parcel.record, _part(parcel, inner["id"]), order, weighing)
    assert asked == []


def test_an_inner_of_which_titles_were_picked_is_printed(breakwater: Hands) -> None:
    inner = breakwater.take("inner")
    breakwater.ask("advertised").key("1").enter("waxlight").enter()
    assert wants_grade(breakwater.desk, _part(breakwater, inner["id"]))


@pytest.mark.parametrize(
    ("words", "printed"),
    [
        ("company's own, printed", True), ("grey advertisements, square corners", True),
        ("printed with the words of the play", True), ("footprint border, pictured records", True),
        ("oiled paper, no print", False), ("plain white paper", False), ("white, polythene-lined", False),
        ("not printed", False), ("without advertisements", False),
        ("plain, nothing printed", False), ("grey, never printed", False),
    ],
)  # fmt: skip
def test_words_of_print_are_told_from_words_of_none(words: str, printed: bool) -> None:
    assert speaks_of_print(words) is printed


def test_after_one_side_is_graded_the_other_is_asked_for_and_a_shade_still_is_the_first_one_s(
    breakwater: Hands,
) -> None:
    breakwater.take("disc")
    while breakwater.desk.asking.asked is not None:
        breakwater.do("next-clue")
    breakwater.do("take-side").key("a").grade("VG", "+")
    assert breakwater.desk.work.side == "B"
    assert "grade of disc side B" in lacking(breakwater.desk, breakwater.record)
    asked = text_of(seen(breakwater.desk, (80, 24)).prompt)
    assert "disc side B ─ its grade?" in asked
    breakwater.grade("NM")
    found = [(event["side"], event["grade"] + event["shade"]) for event in breakwater.part["grades"]]
    assert found == [("A", "VG+"), ("B", "NM")]
    assert not any("disc" in one for one in lacking(breakwater.desk, breakwater.record))


def test_a_grade_after_which_keys_go_elsewhere_says_how_it_is_put_right(breakwater: Hands) -> None:
    cover, _ = _cover_done(breakwater)
    assert breakwater.said == "record 1, cover: VG; u takes it back"
    breakwater.do("undo").grade("NM")
    assert [event["grade"] for event in _part(breakwater, cover)["grades"]] == ["NM"]


def test_a_grade_that_its_fault_does_not_allow_is_put_right_on_the_same_part(demo: Hands) -> None:
    """The hand had gone on to the next part: the right grade overwrote that one's."""
    demo.paste("UE").key("enter").paste("5 1UE").key("enter", "x", "w", "3", "4", "m")
    assert "is above" in demo.said, demo.said
    assert ahead(demo.desk) is None
    demo.key("g")
    discs = [part for part in demo.record["parts"] if part["kind"] == "disc"]
    assert [[one["grade"] for one in disc["grades"]] for disc in discs] == [["G"], []]
    assert ahead(demo.desk) is not None, "and goes on"
