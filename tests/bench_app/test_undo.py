"""Undo and redo find their record by what an action changed and was about, never by its words, and show again
what was shown before.
"""

from typing import Any

from bench_hands import Hands, Sit

from benchtui.model.record import new_id
from benchtui.store import Entry
from benchtui.store.history import History


def _without_was(hands: Hands) -> None:
    """The history as version 0.1 wrote it."""
    parcel: Any = hands.desk.work.parcel
    entries = parcel._history.entries
    entries[:] = [entry._replace(was=None) for entry in entries]


def _moved(demo: Hands) -> str:
    """Record 5 is moved to place 4 while record 7 is on the bench; that one's id."""
    demo.do("line-leave", "jump-record").enter("7")
    here = demo.record["id"]
    demo.do("line-leave") if demo.desk.open.line else None
    demo.do("parcel-page").mark(5).do("page-earlier", "page-leave")
    assert demo.record["id"] == here
    return here


def test_a_record_moved_and_moved_back_leaves_the_same_one_on_the_bench(demo: Hands) -> None:
    moved, other = demo.at(5)["id"], demo.at(4)["id"]
    here = _moved(demo)
    assert (demo.at(4)["id"], demo.at(5)["id"]) == (moved, other)
    demo.do("undo")
    assert demo.record["id"] == here
    assert demo.at(5)["id"] == moved
    demo.do("redo")
    assert demo.record["id"] == here
    assert demo.at(4)["id"] == moved


def test_a_move_in_a_parcel_of_an_earlier_version_stands_at_what_was_moved(demo: Hands) -> None:
    moved = demo.at(5)["id"]
    _moved(demo)
    _without_was(demo)
    demo.do("undo")
    assert demo.record["id"] == moved
    demo.do("redo")
    assert (demo.record["id"], demo.record["no"]) == (moved, 4)


def test_undo_shows_the_part_the_question_and_what_was_passed_over_before(breakwater: Hands) -> None:
    breakwater.do("next-clue")
    passed, asked, part = (
        list(breakwater.desk.asking.passed),
        breakwater.desk.asking.asked,
        breakwater.desk.work.part_id,
    )
    assert passed
    assert asked is not None
    breakwater.do("answer-1", "take-disc", "next-clue", "undo")
    assert (breakwater.desk.work.part_id, breakwater.desk.asking.asked) == (part, asked)
    assert breakwater.desk.asking.passed == passed


def test_a_digit_for_the_part_that_follows_is_taken_back_to_the_part_in_the_hand(breakwater: Hands) -> None:
    for _ in range(40):
        if breakwater.desk.asking.asked is None:
            break
        breakwater.do("next-clue")
    breakwater.grade("VG")
    before = (breakwater.desk.work.part_id, breakwater.desk.asking.asked)
    history = len(breakwater.desk.work.parcel.history)  # type: ignore[union-attr]
    breakwater.key("1")
    assert len(breakwater.desk.work.parcel.history) == history + 1  # type: ignore[union-attr]
    assert breakwater.desk.work.part_id != before[0]
    breakwater.do("undo")
    assert (breakwater.desk.work.part_id, breakwater.desk.asking.asked) == before


def test_redo_shows_again_what_stood_before_the_next_action(breakwater: Hands) -> None:
    breakwater.do("answer-1")
    between = (breakwater.desk.work.part_id, breakwater.desk.asking.asked)
    breakwater.do("take-disc").grade("VG").do("undo", "undo", "redo")
    assert breakwater.desk.work.part_id is not None
    disc = breakwater.desk.work.part_id
    assert (disc, breakwater.desk.asking.asked) != between, "the disc was in the hand before it was graded"
    assert breakwater.part["kind"] == "disc"


def test_a_take_in_is_taken_back_to_its_record_also_after_a_restart(breakwater: Hands, sit: Sit) -> None:
    for part in list(breakwater.record["parts"]):
        breakwater.take(part["kind"], part.get("number", 1))
        breakwater.grade("VG")
    breakwater.do("price-hand").enter("9")
    first, shown = breakwater.record["id"], (breakwater.desk.work.part_id, breakwater.desk.asking.asked)
    breakwater.do("take-in", "line-leave")
    assert breakwater.record["id"] != first
    breakwater.leave()
    again = sit(breakwater.desk.shop.path)
    again.do("line-leave") if again.desk.open.line else None
    again.do("undo")
    assert again.record["id"] == first
    assert (again.desk.work.part_id, again.desk.asking.asked) == shown


def test_what_an_edited_history_says_was_shown_is_no_reason_to_fail(breakwater: Hands) -> None:
    breakwater.do("answer-1")
    for nonsense in ({}, {"record": 3}, {"record": None, "part": 1, "side": 2, "clue": 3, "passed": [4]}):
        entries: Any = breakwater.desk.work.parcel._history.entries  # type: ignore[union-attr]
        entries[-1] = entries[-1]._replace(was=nonsense)
        breakwater.do("undo", "redo")
        assert breakwater.record["answers"]


def test_an_entry_says_which_records_it_is_about() -> None:
    ops: list[Any] = [
        [["head", "note"], [""], ["x"]],
        [["queue", "r-2"], [2], [1]],
        [["records", "r-1", "state"], ["started"], ["taken-in"]],
    ]
    entry = Entry(1, "in words", "2026-11-25T10:00:00Z", ops)
    assert entry.concerns() == ["r-2", "r-1"]
    assert entry.gives("r-1", "state") == "taken-in"
    assert entry.gives("r-2", "state") is None


# -- chores and setting apart -----------------------------------------------------------------------


def _fault(hands: Hands, fault_id: str, severity: int) -> None:
    fault = next(one for one in hands.desk.references.faults if one.id == fault_id)
    hands.do("fault").key(fault.key)
    if hands.desk.open.menu is not None:
        hands.key(str(severity))


def _change(hands: Hands, change_it: Any) -> None:
    assert hands.desk.work.parcel is not None
    with hands.desk.work.parcel.action("edited elsewhere") as change:
        change_it(change.record(hands.record["id"]))


def test_a_chore_goes_with_its_fault_whatever_its_note_says(breakwater: Hands) -> None:
    breakwater.take("disc")
    _fault(breakwater, "scuffs", 2)
    made = breakwater.record["chores"]
    assert [(one["by"], one["fault"]) for one in made] == [("rule", "scuffs")]
    _change(breakwater, lambda record: record["chores"][0].update(note="heard nothing yet"))
    _fault(breakwater, "scuffs", 0)
    assert breakwater.record["chores"] == []


def test_a_chore_that_another_fault_calls_for_stays(breakwater: Hands) -> None:
    breakwater.take("disc")
    _fault(breakwater, "scuffs", 2)
    _fault(breakwater, "scratch", 4)
    work = [one["what"] for one in breakwater.record["chores"]]
    assert work == ["play-test"]
    _fault(breakwater, "scuffs", 0)
    assert [one["what"] for one in breakwater.record["chores"]] == ["play-test"]
    _fault(breakwater, "scratch", 0)
    assert breakwater.record["chores"] == []


def test_a_chore_of_an_earlier_version_goes_with_the_fault_that_calls_for_such_work(
    breakwater: Hands,
) -> None:
    breakwater.take("disc")
    _fault(breakwater, "scuffs", 2)

    def as_it_was(record: Any) -> None:
        del record["chores"][0]["fault"]
        extra = {**record["chores"][0], "id": new_id("c"), "what": "photograph"}
        record["chores"].append(extra)

    _change(breakwater, as_it_was)
    _fault(breakwater, "scuffs", 0)
    assert [one["what"] for one in breakwater.record["chores"]] == ["photograph"]


def test_history_written_by_this_version_is_read_back_with_what_was_shown() -> None:
    was: Any = {"record": "r-1", "part": None, "side": "", "clue": None, "passed": []}
    entry = Entry(1, "x", "2026-11-25T10:00:00Z", [], was=was)
    assert History({"1": entry.doc()}).entries == [entry]


def _gives_itself_away(hands: Hands) -> Any:
    hands.find("tarr").ask("lettering glass")
    clue = hands.desk.clue
    assert clue is not None
    hands.answer(next(one for one in clue.answers if one.tells == "counterfeit").id)
    assert hands.record["set_apart"] is not None
    return clue


def test_another_answer_to_the_clue_that_set_it_apart_takes_that_back_whatever_the_note_says(
    parcel: Hands,
) -> None:
    clue = _gives_itself_away(parcel)
    apart: Any = parcel.record["set_apart"]
    assert apart["clue"] == clue.id
    _change(parcel, lambda record: record["set_apart"].update(note="looked at with the neighbour"))
    parcel.ask("lettering glass").answer(next(one for one in clue.answers if not one.tells).id)
    assert parcel.record["set_apart"] is None
    assert "no longer set apart" in parcel.said


def test_an_answer_to_another_clue_takes_nothing_back(parcel: Hands) -> None:
    _gives_itself_away(parcel)
    parcel.do("answer-1")
    assert parcel.record["set_apart"] is not None


def test_in_a_record_of_an_earlier_version_the_answers_say_whether_it_stays_set_apart(parcel: Hands) -> None:
    clue = _gives_itself_away(parcel)
    _change(parcel, lambda record: record["set_apart"].pop("clue"))
    parcel.ask("lettering glass").answer(next(one for one in clue.answers if not one.tells).id)
    assert parcel.record["set_apart"] is None


def test_what_was_set_apart_by_hand_is_taken_back_by_no_answer(parcel: Hands) -> None:
    parcel.find("tarr").do("chore").key("u")
    assert parcel.record["set_apart"] is not None
    clue = parcel.ask("lettering glass").desk.clue
    assert clue is not None
    parcel.answer(next(one for one in clue.answers if not one.tells).id)
    assert parcel.record["set_apart"] is not None


def test_the_undo_key_typed_into_the_title_line_that_opened_by_itself_does_not_stay(parcel: Hands) -> None:
    parcel.ready("baf").do("take-in")
    line = parcel.desk.open.line
    assert line is not None
    assert line.about.endswith("Esc u undoes")
    parcel.type("u")
    assert "Esc u undoes" in line.about
    parcel.type("u").do("line-leave")
    assert parcel.said == "left; u undoes now"
    parcel.do("undo")
    assert parcel.at(1)["state"] == "started"
    parcel.do("take-in")
    assert parcel.desk.open.line is not None
    assert parcel.desk.open.line.text == ""


def test_undo_that_goes_on_at_another_record_does_not_say_that_this_one_is_all_undone(parcel: Hands) -> None:
    parcel.ready("baf").do("take-in").find("lo").do("undo", "line-leave", "undo")
    assert parcel.said.startswith("all later steps at record 2 are undone: record 1 taken in")


def test_redo_at_another_record_asks_first_as_undo_does(parcel: Hands) -> None:
    parcel.ready("baf").do("take-in", "line-leave", "undo")
    parcel.do("jump-record").enter("2").do("line-leave", "redo")
    assert parcel.refused
    assert parcel.said.startswith("undone last, at another record: record 1 taken in")
    assert parcel.said.endswith("press again to redo that")
    assert parcel.at(1)["state"] == "started"
    parcel.do("redo")
    assert parcel.at(1)["state"] == "taken-in"
