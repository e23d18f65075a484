"""Asking the dealer once records are taken in: at most three cards, one key each, later and nobody knows."""

import pytest
from bench_hands import Hands, Sit
from test_table import shown

from benchtui.desk.book.cards import MOST, cards
from benchtui.desk.look.guess import _led, guess_in_words, no_guess, score
from benchtui.evidence import Likely, Weighing
from benchtui.model.record import empty_record


@pytest.fixture
def grown(parcel: Hands) -> Hands:
    """The first record taken in as a pressing that was grown from it."""
    parcel.ready()
    parcel.take("disc")
    parcel.ask("label paper").answer("reed")
    parcel.key("q", "n", "n").enter("plum label")
    parcel.do("take-in")
    parcel.do("take-in") if parcel.refused else None
    assert parcel.at(1)["state"] == "taken-in"
    parcel.do("line-leave") if parcel.desk.open.line else None
    return parcel


def test_no_card_is_asked_with_a_disc_in_the_hand(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").answer("reed")
    breakwater.key("q", "n", "n").enter("plum label")
    assert cards(breakwater.desk) == []
    breakwater.do("commands").enter("questions")
    assert breakwater.desk.open.menu is None


def test_what_one_copy_showed_is_asked_once_and_answered_by_one_key(grown: Hands) -> None:
    (card,) = [one for one in cards(grown.desk) if one.id.startswith("often/")]
    assert "plum label" in card.ask
    assert len(cards(grown.desk)) <= MOST
    grown.do("commands").enter("questions")
    while grown.desk.open.menu is not None and grown.desk.open.menu.title != card.ask:
        grown.key("l")
    grown.key("1")
    title = grown.desk.library.title(card.title)
    assert title is not None
    made = next(one for one in title.pressings if one.id == card.pressing.id)
    assert made.expect[card.cell[0]] == {card.cell[1]: "always"}
    assert card.id not in {one.id for one in cards(grown.desk)}


def test_later_asks_again_and_nobody_knows_never_does(grown: Hands, sit: Sit) -> None:
    first = cards(grown.desk)[0].id
    grown.do("commands").enter("questions").key("l")
    assert cards(grown.desk)[0].id == first
    while grown.desk.open.menu is not None:
        grown.key("l")
    grown.do("commands").enter("questions").key("n")
    assert first not in {one.id for one in cards(grown.desk)}
    path = grown.desk.shop.path
    grown.leave()
    assert first not in {one.id for one in cards(sit(path).desk)}


def test_where_the_dealer_overruled_the_bench_the_sentence_is_kept_word_for_word(parcel: Hands) -> None:
    parcel.ready()
    parcel.take("disc")
    parcel.ask("label paper").answer("reed")
    weighing = parcel.desk.weighing()
    assert weighing is not None
    assert weighing.pressings[0].id
    assert weighing.pressings[0].p > 0.4
    parcel.do("pressing").key("2")
    parcel.do("take-in")
    parcel.do("take-in") if parcel.refused else None
    parcel.do("line-leave") if parcel.desk.open.line else None
    card = next(one for one in cards(parcel.desk) if one.id.startswith("sure/"))
    assert "What made" not in card.ask
    assert card.ask.endswith("Why?")
    parcel.do("commands").enter("questions").key("w").enter("the sleeve notes name the second printer")
    assert parcel.at(1)["pressing"]["because"] == "the sleeve notes name the second printer"
    if parcel.desk.open.menu is not None and parcel.desk.open.menu.name == "card-meant":
        parcel.key("0")
    assert card.id not in {one.id for one in cards(parcel.desk)}


def test_words_of_one_s_own_stay_as_typed_and_the_answer_that_they_mean_is_taken_by_one_key(
    parcel: Hands,
) -> None:
    parcel.ready()
    parcel.take("disc")
    parcel.ask("label paper").answer("reed")
    parcel.do("pressing").key("2").do("take-in")
    parcel.do("take-in") if parcel.refused else None
    parcel.do("line-leave") if parcel.desk.open.line else None
    card = next(one for one in cards(parcel.desk) if one.id.startswith("sure/"))
    parcel.do("commands").enter("questions").key("w").enter("the reed paper,  what else")
    assert parcel.at(1)["pressing"]["because"] == "the reed paper,  what else"
    menu = parcel.desk.open.menu
    assert menu is not None
    assert menu.choices[0].words.startswith("always ")
    assert "reed" in menu.choices[0].words
    parcel.key("1")
    title = parcel.desk.library.title(card.title)
    assert title is not None
    made = next(one for one in title.pressings if one.id == card.pressing.id)
    assert made.expect["tw-label"] == {"reed": "always"}
    parcel.do("previous-record", "why")
    assert "What made you sure: the reed paper,  what else" in shown(parcel)


@pytest.mark.parametrize(
    ("odds", "led", "said"),
    [
        ((0.5, 0.3, 0.2), "t/1", "and so was the bench's"),
        ((0.31, 0.3, 0.3), None, "the bench had none"),
        ((), None, "the bench had none"),
    ],
)
def test_of_pressings_as_likely_the_bench_guesses_none(
    odds: tuple[float, ...], led: str | None, said: str
) -> None:
    """Three stood at 30 %, and "your guess was right, and so was the bench's"."""
    weighing = Weighing(pressings=tuple(Likely(f"t/{n}", f"{n}", p, None) for n, p in enumerate(odds, 1)))
    assert _led(weighing) == led
    record = empty_record(1)
    record["state"], record["pressing"] = "taken-in", Likely("t/1", "1", 0.9, None).by_hand()
    record["guess"] = {"id": "t/1", "name": "1", "bench": led}
    assert guess_in_words(record).endswith(said)


def test_a_guess_before_the_cover_is_opened_is_kept_and_scored_beside_the_bench_s(parcel: Hands) -> None:
    parcel.find("baf")
    parcel.do("commands").enter("guess the pressing")
    menu = parcel.desk.open.menu
    assert menu is not None
    assert not any("%" in one.words for one in menu.choices), "the odds would be the bench's guess"
    parcel.key("2")
    guessed = parcel.record["guess"]
    assert guessed["name"] == menu.choices[1].words
    parcel.ready()
    parcel.take("disc")
    parcel.ask("label paper").answer("reed")
    assert no_guess(parcel.desk) == "the disc was looked at already"
    weighing = parcel.desk.weighing()
    assert weighing is not None
    at = next(n for n, one in enumerate(weighing.pressings, 1) if one.id == guessed["id"])
    parcel.do("pressing").key(str(at)).do("take-in")
    parcel.do("take-in") if parcel.refused else None
    bench = guessed["bench"] == guessed["id"]
    assert f"your guess was right, {'and so was the' if bench else 'the'} bench's" in parcel.said
    assert score(parcel.desk) == {"n": 1, "you": 1, "bench": int(bench)}
    parcel.do("line-leave") if parcel.desk.open.line else None
    assert "guesses right" in shown(parcel.do("parcel-page"))
