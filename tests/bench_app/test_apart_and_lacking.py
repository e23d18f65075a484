"""What is set apart asks no price and can come back; what is lacking is said of the record on the bench."""

from bench_hands import Hands
from test_asking import finish_cover

from benchtui.bench.widgets.stack import to_do
from benchtui.desk.ask.asking import DOUBT, is_doubted
from benchtui.desk.hand.prices import price_at_hand
from benchtui.desk.line.lines import type_text
from benchtui.evidence import Agreement


def _set_apart(hands: Hands) -> Hands:
    return hands.do("chore").key("u")


def test_a_record_set_apart_is_taken_in_without_accepting_the_worked_price(breakwater: Hands) -> None:
    """The same keys without setting it apart accept the price: test_asking.py."""
    finish_cover(breakwater).do("take-disc").grade("VG")
    assert price_at_hand(breakwater.desk, breakwater.record) is not None
    _set_apart(breakwater).do("take-in")
    taken = breakwater.at(1)
    assert taken["state"] == "taken-in"
    assert taken["price"] is None


def test_a_record_set_apart_comes_back_to_stock_by_one_choice(breakwater: Hands) -> None:
    _set_apart(breakwater)
    assert breakwater.record["set_apart"] is not None
    breakwater.do("chore").key("b")
    assert breakwater.record["set_apart"] is None


def test_a_chore_already_done_stays_when_its_fault_is_taken_back(breakwater: Hands) -> None:
    scuffs = next(fault for fault in breakwater.desk.references.faults if fault.id == "scuffs")
    breakwater.take("disc")
    breakwater.do("fault").key(scuffs.key, "3")
    (chore,) = breakwater.record["chores"]
    assert breakwater.desk.work.parcel is not None
    with breakwater.desk.work.parcel.action("played") as change:
        change.record(breakwater.record["id"])["chores"][0]["done"] = "2026-11-25"
    breakwater.do("fault").key(scuffs.key, "0")
    assert breakwater.part["faults"] == []
    assert [one["id"] for one in breakwater.record["chores"]] == [chore["id"]]


def test_what_is_lacking_is_told_anew_of_another_record(parcel: Hands) -> None:
    """The second press that takes a record in as it is belongs to the record whose lacks were told."""
    parcel.find("baf").do("later").find("bell king").do("previous-record")
    parcel.do("take-in", "take-in")
    assert parcel.at(1)["state"] == "taken-in"
    assert parcel.record["no"] == 2
    parcel.do("take-in")
    assert "lacks" in parcel.said
    assert parcel.at(2)["state"] == "started"


def test_a_part_is_in_doubt_between_the_two_bounds_only(breakwater: Hands) -> None:
    breakwater.take("cover")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    for p, doubted in ((DOUBT - 0.01, False), (DOUBT, True), (0.5, True), (1 - DOUBT, True), (0.95, False)):
        weighing.agreement[breakwater.part["id"]] = Agreement(p, 0.0, "", False)
        assert is_doubted(breakwater.record, breakwater.part, weighing) is doubted, p


def test_a_sender_is_found_by_the_beginning_of_each_word(empty: Hands) -> None:
    """Every word typed must begin a word of the name; letters in the middle of one find nobody."""
    empty.do("parcels-page").do("page-new")
    for typed, found in (("qu", 1), ("hes qui", 1), ("qui hes", 1), ("uilter", 0), ("hes bra", 0), ("", 2)):
        line = empty.desk.open.line
        assert line is not None
        type_text(empty.desk, typed)
        assert len(line.picks) == found, typed


def test_the_status_line_keeps_missing_for_what_did_not_come(parcel: Hands) -> None:
    parcel.find("baf")
    assert to_do(parcel.desk, parcel.record).startswith("lacks: grade of cover")
    apart = {**parcel.record, "set_apart": {"why": "mould", "note": "", "at": parcel.desk.now()}}
    assert to_do(parcel.desk, apart) == "set apart: nothing more is needed"  # type: ignore[arg-type]
