"""Work by rule at take-in, the dealer's word before the rule's, and what to mind on the work list."""

from bench_hands import TODAY, Hands
from seen import page_rows

from benchtui.bench.pieces import PLAIN, text_of
from benchtui.model.record import RecordDoc


def _fault(hands: Hands, fault_id: str, severity: str = "1") -> None:
    fault = next(one for one in hands.desk.references.faults if one.id == fault_id)
    hands.do("fault").key(fault.key)
    if hands.desk.open.menu is not None:
        hands.key(severity)


def _whats(record: RecordDoc) -> list[tuple[str, str]]:
    return [(chore["what"], chore["by"]) for chore in record["chores"]]


def test_a_fault_that_came_without_its_work_gets_it_at_take_in(parcel: Hands) -> None:
    parcel.ready()
    assert parcel.desk.work.parcel is not None
    with parcel.desk.work.parcel.action("an older file's fault") as change:
        disc = next(p for p in change.record(parcel.record["id"])["parts"] if p["kind"] == "disc")
        disc["faults"].append(
            {"fault": "dust", "severity": "dusty", "place": "", "at": "2026-11-25T10:00:00Z"}
        )
    parcel.do("take-in")
    assert _whats(parcel.at(1)) == [("clean", "rule")]


def test_work_that_the_fault_made_already_is_not_made_twice(parcel: Hands) -> None:
    parcel.ready()
    parcel.take("disc")
    _fault(parcel, "dust")
    parcel.do("take-in")
    assert _whats(parcel.at(1)) == [("clean", "rule")]


def test_work_the_dealer_took_off_the_list_stays_off(parcel: Hands) -> None:
    parcel.ready()
    parcel.take("disc")
    _fault(parcel, "dust")
    parcel.do("chore").key("c")
    assert _whats(parcel.record) == []
    parcel.do("take-in")
    assert _whats(parcel.at(1)) == []


def test_work_put_on_the_list_again_by_hand_counts_as_the_dealer_s(parcel: Hands) -> None:
    parcel.ready()
    parcel.take("disc")
    _fault(parcel, "dust")
    parcel.do("chore").key("c").do("chore").key("c").do("take-in")
    assert _whats(parcel.at(1)) == [("clean", "key")]


def test_the_work_list_says_what_to_mind_at_the_chore_that_is_marked(breakwater: Hands) -> None:
    breakwater.take("disc")
    _fault(breakwater, "dust")
    breakwater.do("chore").key("f").do("chores-page")
    assert "no alcohol" in text_of(page_rows(breakwater.desk, 78, 18, PLAIN))
    breakwater.do("page-down")
    shown = text_of(page_rows(breakwater.desk, 78, 18, PLAIN))
    assert "before anything is removed" in shown
    assert "no alcohol" not in shown


def test_a_record_set_apart_says_so_on_the_work_list(breakwater: Hands) -> None:
    breakwater.do("chore").key("c").do("chore").key("m").do("chores-page")
    shown = text_of(page_rows(breakwater.desk, 78, 18, PLAIN))
    assert "set apart: mould" in shown
    assert "mask and gloves" in shown


def test_what_to_mind_is_found_in_a_parcel_that_is_not_open(parcel: Hands) -> None:
    parcel.find("baf")
    parcel.take("disc")
    _fault(parcel, "dust")
    parcel.new_parcel(1).find("lo").do("chores-page")
    assert "no alcohol" in text_of(page_rows(parcel.desk, 78, 18, PLAIN))


def test_work_is_done_with_its_day_and_said(breakwater: Hands) -> None:
    breakwater.do("chore").key("c").do("chores-page", "page-done")
    assert breakwater.record["chores"][0]["done"] == TODAY
    assert TODAY in breakwater.said
    assert "nothing to do" in text_of(page_rows(breakwater.desk, 78, 12, PLAIN))


def test_a_signature_is_answered_by_a_jump_and_the_page_says_it_is_not_authenticated(
    breakwater: Hands,
) -> None:
    breakwater.take("cover")
    breakwater.ask("signed by hand").answer("unproven").do("record-page")
    assert "Cover signed; not authenticated." in " ".join(
        text_of(page_rows(breakwater.desk, 100, 200, PLAIN)).replace("|", " ").split()
    )


def test_a_wrap_waits_to_be_photographed_before_anything_is_removed(parcel: Hands) -> None:
    parcel.ready().do("add-part").key("5")
    assert parcel.part["kind"] == "wrap"
    wrap = parcel.part["id"]
    parcel.do("take-in")
    (chore,) = parcel.at(1)["chores"]
    assert (chore["what"], chore["part"], chore["by"]) == ("photograph", wrap, "rule")
