"""What a record taught is counted anew with every change of it: its own word never weighs on itself later."""

import pytest
from bench_hands import Hands


@pytest.fixture
def boat(parcel: Hands) -> Hands:
    parcel.find("last boat")
    for clue, answer in (("tw-front", "mono"), ("tw-price", "oar"), ("tw-label", "reed")):
        if clue == "tw-label":
            parcel.take("disc")
        parcel.ask(clue)
        parcel.answer(answer)
    return parcel


def _odds(hands: Hands) -> tuple[float, list[str]]:
    weighing = hands.desk.weighing()
    assert weighing is not None
    assert weighing.leader is not None
    return round(weighing.leader.p, 6), sorted(
        one for one in hands.desk.weighings.counts() if "lastboat" in one
    )


@pytest.mark.parametrize("back", [("undo",), ("pressing", "0"), ("undo", "redo", "undo")])
def test_a_pressing_chosen_by_hand_and_taken_back_leaves_the_odds_as_they_were(
    boat: Hands, back: tuple[str, ...]
) -> None:
    """The count of the choice stayed: the panel said 98 %, and the record went in as not sure at 90 %."""
    before = _odds(boat)
    boat.do("pressing").key("2")
    assert _odds(boat)[1] == ["tw-lastboat/mono-1"]
    for one in back:
        boat.key(one) if one.isdigit() else boat.do(one)
    assert _odds(boat) == before
    boat.desk.weighings.forget_counts()
    assert _odds(boat) == before


def test_a_pressing_chosen_by_text_typed_outside_a_line_taught_nothing(boat: Hands) -> None:
    before = _odds(boat)
    boat.burst("q2 abcd", apart=0.1)
    assert "taken back" in boat.said
    assert _odds(boat) == before
