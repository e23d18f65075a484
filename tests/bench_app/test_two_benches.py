"""A second bench on the same shop: the parcel is read only there, and it says who has it."""

from bench_hands import Hands, sit_down
from same_parcel import canonical


def _beside(first: Hands) -> Hands:
    return sit_down(first.desk.shop.path)


def test_the_second_bench_says_who_has_the_parcel_and_reads_it(demo: Hands) -> None:
    second = _beside(demo)
    assert second.desk.work.parcel is not None
    assert second.desk.work.parcel.read_only
    assert second.refused
    assert "process" in second.said
    assert "reading" in second.said
    assert second.record["no"] == 7
    second.leave()


def test_nothing_can_be_changed_there_and_nothing_is(demo: Hands) -> None:
    second = _beside(demo)
    assert demo.desk.work.parcel is not None
    before = canonical(demo.desk.work.parcel)
    second.do("line-leave")
    for action in (
        "grade:VG", "shade-up", "answer-1", "fault", "chore", "note", "price-accept", "price-hand", "take-in",
        "undo", "redo", "not-here", "add-part", "ruling", "pressing", "runout", "find-title", "ditto", "terms",
    ):  # fmt: skip
        second.do(action)
        assert second.desk.open.line is None, action
        assert second.desk.open.menu is None, action
    assert second.desk.work.parcel is not None
    assert canonical(second.desk.work.parcel) == before
    second.leave()


def test_looking_about_works_there(demo: Hands) -> None:
    second = _beside(demo)
    second.do("line-leave", "take-disc", "take-inner", "next-part", "next-clue", "why", "page-leave")
    second.do("previous-record")
    assert second.record["no"] == 6
    second.do("jump-record").enter("2")
    assert second.record["no"] == 2
    second.do("parcel-page", "page-down", "page-add", "page-out", "page-later", "page-close")
    assert second.desk.open.menu is None
    assert len(second.desk.work.records) == 15
    second.leave()


def test_the_page_s_fields_are_not_opened_for_typing_there(demo: Hands) -> None:
    second = _beside(demo)
    second.do("line-leave", "parcel-page")
    assert second.desk.open.page is not None
    second.desk.open.page.marked = 8
    second.do("page-enter")
    assert second.desk.open.line is None
    assert demo.head["carrier"] == "Ulmary Mail Packet"
    assert second.head["carrier"] == "Ulmary Mail Packet"
    second.leave()


def test_another_parcel_can_be_worked_on_at_the_same_time(demo: Hands) -> None:
    second = _beside(demo)
    second.do("line-leave").new_parcel(1, "dovr").ready("baf").do("take-in")
    assert second.at(1)["state"] == "taken-in"
    demo.do("line-leave").grade("VG")
    assert second.at(1)["stock"] not in {record["stock"] for record in demo.desk.work.records}
    second.leave()


def test_when_the_first_has_left_the_second_can_open_it_for_work(demo_path, sit) -> None:  # type: ignore[no-untyped-def]
    first = sit_down(demo_path)
    first.leave()
    second = sit(demo_path)
    assert second.desk.work.parcel is not None
    assert not second.desk.work.parcel.read_only


def test_each_of_two_benches_returns_to_its_own_parcel(demo_path, sit) -> None:  # type: ignore[no-untyped-def]
    first = sit_down(demo_path)
    second = _beside(first)
    second.do("line-leave").new_parcel(1, "dovr")
    here, there = first.desk.work.parcel.id, second.desk.work.parcel.id  # type: ignore[union-attr]
    second.do("line-leave", "sell").enter("a6; -1; 8.50; N. Reed; 26-0370")  # in a parcel of another day
    assert not second.refused, second.said
    second.leave()
    first.leave()
    first = sit(demo_path)
    second = sit(demo_path)
    assert first.desk.work.parcel is not None
    assert second.desk.work.parcel is not None
    assert (first.desk.work.parcel.id, second.desk.work.parcel.id) == (here, there)
    assert not first.desk.work.parcel.read_only
    assert not second.desk.work.parcel.read_only
