"""The why page says what tells the first two apart; any two pressings can be compared from it."""

from bench_hands import Hands
from seen import page_rows

from benchtui.bench.pieces import text_of
from benchtui.desk.look.clues import foretold


def said(hands: Hands) -> str:
    return text_of(page_rows(hands.desk, 120, 200))


def test_the_why_page_says_what_tells_the_first_two_apart_and_what_would_prove_the_first(
    breakwater: Hands,
) -> None:
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    first, second = weighing.pressings[:2]
    breakwater.do("why")
    page = said(breakwater)
    assert f"What tells {first.name} from {second.name}" in page
    assert f"What would speak for {first.name}" in page
    assert f"What would speak against {first.name}" in page


def test_any_two_pressings_are_compared_and_one_by_itself(breakwater: Hands) -> None:
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    names = [one.name for one in weighing.pressings]
    breakwater.do("why", "why-compare").key("2")
    assert breakwater.desk.open.menu is not None
    assert breakwater.desk.open.menu.choices[1].words == f"{names[1]} by itself"
    breakwater.key("3")
    page = said(breakwater)
    assert f"What tells {names[1]} from {names[2]}" in page
    told = weighing.compare.apart(weighing.pressings[1].id, weighing.pressings[2].id)
    assert told
    assert told[0].ask in page
    breakwater.do("why-compare").key("1", "1")
    page = said(breakwater)
    assert " from " not in page.splitlines()[2]
    assert f"What would speak for {names[0]}" in page
    breakwater.do("page-leave")
    assert breakwater.desk.open.page is None


def test_an_unusual_answer_is_named(breakwater: Hands) -> None:
    """One answer that the leader hardly ever shows, beside several that it does."""
    other = True
    for _ in range(7):
        clue, guess = breakwater.desk.clue, foretold(breakwater.desk)
        if clue is not None and guess is not None and other:
            strange = next(one for one in clue.answers if one.id != guess.id and not one.neutral)
            breakwater.do(f"answer-{strange.digit}")
            other = False
        else:
            breakwater.do("ditto" if guess is not None else "answer-1")
    weighing = breakwater.desk.weighing()
    assert weighing is not None
    breakwater.do("why")
    page = said(breakwater)
    assert weighing.leader is not None
    unusual = weighing.compare.unusual(weighing.leader.id)
    for one in unusual[:4]:
        assert one.label in page
    assert ("Unusual for" in page) == bool(unusual)


def test_a_title_without_pressings_has_nothing_to_compare(parcel: Hands) -> None:
    parcel.enter("Zzyzx - Wqrt").do("why")
    assert "What would speak for" not in said(parcel)
    parcel.do("why-compare")
    assert not parcel.desk.open.menu or len(parcel.desk.open.menu.choices) < 2


def test_a_pressing_named_by_hand_keeps_what_the_bench_thought_and_the_page_says_how_sure_it_is(
    breakwater: Hands,
) -> None:
    before = breakwater.desk.weighing()
    assert before is not None
    assert before.leader is not None
    breakwater.do("why")
    page = said(breakwater)
    assert "counts as sure from 95.0%; not checked yet" in page
    whole = sum(one.decibans for one in before.why)
    odds = 10 ** (abs(whole) / 10)
    told = "over 999" if odds > 999 else f"{odds:.0f}" if odds >= 10 else f"{odds:.1f}"
    first, second = (one.name for one in before.pressings[:2])
    assert f"together: {told} to 1 for {first if whole >= 0 else second}" in page
    breakwater.do("page-leave", "pressing").key("2")
    kept = breakwater.record["pressing"]["bench"]
    assert (kept["leader"], kept["p"]) == (before.leader.id, round(before.leader.p, 6))
    breakwater.desk.weighings.forget_counts()
    counts = breakwater.desk.weighings.counts()
    assert sum(n for one in counts["~stop"].values() for n in one.values()) == 1
    breakwater.do("why")
    assert "counts as sure from 95.0%" in said(breakwater)
