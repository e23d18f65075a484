"""What follows from a company's ladder: stretches between change points, and the pressings they propose."""

from datetime import date

import pytest

from benchtui.books.ladder import Lane, is_proposed, lanes_of, made_then, on_ladder, proposed
from benchtui.books.shape import Answer, BookTitle, Clue, Pressing, Word
from benchtui.books.stretch_names import period_said
from benchtui.model.span import UNKNOWN, parse_edtf


def _clue(clue_id: str, part: str, **states: str) -> Clue:
    answers = tuple(
        Answer(name, name, n, parse_edtf(made), "soft") for n, (name, made) in enumerate(states.items(), 1)
    )
    return Clue(clue_id, clue_id, part, "whole", answers, companies=("Whelkin",))


LABEL = _clue("label", "disc", red="[1960..1964]", blue="[1965..1969]", grey="[1970..]")
INNER = _clue("inner", "inner", plain="[..1967]", lined="[1968..]")
LANES = lanes_of([LABEL, INNER], "Whelkin")


def _title(first: str, *pressings: Pressing) -> BookTitle:
    return BookTitle("t", "A", "B", parse_edtf(first), "Whelkin", pressings=pressings)


def test_only_dated_clues_of_the_company_are_lanes() -> None:
    plain = Clue(
        "x", "x", "disc", "label", (Answer("a", "a", 1), Answer("b", "b", 2)), companies=("Whelkin",)
    )
    assert [lane.clue.id for lane in lanes_of([LABEL, plain, INNER], "Whelkin")] == ["label", "inner"]
    assert lanes_of([LABEL, INNER], "Other") == []


def test_every_stretch_between_two_changes_is_a_pressing_of_its_own() -> None:
    found = proposed(_title("1963"), LANES)
    assert [(one.period.earliest, one.period.latest) for one in found] == [
        (date(1963, 1, 1), date(1964, 12, 31)),
        (date(1965, 1, 1), date(1967, 12, 31)),
        (date(1968, 1, 1), date(1969, 12, 31)),
        (date(1970, 1, 1), date(1976, 12, 31)),
    ]
    assert [one.name for one in found] == [
        "red, plain, 1963 to 1964 (proposed)",
        "blue, plain, 1965 to 1967 (proposed)",
        "blue, lined, 1968 to 1969 (proposed)",
        "grey, lined, 1970 on (proposed)",
    ]
    assert found[0].expect == {"label": {"red": "always"}, "inner": {"plain": "always"}}
    assert all(is_proposed(one.id) for one in found)


def _names(*lanes: Clue, first: str = "1961") -> list[str]:
    found = proposed(_title(first), lanes_of(lanes, "Whelkin"))
    return [one.name.removesuffix(" (proposed)") for one in found]


def test_no_two_proposed_pressings_of_a_title_have_one_name() -> None:
    rim = _clue("rim", "disc", flat="[..1969]", raised="[1970..]")
    paper = _clue("paper", "inner", thin="[..1962-05]", thick="[1962-06..1962-12]", sleek="[1963..]")
    assert _names(LABEL, rim, INNER, paper, first="1962")[:3] == [
        "red, flat, plain, thin, 1962",
        "red, flat, plain, thick, 1962",
        "red, flat, plain, 1963 to 1964",
    ]
    # Where one of them lacks the feature that the other has, their months tell them apart.
    fold, seam = (
        _clue("fold", "cover", tucked="[1962-04..1962-07]"),
        _clue("seam", "cover", glued="[1962-09..]"),
    )
    one_state = [Lane(clue, clue.answers) for clue in (fold, seam)]
    found = proposed(_title("1962"), [*lanes_of([LABEL, rim, INNER], "Whelkin"), *one_state])
    assert [one.name for one in found][:2] == [
        "red, flat, plain, 1962-01 to 1962-03 (proposed)",
        "red, flat, plain, 1962-04 to 1962-07 (proposed)",
    ]


def test_a_title_s_sales_fade_so_that_its_first_stretch_has_the_greatest_share_a_year() -> None:
    found = proposed(_title("1963"), LANES)
    a_year = [one.share / ((one.period.latest - one.period.earliest).days / 365.25) for one in found]  # type: ignore[operator]
    assert a_year == sorted(a_year, reverse=True)


def test_a_title_takes_the_lanes_from_its_first_issue_on() -> None:
    assert [one.name for one in proposed(_title("1969-05"), LANES)] == [
        "blue, lined, 1969 (proposed)",
        "grey, lined, 1970 on (proposed)",
    ]


def test_a_pressing_that_was_seen_takes_the_place_of_its_stretch() -> None:
    grown = Pressing("t/one", "one", parse_edtf("[1965..1967]"), source="seen on the bench")
    names = [one.name for one in proposed(_title("1963", grown), LANES)]
    assert "blue, plain, 1965 to 1967 (proposed)" not in names
    assert len(names) == 3


def test_a_copy_that_shows_each_state_takes_the_place_and_the_share_whatever_it_dates_itself() -> None:
    bare = _title("1963")
    shows = {"label": {"blue": "usually"}, "inner": {"plain": "always"}}
    grown = Pressing("t/one", "one", parse_edtf("[1965..]"), expect=shows, known="grown")  # type: ignore[arg-type]
    first, *rest = on_ladder(_title("1963", grown), LANES)
    assert [one.period.earliest for one in rest] == [date(1963, 1, 1), date(1968, 1, 1), date(1970, 1, 1)]
    assert first.stretch == proposed(bare, LANES)[1].share


def test_without_a_first_date_the_whole_ladder_is_proposed_by_the_length_of_its_stretches() -> None:
    found = proposed(_title(""), LANES)
    assert found[0].name == "red, plain, 1960 to 1964 (proposed)"
    assert found[0].share == pytest.approx(5, abs=0.01)
    assert proposed(_title("[..1970]"), LANES) == (), "a latest date alone says nothing of the first issue"


@pytest.mark.parametrize(
    ("olive", "ivory", "names"),
    [
        ("[1960-07..1964]", "[1964-03..]", ["olive, 1961 to 1964", "olive or ivory, 1964", "ivory, 1965 on"]),
        ("[1960-07..1964]", "[1965-05..]", ["olive, 1961 to 1965", "ivory, 1965 on"]),
        ("[1960-07..1964]", "[1967-05..]", ["olive, 1961 to 1964", "ivory, 1967 on"]),
        ("[1960-07..1962-06]", "", ["olive, 1961 to 1962"]),
    ],
)  # fmt: skip
def test_no_state_goes_beyond_its_own_end(olive: str, ivory: str, names: list[str]) -> None:
    """But over a gap no longer than soft dates may be out by."""
    states = {"maroon": "[1958..1960]", "olive": olive} | ({"ivory": ivory} if ivory else {})
    found = _names(_clue("label", "disc", **states), first="")
    assert found == ["maroon, 1958 to 1960", "maroon or olive, 1960", *names]


def test_a_gap_shorter_than_its_dates_may_be_out_is_no_stretch_without_a_state() -> None:
    label = _clue("label", "disc", red="[1960..1964]", blue="[1965-06..]")
    found = proposed(_title("1963"), lanes_of([label, INNER], "Whelkin"))
    assert [one.name for one in found] == [
        "red, plain, 1963 to 1965 (proposed)",
        "blue, plain, 1965 to 1967 (proposed)",
        "blue, lined, 1968 on (proposed)",
    ]


@pytest.mark.parametrize(
    ("label", "begins"),
    [
        (_clue("label", "disc", maroon="[1958..1960]", olive="[1961..]"), 1958),
        (_clue("label", "disc", maroon="[..1960]", olive="[1961..]"), 1954),
        (_clue("bars", "cover", small="[1979..1984]", large="[1985..]"), 1954),
        (_clue("rim", "disc", small="[1970..1974]", large="[1975..]"), 1954),
    ],
)
def test_nothing_is_proposed_before_the_first_state_of_a_lane_that_each_disc_shows(
    label: Clue, begins: int
) -> None:
    found = proposed(
        _title(""), lanes_of([label, _clue("flat", "cover", full="[..1959]", matt="[1960..]")], "Whelkin")
    )
    assert found[0].period.earliest == date(begins, 1, 1)
    some = label._replace(answers=(*label.answers, Answer("none", "none", 0)))
    assert Lane(some, some.answers).began is None, "a disc may be without it"


def _lane(**states: str) -> Lane:
    return lanes_of([_clue("label", "disc", **states)], "Whelkin")[0]


@pytest.mark.parametrize(
    ("old", "at", "states"),
    [
        ("[1960..]", 1967, ["b"]),  # nobody said when it ended: then, when the next came in
        ("[1960..1966]", 1965, ["a", "b"]),
        ("[1960..1966]", 1967, ["b"]),
        ("[1960..1966]", 1961, ["a"]),
        ("[1960..1966]", 1959, []),
    ],
)
def test_a_state_stands_to_its_own_end_beside_the_one_that_came_in(
    old: str, at: int, states: list[str]
) -> None:
    assert [one.id for one in _lane(a=old, b="[1965..]").states_on(date(at, 6, 1))] == states


def _proposed(title: BookTitle) -> list[tuple[str, dict[str, str]]]:
    found = proposed(title, [_lane(plum="[1959..1967]", ring="[1961..]"), *lanes_of([INNER], "Whelkin")])
    return [(one.name.removesuffix(" (proposed)"), dict(one.expect.get("label", {}))) for one in found]


def test_where_the_old_state_was_made_on_beside_the_new_either_is_shown() -> None:
    either = ("plum or ring, plain, 1961 to 1967", {"plum": "usually", "ring": "usually"})
    assert _proposed(_title("1959"))[:2] == [("plum, plain, 1959 to 1960", {"plum": "always"}), either]
    assert _proposed(_title("1961"))[0] == either


@pytest.mark.parametrize("words", [{"plum": "always"}, {"plum": "always", "ring": "never"}])
def test_of_two_states_side_by_side_the_one_not_seen_yet_stays_proposed(words: dict[str, Word]) -> None:
    seen = Pressing("t/1", "x", parse_edtf("[1961..1967]"), known="grown", expect={"label": words})
    assert _proposed(_title("1961", seen))[0] == ("ring, plain, 1961 to 1967", {"ring": "always"})
    both = Pressing(
        "t/2", "y", parse_edtf("[1961..1967]"), known="grown", expect={"label": {"ring": "always"}}
    )
    assert [name for name, _ in _proposed(_title("1961", seen, both))] == ["ring, lined, 1968 on"]


def test_changes_of_one_season_are_one_change() -> None:
    close = _clue("rim", "disc", old="[..1965-02]", new="[1965-03..]")
    assert len(proposed(_title("1963"), lanes_of([LABEL, INNER, close], "Whelkin"))) == 4


def test_a_state_of_less_than_a_season_is_proposed_beside_the_next() -> None:
    rim = _clue("rim", "disc", old="[..1965-04]", brief="[1965-05..1965-06]", new="[1965-07..]")
    found = proposed(_title("1963"), lanes_of([rim], "Whelkin"))
    assert [one.expect["rim"] for one in found] == [{"old": "always"}, {"brief": "usually", "new": "usually"}]
    late = proposed(_title("1964-12-15"), LANES)
    assert late[0].expect["label"] == {"red": "usually", "blue": "usually"}, "the first copies"
    assert [one.name for one in late][:2] == [
        "red or blue, plain, 1964 to 1967 (proposed)",
        "blue, lined, 1968 to 1969 (proposed)",
    ]


def test_inners_and_covers_of_the_state_before_are_used_up_first() -> None:
    found = {one.name: one.expect["inner"] for one in proposed(_title("1963"), LANES)}
    assert found["blue, plain, 1965 to 1967 (proposed)"] == {"plain": "always"}
    assert found["blue, lined, 1968 to 1969 (proposed)"] == {"lined": "always", "plain": "usually"}
    (last,) = proposed(
        _title("1970"), lanes_of([_clue("fold", "cover", a="[..1969]", b="[1970..]")], "Whelkin")
    )
    assert last.expect["fold"] == {"b": "always", "a": "usually"}, "in a long stretch too: the dates say when"
    assert made_then(last.expect["fold"]) == {"b": "always"}
    disc = lanes_of([_clue("rim", "disc", a="[..1969]", b="[1970..]")], "Whelkin")
    assert proposed(_title("1970"), disc)[0].expect["rim"] == {"b": "always"}


SOUND = _clue("sound", "disc", STEREO="[1958..1968]", mono="[1958..1968]", quiet="[1969..]")


@pytest.mark.parametrize(
    ("channels", "shows"), [("", {"STEREO": "usually", "mono": "usually"}), ("stereo", {"STEREO": "always"})]
)
def test_mono_and_stereo_of_one_lane_were_made_side_by_side(channels: str, shows: dict[str, str]) -> None:
    title = BookTitle("t", "A", "B", parse_edtf("1963"), "Whelkin", channels=channels)
    first, last = proposed(title, lanes_of([SOUND], "Whelkin"))
    assert first.expect == {"sound": shows}
    assert last.expect == {"sound": {"quiet": "always"}}


def test_a_word_of_one_s_own_for_stereo_stands_beside_mono_in_its_lane() -> None:
    lane = lanes_of([_clue("sound", "disc", **{"TWO-EAR": "[..1966]", "mono": "[..1968]"})], "Whelkin")
    title = BookTitle("t", "A", "B", parse_edtf("1963"), "Whelkin", channels="stereo")
    assert proposed(title, lane)[0].expect == {"sound": {"TWO-EAR": "always"}}


def test_an_end_that_nobody_gave_is_in_no_name_and_in_no_book() -> None:
    found = proposed(BookTitle("t", "A", "B", UNKNOWN, "Whelkin"), lanes_of([_clue(
        "fold", "cover", a="[..1962]", b="[1963..]")], "Whelkin"))  # fmt: skip
    assert [one.name for one in found] == ["a, 1962 and before (proposed)", "b, 1963 on (proposed)"]
    told = [period_said(one.name.removesuffix(" (proposed)"), one.period).edtf() for one in found]
    assert told == ["[..1962]", "[1963..]"]
