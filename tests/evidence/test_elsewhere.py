"""Parts of another copy neither date the copy nor clash; a contradiction is told once and holds it open."""

from typing import Any

import pytest

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness, Pressing
from benchtui.evidence import Weighing, together, weigh
from benchtui.evidence.clashes import unresolved
from benchtui.evidence.reference import Shelf
from benchtui.model.span import parse_edtf

LABEL = Clue("print", "Print", "disc", "label", (Answer("gold", "gold", 1), Answer("red", "red", 2)))
FRONT = Clue("front", "Front", "cover", "front", (Answer("gold", "gold", 1), Answer("red", "red", 2)))


def dated(name: str, part: str, made: str, hardness: Hardness = "hard", caps: bool = False) -> Clue:
    answers = (Answer("yes", "yes", 1, parse_edtf(made), hardness, caps), Answer("no", "no", 2))
    return Clue(name, f"{name}: which", part, "front", answers)


def shelf(*clues: Clue, first: str = "1967") -> Shelf:
    """Two pressings of one time that label and front tell apart, and dated clues."""
    pressings = tuple(
        Pressing(
            key, key, parse_edtf("[1967..1974]"), expect={"print": {ink: "always"}, "front": {ink: "always"}}
        )
        for key, ink, share in (("one", "gold", 5.0), ("two", "red", 1.0))
    )
    title = BookTitle("t", "", "", parse_edtf(first), pressings=pressings)
    return Shelf([title], (LABEL, FRONT, *clues))


def seen(record: Any, saw: Any, *answers: tuple[str, str, str]) -> Any:
    for part, clue, answer in answers:
        saw(record, part, clue, answer)
    return record


def said(weighing: Weighing) -> list[str]:
    return [clash.say for clash in weighing.clashes]


CODE = dated("code", "cover", "[1973..]")
RIM = dated("rim", "disc", "[..1968]")


def test_a_cover_ruled_swapped_neither_dates_the_copy_nor_caps_it(record_of: Any, saw: Any) -> None:
    sticker = dated("sticker", "cover", "[..1975]", "hard", caps=True)
    record = seen(record_of(), saw, ("cover-1", "code", "yes"), ("cover-1", "sticker", "yes"))
    books = shelf(CODE, sticker)
    assert weigh(record, books).copy_span.certain == parse_edtf("[1973..1975]")
    record["rulings"]["cover-1"] = "swapped"
    after = weigh(record, books)
    assert after.elsewhere == {"cover-1"}
    assert after.copy_span.certain == parse_edtf("")
    assert after.parts["cover-1"].certain == parse_edtf("[1973..1975]")  # its own time is told all the same
    assert all(one.bits == 0 and not one.worthwhile for one in after.next["cover-1"])


def test_a_part_put_in_from_another_record_is_elsewhere_unless_ruled_its_own(
    record_of: Any, saw: Any
) -> None:
    record = seen(record_of(), saw, ("cover-1", "code", "yes"))
    record["parts"][1]["origin"] = {"parcel": "p", "record": "r"}
    assert weigh(record, shelf(CODE)).copy_span.certain == parse_edtf("")
    record["rulings"]["cover-1"] = "own"
    assert weigh(record, shelf(CODE)).copy_span.certain == parse_edtf("[1973..]")


def test_a_cover_that_is_likely_another_copys_is_asked_nothing_more(record_of: Any, saw: Any) -> None:
    record = seen(
        record_of(), saw, ("disc-1", "print", "gold"), ("cover-1", "front", "red"), ("cover-1", "code", "yes")
    )
    kinds = shelf(CODE, dated("spine", "cover", "[1967..]", "soft"), dated("back", "disc", "[1967..]"))
    swapped = weigh(record, kinds)
    odds = swapped.agreement["cover-1"].p_swapped
    assert (odds >= 0.75) == ("cover-1" in swapped.elsewhere)
    again = seen(
        record_of(),
        saw,
        ("disc-1", "print", "gold"),
        ("cover-1", "front", "gold"),
        ("cover-1", "code", "yes"),
    )
    assert weigh(again, kinds).elsewhere == frozenset()


def test_a_clash_between_cover_and_disc_holds_settled_back(record_of: Any, saw: Any) -> None:
    books = shelf(RIM, CODE)
    record = seen(record_of(), saw, ("disc-1", "print", "gold"), ("cover-1", "front", "gold"))
    assert weigh(record, books).settled
    seen(record, saw, ("disc-1", "rim", "yes"), ("cover-1", "code", "yes"))
    torn = weigh(record, books)
    assert said(torn) == ["cover: code from 1973, disc only to 1968: another copy's?"]
    assert torn.leader is not None
    assert torn.leader.p >= 0.95
    assert not torn.settled
    assert torn.copy_span == (None, None), "either part may be another copy's: 1973 is not established"
    assert torn.copy_date is None
    record["rulings"]["cover-1"] = "swapped"
    assert weigh(record, books).clashes == ()


@pytest.mark.parametrize(
    ("disc", "cover", "say"),
    [
        ("[1984-04..]", "[1979-05..1979-10]", "cover: paper to 1979-10, disc: press from 1984-04: another copy's?"),
        ("[1982-04..]", "[1979-05..1979-10]", ""),
        ("[1971..1972]", "[1974-06..]", "cover: paper from 1974-06, disc only to 1972: another copy's?"),
        ("[1971..1972]", "[1973-11..]", ""),
    ],
)  # fmt: skip
@pytest.mark.parametrize("how", ["hard", "firm"])
def test_disc_and_cover_apart_by_more_than_stock_are_told_until_the_dealer_decides(
    record_of: Any, saw: Any, disc: str, cover: str, say: str, how: Any
) -> None:
    books = shelf(dated("press", "disc", disc, how), dated("paper", "cover", cover, how), first="1970")
    record = seen(record_of(), saw, ("disc-1", "press", "yes"), ("cover-1", "paper", "yes"))
    assert said(weigh(record, books)) == ([say] if say else [])
    assert (weigh(record, books).copy_span.likely is None) == bool(say)
    record["rulings"]["cover-1"] = "own"
    assert unresolved(record, weigh(record, books).clashes) == []
    assert weigh(record, books).copy_span.likely is not None


@pytest.mark.parametrize(
    ("made", "how", "first", "say"),
    [
        ("[..1971]", "firm", "1965", "cover: paper to 1971, disc: press from 1973: old stock, or another copy's?"),
        ("[..1972]", "hard", "1965", ""),
        ("[..1971]", "soft", "1965", ""),
        ("[..1971]", "firm", "1973", ""),
    ],
)  # fmt: skip
def test_a_cover_firmly_older_than_its_disc_by_no_more_than_stock_is_told_in_words(
    record_of: Any, saw: Any, made: str, how: Any, first: str, say: str
) -> None:
    books = shelf(dated("press", "disc", "[1973..]", how), dated("paper", "cover", made, how), first=first)
    record = seen(record_of(), saw, ("disc-1", "press", "yes"), ("cover-1", "paper", "yes"))
    weighing = weigh(record, books)
    assert weighing.agreement["cover-1"].apart == say
    assert together(record, weighing).startswith(say)
    assert [clash for clash in said(weighing) if "disc" in clash] == []
    record["rulings"]["cover-1"] = "own"
    assert weigh(record, books).agreement["cover-1"].apart == ""


def test_an_inner_a_little_older_than_its_disc_or_title_is_told_as_old_stock(
    record_of: Any, saw: Any
) -> None:
    paper, press = dated("paper", "inner", "[..1972]", "soft"), dated("press", "disc", "[1973-05..]", "soft")
    record = seen(record_of(), saw, ("disc-1", "press", "yes"), ("inner-1", "paper", "yes"))
    told = weigh(record, shelf(paper, press)).agreement["inner-1"]
    assert told.apart == "inner: paper to 1972, disc: press from 1973-05: old stock?"
    assert told.say.count("inner: ") == 1
    assert told.say.endswith("paper to 1972, disc: press from 1973-05: old stock?")
    assert weigh(record, shelf(paper, press, first="1974")).agreement["inner-1"].apart == (
        "inner: paper to 1972, the title's first issue from 1974: old stock?"
    )


def test_a_verdict_that_the_cover_belongs_settles_what_the_clash_held_back(record_of: Any, saw: Any) -> None:
    record = seen(
        record_of(), saw, ("disc-1", "print", "gold"), ("cover-1", "front", "gold"),
        ("disc-1", "rim", "yes"), ("cover-1", "code", "yes"),
    )  # fmt: skip
    record["rulings"]["cover-1"] = "own"
    assert weigh(record, shelf(RIM, CODE)).settled


def test_one_contradiction_is_told_once(record_of: Any, saw: Any) -> None:
    """A sticker older than the title is against the disc, the cover and the title itself: one line."""
    early = dated("sticker", "cover", "[..1960]", "hard", caps=True)
    hard = dated("mould", "disc", "[1967..]")
    record = seen(
        record_of(),
        saw,
        ("cover-1", "sticker", "yes"),
        ("disc-1", "mould", "yes"),
        ("cover-1", "code", "yes"),
    )
    (clash,) = weigh(record, shelf(early, hard, CODE)).clashes
    assert clash.say == "cover: code from 1973, sticker to 1960; look at both again; so with the disc"
    assert {"disc-1", "cover-1"} <= set(clash.parts)


def test_contradictions_that_share_no_clue_are_told_each(record_of: Any, saw: Any) -> None:
    late, soon = dated("late", "disc", "[1972..]"), dated("soon", "disc", "[..1968]")
    new, old = dated("new", "cover", "[1973..]"), dated("old", "cover", "[..1969]")
    record = seen(record_of(), saw, *((f"{c.part}-1", c.id, "yes") for c in (late, soon, new, old)))
    assert len(weigh(record, shelf(late, soon, new, old, first="")).clashes) == 2


@pytest.mark.parametrize(
    ("made", "hardness", "first", "words"),
    [
        ("[1970..1973]", "hard", "1979", "inner: paper to 1973, but the title's first issue from 1979; in doubt, another copy's?"),
        ("[1970..1973]", "soft", "1979", "inner: paper to 1973, but the title's first issue from 1979; in doubt, another copy's?"),
        ("[1975..]", "hard", "1965", "inner: paper from 1975, but disc: rim only to 1968; in doubt, another copy's?"),
    ],
)  # fmt: skip
def test_an_inner_that_cannot_meet_the_copy_is_in_doubt_whatever_the_odds(
    record_of: Any, saw: Any, made: str, hardness: Any, first: str, words: str
) -> None:
    paper = dated("paper", "inner", made, hardness)
    answers = [("inner-1", "paper", "yes")] + ([("disc-1", "rim", "yes")] if first == "1965" else [])
    found = weigh(
        seen(record_of(), saw, *answers), Shelf([BookTitle("t", "", "", parse_edtf(first))], (paper, RIM))
    )
    told = found.agreement["inner-1"]
    assert abs(told.decibans) < 1  # the odds between pressings say nothing
    assert (told.say, told.by_rule, told.p_swapped) == (words, True, 0.75)
    apart = "inner: paper from 1975, disc only to 1968: another copy's?"
    assert said(found) == ([apart] if first == "1965" else [])
    assert "inner-1" in found.elsewhere


def test_an_inner_of_old_stock_is_not_in_doubt_and_the_dealers_word_stands(record_of: Any, saw: Any) -> None:
    books = Shelf([BookTitle("t", "", "", parse_edtf("1979"))], (dated("paper", "inner", "[1970..1976-06]"),))
    assert weigh(seen(record_of(), saw, ("inner-1", "paper", "yes")), books).elsewhere == frozenset()
    old = Shelf([BookTitle("t", "", "", parse_edtf("1979"))], (dated("paper", "inner", "[1970..1973]"),))
    record = seen(record_of(), saw, ("inner-1", "paper", "yes"))
    record["rulings"]["inner-1"] = "own"
    assert weigh(record, old).elsewhere == frozenset()
    assert weigh(record, old).agreement["inner-1"].say == "inner: belongs to this copy, your verdict"


def test_an_inner_taken_for_another_copys_is_told_when_its_own_clues_clash_and_the_copy_keeps_its_date(
    record_of: Any, saw: Any
) -> None:
    """It is of another copy only by the one of the two that may be misread; a verdict ends the question."""
    old, new = dated("paper", "inner", "[1960..1968]"), dated("advert", "inner", "[1990..]")
    books = shelf(RIM, old, new, first="1965")
    record = seen(record_of(), saw, ("disc-1", "rim", "yes"))
    alone = weigh(record, books)
    seen(record, saw, ("inner-1", "paper", "yes"), ("inner-1", "advert", "yes"))
    found = weigh(record, books)
    assert "inner-1" in found.elsewhere
    (clash,) = found.clashes
    assert clash.within == "inner-1"
    assert unresolved(record, found.clashes) == [clash]
    assert found.copy_span == alone.copy_span
    record["rulings"]["inner-1"] = "swapped"
    assert weigh(record, books).clashes == ()
