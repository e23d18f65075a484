"""One hand does a whole parcel: scripts for the left hand and for a number pad, and the keys they keep to."""

import json
from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from seen import pane_rows

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.bench.pieces import FANCY, text_of
from benchtui.bench.run import script_path
from benchtui.books.scales import load_scales
from benchtui.cli import main
from benchtui.desk.core.command import by_id
from benchtui.desk.core.keys import is_printable, key_name
from benchtui.desk.keyboard.keymap_file import find_keymap, load_keymap
from benchtui.desk.keyboard.script import Script, read_script
from benchtui.desk.queue.background import load_on

# No Enter: on a keyboard it lies under the right hand. The space bar is a thumb's, either hand's.
LEFT = {key_name(sign) for sign in "`123456qwertasdfgzxcvb"} | {
    "tab", "escape", "space", "f1", "f2", "f3", "f4", "f5",
}  # fmt: skip
PAD = {key_name(sign) for sign in "0123456789/*-+."} | {"enter"}
HANDS = [("left-hand", LEFT), ("number-pad", PAD)]
one_hand = pytest.mark.parametrize(("name", "reach"), HANDS, ids=[name for name, _ in HANDS])


def _script(name: str) -> Script:
    return read_script(script_path(name))


@one_hand
def test_its_script_uses_only_keys_within_the_hand_s_reach(name: str, reach: set[str]) -> None:
    script = _script(name)
    assert script.keymap == name
    used = {step.name for step in script.steps if step.kind == "key"}
    assert used <= reach, used - reach
    assert len(used) > 12


@one_hand
def test_its_script_takes_in_a_whole_parcel_of_three(
    name: str, reach: set[str], empty_path: Path, sit: Sit
) -> None:
    hands = sit(empty_path, name)
    while load_on(hands.desk):
        pass
    for step in _script(name).steps:
        hands.step(step)
    assert [record["state"] for record in hands.desk.work.records] == ["taken-in"] * 3
    (exported,) = (empty_path / "exports").glob("intake-*.csv")
    assert len(exported.read_text("utf-8").splitlines()) == 4
    charges = {charge["what"]: charge["minor"] for charge in hands.head["charges"]}
    assert charges.keys() == {"price", "postage"}
    for record in hands.desk.work.records:
        assert record["title"] is not None
        assert record["price"] is not None
        for part in record["parts"]:
            said = part["grades"] or part.get("state") == "present" or part["kind"] == "inner"
            assert said, (record["no"], part["kind"])
            assert part["kind"] != "disc" or all(part["sides"][side]["full"] for side in "AB")
    shades = {
        event["shade"]
        for record in hands.desk.work.records
        for part in record["parts"]
        for event in part["grades"]
    }
    assert shades == {"", "+", "-"}
    assert any(part["faults"] for record in hands.desk.work.records for part in record["parts"])


@one_hand
def test_the_first_key_of_all_in_its_map_lies_within_reach(name: str, reach: set[str]) -> None:
    keymap = load_keymap(find_keymap(name, [shipped("keymaps")]), load_scales()["american"])
    # Leaving, asking for help and leaving a record for later are no work at it (the list of all commands has them
    # too); the mark goes round downwards.
    spared = {"quit", "line-up", "explain", "later"} | (
        {"page-parcel", "page-help"} if name == "number-pad" else set()
    )
    for action, keys in keymap.keys.items():
        # books are told with both hands, at rest: no disc is held then
        assert keys[0] in reach or action in spared or action.startswith("book-"), (action, keys)


@one_hand
def test_every_list_of_choices_goes_by_digits_and_its_last_line_is_reached(
    name: str, reach: set[str], demo_path: Path, sit: Sit
) -> None:
    hands = sit(demo_path, name)
    hands.do("line-leave", "commands")
    _choose(hands, by_id()["fault"].words)
    assert hands.desk.open.menu is not None
    assert {choice.key for choice in hands.desk.open.menu.choices} <= set("1234567890")
    faults = [fault for fault in hands.desk.references.faults if "disc" in fault.parts]
    assert len(faults) > 9
    _choose(hands, faults[-1].text)
    if hands.desk.open.menu is not None:
        hands.key("1")
    assert [fault["fault"] for fault in hands.part["faults"]] == [faults[-1].id]


def _choose(hands: Hands, words: str) -> None:
    """By digits, turning the list's page until it is there."""
    for _ in range(6):
        assert hands.desk.open.menu is not None
        found = next((one for one in hands.desk.open.menu.choices if words in one.words), None)
        hands.do(f"answer-{found.key if found else '0'}")
        if found:
            return
    raise AssertionError(words)


def test_with_two_hands_the_letters_of_a_list_stay(demo: Hands) -> None:
    demo.do("line-leave", "fault")
    assert demo.desk.open.menu is not None
    faults = [choice for choice in demo.desk.open.menu.choices if choice.ends != ("sound",)]
    assert len(faults) > 9
    assert not any(choice.key.isdigit() for choice in faults)


def test_the_grades_list_shades_the_grade_that_stands(demo_path: Path, sit: Sit) -> None:
    hands = sit(demo_path, "left-hand").do("line-leave", "grade-ladder", "answer-3")
    assert hands.part["grades"][-1]["grade"] == "VG"
    hands.do("grade-ladder", "answer-0")
    assert hands.part["grades"][-1]["shade"] == "-"
    hands.do("grade-ladder", "answer-9")
    assert hands.part["grades"][-1]["shade"] == ""


def test_on_the_pad_a_star_leaves_a_line_and_a_plus_marks_the_next(demo_path: Path, sit: Sit) -> None:
    hands = sit(demo_path, "number-pad").key("*")
    assert hands.desk.open.line is None
    hands.do("commands")
    _choose(hands, by_id()["find-title"].words)
    hands.type("3")
    assert hands.desk.open.line is not None
    assert len(hands.desk.open.line.picks) > 1
    hands.key("+")
    assert hands.desk.open.line.marked == 1
    assert hands.desk.open.line.text == "3"


@pytest.mark.parametrize(
    ("text", "word"),
    [('[line]\nline-leave = ["*"]\n', "typing"), ('one_hand = true\n[line]\nline-leave = ["-"]\n', "typing"),
     ('one_hand = "yes"\n', "one_hand")],
)  # fmt: skip
def test_only_a_map_for_one_hand_takes_two_signs_from_typing(tmp_path: Path, text: str, word: str) -> None:
    path = tmp_path / "own.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BenchError) as told:
        load_keymap(path, None)
    assert word in told.value.what
    assert is_printable("asterisk")


def test_a_script_is_played_with_its_own_map_unless_another_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "own.keys"
    script.write_text('keymap number-pad\n+ enter enter "2" enter *\n', encoding="utf-8")
    assert main(["play", str(script), "--shop", str(tmp_path / "one")]) == 0
    assert json.loads(capsys.readouterr().out)["records"] == 2
    assert main(["play", str(script), "--shop", str(tmp_path / "two"), "--keymap", "two-hands"]) == 0
    assert json.loads(capsys.readouterr().out)["records"] == 0
    script.write_text("keymap three-hands\nenter\n", encoding="utf-8")
    assert main(["play", str(script), "--shop", str(tmp_path / "three")]) == 2
    assert "two-hands" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "last", "none"), [("two-hands", "Home: the parcel", "l finds or makes one"), ("left-hand", "Esc 'parcel': the parcel", "t finds or makes one"),
                               ("number-pad", ". 'parcel': the parcel", ". 'title' finds or makes one")],
)  # fmt: skip
def test_messages_name_the_keys_of_the_map_in_use(
    name: str, last: str, none: str, empty_path: Path, sit: Sit
) -> None:
    hands = sit(empty_path, name).do("page-new").enter().enter().enter("1").do("line-leave", "page-leave")
    hands.do("line-leave")
    _by_key_or_list(hands, "runout")
    assert none in hands.said
    _by_key_or_list(hands, "find-title")
    hands.enter("363")
    for _ in range(2):
        _by_key_or_list(hands, "take-in")
    assert last in hands.said


def _by_key_or_list(hands: Hands, action: str) -> None:
    if hands.desk.references.keymap.first_key(action):
        hands.do(action)
    else:
        hands.do("commands")
        _choose(hands, by_id()[action].words)


@one_hand
def test_a_closed_parcel_stays_as_it_is_by_the_list_of_commands_too(
    name: str, reach: set[str], demo_path: Path, sit: Sit
) -> None:
    hands = sit(demo_path, name).do("line-leave")
    parcel = hands.desk.work.parcel
    assert parcel is not None
    with parcel.action("closed") as change:
        change.head["state"] = "closed"
    before = len(parcel.history)
    hands.do("commands")
    _choose(hands, by_id()["not-here"].words)
    assert "closed" in hands.said
    assert len(parcel.history) == before


@one_hand
def test_the_question_names_what_has_no_key_by_its_word_in_the_list(
    demo_path: Path, sit: Sit, name: str, reach: set[str]
) -> None:
    hands = sit(demo_path, name).key("backspace", "backspace", "backspace").do("line-leave", "answer-3")
    shown = " ".join(text_of(pane_rows(hands.desk, 60, 17, FANCY)).split())
    assert f"{hands.desk.key('next-clue')} leaves it open" in shown
    assert "'next question' leaves it open" in shown


def test_enter_at_a_list_of_choices_says_what_there_is_and_star_leaves_it(sit: Sit, demo_path: Path) -> None:
    hands = sit(demo_path, "number-pad").do("line-leave").do("grade-ladder")
    hands.key("enter")
    assert hands.desk.open.menu is not None, "what is asked still waits"
    assert hands.said.startswith("Enter is not one of the choices")
    assert hands.said.endswith("* leaves")
    hands.key("*")
    assert hands.desk.open.menu is None
