"""Grades and shades, sides, faults with their severities and ceilings, chores, setting apart."""

import pytest
from bench_hands import Hands, sit_down
from seen import middle_rows

from benchtui.bench.pieces import PLAIN, text_of
from benchtui.books.faults import ceiling
from benchtui.books.scales import load_scales
from benchtui.desk.queue.queue import lacking
from benchtui.model.grade import Fault
from benchtui.model.record import latest_grade


def _fault(hands: Hands, fault_id: str) -> Fault:
    return next(fault for fault in hands.desk.references.faults if fault.id == fault_id)


def _name(hands: Hands, fault_id: str, severity: int = 0) -> Hands:
    """The fault menu, the fault's key, the severity's digit."""
    hands.do("fault").key(_fault(hands, fault_id).key)
    return hands.key(str(severity)) if severity else hands


def _last(hands: Hands, side: str = "") -> tuple[str, str] | None:
    event = latest_grade(hands.part, side)
    return (event["grade"], event["shade"]) if event else None


def test_one_key_grades_the_part_and_one_more_shades_it(breakwater: Hands) -> None:
    breakwater.grade("VG")
    assert _last(breakwater) == ("VG", "")
    breakwater.do("shade-up")
    assert _last(breakwater) == ("VG", "+")
    breakwater.do("shade-down")
    assert _last(breakwater) == ("VG", ""), "up and down cancel one another"
    breakwater.do("shade-down")
    assert _last(breakwater) == ("VG", "-")
    assert len(breakwater.part["grades"]) == 1, "one occasion, one event"
    assert breakwater.part["grades"][0]["scale"] == "american"
    assert breakwater.part["grades"][0]["when"] == "arrived"


@pytest.mark.parametrize("grade", ["M", "NM", "VG", "G", "F", "P"])
def test_every_letter_of_the_scale_grades(breakwater: Hands, grade: str) -> None:
    breakwater.grade(grade)
    assert _last(breakwater) == (grade, "")


def test_a_shade_before_a_grade_is_refused(breakwater: Hands) -> None:
    breakwater.do("shade-up")
    assert breakwater.refused
    assert breakwater.part["grades"] == []


def test_the_ladder_gives_the_same_grades_by_digits(breakwater: Hands) -> None:
    breakwater.do("grade-ladder").key("3")
    assert _last(breakwater) == ("VG", "")


def test_each_side_may_have_its_own_grade(breakwater: Hands) -> None:
    breakwater.do("take-disc").grade("VG", "+").do("take-disc")
    assert breakwater.desk.work.side == "A"
    breakwater.grade("VG").do("take-disc").grade("G", "+")
    assert (_last(breakwater), _last(breakwater, "A"), _last(breakwater, "B")) == (
        ("VG", "+"),
        ("VG", ""),
        ("G", "+"),
    )


def test_a_side_grade_is_no_lack_at_the_end(breakwater: Hands) -> None:
    breakwater.grade("VG").do("take-disc", "take-disc").grade("VG").do("take-disc").grade("VG")
    breakwater.do("price-hand").enter("5").do("take-in")
    assert breakwater.at(1)["state"] == "taken-in"


def test_the_british_scale_has_its_own_letters(empty: Hands) -> None:
    empty.desk.shop.change_settings(scale="british")
    path = empty.desk.shop.path
    empty.leave()
    hands = sit_down(path)
    hands.new_parcel(1).find("baf").grade("EX")
    assert _last(hands) == ("EX", "")
    assert hands.part["grades"][0]["scale"] == "british"
    hands.leave()


def test_a_fault_is_one_letter_and_how_bad_one_digit(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 2)
    (fault,) = breakwater.part["faults"]
    assert (fault["fault"], fault["severity"], fault["place"]) == ("scuffs", "several", "")
    assert breakwater.desk.open.menu is None


def test_a_fault_stands_once_with_its_last_severity(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 2)
    _name(breakwater, "scuffs", 1)
    assert [fault["severity"] for fault in breakwater.part["faults"]] == ["light"]


def test_a_fault_taken_back_takes_its_chore_with_it(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 2)
    assert [(chore["what"], chore["by"]) for chore in breakwater.record["chores"]] == [("play-test", "rule")]
    breakwater.do("fault").key(_fault(breakwater, "scuffs").key, "0")
    assert breakwater.part["faults"] == []
    assert breakwater.record["chores"] == []


def test_a_scuff_that_is_not_heard_asks_for_no_play_test_and_takes_an_earlier_one_back(
    breakwater: Hands,
) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 1)
    assert breakwater.record["chores"] == []
    _name(breakwater, "scuffs", 2)
    assert [chore["what"] for chore in breakwater.record["chores"]] == ["play-test"]
    _name(breakwater, "scuffs", 1)
    assert breakwater.record["chores"] == []
    breakwater.grade("VG").do("price-hand").enter("12").do("take-in", "take-in")
    assert breakwater.at(1)["state"] == "taken-in"
    assert breakwater.at(1)["chores"] == [], "the rule at take-in agrees"


def test_two_faults_asking_for_the_same_work_ask_once(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 2)
    _name(breakwater, "wear", 1)
    assert [chore["what"] for chore in breakwater.record["chores"]] == ["play-test"]


def test_a_side_in_hand_has_the_fault_to_itself(breakwater: Hands) -> None:
    breakwater.do("take-disc", "take-disc")
    _name(breakwater, "scuffs", 1)
    assert breakwater.part["faults"][0]["place"] == "A"


def test_a_grade_above_what_the_faults_allow_is_said_at_once_and_kept(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "scuffs", 3)
    breakwater.grade("NM")
    assert breakwater.desk.open.tone == "clash"
    assert breakwater.desk.open.bell
    assert _last(breakwater) == ("NM", ""), "the dealer's grade stands"
    breakwater.grade("G")
    assert breakwater.desk.open.tone != "clash"
    _name(breakwater, "scratch", 5)
    assert breakwater.desk.open.tone == "clash", "a fault named after the grade is held against it too"


@pytest.mark.parametrize("reason", ["mould", "smell"])
def test_mould_and_smell_set_the_record_apart_at_once(breakwater: Hands, reason: str) -> None:
    fault = next(
        one for one in breakwater.desk.references.faults if one.apart == reason and "cover" in one.parts
    )
    breakwater.do("fault").key(fault.key)
    if breakwater.desk.open.menu is not None:
        breakwater.key("1")
    apart = breakwater.record["set_apart"]
    assert apart is not None
    assert apart["why"] == reason
    breakwater.do("chore").key("b")
    assert breakwater.record["set_apart"] is None


def test_a_severity_that_does_not_exist_changes_nothing(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("fault").key(_fault(breakwater, "scuffs").key, "9")
    assert breakwater.refused
    assert breakwater.part["faults"] == []
    breakwater.do("menu-leave", "menu-leave")
    assert breakwater.desk.open.menu is None


def test_faults_belong_to_the_kind_of_part_in_the_hand(breakwater: Hands) -> None:
    breakwater.do("fault")
    assert breakwater.desk.open.menu is not None
    keys = {choice.key for choice in breakwater.desk.open.menu.choices if not choice.key.isdigit()}  # sound
    wanted = {one.key for one in breakwater.desk.references.faults if "cover" in one.parts}
    assert keys == wanted


@pytest.mark.parametrize(("key", "what"), [("c", "clean"), ("d", "dry"), ("r", "repair"), ("p", "play-test"),
                                           ("f", "photograph"), ("i", "find an insert")])  # fmt: skip
def test_work_still_to_do_is_noted_and_taken_off_by_the_same_key(
    breakwater: Hands, key: str, what: str
) -> None:
    breakwater.do("chore").key(key)
    (chore,) = breakwater.record["chores"]
    assert (chore["what"], chore["by"], chore["done"]) == (what, "key", None)
    breakwater.do("chore").key(key)
    assert breakwater.record["chores"] == []


def test_the_work_list_goes_over_all_parcels_and_the_next_grade_is_after_cleaning(parcel: Hands) -> None:
    parcel.find("baf")
    parcel.take("disc")
    parcel.grade("G").do("chore").key("c")
    first = parcel.head["id"]
    parcel.new_parcel(1).find("lo").do("chore").key("p")
    parcel.do("chores-page")
    assert parcel.desk.open.page is not None
    assert sorted(work.what for work in parcel.desk.open.page.data["chores"]) == ["clean", "play-test"]
    parcel.desk.open.page.marked = [work.what for work in parcel.desk.open.page.data["chores"]].index("clean")
    parcel.do("page-done")
    assert [work.what for work in parcel.desk.open.page.data["chores"]] == ["play-test"]
    assert parcel.head["id"] == first, "one stands in the chore's own parcel now"
    assert parcel.record["chores"][0]["done"] == "2026-11-25"
    parcel.do("page-leave")
    parcel.take("disc")
    parcel.grade("VG", "+")
    assert [(one["when"], one["grade"], one["shade"]) for one in parcel.part["grades"]] == [
        ("arrived", "G", ""), ("cleaned", "VG", "+"),
    ]  # fmt: skip


def test_setting_apart_by_hand_keeps_the_record_from_wanting_a_price(breakwater: Hands) -> None:
    breakwater.grade("VG")
    breakwater.take("disc")
    breakwater.grade("VG").do("chore").key("u").do("take-in")
    assert breakwater.at(1)["state"] == "taken-in"
    apart = breakwater.at(1)["set_apart"]
    assert apart is not None
    assert apart["why"] == "not by the company"


def test_every_scale_s_letters_are_reached_on_the_bench() -> None:
    for scale in load_scales().values():
        keys = [grade.key for grade in scale.grades if not grade.shade]
        assert len(keys) == len(set(keys))


def test_each_degree_of_every_fault_says_the_best_grade_it_allows_before_it_is_taken(
    breakwater: Hands,
) -> None:
    for kind in ("cover", "disc", "inner"):
        breakwater.take(kind)
        for fault in breakwater.desk.references.faults:
            if kind in fault.parts and len(fault.severities) > 1:
                _each_degree_keeps_its_word(breakwater, fault)


def _each_degree_keeps_its_word(hands: Hands, fault: Fault) -> None:
    """What stands beside a degree at 80 columns and at 120 is what the part's ceiling then is."""
    for severity in fault.severities:
        hands.do("fault").key(fault.key)
        told = {}
        for width, height in ((80, 17), (120, 33)):
            shown = text_of(middle_rows(hands.desk, width, height, PLAIN)).splitlines()
            told[width] = next(row for row in shown if f"{severity.digit}  {severity.text}" in row)
        hands.key(str(severity.digit))
        limit = ceiling(hands.part, hands.desk.references.faults, hands.desk.scale)
        best = f"to {limit.grade}{limit.shade}" if limit else "any"
        assert f"{severity.text} " in told[80], told[80]
        assert f"{best} " in told[80].partition("|")[0] + " ", (fault.id, told[80])
        long = f"{best} at best" if limit else "any grade"
        assert long in told[120].partition("|")[0], (fault.id, told[120])
        hands.do("undo")


@pytest.mark.parametrize(("width", "height"), [(80, 17), (120, 33)])
def test_the_fault_list_says_what_grades_each_allows_where_there_is_room(
    breakwater: Hands, width: int, height: int
) -> None:
    breakwater.take("disc")
    breakwater.do("fault")
    shown = text_of(middle_rows(breakwater.desk, width, height, PLAIN))
    for fault_id, said in (("scuffs", "VG+ to G+"), ("hairlines", "NM to VG"), ("noise", "VG+ to G")):
        row = next(row for row in shown.splitlines() if _fault(breakwater, fault_id).text in row)
        assert said in row
    for fault in breakwater.desk.references.faults:
        if (
            "disc" in fault.parts and width >= 120
        ):  # at 80 cells the rest is one key further, never without grades
            assert fault.text[:30] in shown


def test_a_fault_of_a_disc_that_has_no_side_is_noted_of_the_whole_or_its_edge(breakwater: Hands) -> None:
    breakwater.take("disc")
    _name(breakwater, "warp")
    menu = breakwater.desk.open.menu
    assert menu is not None
    assert {"the whole disc", "at the edge"} <= {choice.words for choice in menu.choices}
    breakwater.key("r", "1")
    (fault,) = breakwater.part["faults"]
    assert (fault["fault"], fault["place"], fault["note"]) == ("warp", "", "edge")


@pytest.mark.parametrize("number", [1, 7, 9, 12])
def test_each_place_of_a_fault_has_a_key_of_its_own_on_any_disc_of_a_box(
    breakwater: Hands, number: int
) -> None:
    disc = breakwater.take("disc")
    with breakwater.desk.act("a disc of a box") as change:
        next(p for p in breakwater.desk.changed(change)["parts"] if p["id"] == disc["id"])["number"] = number
    _name(breakwater, "scratch")
    menu = breakwater.desk.open.menu
    assert menu is not None
    keys = [choice.key for choice in menu.choices]
    assert {"m", "w", "r"} <= set(keys)
    assert len(set(keys)) == len(keys)


def test_a_graded_extra_is_there(parcel: Hands) -> None:
    parcel.find("salt")
    parcel.do("next-part") if parcel.part["kind"] != "extra" else None
    while parcel.part["kind"] != "extra":
        parcel.do("next-part")
    extra = parcel.part["id"]
    parcel.grade("VG")
    part = next(one for one in parcel.record["parts"] if one["id"] == extra)
    assert part["state"] == "present"
    assert not any(part["name"] in one for one in lacking(parcel.desk, parcel.record))
