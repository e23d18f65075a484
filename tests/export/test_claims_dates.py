"""What is said of the time a part was made: only what tells a buyer more than the title does."""

from types import SimpleNamespace

import pytest
from claimed import ANSWER, said

from benchtui.evidence.results import CopyDate, Fit, Likely, PartSpan, Surprise
from benchtui.model.span import parse_edtf


def test_dates_rest_on_what_was_seen_and_say_probably_where_custom_alone_bounds_them(
    make: SimpleNamespace,
) -> None:
    hard = PartSpan(parse_edtf("[1968-02..]"), parse_edtf("[1968-02..]"))
    seen = make.record(answers=[ANSWER])
    assert said(make, "disc_dates", seen, parts={"d1": hard}) == "disc made in February 1968 or later"
    assert (
        said(make, "disc_dates", seen, settled=True)
        == "disc probably made between May 1967 and February 1968"
    )
    assert said(make, "disc_dates", make.record(answers=[ANSWER | {"how": "copied"}]), settled=True) == ""
    assert said(make, "disc_dates", seen, parts={"d1": PartSpan(None, None)}) == ""


def test_dates_are_told_in_whole_months_for_no_law_or_custom_knows_the_day(make: SimpleNamespace) -> None:
    seen = make.record(answers=[ANSWER])
    soft = PartSpan(parse_edtf("[1958..]"), parse_edtf("[1967-12-30..1971-08-15]"))
    assert said(make, "disc_dates", seen, parts={"d1": soft}) == (
        "disc probably made between December 1967 and August 1971"
    )
    hard = PartSpan(parse_edtf("[1970-07-02..]"), parse_edtf("[1970-07-02..]"))
    assert said(make, "disc_dates", seen, parts={"d1": hard}) == "disc made in July 1970 or later"


@pytest.mark.parametrize(
    ("disc", "words"),
    [
        ("[1959..1962]", "disc probably made in October 1960"),
        (
            "[1961..1962]",
            "disc probably made between 1961 and 1962",
        ),  # the part says otherwise: told as it is
    ],
)
def test_a_sure_pressing_s_own_date_is_the_disc_s_and_a_wider_one_of_the_cover_is_no_news(
    make: SimpleNamespace, disc: str, words: str
) -> None:
    made = parse_edtf("1960-10")
    parts = {"d1": PartSpan(None, parse_edtf(disc)), "c1": PartSpan(None, parse_edtf("[1959..1964]"))}
    seen = make.record(answers=[ANSWER, ANSWER | {"part": "c1"}])
    known = {
        "parts": parts,
        "copy_span": PartSpan(None, made),
        "dating": lambda: CopyDate(made, 1.0, 0.0, None),
    }
    assert said(make, "disc_dates", seen, settled=True, **known) == words
    assert said(make, "cover_dates", seen, settled=True, **known) == ""
    away = said(make, "cover_dates", seen, settled=True, elsewhere=frozenset({"c1"}), **known)
    assert away == "cover probably made between 1959 and 1964", "of another copy its own date is told"
    assert (
        said(make, "cover_dates", seen, settled=False, **known) == "cover probably made between 1959 and 1964"
    )


@pytest.mark.parametrize(
    ("first", "certain", "likely", "text"),
    [
        # what the law of stereo or the first issue with its grace allow, tells nobody anything
        ("1967-05", "[1957-11-13..]", "[1966-11..]", ""),
        ("1967-05", "[1957-11-13..]", "[1957-11-13..]", ""),
        ("1967", "[1967-05..]", "[1967-05..]", ""),
        ("1967-05", "[1957-11-13..]", "[1966-11..1968-02]", "probably made in February 1968 or earlier"),
        ("1967-05", "[1957-11-13..1968-02]", "[1966-11..1968-02]", "made in February 1968 or earlier"),
        ("1967-05", "", "[1967-05..1968-02]", "probably made between May 1967 and February 1968"),
        ("1967-05", "[1968..]", "[1968..]", "made in 1968 or later"),
        ("1967-05", "", "1967", "probably made in 1967"),
        # odd, and so told whole
        ("1967-05", "", "[1960..1964]", "probably made between 1960 and 1964"),
        # nobody knows the first issue
        ("", "[1957-11-13..]", "[1957-11-13..]", ""),
        ("no date", "[1957-11-13..]", "[1957-11-13..]", ""),
        (
            "",
            "[1957-11-13..]",
            "[1957-11-13..1964-08]",
            "probably made between November 1957 and August 1964",
        ),
    ],
)
def test_a_span_is_told_where_it_tells_more_than_the_first_issue(
    make: SimpleNamespace, first: str, certain: str, likely: str, text: str
) -> None:
    record = make.record(answers=[ANSWER])
    record["title"]["first"] = first
    spans = PartSpan(parse_edtf(certain), parse_edtf(likely))
    assert said(make, "disc_dates", record, parts={"d1": spans}) == (f"disc {text}" if text else "")
    assert said(make, "copy_dates", record, copy_span=spans) == text


def test_a_year_the_part_bears_is_told_though_nobody_knows_the_first_issue(make: SimpleNamespace) -> None:
    year = ANSWER | {"clue": "u-year", "value": 1972, "text": "Latest year: 1972"}
    record = make.record(answers=[year])
    record["title"]["first"] = ""
    spans = PartSpan(parse_edtf("[1972..]"), parse_edtf("[1972..]"))
    assert said(make, "disc_dates", record, parts={"d1": spans}) == "disc made in 1972 or later"
    assert said(make, "cover_dates", record, parts={"c1": spans}) == ""


def test_the_discs_of_a_set_are_dated_together_or_each_by_its_name(make: SimpleNamespace) -> None:
    record = make.record(answers=[ANSWER, ANSWER | {"part": "d2", "place": "label C"}])
    record["parts"].append(make.part("disc", "d2", number=2))
    record["parts"][0]["number"] = 1
    early, late = (PartSpan(parse_edtf(text), parse_edtf(text)) for text in ("1967", "1970"))
    assert said(make, "disc_dates", record, parts={"d1": early, "d2": early}) == "discs made in 1967"
    assert said(make, "disc_dates", record, parts={"d1": early, "d2": late}) == (
        "disc 1 made in 1967; disc 2 made in 1970"
    )


def test_the_months_that_hold_nine_tenths_are_said_unless_an_unknown_pressing_is_likely(
    make: SimpleNamespace,
) -> None:
    record = make.record(answers=[ANSWER])
    for unknown, text in ((0.02, "probably made between May 1968 and February 1969"), (0.4, "")):
        found = CopyDate(parse_edtf("[1968-05..1969-02]"), 0.9, unknown, None)
        weighed = {"dating": lambda found=found: found, "copy_span": PartSpan()}
        assert said(make, "copy_dates", record, **weighed) == text


@pytest.mark.parametrize(
    ("run", "likely", "text"),
    [
        ("[1959-01..1959-11]", "1959", "probably made in 1959"),
        ("[1959-01..1959-06]", "1959", "probably made between January 1959 and June 1959"),
        ("[1959-02..1959-11]", "[1959-02..1960]", "probably made between February 1959 and December 1959"),
    ],
)
def test_nine_tenths_of_a_year_are_told_as_the_year(
    make: SimpleNamespace, run: str, likely: str, text: str
) -> None:
    found = CopyDate(parse_edtf(run), 0.9, 0.0, None)
    weighed = {"dating": lambda: found, "copy_span": PartSpan(None, parse_edtf(likely))}
    assert said(make, "copy_dates", make.record(answers=[ANSWER]), **weighed) == text


def test_the_dealers_own_dating_is_ground_enough(make: SimpleNamespace) -> None:
    own = [{"part": "", "span": "1968", "sure": "firm", "why": "his receipt", "at": ""}]
    span = PartSpan(parse_edtf(""), parse_edtf("[1968-02..1969]"))
    record = make.record(answers=[])
    assert said(make, "copy_dates", record, copy_span=span) == ""
    record["dated"] = own
    assert said(make, "copy_dates", record, copy_span=span) == "made in 1968, dated by us"
    later = PartSpan(parse_edtf("[1969..]"), parse_edtf("[1969..1969-06]"))
    assert said(make, "copy_dates", record, copy_span=later) == (
        "probably made between January 1969 and June 1969"
    ), "what was seen says otherwise"


@pytest.mark.parametrize(
    ("span", "sure", "told"),
    [
        ("[1971..1972]", "firm", "disc made between 1971 and 1972, dated by us"),
        ("[1971..1972]", "soft", "disc probably made between 1971 and 1972, dated by us"),
        ("1971~", "soft", "disc probably made about 1971, dated by us"),
        ("[1971,1973]", "firm", "disc made in 1971 or in 1973, dated by us"),
        ("[1972..]", "firm", "disc made in 1972 or later, dated by us"),
    ],
)
def test_a_date_of_the_dealers_own_goes_out_as_given_without_the_grace_it_weighs_with(
    make: SimpleNamespace, span: str, sure: str, told: str
) -> None:
    record = make.record(answers=[])
    record["dated"] = [{"part": "d1", "span": span, "sure": sure, "why": "", "at": ""}]
    graced = PartSpan(parse_edtf(""), parse_edtf("[1970-07..1973-07]"))
    assert said(make, "disc_dates", record, parts={"d1": graced}) == told
    assert said(make, "cover_dates", record, parts={"c1": graced}) == ""


def test_a_first_issue_later_than_the_cover_is_left_out(make: SimpleNamespace) -> None:
    record = make.record(answers=[ANSWER | {"part": "c1", "place": "front"}])
    record["title"]["first"] = "1975"
    older, open_end, later = (
        PartSpan(parse_edtf(text), parse_edtf(text)) for text in ("[1966..1971]", "[1966..]", "[1966..1975]")
    )
    assert said(make, "cover_dates", record, parts={"c1": older}) == "cover made between 1966 and 1971"
    assert said(make, "first", record, parts={"c1": older}) == ""
    assert said(make, "first", record, copy_span=older) == ""
    for span in (open_end, later):
        assert said(make, "first", record, parts={"c1": span}) == "in 1975"
    unseen = make.record(answers=[])
    unseen["title"]["first"] = "1975"
    assert said(make, "first", unseen, parts={"c1": older}) == "in 1975", "nothing is told of its date"


def test_a_disc_dated_by_us_before_its_title_s_first_issue_is_said_without_that(
    make: SimpleNamespace,
) -> None:
    record = make.record(answers=[])
    record["dated"] = [{"part": "d1", "span": "[1950..1955]", "sure": "firm", "why": "", "at": ""}]
    parts = {"d1": PartSpan(None, parse_edtf("[1950..1955]"))}
    assert said(make, "disc_dates", record, parts=parts) == "disc made between 1950 and 1955, dated by us"
    assert said(make, "first", record, parts=parts) == ""


def test_an_inner_from_before_its_title_is_told_as_old_stock_unless_it_is_another_copy_s(
    make: SimpleNamespace,
) -> None:
    seen = make.record(answers=[ANSWER | {"part": "i1"}])
    parts = {"i1": PartSpan(None, parse_edtf("[1964-03..1966-04]"))}
    told = said(make, "inner_dates", seen, parts=parts)
    assert told == (
        "inner sleeve probably made between March 1964 and April 1966, old stock: older than the title"
    )
    assert "old stock" not in said(make, "inner_dates", seen, parts=parts, elsewhere=frozenset({"i1"}))


def test_a_cover_of_the_months_after_the_first_issue_is_told_between_the_two(make: SimpleNamespace) -> None:
    seen = make.record(answers=[ANSWER | {"part": "c1"}])
    parts = {"c1": PartSpan(None, parse_edtf("[1964..1967-09]"))}
    told = said(make, "cover_dates", seen, parts=parts)
    assert told == "cover probably made between May 1967 and September 1967"


def test_every_disc_of_a_set_that_allows_the_pressing_s_months_has_them(make: SimpleNamespace) -> None:
    made, wide = parse_edtf("1970-10"), PartSpan(None, parse_edtf("[1969..1972]"))
    record = make.record(answers=[ANSWER, ANSWER | {"part": "d2"}])
    record["parts"][1:1] = [make.part("disc", "d2", number=2)]
    known = {
        "parts": {"d1": wide, "d2": wide},
        "copy_span": PartSpan(None, made),
        "dating": lambda: CopyDate(made, 1.0, 0.0, None),
    }
    assert said(make, "disc_dates", record, settled=True, **known) == "discs probably made in October 1970"


@pytest.mark.parametrize(("always", "told"), [(True, "not established"), (False, "probably first")])
def test_a_pressing_that_never_shows_what_was_seen_is_not_established(
    make: SimpleNamespace, always: bool, told: str
) -> None:
    record = make.record(pressing={"id": None, "how": "open", "p": None, "learn": False})
    rag = Surprise("d1", "label A", "tw-label", "Label paper", "rag paper", 20.0, always)
    weighed = {"pressings": (Likely("q/1", "first", 0.97),), "settled": False, "fit": Fit(0.5, 0.01, (rag,))}
    assert said(make, "pressing", record, **weighed) == told
    leads = make.record(
        pressing=record["pressing"] | {"id": "q/1", "how": "leader", "p": 0.97, "name": "first"}
    )
    but = " (but label paper: rag paper)" if always else ""
    assert said(make, "pressing", leads, **weighed | {"settled": True}) == f"first{but}"
    mine = leads | {"pressing": leads["pressing"] | {"how": "hand"}}
    assert said(make, "pressing", mine, **weighed | {"settled": True}) == "first"


def test_a_pressing_named_against_what_was_seen_is_told_as_our_own_judgement(make: SimpleNamespace) -> None:
    named = make.record(pressing={"id": "q/2", "how": "hand", "p": 0.01, "learn": False, "name": "second"})
    likely = (Likely("q/1", "first", 0.99), Likely("q/2", "second", 0.01))
    told = said(make, "pressing", named, pressings=likely)
    assert told == "second (our own judgement: what is seen on it speaks for another)"
    made = parse_edtf("[1970-03..1970-05]")
    wide = PartSpan(parse_edtf("[1968..]"), parse_edtf("[1968..1977]"))
    known = {"parts": {"d1": wide}, "copy_span": PartSpan(None, parse_edtf("[1968..1977]"))}
    dating = {"dating": lambda: CopyDate(made, 1.0, 0.0, None)}
    seen = named | {"answers": [ANSWER]}
    likelier = (Likely("q/1", "first", 0.4), Likely("q/2", "second", 0.6))
    assert "1970" in said(make, "disc_dates", seen, pressings=likelier, **known, **dating)
    assert "1970" not in said(make, "disc_dates", seen, pressings=likely, **known, **dating)
