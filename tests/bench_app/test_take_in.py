"""Taking in: what is lacking is named, a second press takes it as it is; stock numbers; undo and redo."""

import pytest
from bench_hands import Hands, sit_down
from same_parcel import canonical

from benchtui.bench.pieces import FANCY
from benchtui.bench.widgets.message import message_rows
from benchtui.desk.look.clues import nothing_asked
from benchtui.desk.queue.queue import contradictions, in_words, lacking, way_in


def test_what_is_lacking_is_named_and_nothing_is_taken_in_yet(breakwater: Hands) -> None:
    breakwater.do("take-in")
    assert breakwater.refused
    for word in ("cover", "disc", "price"):
        assert word in breakwater.said
    assert breakwater.record["state"] == "started"
    assert breakwater.record["stock"] is None


def test_a_second_press_takes_it_in_as_it_is(breakwater: Hands) -> None:
    breakwater.do("take-in", "take-in")
    assert breakwater.at(1)["state"] == "taken-in"
    assert breakwater.at(1)["stock"] == "A00001"
    assert breakwater.record["no"] == 2, "and the next one is on the bench"


def test_another_key_in_between_starts_the_naming_anew(breakwater: Hands) -> None:
    breakwater.do("take-in", "take-disc", "take-in")
    assert breakwater.record["state"] == "started"


def test_extras_not_looked_for_are_named_apart_from_what_is_lacking(parcel: Hands) -> None:
    parcel.find("salt").do("take-in")
    lacks, unlooked = parcel.said.split("; not looked for yet: ")
    assert lacks.startswith("lacks: grade of cover; grade of disc 1; grade of disc 2; price (k ")
    assert unlooked.startswith("sea chart, tide table. Press the key again")
    assert in_words(lacking(parcel.desk, parcel.record)[-1:]) == "not looked for yet: sea chart, tide table"


def test_a_record_without_a_title_is_not_taken_in_however_often_one_presses(parcel: Hands) -> None:
    parcel.do("line-leave", "take-in", "take-in", "take-in")
    assert parcel.refused
    assert parcel.record["state"] == "empty"


def test_a_pressing_not_settled_is_a_legal_end(parcel: Hands) -> None:
    parcel.ready("baf").do("take-in")
    taken = parcel.at(1)
    assert taken["state"] == "taken-in"
    assert taken["pressing"]["how"] == "open"
    assert taken["pressing"]["learn"] is False
    assert "not sure" in parcel.said


def test_a_settled_pressing_is_written_down_with_its_odds(parcel: Hands) -> None:
    parcel.find("lo")
    for clue, answer in (("label picture a", "wheel"), ("price mark", "crown")):
        parcel.ask(clue).answer(answer)
    parcel.do("runout").enter("1").enter("1")
    parcel.ready("lo")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.settled
    parcel.do("take-in")
    taken = parcel.at(1)["pressing"]
    assert (taken["id"], taken["how"]) == ("bm-longpeal/first", "leader")
    assert taken["p"] is not None
    assert taken["p"] >= 0.95
    assert not taken["learn"]  # nobody named it, and three answers do not make the book alone sure of it


def test_a_title_nobody_knows_is_taken_in_without_a_pressing(parcel: Hands) -> None:
    parcel.ready("Zzyzx - Wqrt").do("take-in")
    assert parcel.at(1)["pressing"] == {"id": None, "how": "open", "p": None, "learn": False}


def test_the_stock_number_is_kept_over_undo_and_redo_and_never_given_twice(parcel: Hands) -> None:
    parcel.ready().do("take-in", "line-leave")
    parcel.do("undo")
    assert parcel.at(1)["state"] == "started"
    parcel.do("redo")
    assert parcel.at(1)["stock"] == "A00001"
    parcel.do("undo", "jump-record").enter("2")
    parcel.ready().do("take-in")
    assert parcel.at(2)["stock"] == "A00002"
    parcel.do("line-leave") if parcel.desk.open.line else None
    parcel.do("jump-record").enter("1").do("take-in")
    assert parcel.at(1)["stock"] == "A00001"


def test_taking_in_again_keeps_the_number(parcel: Hands) -> None:
    parcel.ready().do("take-in", "line-leave", "previous-record", "take-in")
    assert parcel.at(1)["stock"] == "A00001"
    assert len(parcel.desk.shop.stock_numbers()) == 1


def test_the_last_one_stays_on_the_bench(empty: Hands) -> None:
    empty.new_parcel(1).ready().do("take-in")
    assert empty.record["no"] == 1
    assert empty.desk.open.page is None


def test_what_was_taken_in_is_counted_with_its_keys_and_time(parcel: Hands) -> None:
    parcel.ready().do("take-in")
    (session,) = parcel.head["sessions"]
    assert session["record"] == parcel.at(1)["id"]
    assert session["keys"] > 5
    assert session["seconds"] > 0


def test_everything_is_taken_back_and_done_again_to_the_same_parcel(parcel: Hands) -> None:
    parcel.ready("salt").do("take-in")
    parcel.find("baf").grade("VG").do("fault").key("e")
    while parcel.desk.open.menu:
        parcel.do("menu-leave")
    assert parcel.desk.work.parcel is not None
    steps, end = len(parcel.desk.work.parcel.history), canonical(parcel.desk.work.parcel)
    assert steps > 10
    _bench(parcel)
    for _ in range(steps):
        parcel.do("undo")
        if "press again to undo that" in parcel.said:  # another record would leave the stock
            parcel.do("undo")
        assert not parcel.refused, parcel.said
        _bench(parcel)
    parcel.do("undo")
    assert parcel.refused, "nothing is left"
    assert all(record["title"] is None for record in parcel.desk.work.records)
    for _ in range(steps):
        _bench(parcel)
        parcel.do("redo")
        if "press again to redo that" in parcel.said:
            parcel.do("redo")
        assert not parcel.refused, parcel.said
    assert canonical(parcel.desk.work.parcel) == end
    parcel.do("redo")
    assert parcel.refused


def _bench(hands: Hands) -> None:
    """Where undo brings up a page or a line, back to the bench."""
    for _ in range(3):
        if hands.desk.open.line is not None:
            hands.do("line-leave")
        if hands.desk.open.page is not None:
            hands.do("page-leave")


def test_a_new_action_after_undo_ends_what_could_be_redone(breakwater: Hands) -> None:
    breakwater.grade("VG").do("undo").grade("G").do("redo")
    assert breakwater.refused
    assert breakwater.part["grades"][-1]["grade"] == "G"


def test_undo_and_redo_reach_over_a_restart(breakwater: Hands) -> None:
    breakwater.grade("VG").grade("G").do("undo")
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit_down(path)
    again.do("redo")
    assert again.part["grades"][-1]["grade"] == "G"
    again.do("undo", "undo")
    assert again.part["grades"] == []
    again.leave()


def test_undo_stands_at_the_record_it_concerned(parcel: Hands) -> None:
    parcel.find("baf").grade("VG").do("later", "line-leave", "undo")
    assert parcel.record["no"] == 2
    assert parcel.said.startswith("done last, at another record: record 1, cover: ")
    parcel.do("commands").type("undo the last").do("line-accept")
    assert parcel.record["no"] == 1, "said once, whichever way it is asked for again"
    assert parcel.part["grades"] == []


def ready(hands: Hands) -> Hands:
    """Graded and priced: nothing is missing."""
    hands.take("cover")
    hands.grade("VG").take("disc")
    return hands.grade("VG").do("price-hand").enter("12")


def test_a_part_whose_clues_exclude_each_other_is_to_be_looked_at_again_first(parcel: Hands) -> None:
    ready(parcel.find("tin"))
    parcel.ask("dues a").answer("two").do("take-in")
    assert "contradict each other" in parcel.said
    assert parcel.at(1)["state"] == "started"
    parcel.do("take-in", "take-in")
    assert parcel.at(1)["state"] == "taken-in"


def test_looked_again_and_it_is_so_takes_the_warning_away(parcel: Hands) -> None:
    ready(parcel.find("tin"))
    parcel.ask("dues a").answer("two").do("take-in")
    key = parcel.desk.key("looked")
    assert f"({key}: it is so)" in parcel.said
    assert way_in(parcel.desk, parcel.record).endswith(f"{key}: looked again, it is so")
    parcel.do("looked")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.clashes, "what was seen still contradicts itself"
    assert not contradictions(parcel.desk, parcel.record)
    assert "contradict" not in " ".join(lacking(parcel.desk, parcel.record))


def test_a_runout_of_another_title_is_to_be_looked_at_again_first(breakwater: Hands) -> None:
    ready(breakwater).do("take-disc", "runout").enter("ZZ 99 A-1").do("line-leave", "take-in")
    assert "runout A (r): it does not fit this title" in breakwater.said
    assert breakwater.at(1)["state"] == "started"


def test_a_record_set_apart_wants_nothing_more(breakwater: Hands) -> None:
    breakwater.do("chore").key("u")
    assert breakwater.record["set_apart"] is not None
    breakwater.do("take-in")
    assert breakwater.at(1)["state"] == "taken-in"


def test_a_worked_price_that_waits_for_its_key_is_named_with_what_is_missing(
    parcel: Hands, monkeypatch: pytest.MonkeyPatch
) -> None:
    parcel.ready("baf").do("undo")
    monkeypatch.setattr("benchtui.desk.hand.prices.price_at_hand", lambda *_: None)
    parcel.do("take-in")
    assert "price (y accepts " in parcel.said
    parcel.key("y").do("take-in")
    price = parcel.at(1)["price"]
    assert price is not None
    assert (price["how"], price["minor"]) == ("worked", 700), "12.00 in the book, VG+ leaves 0.6: 7.20"


def test_a_price_that_nothing_works_out_is_asked_for_with_its_key(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt")
    for kind in ("cover", "disc"):
        parcel.take(kind)
        parcel.grade("VG")
    parcel.do("take-in")
    assert parcel.said.startswith("lacks: price (k sets its price)")
    assert way_in(parcel.desk, parcel.record) == "k sets its price; \\ takes the record in"


def test_a_digit_at_a_record_taken_in_speaks_of_no_taking_in(parcel: Hands) -> None:
    ready(parcel.find("tin"))
    parcel.do("take-in", "take-in", "line-leave", "previous-record")
    parcel.desk.asking.asked = None
    assert parcel.record["state"] == "taken-in"
    assert "it is taken in" in nothing_asked(parcel.desk)
    assert parcel.desk.key("take-in") not in nothing_asked(parcel.desk)


def test_what_is_said_after_the_last_record_is_short_and_gone_on_the_parcel_s_page(parcel: Hands) -> None:
    for letters in ("baf", "wre", "lo"):
        parcel.ready(letters).do("take-in")
    assert "That was the last: " in parcel.said
    assert len(message_rows(parcel.desk, 78, FANCY)) <= 2, parcel.said
    parcel.do("parcel-page")
    assert parcel.said == ""
