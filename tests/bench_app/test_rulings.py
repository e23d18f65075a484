"""The dealer's own word: parts ruled, what decides the record, the pressing by hand, looked a second time."""

import pytest
from bench_hands import Hands

from benchtui.bench.draw.stack import draw_stack
from benchtui.bench.pieces import FANCY, text_of


@pytest.mark.parametrize(("key", "ruling"), [("1", "own"), ("2", "swapped"), ("3", "unsure")])
def test_a_part_is_ruled_by_one_digit(slipway: Hands, key: str, ruling: str) -> None:
    slipway.take("inner")
    slipway.do("ruling").key(key)
    assert slipway.record["rulings"] == {slipway.part["id"]: ruling}
    slipway.do("undo")
    assert slipway.record["rulings"] == {}


def test_a_ruling_stands_whatever_the_odds_say(slipway: Hands) -> None:
    while slipway.desk.asking.asked != ("front", "qm-front"):
        slipway.do("next-clue")
    slipway.answer("sticker").ask("label says a").answer("nothing")
    slipway.take("cover")
    slipway.do("ruling").key("1")
    weighing = slipway.desk.weighing()
    assert weighing is not None
    assert slipway.record["rulings"][slipway.part["id"]] == "own"
    assert weighing.agreement[slipway.part["id"]].p_swapped < 0.5


def test_any_part_may_be_what_decides_the_record(slipway: Hands) -> None:
    assert slipway.record["anchor"] is None
    slipway.do("ruling").key("4")
    assert slipway.record["anchor"] == slipway.part["id"]


def test_the_pressing_by_hand_stands_until_it_is_left_to_the_evidence_again(slipway: Hands) -> None:
    slipway.do("pressing")
    assert slipway.desk.open.menu is not None
    slipway.key("2")
    weighing = slipway.desk.weighing()
    assert weighing is not None
    chosen = slipway.record["pressing"]
    assert chosen["how"] == "hand"
    assert chosen["id"] == weighing.pressings[1].id
    slipway.do("answer-1", "answer-1", "answer-1")
    assert slipway.record["pressing"]["id"] == chosen["id"]
    slipway.do("pressing").key("0")
    assert slipway.record["pressing"]["how"] == "open"


def test_a_pressing_by_hand_is_kept_at_take_in(slipway: Hands) -> None:
    slipway.do("pressing").key("3")
    chosen = slipway.record["pressing"]["id"]
    slipway.ready("sto").do("take-in")
    taken = slipway.at(1)["pressing"]
    assert (taken["id"], taken["how"], taken["learn"]) == (chosen, "hand", True)


def test_a_title_without_pressings_has_none_to_choose(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("pressing")
    assert parcel.refused
    assert parcel.desk.open.menu is None


def test_a_second_look_is_asked_for_where_money_is_at_stake_and_silenced_by_looking(parcel: Hands) -> None:
    parcel.find("har")
    for clue, answer in (("how cover made", "wrap"), ("address", "none"), ("price letter", "none")):
        parcel.ask(clue).answer(answer)
    second = _second(parcel)
    for _ in range(30):
        if second is not None or parcel.desk.asking.asked is None:
            break
        parcel.do("ditto")
        second = _second(parcel)
    assert second is not None, "the rarity and its imitation are worth a second look"
    parcel.do("looked")
    (looked,) = parcel.record["looked"]
    assert (looked["part"], looked["place"]) == (second.part, second.place)
    after = _second(parcel)
    assert after is None or (after.clue, after.place) != (second.clue, second.place)


def _second(hands: Hands):  # type: ignore[no-untyped-def]
    weighing = hands.desk.weighing()
    assert weighing is not None
    return weighing.second_look


def test_looking_twice_where_nothing_is_asked_for_is_refused(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("looked")
    assert parcel.refused
    assert parcel.record["looked"] == []


def test_why_is_a_page_with_every_pressing_and_goes_away(slipway: Hands) -> None:
    slipway.do("answer-1", "why")
    assert slipway.desk.open.page is not None
    assert slipway.desk.open.page.name == "why"
    slipway.do("page-down", "page-screen-down", "page-up", "page-screen-up", "page-leave")
    assert slipway.desk.open.page is None


def test_a_note_is_kept_as_typed_and_opened_again_with_what_it_holds(slipway: Hands) -> None:
    slipway.do("note").enter('smells of [b]candles[/b], "quite" clean')
    assert slipway.record["note"] == 'smells of [b]candles[/b], "quite" clean'
    slipway.do("note").type(" indeed").do("line-accept")
    assert slipway.record["note"].endswith("clean indeed")


def test_the_bench_says_in_words_what_was_said_of_a_part(slipway: Hands) -> None:
    slipway.take("cover")
    slipway.do("ruling").key("2")
    shown = text_of(draw_stack(slipway.desk, 69, 33, FANCY))
    assert "from another copy" in shown
    assert "ruled" not in shown
