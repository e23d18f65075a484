"""What weighing does with odd records, rulings, numbers and money."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Pressing
from benchtui.evidence import ModelSettings, Weighing, WeighSettings, weigh
from benchtui.evidence.reference import Shelf
from benchtui.evidence.seen import brackets
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span, parse_edtf

LABEL = Clue(
    "label", "Label print", "disc", "label",
    (Answer("silver", "silver print", 1), Answer("gold", "gold print", 2), Answer("odd", "another", 3),
     Answer("unsure", "cannot tell", 0, neutral=True)),
    per_side=True, seconds=2.0, source="from memory",
)  # fmt: skip
BACK = Clue(
    "back",
    "Back of the cover",
    "cover",
    "back",
    (Answer("flip", "flip-back", 1), Answer("plain", "plain", 2)),
)
PAPER = Clue("paper", "Inner", "inner", "front", (Answer("lined", "lined", 1), Answer("plain", "plain", 2)))
GRAMS = Clue(
    "grams", "Weight", "disc", "whole",
    (Answer("light", "up to 120 g", 1, low=0, high=120), Answer("heavy", "over 120 g", 2, low=121, high=300)),
    form="number", unit="g", error=3,
)  # fmt: skip
HAND = Clue(
    "hand", "How the runout is written", "disc", "runout",
    (Answer("stamped", "stamped", 1), Answer("scratched", "scratched", 2, tells="counterfeit")),
)  # fmt: skip
FIRST = Pressing(
    "first", "first", parse_edtf("1962"), price=18000,
    expect={"label": {"silver": "always"}, "back": {"flip": "always"}, "paper": {"lined": "usually"},
            "grams": {"heavy": "always"}, "hand": {"stamped": "always"}},
)  # fmt: skip
SECOND = Pressing(
    "second", "second", parse_edtf("1966"), share=3.0, price=2000,
    expect={"label": {"gold": "always"}, "back": {"plain": "always"}, "paper": {"plain": "usually"},
            "grams": {"light": "always"}, "hand": {"stamped": "always"}},
)  # fmt: skip
FAKE = Pressing(
    "fake", "imitation of the first", parse_edtf("1980"), "counterfeit", 0.2, price=500, imitates="first",
    expect={"label": {"silver": "always"}, "back": {"flip": "always"}, "hand": {"scratched": "always"}},
)  # fmt: skip
CLUES = (LABEL, BACK, PAPER, GRAMS, HAND)


def shelf(*pressings: Pressing, clues: tuple[Clue, ...] = CLUES) -> Shelf:
    return Shelf([BookTitle("t", "", "", Span(date(1962, 1, 1)), pressings=pressings)], clues, money="GBP")


TWO = shelf(FIRST, SECOND)


def p(weighing: Weighing) -> dict[str | None, float]:
    return {one.id: one.p for one in weighing.pressings}


def test_probabilities_add_up_to_one_and_the_likeliest_stands_first(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "silver")
    weighing = weigh(record, TWO)
    assert sum(p(weighing).values()) == pytest.approx(1.0)
    assert [one.p for one in weighing.pressings] == sorted(p(weighing).values(), reverse=True)
    assert weighing.leader is not None
    assert weighing.leader.id == "first"


@pytest.mark.parametrize("how", ["copied", "predicted"])
def test_what_was_not_seen_weighs_nothing_and_is_still_asked(record_of: Any, saw: Any, how: str) -> None:
    record = record_of()
    before = weigh(record, TWO)
    saw(record, "disc-1", "label", "silver", how=how)
    after = weigh(record, TWO)
    assert p(after) == p(before)
    assert "label" in [one.clue.id for one in after.next["disc-1"]]


def test_a_second_answer_replaces_the_first(record_of: Any, saw: Any) -> None:
    twice, once = record_of(), record_of()
    saw(twice, "disc-1", "label", "silver")
    for record in (twice, once):
        saw(record, "disc-1", "label", "gold")
    assert p(weigh(twice, TWO)) == p(weigh(once, TWO))


def test_cannot_tell_is_neutral_but_not_asked_again(record_of: Any, saw: Any) -> None:
    record = record_of()
    before = p(weigh(record, TWO))
    saw(record, "disc-1", "label", "unsure")
    after = weigh(record, TWO)
    assert p(after) == before
    assert "label" not in [one.clue.id for one in after.next["disc-1"]]


@pytest.mark.parametrize(("clue", "answer"), [("label", "bronze"), ("gone", "silver")])
def test_an_answer_the_book_has_lost_is_listed_and_weighs_nothing(
    record_of: Any, saw: Any, clue: str, answer: str
) -> None:
    record = record_of()
    before = p(weigh(record, TWO))
    doc = saw(record, "disc-1", clue, answer, text="as it was shown")
    after = weigh(record, TWO)
    assert p(after) == before
    assert after.lost == (doc,)


def test_a_title_without_pressings_is_none_of_these_and_asks_for_what_dates(record_of: Any, saw: Any) -> None:
    dated = Clue(
        "tax",
        "Tax letters",
        "cover",
        "back",
        (Answer("kt", "KT", 1, parse_edtf("[1963-07..1968]"), "firm"), Answer("no", "none", 2)),
    )
    weighing = weigh(record_of("nowhere"), Shelf([], [BACK, dated]))
    assert [(one.id, one.p) for one in weighing.pressings] == [(None, 1.0)]
    assert [one.clue.id for one in weighing.next["cover-1"]] == ["tax", "back"]
    assert not weighing.settled


def test_a_record_without_title_or_parts_weighs_too() -> None:
    from benchtui.model.record import empty_record

    weighing = weigh(empty_record(1), Shelf())
    assert weighing.next == {}
    assert weighing.next_part is None


def test_a_strange_copy_is_not_forced_into_the_list(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "odd")
    saw(record, "disc-1", "hand", "scratched")
    assert p(weigh(record, TWO))[None] > 0.5


def test_one_misread_of_an_always_is_not_enough_for_none_of_these(record_of: Any, saw: Any) -> None:
    record = record_of()
    for part, clue, answer in (
        ("disc-1", "label", "odd"),
        ("cover-1", "back", "flip"),
        ("inner-1", "paper", "lined"),
    ):
        saw(record, part, clue, answer)
    saw(record, "disc-1", "grams", value=140)
    saw(record, "disc-1", "hand", "stamped")
    assert p(weigh(record, TWO))[None] < 0.5


def test_a_part_ruled_swapped_no_longer_speaks_and_its_own_speaks_more(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "silver")
    alone = p(weigh(record, TWO))
    saw(record, "cover-1", "back", "plain")
    doubted = p(weigh(record, TWO))
    record["rulings"]["cover-1"] = "swapped"
    swapped = weigh(record, TWO)
    record["rulings"]["cover-1"] = "own"
    own = weigh(record, TWO)
    assert p(swapped) == pytest.approx(alone)
    assert p(own)["first"] < doubted["first"] < alone["first"]
    assert (swapped.agreement["cover-1"].p_swapped, own.agreement["cover-1"].p_swapped) == (1.0, 0.0)
    assert swapped.agreement["cover-1"].by_rule


def test_disagreeing_parts_are_told_in_words_and_the_anchor_can_change(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "gold")
    saw(record, "disc-1", "grams", value=110)
    saw(record, "inner-1", "paper", "lined")
    weighing = weigh(record, TWO)
    assert weighing.agreement["inner-1"].decibans > 1
    assert weighing.agreement["inner-1"].say.startswith("inner: not established whether it belongs (")
    assert weighing.agreement["cover-1"].say == "cover: not looked at"
    record["anchor"] = "inner-1"
    turned = weigh(record, TWO)
    assert turned.agreement["inner-1"].say == "inner: main part, decides what the copy is"
    assert p(turned)["first"] > p(weighing)["first"]


def test_another_companys_inner_is_a_rule(record_of: Any, saw: Any) -> None:
    foreign = Clue(
        "hob",
        "Inner",
        "inner",
        "front",
        (Answer("yes", "striped", 1), Answer("no", "not", 2, absent=True)),
        companies=("Bellmarrow",),
    )
    title = BookTitle("t", "", "", Span(), company="Tarrowick", pressings=(FIRST, SECOND))
    books = Shelf([title], [*CLUES, foreign])
    record = record_of()
    saw(record, "inner-1", "hob", "yes")
    told = weigh(record, books).agreement["inner-1"]
    assert (told.p_swapped, told.by_rule) == (1.0, True)
    assert told.say == "inner: another company's (Bellmarrow), not this copy's"
    record["answers"][0]["answer"] = "no"
    assert not weigh(record, books).agreement["inner-1"].by_rule


@pytest.mark.parametrize(("grams", "like"), [(140, "heavy"), ("97,5", "light")])
def test_a_number_falls_into_its_bracket(record_of: Any, saw: Any, grams: Any, like: str) -> None:
    by_number, by_answer = record_of(), record_of()
    saw(by_number, "disc-1", "grams", value=grams)
    saw(by_answer, "disc-1", "grams", like)
    assert p(weigh(by_number, TWO)) == pytest.approx(p(weigh(by_answer, TWO)))


def test_within_the_scales_error_of_an_edge_both_brackets_are_averaged(record_of: Any, saw: Any) -> None:
    record = record_of()
    before = p(weigh(record, TWO))
    saw(record, "disc-1", "grams", value=121)
    assert p(weigh(record, TWO)) == pytest.approx(before)


def test_a_number_outside_every_bracket_weighs_nothing(record_of: Any, saw: Any) -> None:
    record = record_of()
    doc = saw(record, "disc-1", "grams", value=900)
    assert weigh(record, TWO).lost == (doc,)


def settled_first(record_of: Any, saw: Any) -> RecordDoc:
    record: RecordDoc = record_of()
    for part, clue, answer in (
        ("disc-1", "label", "silver"),
        ("cover-1", "back", "flip"),
        ("inner-1", "paper", "lined"),
    ):
        saw(record, part, clue, answer)
    saw(record, "disc-1", "grams", value=140)
    return record


def test_settled_needs_the_odds_and_a_cost_below_the_threshold(record_of: Any, saw: Any) -> None:
    record = settled_first(record_of, saw)
    saw(record, "disc-1", "hand", "stamped")
    sure = weigh(record, TWO)
    assert sure.leader is not None
    assert sure.leader.p > 0.95
    assert sure.settled
    assert not sure.nothing_left
    assert not weigh(record, TWO, settings=WeighSettings(threshold=0)).settled


def test_a_known_imitation_is_asked_for_before_a_dear_leader_settles(record_of: Any, saw: Any) -> None:
    books = shelf(FIRST, SECOND, FAKE)
    record = settled_first(record_of, saw)
    open_case = weigh(record, books, settings=WeighSettings(threshold=100_000))
    assert open_case.second_look is not None
    assert (open_case.second_look.clue, open_case.second_look.part) == (HAND, "disc-1")
    assert not open_case.settled
    saw(record, "disc-1", "hand", "stamped", place="runout")
    assert weigh(record, books, settings=WeighSettings(threshold=100_000)).second_look is None


def test_an_imitation_that_only_usually_shows_otherwise_is_asked_for_too(record_of: Any, saw: Any) -> None:
    """Six copies in ten would be told apart: more than half is enough to look."""
    first = replace(FIRST, expect={**FIRST.expect, "hand": {"stamped": "usually"}})
    fake = replace(FAKE, expect={**FAKE.expect, "hand": {"scratched": "usually"}})
    books = shelf(first, SECOND, fake)
    look = weigh(settled_first(record_of, saw), books, settings=WeighSettings(threshold=100_000)).second_look
    assert look is not None
    assert look.clue == HAND
    alike = shelf(FIRST, SECOND, replace(FAKE, expect={**FAKE.expect, "hand": {"stamped": "usually"}}))
    settled = weigh(settled_first(record_of, saw), alike, settings=WeighSettings(threshold=100_000))
    assert settled.second_look is None


def test_looked_and_it_is_not_silences_the_second_look(record_of: Any, saw: Any) -> None:
    books = shelf(FIRST, SECOND, FAKE)
    record = settled_first(record_of, saw)
    assert weigh(record, books).second_look is not None
    record["looked"].append({"leader": "first", "at": "2026-11-25T09:00:00Z"})
    assert weigh(record, books).second_look is None


def test_a_scratched_runout_is_suspect_by_rule(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "hand", "scratched")
    assert weigh(record, TWO).suspect == "counterfeit: How the runout is written scratched"


def test_the_cost_of_a_leader_is_what_the_formula_says(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "gold")
    weighing = weigh(record, TWO, settings=WeighSettings(threshold=0, return_cost=800, price_factor=0.5))
    odds = p(weighing)
    # Leader second (10.00 at half price): too little where it is the first (90.00).
    assert weighing.second_look is not None
    assert weighing.second_look.cost == Money(round(odds["first"] * (9000 - 1000)), "GBP")
    record["answers"][0]["answer"] = "silver"
    weighing = weigh(record, TWO, settings=WeighSettings(threshold=0, return_cost=800, price_factor=0.5))
    assert weighing.leader is not None
    assert weighing.leader.price == Money(9000, "GBP")
    assert weighing.second_look is not None
    assert weighing.second_look.cost == Money(round(p(weighing)["second"] * (9000 - 1000 + 800)), "GBP")


def test_a_book_without_prices_raises_no_second_look(record_of: Any, saw: Any) -> None:
    bare = Pressing("first", "first", parse_edtf("1962"), expect=FIRST.expect)
    weighing = weigh(record_of(), shelf(bare, SECOND))
    assert weighing.pressings[0].price == Money(2000, "GBP")
    assert weighing.second_look is None


def test_a_book_changed_under_the_record_is_weighed_as_it_is_now(record_of: Any, saw: Any) -> None:
    record = record_of()
    saw(record, "disc-1", "label", "gold")
    saw(record, "disc-1", "label", "silver")
    before = p(weigh(record, TWO))
    turned = Pressing(
        "first", "first", parse_edtf("1962"), expect={**FIRST.expect, "label": {"gold": "always"}}
    )
    assert p(weigh(record, shelf(turned, SECOND)))["first"] < before["first"]
    longer = Clue(
        "label", "Label print", "disc", "label", (*LABEL.answers, Answer("new", "new", 4)), per_side=True
    )
    assert p(weigh(record, shelf(FIRST, SECOND, clues=(longer, *CLUES[1:])))) != before
    assert p(weigh(record, TWO)) == before


def test_nothing_is_left_when_no_clue_tells_apart_what_remains(record_of: Any) -> None:
    twin = Pressing("twin", "twin", FIRST.period, expect=FIRST.expect, price=FIRST.price)
    alone = WeighSettings(model=ModelSettings(none=0.0))
    weighing = weigh(record_of(), shelf(FIRST, twin), settings=alone)
    assert weighing.nothing_left
    assert weighing.next_part is None
    assert not weighing.settled


def test_looked_at_that_clue_silences_it_and_lets_a_sure_leader_settle(record_of: Any, saw: Any) -> None:
    record = settled_first(record_of, saw)
    dear = WeighSettings(threshold=0)
    raised = weigh(record, TWO, settings=dear).second_look
    assert raised is not None
    assert not weigh(record, TWO, settings=dear).settled
    clue = raised.clue.id if raised.clue else ""
    record["looked"].append({"part": raised.part, "place": raised.place, "clue": clue, "at": ""})
    after = weigh(record, TWO, settings=dear)
    assert after.second_look is None
    assert after.settled


def test_what_the_dealer_took_upon_them_stays_so_until_more_than_a_look_is_added(
    record_of: Any, saw: Any
) -> None:
    record = settled_first(record_of, saw)
    dear = WeighSettings(threshold=1)
    raised = weigh(record, TWO, settings=dear).second_look
    assert raised is not None
    cost = raised.cost.minor
    for called, then, silent in (("first", cost, True), ("first", 0, False), ("second", cost, False)):
        record["looked"] = [
            {"part": "", "place": "", "clue": "another", "at": "", "called": called, "cost": then}
        ]
        after = weigh(record, TWO, settings=dear)
        assert (after.second_look is None, after.settled) == (silent, silent)


def test_a_clue_says_what_is_usual_where_the_titles_book_is_silent(record_of: Any, saw: Any) -> None:
    answers = (
        Answer("none", "no bar code", 0, absent=True),
        Answer("there", "bar code", 1, parse_edtf("[1966..]"), "hard"),
    )
    usual = Clue("bar", "Bar code", "cover", "back", answers, expect={"none": "usually"})
    even = Clue("bar", "Bar code", "cover", "back", answers)
    record = record_of()
    saw(record, "cover-1", "bar", "none")

    def odds(clue: Clue) -> float:
        now = p(weigh(record, shelf(FIRST, SECOND, clues=(clue,))))
        return now["second"] / now["first"]

    # Not being there says less against a time that could have it where it is usually not there.
    assert odds(even) < odds(usual) < 3.0


def test_a_missing_part_is_asked_nothing(record_of: Any) -> None:
    record = record_of()
    record["parts"][1]["state"] = "missing"
    weighing = weigh(record, TWO)
    assert "cover-1" not in weighing.next
    assert "cover-1" not in weighing.agreement


def test_another_countrys_disc_is_a_rule_unless_a_pressing_was_made_there(record_of: Any, saw: Any) -> None:
    tax = Clue(
        "tax",
        "Tax letters",
        "disc",
        "label",
        (Answer("kt", "KT", 1), Answer("no", "none", 2, absent=True)),
        countries=("XW",),
    )
    abroad = Pressing("abroad", "abroad", parse_edtf("1966"), "export", country="XW")
    record = record_of("t", ("cover", "disc"))
    record["anchor"] = "cover-1"
    saw(record, "disc-1", "tax", "kt")

    def told(*pressings: Pressing) -> Any:
        title = BookTitle("t", "", "", Span(), country="XV", pressings=pressings)
        return weigh(record, Shelf([title], [*CLUES, tax])).agreement["disc-1"]

    assert told(FIRST, SECOND).say == "disc: another country's (XW), not this copy's"
    assert not told(FIRST, SECOND, abroad).by_rule


def test_a_part_moved_in_does_not_speak_unless_it_is_the_anchor(record_of: Any, saw: Any) -> None:
    record = record_of()
    bare = p(weigh(record, TWO))
    saw(record, "cover-1", "back", "flip")
    record["parts"][1]["origin"] = {"record": "r-1"}
    weighing = weigh(record, TWO)
    assert p(weighing) == pytest.approx(bare)
    assert weighing.agreement["cover-1"].say == "cover: put in from another copy"
    saw(record, "disc-1", "label", "silver")
    record["parts"][0]["origin"] = {"record": "r-1"}
    assert p(weigh(record, TWO))["first"] > 0.8


def cost(weighing: Weighing) -> Money | None:
    return weighing.second_look.cost if weighing.second_look is not None else None


def test_without_asking_the_odds_the_spans_and_what_is_settled_are_the_same(record_of: Any, saw: Any) -> None:
    record = settled_first(record_of, saw)
    for settings in (WeighSettings(), WeighSettings(threshold=0), WeighSettings(threshold=10**9)):
        full, short = weigh(record, TWO, settings=settings), weigh(record, TWO, settings=settings, ask=False)
        assert p(short) == p(full)
        assert (short.parts, short.agreement, cost(short)) == (full.parts, full.agreement, cost(full))
        assert (short.settled, short.second_look is None) == (full.settled, full.second_look is None)
    assert not any(weigh(record, TWO, settings=WeighSettings(threshold=10**9), ask=False).next.values())


@pytest.mark.parametrize(
    ("answers", "begins"),
    [
        (["b"] * 4, "inner: probably from another copy ("),
        (["a"] * 4, "inner: consistent with the disc"),
        (["b"], "inner: not established whether it belongs ("),
        ([], "inner: not looked at"),
    ],
)
def test_agreement_is_told_in_three_fixed_ways(
    record_of: Any, saw: Any, answers: list[str], begins: str
) -> None:
    pair = (Answer("a", "a", 1), Answer("b", "b", 2))
    clues = [Clue("disc", "disc", "disc", "label", pair), Clue("disc2", "disc2", "disc", "label", pair)]
    clues += [Clue(f"in{i}", f"in{i}", "inner", "front", pair) for i in range(4)]
    one, two = (
        Pressing(
            x, x, Span(), expect={c.id: {x: "usually" if c.part == "inner" else "always"} for c in clues}
        )
        for x in "ab"
    )
    record = record_of()
    for clue, answer in zip(clues, ["a", "a", *answers], strict=False):
        saw(record, f"{clue.part}-1", clue.id, answer)
    said = weigh(record, shelf(one, two, clues=tuple(clues))).agreement["inner-1"].say
    assert said.startswith(begins)
    assert len(said) < 80


def _inner_doubted(record_of: Any, saw: Any, share: float, answers: int) -> Any:
    """The agreement of an inner of which so many clues, each a little of the other pressing's, were seen."""
    pair = (Answer("a", "a", 1), Answer("b", "b", 2))
    clues = [Clue("disc", "disc", "disc", "label", pair)]
    clues += [Clue(f"in{i}", f"in{i}", "inner", "front", pair) for i in range(answers)]
    one = Pressing(
        "a", "a", Span(), expect={c.id: {"a": "usually" if c.part == "inner" else "always"} for c in clues}
    )
    two = Pressing(
        "b",
        "b",
        Span(),
        share=share,
        expect={c.id: {"b": "usually" if c.part == "inner" else "always"} for c in clues},
    )
    record = record_of()
    saw(record, "disc-1", "disc", "a")
    for clue in clues[1:]:
        saw(record, "inner-1", clue.id, "b")
    return weigh(record, shelf(one, two, clues=tuple(clues))).agreement["inner-1"]


def test_two_to_one_for_another_copy_is_not_yet_called_probable(record_of: Any, saw: Any) -> None:
    doubted = _inner_doubted(record_of, saw, 0.15, 6)
    assert 0.6 < doubted.p_swapped < 0.75
    assert doubted.say.startswith("inner: not established whether it belongs (2 : 1 that it does not)")


COPIES = Clue(
    "copies", "Number of the copy", "cover", "back",
    (Answer("low", "1 to 500", 1, low=1, high=500), Answer("high", "501 to 1000", 2, low=501, high=1000)),
    form="number",
)  # fmt: skip


@pytest.mark.parametrize(
    ("number", "falls"),
    [(500.0, ["low"]), (500.4, ["low"]), (500.6, ["high"]), (1000.9, ["high"]), (0.1, ["low"]),
     (1001.0, []), (1001.5, []), (0.0, []), (-1.0, [])],
)  # fmt: skip
def test_a_number_in_the_gap_of_two_brackets_falls_into_the_nearer_less_than_one_away(
    number: float, falls: list[str]
) -> None:
    assert [answer.id for answer in brackets(COPIES, number)] == falls


def test_with_a_known_imitation_to_look_for_something_is_left(record_of: Any, saw: Any) -> None:
    """The leader is sure and no clue is worth its seconds any more, but its imitation was not ruled out."""
    record = record_of(parts=("disc",))
    saw(record, "disc-1", "label", "silver")
    rare = WeighSettings(model=ModelSettings(none=0.0), threshold=10**9)
    fake = replace(FAKE, share=0.000001)
    weighing = weigh(record, shelf(FIRST, fake, clues=(LABEL, HAND)), settings=rare)
    assert weighing.leader is not None
    assert weighing.leader.p > 0.999
    assert not [one for one in weighing.next["disc-1"] if one.worthwhile]
    assert weighing.second_look is not None
    assert not weighing.nothing_left
    saw(record, "disc-1", "hand", "stamped", place="runout")
    assert weigh(record, shelf(FIRST, fake, clues=(LABEL, HAND)), settings=rare).settled
