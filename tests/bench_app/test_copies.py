"""A second copy: answers repeated are shown as copied and weigh nothing until each is confirmed."""

from bench_hands import Hands
from seen import record_rows

from benchtui.bench.pieces import FANCY
from benchtui.desk.ask.asking import answer_now


def _first(parcel: Hands) -> Hands:
    """The first copy with three answers on its cover and one on its disc; the second's title line is open."""
    parcel.find("baf").do("answer-1", "answer-1", "answer-1").ask("dues a").answer("three")
    return parcel.do("later")


def test_the_empty_title_line_and_one_key_repeat_the_last_copy(parcel: Hands) -> None:
    _first(parcel).do("line-new")
    assert parcel.record["title"] is not None
    assert parcel.record["title"]["id"] == "tw-breakwater"
    assert [one["how"] for one in parcel.record["answers"]] == ["copied"] * 4
    assert sorted(parcel.kinds()) == sorted(part["kind"] for part in parcel.at(1)["parts"])
    assert {one["part"] for one in parcel.record["answers"]} <= {
        part["id"] for part in parcel.record["parts"]
    }


def test_the_same_key_on_a_record_with_its_title_already_copies_too(parcel: Hands) -> None:
    _first(parcel).find("baf").do("ditto")
    assert [one["how"] for one in parcel.record["answers"]] == ["copied"] * 4


def test_grades_faults_runouts_numbers_and_prices_are_a_copy_s_own(parcel: Hands) -> None:
    parcel.find("salt").ask("number limited").do("answer-4").enter("17").grade("VG")
    parcel.do("runout").enter("5").enter("5").do("price-hand").enter("20").do("later", "line-new")
    assert all(not part["grades"] and not part["faults"] for part in parcel.record["parts"])
    assert all(not part.get("sides") for part in parcel.record["parts"])
    assert parcel.answers("tw-number") == []
    assert parcel.answers("tw-cut") == []
    assert parcel.record["price"] is None


def test_copied_answers_weigh_nothing(parcel: Hands) -> None:
    _first(parcel).find("baf")
    before = {one.id: one.p for one in _pressings(parcel)}
    parcel.do("ditto")
    assert {one.id: one.p for one in _pressings(parcel)} == before
    assert before != {one.id: one.p for one in _pressings_of_first(parcel)}


def _pressings(hands: Hands) -> tuple:  # type: ignore[type-arg]
    weighing = hands.desk.weighing()
    assert weighing is not None
    return weighing.pressings


def _pressings_of_first(hands: Hands) -> tuple:  # type: ignore[type-arg]
    hands.do("line-leave") if hands.desk.open.line else None
    hands.do("previous-record")
    return _pressings(hands)


def test_a_copied_answer_is_confirmed_by_the_same_key_and_weighs_from_then_on(parcel: Hands) -> None:
    _first(parcel).find("baf").do("ditto")
    before = {one.id: one.p for one in _pressings(parcel)}
    asked = parcel.desk.asking.asked
    assert answer_now(parcel.desk) is not None
    parcel.do("ditto")
    assert asked is not None
    (answer,) = [one for one in parcel.answers(asked[1]) if one["place"] == asked[0]]
    assert answer["how"] == "seen"
    assert parcel.desk.asking.asked != asked
    assert {one.id: one.p for one in _pressings(parcel)} != before


def test_a_copied_answer_that_is_not_so_is_answered_anew(parcel: Hands) -> None:
    _first(parcel).find("baf").do("ditto")
    asked = parcel.desk.asking.asked
    standing = answer_now(parcel.desk)
    clue = parcel.desk.clue
    assert asked is not None
    assert standing is not None
    assert clue is not None
    other = next(one for one in clue.answers if one.id != standing["answer"])
    parcel.answer(other.id)
    (answer,) = [one for one in parcel.answers(asked[1]) if one["place"] == asked[0]]
    assert (answer["answer"], answer["how"]) == (other.id, "seen")


def test_copying_is_one_action_to_take_back(parcel: Hands) -> None:
    _first(parcel).do("line-new").do("undo")
    assert parcel.at(2)["title"] is None
    assert parcel.at(2)["parts"] == []
    assert parcel.at(2)["state"] == "empty"


def test_nothing_to_repeat_is_said(parcel: Hands) -> None:
    parcel.do("line-new")
    assert parcel.refused
    assert parcel.record["state"] == "empty"


def test_taking_the_same_title_says_where_a_copy_stands(parcel: Hands) -> None:
    _first(parcel).find("baf")
    assert "1" in parcel.said
    assert parcel.record["answers"] == []


def test_what_the_leading_pressing_foretells_is_confirmed_by_the_same_key(parcel: Hands) -> None:
    parcel.find("baf").do("answer-1")
    parcel.take("disc")
    parcel.ask("label says a").do("ditto")
    (answer,) = parcel.answers("tw-says")
    assert (answer["answer"], answer["how"]) == ("nothing", "seen")


def test_what_the_other_copy_was_priced_at_stands_by_until_this_one_has_a_price(parcel: Hands) -> None:
    def drawn() -> str:
        return "\n".join("".join(t for t, _ in line) for line in record_rows(parcel.desk, 80, 30, FANCY))

    parcel.find("baf").grade("VG", "+").do("price-hand").enter("20").do("later").find("baf")
    assert "record 1 here, -/VG+: 20.00 GBP" in drawn()
    parcel.do("price-hand").enter("18")
    assert "record 1, -/VG+" not in drawn()
