"""A leader is settled only if the copy looks like it."""

from random import Random
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import Weighing, say_held, weigh
from benchtui.evidence.draws import draw
from benchtui.evidence.fit import observed_failures
from benchtui.evidence.reference import Shelf
from benchtui.model.span import Span, parse_edtf

NAMES = ("label", "rim", "word", "font", "hole", "code", "ring", "wax")
PAIR = (Answer("yes", "yes", 1), Answer("no", "no", 2))
CLUES = [Clue(name, f"{name} there", "disc", "label", PAIR) for name in NAMES]
CLUES += [Clue(f"c-{name}", name, "cover", "front", PAIR) for name in NAMES]
CUT = Clue(
    "cut", "Cut", "disc", "runout", (Answer("1", "1", 1), Answer("2", "2", 2)), form="cut", per_side=True
)
KNOWN = {clue.id: {"yes": "always"} for clue in CLUES}
OTHER = {clue.id: {"no": "always"} for clue in CLUES}


def weighed(record: Any, cuts: bool = False) -> Weighing:
    pairs: Any = ((("1", "1"), "usually"),) if cuts else ()
    title = BookTitle("t", "", "t", Span(), complete="all", pressings=(
        Pressing("a", "a", Span(), expect=KNOWN, cuts=pairs),  # type: ignore[arg-type]
        Pressing("b", "b", Span(), expect=OTHER, cuts=pairs),  # type: ignore[arg-type]
    ))  # fmt: skip
    return weigh(record, Shelf([title], [*CLUES, CUT] if cuts else CLUES))


def answered(record_of: Any, saw: Any, contrary: tuple[str, ...] = ()) -> Any:
    record = record_of()
    for clue in CLUES:
        saw(record, f"{clue.part}-1", clue.id, "no" if clue.id in contrary else "yes")
    return record


def test_a_copy_like_its_leader_is_settled(record_of: Any, saw: Any) -> None:
    found = weighed(answered(record_of, saw))
    assert found.settled
    assert found.fit is not None
    assert found.fit.holds
    assert found.fit.surprises == ()


def test_a_copy_unlike_its_leader_is_not_settled_and_says_what_surprises(record_of: Any, saw: Any) -> None:
    found = weighed(answered(record_of, saw, ("rim", "word", "code")))
    assert found.leader is not None
    assert found.leader.id == "a"
    assert found.leader.p > 0.95
    assert found.held == "unlike"
    assert not found.settled
    assert found.fit is not None
    assert {one.clue for one in found.fit.surprises} == {"rim", "word", "code"}
    assert found.fit.p < found.fit.threshold
    assert found.copy_date is None, "the times of a pressing that it does not fit say nothing of it"


def test_one_answer_against_an_always_does_not_make_it_unlike(record_of: Any, saw: Any) -> None:
    found = weighed(answered(record_of, saw, ("rim",)))
    assert found.fit is not None
    assert found.fit.holds
    assert found.fit.contradicted


def test_over_a_contradicted_always_the_cuts_are_asked_for_first(record_of: Any, saw: Any) -> None:
    record = answered(record_of, saw, ("rim",))
    found = weighed(record, cuts=True)
    assert found.held == "cuts"
    assert not found.settled
    assert not found.nothing_left
    assert [one.worthwhile for one in found.next["disc-1"] if one.clue.id == "cut"] == [True, True]
    record["parts"][0]["sides"] = {"A": {"typed": "x", "cut": "1"}, "B": {"typed": "x", "cut": "1"}}
    assert weighed(record, cuts=True).settled


def test_a_cover_that_may_be_another_copy_s_does_not_make_the_copy_unlike(record_of: Any, saw: Any) -> None:
    found = weighed(answered(record_of, saw, tuple(f"c-{name}" for name in NAMES)))
    assert found.agreement["cover-1"].p_swapped > 0.75
    assert found.held == ""
    assert found.settled


def test_the_same_answers_are_found_as_like_each_time(record_of: Any, saw: Any) -> None:
    first = weighed(answered(record_of, saw, ("rim", "word"))).fit
    assert first == weighed(answered(record_of, saw, ("rim", "word"))).fit
    assert first is not None


def test_nobody_asks_whether_an_unlikely_leader_fits(record_of: Any) -> None:
    assert weighed(record_of()).fit is None


def test_dated_clues_of_one_part_are_drawn_at_one_moment(record_of: Any, saw: Any) -> None:
    early, late = (Answer(name, name, n, parse_edtf(span), "hard") for n, (name, span) in enumerate(
        (("early", "[1960..1964]"), ("late", "[1965..1969]")), 1))  # fmt: skip
    clues = [Clue(f"d{n}", f"d{n}", "disc", "label", (early, late)) for n in range(5)]
    title = BookTitle("t", "", "t", parse_edtf("1960"), complete="all",
                      pressings=(Pressing("a", "a", parse_edtf("[1960..1969]")),))  # fmt: skip

    def fit(answers: str) -> float:
        record = record_of()
        for clue, answer in zip(clues, answers, strict=True):
            saw(record, "disc-1", clue.id, {"e": "early", "l": "late"}[answer])
        found = weigh(record, Shelf([title], clues)).fit
        return found.p if found else 0.0

    assert fit("eeeee") > 0.2
    assert fit("ellle") < 0.02  # each answer is common, the five together are of two times


def test_draws_come_as_often_as_their_chances_say() -> None:
    drawn = draw(Random(2), [1.0, 2.0, 3.0], [0.2, 0.5, 0.3], 20_000)
    assert [drawn.count(value) / 20_000 for value in (1.0, 2.0, 3.0)] == pytest.approx(
        [0.2, 0.5, 0.3], abs=0.02
    )


def test_how_often_an_always_fails_is_learnt_from_the_shop_s_copies() -> None:
    title = BookTitle("t", "", "t", Span(), pressings=(Pressing("a", "a", Span(), expect=KNOWN),))  # type: ignore[arg-type]
    assert observed_failures([title], {}) == pytest.approx(0.023)
    counts = {"a": {"n": 200, "clues": {"label": {"yes": 190, "no": 10}}}}
    assert observed_failures([title], counts) == pytest.approx((0.023 * 200 + 10) / 400)


def described(record: Any, complete: Any, ask: bool = True) -> Weighing:
    """Two pressings that rim and font tell apart; both have the same label and the same ring."""
    both: Any = {"label": {"yes": "always"}, "ring": {"yes": "always"}}
    title = BookTitle("t", "", "t", Span(), complete=complete, pressings=(
        Pressing("a", "a", Span(), expect=both | {"rim": {"yes": "always"}, "font": {"yes": "always"}}),
        Pressing("b", "b", Span(), expect=both | {"rim": {"no": "always"}, "font": {"no": "always"}}),
    ))  # fmt: skip
    return weigh(record, Shelf([title], CLUES), ask=ask)


def test_while_one_that_nobody_described_is_likely_enough_what_would_show_it_is_asked(
    record_of: Any, saw: Any
) -> None:
    record = record_of()
    for clue in ("rim", "font"):
        saw(record, "disc-1", clue, "yes")
    found = described(record, "most")
    assert found.leader is not None
    assert found.leader.p >= 0.95
    assert found.held == "new"
    assert not found.nothing_left
    assert [described(record, "most", ask=ask).settled for ask in (True, False)] == [False, False]
    assert say_held(found).endswith("that it is a pressing nobody has described")
    assert {one.clue.id for one in found.next["disc-1"] if one.worthwhile} == {"label", "ring"}
    assert {clue for _, clue in found.order("disc-1")[:2]} == {"label", "ring"}
    assert described(record, "all").settled
    for clue in ("label", "ring"):
        saw(record, "disc-1", clue, "yes")
    assert described(record, "most").settled
