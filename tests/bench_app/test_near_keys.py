"""A key that does nothing says what was likely meant: by Caps Lock, by another page, by its letter, its place."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit

from benchtui.bench.pieces import FANCY
from benchtui.bench.widgets.message import message_rows
from benchtui.desk.core.command import by_id
from benchtui.desk.core.pages import pages
from benchtui.desk.keyboard.likely_meant import MEANT, page_of


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("G", "did you mean g (grade G)? Is Caps Lock on?"),
        ("X", "did you mean x (fault)? Is Caps Lock on?"),
        ("left_curly_bracket", "{ does nothing here: did you mean [ (question before)?"),
        ("shift+tab", "did you mean Tab (next part)?"),
        ("ctrl+q", "^Q does nothing here: did you mean q (pressing)?"),
        ("b", "near it: ^B terms"),
        ("b", "works on the page that says why (w): new pressing"),
        ("e", "works on the record's page (^D): edit"),
        ("dollar_sign", "$ does nothing here; h shows what the keys do"),
    ],
)
def test_at_the_record_a_key_without_a_use_names_what_is_near(breakwater: Hands, key: str, said: str) -> None:
    before = breakwater.record
    breakwater.key(key)
    assert said in breakwater.said
    assert breakwater.refused
    assert breakwater.record is before


def test_the_page_names_where_a_key_of_the_bench_works(breakwater: Hands) -> None:
    breakwater.do("parcel-page").key("E")
    assert "did you mean e (edit)?" in breakwater.said
    breakwater.key("f9")
    assert breakwater.said.startswith("F9 (compare) works on the page that says why (w)")
    breakwater.key("delete")
    assert "o take out" in breakwater.said
    breakwater.key("e")
    assert "^D" in breakwater.said, "an action of another page says the key that opens it"


def test_in_a_list_the_choices_that_begin_so_are_named_else_the_keys_there_are(breakwater: Hands) -> None:
    breakwater.take("disc")
    fault = breakwater.do("fault").desk.open.menu
    assert fault is not None
    breakwater.key("S")
    assert "did you mean s (scuffs)? Is Caps Lock on?" in breakwater.said
    breakwater.key("s", "h")
    assert breakwater.said == "h is not one of the choices, which are 1 2 3 a b w r; Esc leaves"
    breakwater.key("s")
    assert breakwater.said.endswith("near it: 2 several, or heard now and then")
    assert breakwater.desk.open.menu is not None, "the list stays open"


def test_a_long_list_of_choices_does_not_tell_its_keys_again(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("fault").key("j")
    assert breakwater.said == "j is not one of the choices; Esc leaves"


def test_what_was_refused_is_not_said_of_the_next_key(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.key("G")
    assert breakwater.refused
    breakwater.do("fault")
    assert breakwater.said == ""
    breakwater.key("j", "s")
    assert breakwater.said == ""


def test_enter_at_rest_says_how_to_go_on_without_a_bell_and_hides_nothing_said_before(
    breakwater: Hands,
) -> None:
    breakwater.desk.open.message = ""
    breakwater.key("enter")
    assert breakwater.said == "Enter does nothing here: / next part or \\ taken in"
    assert not breakwater.desk.open.bell
    breakwater.grade("VG")
    said = breakwater.said
    assert breakwater.key("enter").said == said
    assert breakwater.key("escape").said == said


@pytest.mark.parametrize("keymap", ["left-hand", "number-pad"])
def test_a_map_for_one_hand_names_what_only_its_list_has(demo_path: Path, sit: Sit, keymap: str) -> None:
    hands = sit(demo_path, keymap).do("line-leave")
    hands.key("up")
    assert "lists 'question before', 'record before'" in hands.said


def test_every_sign_and_letter_gets_one_plain_line_everywhere(breakwater: Hands) -> None:
    for opening in ((), ("fault",), ("page-leave", "parcel-page"), ("page-leave", "record-page")):
        breakwater.desk.open.menu = None
        for action in opening:
            if by_id()[action].where == breakwater.desk.open.scope:
                breakwater.do(action)
        for key in (
            "Q",
            "é",
            "Ä",
            "percent_sign",
            "ctrl+j",
            "alt+x",
            "f12",
            "shift+f5",
            "left",
            "nonsense_key",
        ):
            if breakwater.desk.references.keymap.use(breakwater.desk.open.scope, key):
                continue
            breakwater.desk.open.message = ""
            breakwater.key(key)
            assert breakwater.said
            assert "_" not in breakwater.said
            assert len(message_rows(breakwater.desk, 80, FANCY)) <= 3
        breakwater.desk.open.menu = None


def test_what_is_near_is_known_to_the_table_of_actions() -> None:
    for scope, keys in MEANT.items():
        for actions in keys.values():
            assert all(by_id()[action].where == scope for action in actions)
    for action in by_id():
        page = page_of(action)
        assert not page or pages()[page].place or page == "taken", action
    assert page_of("record-edit") == "record"
    assert page_of("page-list") == "parcel"
    assert page_of("page-up") == ""


def test_the_day_s_export_and_the_theme_work_on_a_page_too(breakwater: Hands) -> None:
    breakwater.do("parcel-page").key("ctrl+e")
    assert "written: " in breakwater.said
    breakwater.key("ctrl+t")
    assert breakwater.desk.open.line is not None
    assert breakwater.desk.open.line.name == "theme"
    breakwater.do("line-leave").key("end")
    assert breakwater.desk.open.page is not None
    assert breakwater.desk.open.page.name == "parcels", "by a key without Ctrl too"


def test_at_a_record_without_a_title_every_key_names_the_title_first(parcel: Hands) -> None:
    parcel.do("line-leave")
    for key in ("1", "enter", "q"):
        parcel.desk.open.message = ""
        parcel.key(key)
        assert "the title first" in parcel.said
        assert parcel.desk.key("find-title") in parcel.said.split()


def test_where_only_the_grade_is_wanted_enter_names_the_grades(breakwater: Hands) -> None:
    breakwater.take("cover")
    breakwater.desk.asking.asked, breakwater.desk.open.message = None, ""
    breakwater.key("enter")
    assert breakwater.said.startswith("Enter does nothing here: the grade is wanted: ")
    assert "v VG" in breakwater.said


def test_a_capital_at_a_runout_names_the_runouts_line_too(breakwater: Hands) -> None:
    breakwater.ask("runout a").key("L")
    assert "did you mean l (title)? Is Caps Lock on? The runout's line: r" in breakwater.said


def test_enter_closes_no_list_of_choices_and_says_their_keys(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("fault").key("s", "enter")
    assert breakwater.desk.open.menu is not None
    assert breakwater.said.startswith("Enter is not one of the choices, which are 1 2 3")
