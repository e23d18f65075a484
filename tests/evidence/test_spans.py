"""Spans of parts and copy, graces, and clashes with the clue to doubt."""

from typing import Any

from benchtui.books.shape import Answer, BookTitle, Clue, Hardness
from benchtui.evidence import Weighing, weigh
from benchtui.evidence.reference import Shelf
from benchtui.model.span import UNKNOWN, hull, parse_edtf


def dated(name: str, part: str, made: str, hardness: Hardness = "hard", caps: bool = False) -> Clue:
    answers = (Answer("yes", "yes", 1, parse_edtf(made), hardness, caps), Answer("no", "no", 2))
    return Clue(name, f"{name}: which", part, "front", answers)


def weighed(record: Any, saw: Any, *clues: Clue, first: str = "") -> Weighing:
    for clue in clues:
        saw(record, f"{clue.part}-1", clue.id, "yes")
    title = BookTitle("t", "", "", parse_edtf(first))
    return weigh(record, Shelf([title], clues))


def test_hard_bounds_are_certain_and_soft_ones_only_likely_with_their_grace(record_of: Any, saw: Any) -> None:
    w = weighed(
        record_of(), saw, dated("zip", "cover", "[1963-07..]"), dated("code", "cover", "[..1968]", "soft"),
        dated("price", "cover", "[1964-07-02..]", "firm"),
    )  # fmt: skip
    assert w.parts["cover-1"].certain == parse_edtf("[1963-07..]")
    assert w.parts["cover-1"].likely == parse_edtf("[1964-01-01..1970-12-31]")
    assert w.parts["disc-1"].certain == UNKNOWN


def test_the_copy_is_no_older_than_its_newest_part_and_sold_by_what_caps_it(record_of: Any, saw: Any) -> None:
    w = weighed(
        record_of(), saw, dated("label", "disc", "[1963..1966]"), dated("printer", "cover", "[1961..1965]"),
        dated("paper", "inner", "[1964-03..]"), dated("sticker", "cover", "[1960..1971-02-14]", "hard", True),
    )  # fmt: skip
    assert w.copy_span.certain == parse_edtf("[1964-03-01..1971-02-14]")
    assert w.disc_span.certain == parse_edtf("[1963..1966]")
    # A sticker says when it was sold, never that the cover is as young as the sticker.
    assert w.parts["cover-1"].certain == parse_edtf("[1961..1965]")
    assert w.clashes == ()


def test_a_covers_own_latest_does_not_cap_the_copy(record_of: Any, saw: Any) -> None:
    assert weighed(
        record_of(), saw, dated("printer", "cover", "[1961..1965]")
    ).copy_span.certain == parse_edtf("[1961..]")


def test_two_hard_bounds_that_exclude_each_other_are_named_and_either_may_be_wrong(
    record_of: Any, saw: Any
) -> None:
    w = weighed(record_of(), saw, dated("rim", "disc", "[..1964-05]"), dated("code", "disc", "[1970..]"))
    assert w.parts["disc-1"].certain is None
    (clash,) = w.clashes
    assert (clash.clue_a, clash.clue_b, clash.doubt) == ("code", "rim", "")
    assert clash.say == "disc: code from 1970, rim to 1964-05; look at both again"


def test_the_softer_of_two_clues_is_the_one_to_doubt(record_of: Any, saw: Any) -> None:
    w = weighed(record_of(), saw, dated("rim", "disc", "[..1962]", "soft"), dated("code", "disc", "[1970..]"))
    assert w.parts["disc-1"].certain == parse_edtf("[1970..]")
    assert w.parts["disc-1"].likely is None
    assert [clash.doubt for clash in w.clashes] == ["rim"]


def test_within_its_grace_a_soft_bound_does_not_clash(record_of: Any, saw: Any) -> None:
    w = weighed(
        record_of(), saw, dated("rim", "disc", "[..1968-06]", "soft"), dated("code", "disc", "[1970..]")
    )
    assert w.clashes == ()


def test_a_part_made_after_the_sale_clashes_whatever_the_odds(record_of: Any, saw: Any) -> None:
    record = record_of()
    clues = (dated("paper", "inner", "[1975..]"), dated("sticker", "cover", "[..1971-02-14]", "hard", True))
    w = weighed(record, saw, *clues)
    (clash,) = w.clashes
    assert (clash.part_a, clash.clue_a, clash.part_b, clash.clue_b) == (
        "inner-1",
        "paper",
        "cover-1",
        "sticker",
    )
    assert clash.doubt == "paper"  # an inner is swapped more easily than a cover
    assert w.copy_span.certain is None
    record["rulings"]["inner-1"] = "swapped"
    assert weigh(record, Shelf([], clues)).clashes == ()


def test_disc_and_cover_are_no_older_than_the_title(record_of: Any, saw: Any) -> None:
    w = weighed(record_of(), saw, dated("label", "disc", "[..1969]"), first="1967-07-02")
    assert w.parts["disc-1"].likely == parse_edtf("[1966-12-31..1969-12-31]")
    assert w.parts["disc-1"].certain == parse_edtf("[..1969]")
    assert w.parts["inner-1"].likely == UNKNOWN
    assert w.copy_span.likely == parse_edtf("[1966-12-31..]")
    wrong = weighed(record_of(), saw, dated("label", "disc", "[..1960]"), first="1967")
    assert [(clash.clue_a, clash.doubt) for clash in wrong.clashes] == [("first", "label")]


def test_advertised_titles_bound_the_part_by_the_newest(record_of: Any, saw: Any) -> None:
    adverts = Clue(
        "adverts",
        "Titles advertised",
        "inner",
        "front",
        (Answer("none", "none", 0, absent=True),),
        form="titles",
    )
    others = [BookTitle(f"o{y}", "", "", parse_edtf(str(y))) for y in (1961, 1969, 1964)]
    record = record_of()
    saw(record, "inner-1", "adverts", "picked", value=["o1961", "o1969", "o1964"])
    assert weigh(record, Shelf(others, [adverts])).parts["inner-1"].certain == parse_edtf("[1969..]")
    record["answers"][0]["value"] = {"titles": ["nobody"], "first": ["1971-03"]}
    assert weigh(record, Shelf(others, [adverts])).parts["inner-1"].certain == parse_edtf("[1971-03..]")


def test_a_part_without_dated_answers_is_open_at_both_ends(record_of: Any, saw: Any) -> None:
    w = weighed(record_of(), saw)
    assert w.copy_span.certain == UNKNOWN
    assert w.copy_span.likely is not None
    assert w.copy_span.likely.edtf() == ""


def test_each_bound_is_told_with_its_hardness_and_source(record_of: Any, saw: Any) -> None:
    answers = (
        Answer("kt", "KT", 1, parse_edtf("[1963-07..1968]"), "firm", source="a price list"),
        Answer("no", "no", 2),
    )
    tax = Clue("tax", "Tax letters?", "cover", "back", answers, source="the book")
    record = record_of()
    saw(record, "cover-1", "tax", "kt")
    (line,) = weigh(record, Shelf([], [tax])).dates
    assert (line.part, line.clue, line.label) == ("cover-1", "tax", "cover: Tax letters: KT")
    assert (line.when(), line.hardness(), line.source) == ("[1963-07..1968-12]", "firm", "a price list")


def two_ended(name: str, part: str, times: list[str], start: Hardness, end: Hardness) -> Clue:
    spans = tuple(parse_edtf(text) for text in times)
    several = spans if len(spans) > 1 else ()
    yes = Answer("yes", "yes", 1, hull(spans), start, to_hardness=end, times=several)
    return Clue(name, f"{name}: which", part, "front", (yes, Answer("no", "no", 2)))


def test_each_end_of_a_bound_has_its_own_hardness(record_of: Any, saw: Any) -> None:
    rule = two_ended("rule", "disc", ["[1949-10-07..1990-10-02]"], "hard", "soft")
    w = weighed(record_of(), saw, rule)
    assert w.parts["disc-1"].certain == parse_edtf("[1949-10-07..]")
    assert w.parts["disc-1"].likely == parse_edtf("[1949-10-07..1992-10-01]")
    assert [line.hardness() for line in w.dates] == ["certain, end soft"]
    late = weighed(record_of(), saw, rule, dated("code", "disc", "[1991..]"))
    assert late.clashes == ()
    early = weighed(record_of(), saw, rule, dated("code", "disc", "[..1948]"))
    assert [clash.doubt for clash in early.clashes] == [""]  # both hard: either may be wrong


def test_the_end_that_excludes_is_the_one_whose_hardness_counts(record_of: Any, saw: Any) -> None:
    rule = two_ended("rule", "disc", ["[1949..1960]"], "hard", "soft")
    w = weighed(record_of(), saw, rule, dated("code", "disc", "[1970..]", "firm"))
    assert [(clash.clue_a, clash.clue_b, clash.doubt) for clash in w.clashes] == [("code", "rule", "rule")]


def test_of_several_spans_those_count_that_the_other_clues_allow(record_of: Any, saw: Any) -> None:
    rate = two_ended("rate", "cover", ["[1947-11..1948-04]", "[1953-04..1955-10]"], "hard", "hard")
    assert weighed(record_of(), saw, rate).parts["cover-1"].certain == parse_edtf("[1947-11..1955-10]")
    w = weighed(record_of(), saw, rate, dated("code", "cover", "[1950..]"))
    assert w.parts["cover-1"].certain == parse_edtf("[1953-04..1955-10]")
    assert [line.when() for line in w.dates] == ["[1947-11..1948-04] or [1953-04..1955-10]", "[1950..]"]


def test_a_time_between_two_spans_clashes_with_the_nearer(record_of: Any, saw: Any) -> None:
    rate = two_ended("rate", "cover", ["[1940..1942]", "[1960..1962]"], "hard", "hard")
    for made, say in (
        ("[1944..1945]", "cover: code from 1944, rate to 1942; look at both again"),
        ("[1957..1958]", "cover: rate from 1960, code to 1958; look at both again"),
    ):
        w = weighed(record_of(), saw, rate, dated("code", "cover", made))
        assert w.parts["cover-1"].certain is None
        assert [clash.say for clash in w.clashes] == [say]


def test_some_days_in_which_the_grace_of_two_dates_meets_are_no_date(record_of: Any, saw: Any) -> None:
    """A label to 1961 of a title of 1963 went out as "probably made in July 1962"."""
    plum = dated("plum", "disc", "[..1961]", "firm")
    record = record_of("t")
    saw(record, "disc-1", "plum", "yes")

    def of(first: str) -> Weighing:
        return weigh(record, Shelf([BookTitle("t", "", "", parse_edtf(first))], [plum]))

    assert of("1963").disc_span.likely is None
    (clash,) = of("1963").clashes
    assert "first issue from 1963, plum to 1961" in clash.say
    assert of("1962").disc_span.likely is not None
