"""What the copies that the dealer named teach of the bench itself: where to stop, and what repeats."""

from datetime import date
from math import exp, log
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.evidence import counts_of, weigh
from benchtui.evidence.learn import GROUPS, STOP, others
from benchtui.evidence.reference import Shelf
from benchtui.evidence.repeats import learnt_repeats
from benchtui.evidence.stop import bin_of, stop_of
from benchtui.model.span import Span

STATES = (Answer("a", "a", 1), Answer("b", "b", 2))
CLUES = [Clue(f"c{i}", f"c{i}", "disc", "front", STATES, group="look") for i in range(4)]


def shelf(word: Word = "usually") -> Shelf:
    def pressing(name: str, state: str) -> Pressing:
        said: Any = {clue.id: {state: word} for clue in CLUES}
        return Pressing(name, name, Span(date(1970, 1, 1), date(1971, 1, 1)), expect=said)

    first = Span(date(1970, 1, 1))
    return Shelf(
        [
            BookTitle(
                "t", "", "", first, complete="all", pressings=(pressing("one", "a"), pressing("two", "b"))
            )
        ],
        CLUES,
    )


def named(record_of: Any, saw: Any, answers: str, pressing: str) -> Any:
    """A copy with these answers that the dealer named by hand."""
    record = record_of(parts=("disc",))
    for clue, answer in zip(CLUES, answers, strict=False):
        saw(record, "disc-1", clue.id, answer)
    bench = weigh(record, shelf()).witness(pressing)
    record["pressing"] = {"id": pressing, "how": "hand", "p": None, "learn": True, "bench": bench}
    return record


def test_bins_begin_at_the_stop_and_are_half_a_unit_of_log_odds_wide() -> None:
    assert bin_of(0.95) == "0"
    assert bin_of(0.9499) == "-1"
    assert bin_of(1 / (1 + exp(-(log(19) + 0.5)))) == "1"
    assert (bin_of(1.0), bin_of(0.0)) == ("12", "-12")


def seen(copies: int, wrong: int) -> dict[str, dict[str, int]]:
    """Copies of which the bench was .985 or so sure."""
    return {"2": {"right": copies - wrong, "wrong": wrong}}


def test_nothing_is_calibrated_before_200_copies_and_the_rate_is_said_all_the_same() -> None:
    found = stop_of(seen(199, 30), 0.95)
    assert found.at == 0.95
    assert (found.named, found.sure, found.wrong) == (199, 199, 30)
    assert "wrong in 30 (15.1%)" in found.say()
    assert "you have named no copy" in stop_of({}, 0.95).say()
    assert "of the one copy you named the bench was sure of 1" in stop_of({"0": {"right": 1}}, 0.95).say()


def test_from_200_copies_on_a_bench_too_sure_of_itself_stops_later_and_a_good_one_does_not() -> None:
    p = 1 / (1 + exp(-(log(19) + 1.25)))  # the middle of that bin
    good = stop_of(seen(1000, round(1000 * (1 - p))), 0.95)
    assert good.at == pytest.approx(0.95, abs=0.005)
    bad = stop_of(seen(1000, 100), 0.95)
    # 10 % wrong at log odds 4.19: a = 2.197 / 4.19 = .524, so the stop is at log odds 2.944 / .524
    assert bad.at == pytest.approx(1 / (1 + exp(-2.944 / 0.55)), abs=0.002)
    assert "adjusted by them:" in bad.say()


def test_a_record_is_settled_from_the_calibrated_stop(record_of: Any, saw: Any) -> None:
    record = record_of(parts=("disc",))
    for clue in CLUES:
        saw(record, "disc-1", clue.id, "a")
    before = weigh(record, shelf("always"))
    assert before.leader is not None
    assert before.settled
    strict = {STOP: {bin_of(before.leader.p): {"right": 100, "wrong": 120}}}
    after = weigh(record, shelf("always"), counts=strict)
    assert after.leader == before.leader
    assert after.stop.at > before.leader.p
    assert not after.settled


def test_a_named_copy_counts_once_and_only_where_the_dealer_named_it(record_of: Any, saw: Any) -> None:
    right, wrong = named(record_of, saw, "aaaa", "one"), named(record_of, saw, "aaaa", "two")
    tally = counts_of([right, wrong])
    (place,) = tally[STOP]
    assert tally[STOP][place] == {"right": 1, "wrong": 1}
    itself: Any = {**right, "pressing": {**right["pressing"], "how": "leader"}}
    assert STOP not in counts_of([itself])
    assert others(tally, wrong, lambda clue: None)[STOP] == {place: {"right": 1, "wrong": 0}}


@pytest.mark.parametrize(("answers", "higher"), [("aabb", True), ("aaaa", False)])
def test_what_repeats_is_learnt_from_what_the_named_pressing_cost(
    record_of: Any, saw: Any, answers: str, higher: bool
) -> None:
    """Copies named against most clues of a group say that these repeat, those that agree with all do not."""
    copy = named(record_of, saw, "bbba" if higher else answers, "one")
    tally = counts_of([copy] * 40)
    learnt = learnt_repeats(tally[GROUPS])["look"]
    assert (learnt > 0.5) if higher else (learnt < 0.2)
    assert learnt_repeats(counts_of([copy])[GROUPS])["look"] == pytest.approx(0.3, abs=0.15), (
        "one moves it little"
    )
    plain, taught = (weigh(copy_of(copy), shelf(), counts=counts) for counts in ({}, {GROUPS: tally[GROUPS]}))
    assert plain.leader is not None
    assert taught.leader is not None
    assert (taught.leader.p < plain.leader.p) is higher


def copy_of(record: Any) -> Any:
    """The same copy, not named."""
    return {**record, "pressing": {"id": None, "how": "open", "p": None, "learn": False}}


def test_the_bits_kept_are_those_of_the_odds_under_each_strength(record_of: Any, saw: Any) -> None:
    from benchtui.evidence.settings import DEFAULTS

    copy = named(record_of, saw, "aaba", "one")
    for key, bits in copy["pressing"]["bench"]["groups"]["look"].items():
        settings = DEFAULTS._replace(model=DEFAULTS.model._replace(repeat=float(key)))
        p = next(
            one.p for one in weigh(copy_of(copy), shelf(), settings=settings).pressings if one.id == "one"
        )
        assert bits == pytest.approx(-log(p) / log(2), abs=1e-3)
