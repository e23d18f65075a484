"""Opinions by side and minute, two cuts compared; the queue of what is to be played; what to find out later."""

from bench_hands import Hands
from test_listing import section

from benchtui.desk.keyboard.perform import run
from benchtui.model.record import FIND_OUT, work_left


def test_opinions_stand_by_side_and_minute_beside_the_other_copy_and_weigh_nothing(parcel: Hands) -> None:
    parcel.ready().do("take-in", "take-in")
    parcel.find("baf").do("record-page")
    before = parcel.desk.weighing()
    parcel.do("record-heard").enter("A 2:30; more air around the voice; a1")
    parcel.do("record-heard").enter("; a warm record")
    said = section(parcel, "listening")
    assert "A 2:30, against A00001: more air around the voice" in said
    assert "2026-11-25  a warm record" in said
    after = parcel.desk.weighing()
    assert before is not None
    assert after is not None
    assert [(one.id, one.p) for one in after.pressings] == [(one.id, one.p) for one in before.pressings]
    parcel.do("page-leave", "copies")
    assert "this copy, A 2:30, against A00001: more air" in section(parcel, "beside")
    parcel.do("page-leave", "undo", "undo", "record-page")
    for text, why in (
        ("A 2:30", "what do you hear?"),
        ("Q 1:00; x", "no side"),
        ("A; x; a99", "no other copy"),
    ):
        parcel.do("record-heard").enter(text)
        assert parcel.refused
        assert why in parcel.said
        parcel.key(*["backspace"] * len(text)).do("line-leave")
    assert "listening" not in parcel.record or parcel.record["listening"] == []


def test_what_is_to_be_played_and_found_out_waits_on_the_lists(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.do("chore").key("p")
    (playing,) = (one["what"] for one in breakwater.record["chores"])
    assert playing == "play-test"
    breakwater.take("cover")
    clue = breakwater.desk.clue
    assert clue is not None
    run(breakwater.desk, "find-out")
    breakwater.enter("is there a second state?; +7")
    chore = breakwater.record["chores"][-1]
    assert (chore["what"], chore["note"]) == (FIND_OUT, f"{clue.ask}: is there a second state?")
    assert chore["due"] == "2026-12-02"
    assert [one["what"] for one in work_left(breakwater.record)] == ["play-test"]
    run(breakwater.desk, "chores-page")
    assert [one.what for one in breakwater.desk.open.page.data["chores"]] == [FIND_OUT, "play-test"]  # type: ignore[union-attr]
    run(breakwater.desk, "listening")
    assert [one.what for one in breakwater.desk.open.page.data["chores"]] == ["play-test"]  # type: ignore[union-attr]
    breakwater.do("page-done")
    assert breakwater.desk.open.page is not None
    assert breakwater.desk.open.page.data["chores"] == []
