"""A parcel: actions, history, place, closing, corrections."""

import gc
import weakref

import pytest
from homes import beside
from same_parcel import canonical

from benchtui.base.errors import BenchError
from benchtui.model.record import empty_record, new_part
from benchtui.store import DISK
from benchtui.store.history import KEPT_ACTIONS, KEPT_BYTES, History
from benchtui.store.load import load

pytestmark = pytest.mark.both_homes


def note(parcel, text, at=0):
    with parcel.action(f"note {text}") as change:
        change.record(parcel.records[at]["id"])["note"] = text


def test_a_new_parcel_holds_the_expected_number_of_empty_records(parcel):
    assert [record["no"] for record in parcel.records] == [1, 2, 3]
    assert {record["state"] for record in parcel.records} == {"empty"}
    assert parcel.head["expected"] == 3


def test_parcels_of_one_day_are_numbered_on(shop, parcel):
    assert parcel.id == "2026-11-25-1"
    assert [shop.new_parcel({"opened": "2026-11-25"}).id for _ in range(10)][-1] == "2026-11-25-11"
    assert shop.parcel_ids()[-2:] == ["2026-11-25-10", "2026-11-25-11"]


def test_what_an_action_changed_is_on_the_disk_at_once(parcel, reopened):
    note(parcel, '[b]brackets[/b] "quotes" \u05d0\u05d1 \U0001f3b5 \0 \ud800')
    assert reopened(parcel).records[0]["note"] == parcel.records[0]["note"]
    assert reopened(parcel).history[-1].say.startswith("note [b]")


def test_ten_thousand_characters_are_kept_whole(parcel, reopened):
    text = "aé\n" * 5000
    note(parcel, text)
    assert reopened(parcel).records[0]["note"] == text


def test_an_exception_inside_an_action_leaves_all_as_it_was(parcel, reopened):
    before = canonical(parcel)

    def breaks():
        with parcel.action("breaks") as change:
            change.head["carrier"] = "x"
            change.record(parcel.records[0]["id"])["note"] = "x"
            change.add(empty_record(0), 1)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        breaks()
    assert canonical(parcel) == before == canonical(reopened(parcel))
    assert not parcel.history
    note(parcel, "goes on")


@pytest.mark.parametrize(
    "value",
    [float("nan"), float("inf"), {1, 2}, b"bytes", pytest.param(object(), id="object")],
    ids=["nan", "inf", "set", "bytes", "object"],
)
def test_what_json_cannot_hold_is_refused_and_nothing_is_changed(parcel, reopened, value):
    before = canonical(parcel)

    def odd():
        with parcel.action("odd") as change:
            change.head["carrier"] = "x"
            change.record(parcel.records[0]["id"])["note"] = value

    with pytest.raises(BenchError, match="cannot be saved"):
        odd()
    assert canonical(parcel) == before == canonical(reopened(parcel))


def test_what_is_nested_without_end_is_refused(parcel):
    deep: list = []
    for _ in range(100_000):
        deep = [deep]
    with pytest.raises(BenchError, match="cannot be saved"), parcel.action("deep") as change:
        change.record(parcel.records[0]["id"])["looked"] = deep
    assert not parcel.history


def test_an_action_without_a_difference_leaves_no_history(parcel):
    with parcel.action("nothing") as change:
        change.record(parcel.records[0]["id"])["note"] = ""
        change.move(parcel.records[0]["id"], 3)
        change.move(parcel.records[0]["id"], 1)
    assert not parcel.history
    assert parcel.head["revision"] == 0


def test_cursor_and_draft_are_saved_but_are_no_history(parcel, reopened):
    note(parcel, "one")
    parcel.undo()
    parcel.place(cursor={"record": "r-1", "part": None}, draft={"line": "note", "text": "half a w", "at": 8})
    with parcel.action("cursor alone") as change:
        change.head["cursor"] = {"record": "r-2"}
    seen = reopened(parcel)
    assert seen.head["draft"]["text"] == "half a w"
    assert seen.head["cursor"] == {"record": "r-2"}
    assert len(seen.history) == 1
    assert parcel.redo() == "note one"
    parcel.place(draft=None)
    assert reopened(parcel).head["draft"] is None


def test_undo_and_redo_say_what_they_did_and_leave_the_cursor(parcel, reopened):
    note(parcel, "one")
    note(parcel, "two")
    parcel.place(cursor={"view": "record"})
    assert parcel.undo() == "note two"
    assert parcel.undo() == "note one"
    assert parcel.undo() is None
    assert reopened(parcel).records[0]["note"] == ""
    assert parcel.redo() == "note one"
    assert parcel.redo() == "note two"
    assert parcel.redo() is None
    assert reopened(parcel).records[0]["note"] == "two"
    assert parcel.head["cursor"] == {"view": "record"}


def test_undo_and_redo_go_on_after_a_restart(shop, parcel):
    note(parcel, "one")
    note(parcel, "two")
    parcel.undo()
    parcel.close()
    again = shop.open_parcel(parcel.id)
    assert again.redo() == "note two"
    assert again.undo() == "note two"
    assert again.undo() == "note one"


def test_a_new_action_forgets_what_was_undone(parcel, reopened):
    for text in ("one", "two", "three"):
        note(parcel, text)
    parcel.undo()
    parcel.undo()
    note(parcel, "other")
    assert parcel.redo() is None
    assert [entry.say for entry in reopened(parcel).history] == ["note one", "note other"]


def test_records_are_added_moved_and_taken_out_and_back(parcel, reopened):
    first, second, third = (record["id"] for record in parcel.records)
    with parcel.action("a fourth") as change:
        added = change.add(empty_record(0), 2)["id"]
    with parcel.action("moved") as change:
        change.move(first, 4)
    with parcel.action("out") as change:
        change.remove(second)
    assert [record["id"] for record in reopened(parcel).records] == [added, third, first]
    assert [record["no"] for record in reopened(parcel).records] == [1, 2, 3]
    for _ in range(3):
        assert parcel.undo()
    assert [record["id"] for record in reopened(parcel).records] == [first, second, third]
    for _ in range(3):
        assert parcel.redo()
    assert [record["id"] for record in parcel.records] == [added, third, first]


def test_several_moves_in_one_action_are_undone_together(parcel):
    before = [record["id"] for record in parcel.records]
    with parcel.action("shuffled") as change:
        change.move(before[0], 3)
        passing = change.add(empty_record(0), 1)["id"]
        change.move(before[2], 1)
        change.remove(passing)
    after = [record["id"] for record in parcel.records]
    assert after != before
    parcel.undo()
    assert [record["id"] for record in parcel.records] == before
    parcel.redo()
    assert [record["id"] for record in parcel.records] == after


def test_a_record_with_a_stock_number_stays_as_withdrawn(shop, parcel):
    record_id = parcel.records[1]["id"]
    number = shop.reserve_stock(parcel.id, record_id)
    with parcel.action("taken out") as change:
        change.remove(record_id)
    record = parcel.record(record_id)
    assert (record["state"], record["stock"], record["no"]) == ("withdrawn", number, 2)


def test_a_history_entry_is_small_when_the_change_is(parcel):
    record_id = parcel.records[0]["id"]
    with parcel.action("parts") as change:
        change.record(record_id)["parts"] = [new_part(kind) for kind in ("disc", "cover", "inner", "extra")]
    with parcel.action("grade") as change:
        grade = {"when": "arrived", "side": "", "grade": "VG", "shade": "", "scale": "s", "at": ""}
        change.record(record_id)["parts"][2]["grades"].append(grade)
    ops = parcel.history[-1].ops
    assert ops == [[["records", record_id, "parts", 2, "grades", 0], [], [grade]]]


@pytest.mark.files_only
def test_the_last_500_actions_are_kept_or_128_kib_whichever_is_more(parcel):
    for number in range(KEPT_ACTIONS + 40):
        note(parcel, str(number))
    assert len(parcel.history) > KEPT_ACTIONS  # 500 of these are less than 128 KiB
    long = History({})
    for number in range(KEPT_ACTIONS + 3):
        entry, gone = long.plan("say", "at", [[["head", "note"], [""], ["y" * 1000 + str(number)]]], 0, False)
        long.push(entry, gone)
    assert len(long.entries) == KEPT_ACTIONS
    short = History({})
    for number in range(3000):
        entry, gone = short.plan("say", "at", [[["head", "note"], [""], [str(number)]]], 0, False)
        short.push(entry, gone)
    assert KEPT_BYTES <= sum(len(str(entry.doc())) for entry in short.entries) < 1.2 * KEPT_BYTES


def test_after_closing_only_dated_corrections_change_it_and_undo_takes_back_nothing(shop, parcel):
    note(parcel, "before")
    parcel.close_parcel()
    assert parcel.closed
    assert parcel.head["closed_at"]
    with pytest.raises(BenchError, match="closed"), parcel.action("late"):
        pass
    assert parcel.undo() is None
    assert parcel.records[0]["note"] == "before"
    with parcel.correct("the disc was a club edition") as change:
        change.record(parcel.records[0]["id"])["note"] = "after"
    again = beside(shop, read_only=True).open_parcel(parcel.id)
    assert again.records[0]["note"] == "after"
    (correction,) = again.head["corrections"]
    assert correction["say"] == "the disc was a club edition"
    assert correction["at"]
    assert correction["ops"][0][1:] == [["before"], ["after"]]
    assert parcel.undo() is None


def test_a_correction_needs_words_and_a_difference(parcel):
    with pytest.raises(BenchError, match="reason"), parcel.correct("  ") as change:
        change.head["note"] = "x"
    with parcel.correct("nothing after all"):
        pass
    assert "corrections" not in parcel.head


def test_undo_stops_before_a_correction_in_an_open_parcel(parcel):
    note(parcel, "one")
    with parcel.correct("wrong carrier") as change:
        change.head["carrier"] = "other"
    note(parcel, "two")
    assert parcel.undo() == "note two"
    assert parcel.undo() is None
    assert parcel.head["carrier"] == "other"


def test_an_action_within_an_action_is_refused(parcel):
    with parcel.action("outer") as change:
        with pytest.raises(BenchError, match="within"), parcel.action("inner"):
            pass
        change.head["note"] = "kept"
    assert parcel.head["note"] == "kept"


def test_a_parcel_that_was_let_go_takes_nothing(parcel):
    parcel.close()
    with pytest.raises(BenchError, match="was closed"):
        note(parcel, "late")


@pytest.mark.parametrize("count", [0, 1, 500])
def test_parcels_of_any_size_are_read_back(shop, count):
    parcel = shop.new_parcel({}, count)
    with parcel.action("one at the front") as change:
        change.add(empty_record(0), 1)
    parcel.close()
    assert [record["no"] for record in shop.open_parcel(parcel.id).records] == list(range(1, count + 2))


@pytest.mark.files_only
def test_the_file_at_rest_is_one_tinydb_store_readable_without_us(parcel):
    import json

    note(parcel, "in the main file")
    path = parcel._storage.place.main
    parcel.close()
    tables = json.loads(path.read_text(encoding="utf-8"))
    assert set(tables) == {"_meta", "head", "records", "history"}
    assert any(record["note"] == "in the main file" for record in tables["records"].values())


@pytest.mark.files_only
@pytest.mark.parametrize("folded", [True, False], ids=["at rest", "with a log"])
def test_a_parcel_read_without_its_history_is_the_same_parcel(shop, parcel, folded):
    note(parcel, 'odd \n,"history":{\n text')
    note(parcel, "two")
    parcel.undo()
    parcel._storage.fold()
    note(parcel, "other than two")  # takes the number of the one undone
    parcel.undo()
    if folded:
        parcel._storage.fold()
    place = parcel._storage.place
    whole = load(DISK, place, "parcel")
    part = load(DISK, place, "parcel", without="history")
    assert part.tables["head"] == whole.tables["head"]
    assert part.tables["records"] == whole.tables["records"]
    assert (part.count, part.generation) == (whole.count, whole.generation)
    assert "history" not in part.tables or not folded
    assert len(whole.tables["history"]) == 2


def test_a_parcel_that_is_closed_leaves_memory_at_once(shop):
    parcel = shop.new_parcel({}, 2)
    with parcel.action("a note") as change:
        change.record(parcel.records[0]["id"])["note"] = "x"
    gone = weakref.ref(parcel)
    parcel.close()
    shop.new_parcel({}, 1)
    gc.disable()
    try:
        del parcel, change
        assert gone() is None
    finally:
        gc.enable()
