"""What may be typed, and what is found by it."""

import pytest
from found import find, plainly

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.finder import Finder
from benchtui.titles.hit import Context


def first(finder: Finder, typed: str, context: Context | None = None) -> str:
    hits = find(finder, typed, context=context)
    return hits[0].title.id if hits else ""


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("lantern s", "t-1"),
        ("har lant", "t-1"),
        ("lant har", "t-1"),
        ("tlwh", "t-2"),
        ("lwh", "t-2"),
        ("the long", "t-2"),
        ("lamp wick", "t-2"),
        ("long the way", "t-2"),
        ("odi harb", "t-3"),
        ("quob", "t-8"),
        ("dont look", "t-8"),
        ("dontwring", "t-8"),
        ("don't", "t-8"),
    ],
)
def test_starts_of_words_in_any_order_and_initials_find_the_title(
    finder: Finder, typed: str, wanted: str
) -> None:
    assert first(finder, typed) == wanted


@pytest.mark.parametrize(
    "typed", ["TW 1041", "tw1041", "Tw-1041", "1041", "104", "tw 104", "5012345678900", "501234567890"]
)
def test_a_catalogue_number_or_barcode_is_found_with_or_without_spaces_and_from_its_digits(
    finder: Finder, typed: str
) -> None:
    assert first(finder, typed) == "t-1"


@pytest.mark.parametrize("typed", ["123456", "3456", "brk12-3456", "BRK 12 3456", "12-34"])
def test_a_number_in_groups_is_found_from_any_group_on(finder: Finder, typed: str) -> None:
    assert first(finder, typed) == "t-4"


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("sovnlos", "t-5"),
        ("SØVN", "t-5"),
        ("aerlig and", "t-5"),
        ("φεγγαρι", "t-6"),
        ("ΡΟΔΊΟΥ", "t-6"),
        ("月光", "t-7"),
        ("物語", "t-7"),
        ("森", "t-7"),
    ],
)
def test_accents_case_and_script_do_not_matter(finder: Finder, typed: str, wanted: str) -> None:
    assert first(finder, typed) == wanted


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("lantren s", "t-1"),
        ("lantrn sea", "t-1"),
        ("lanttern se", "t-1"),
        ("harbiur", "t-3"),
        ("vanse harb", "t-3"),
    ],
)
def test_a_slip_of_the_fingers_is_forgiven(finder: Finder, typed: str, wanted: str) -> None:
    assert first(finder, typed) == wanted


@pytest.mark.parametrize("typed", ["harlow 1041", "104 lant", "tarrowick 1041", "lantern tw1041"])
def test_a_number_may_stand_among_words(finder: Finder, typed: str) -> None:
    assert first(finder, typed) == "t-1"


@pytest.mark.parametrize("typed", ["tw1401", "TW 1014", "t1041", "tww1041"])
def test_a_slip_in_a_catalogue_number_is_forgiven(finder: Finder, typed: str) -> None:
    assert "t-1" in [hit.title.id for hit in find(finder, typed)[:2]]


def test_a_wrong_barcode_is_remarked_upon(finder: Finder) -> None:
    assert "should be 0" in finder.remark("5012345678901")
    assert finder.remark("5012345678900") == finder.remark("har lan") == ""


def test_a_year_or_a_company_narrows_what_else_was_typed(finder: Finder) -> None:
    assert first(finder, "harl 1968") == "t-2"
    assert first(finder, "lantern brackw") == "t-4"
    assert {hit.title.id for hit in find(finder, "1967")} >= {"t-1", "t-9"}


def test_nothing_is_found_where_nothing_is_like_it(finder: Finder) -> None:
    assert find(finder, "zzzz qqqq xxxx") == []


@pytest.mark.parametrize(
    "typed", ["", " ", "'", "\x00", "[b]", "\x1f\x01", "(" * 300, "é" * 5000, "\ud800", "%s{}"]
)
def test_whatever_is_typed_nothing_breaks(finder: Finder, typed: str) -> None:
    assert isinstance(find(finder, typed), list)


def test_the_matched_letters_are_marked_in_the_texts_as_listed(finder: Finder) -> None:
    hit = find(finder, "sovn and")[0]
    assert [hit.title.title[a:b] for a, b in hit.marks["title"]] == ["Søvn"]
    assert [hit.title.artist[a:b] for a, b in hit.marks["artist"]] == ["Ånd"]
    number = find(finder, "tw104")[0]
    assert [number.title.catalogue[a:b] for a, b in number.marks["catalogue"]] == ["TW 104"]
    letters = find(finder, "tlwh")[0]
    assert "".join(letters.title.title[a:b] for a, b in letters.marks["title"]) == "TLWH"


def test_a_title_made_on_the_bench_is_found_at_once_and_replaces_its_older_form() -> None:
    finder = Finder()
    assert find(finder, "any") == []
    finder.add(Title("n-1", "Ada Winterbourne", "First Snow"))
    assert first(finder, "win fir") == "n-1"
    finder.add(Title("n-1", "Ada Winterbourne", "Late Snow"))
    assert [hit.title.title for hit in find(finder, "fir sno")] != ["First Snow"]
    assert first(finder, "late") == "n-1"
    named = finder.by_id("n-1")
    assert named is not None
    assert named.title == "Late Snow"


def test_many_additions_stay_findable() -> None:
    finder = Finder()
    for no in range(600):
        if no % 150 == 0:
            finder.add(Title(f"n-{no}", f"Maker {no}", f"Opus number {no}", f"ZZ {no + 5000}"))
    assert len(finder) == 4
    assert first(finder, "zz5450") == "n-450"


def test_a_sender_s_list_that_another_context_was_half_through_is_known_whole(finder: Finder) -> None:
    lines = [
        {"line": f"{artist}, {title}", "artist": artist, "title": title}
        for artist, title in (("Harlow Brant", "Lamp Wick Hoard"), ("Harlow Lanes", "Lantern Seasons"))
    ]
    first, second = Context(unticked=lines), Context(unticked=lines)
    steps = finder.warm(first)
    next(steps)
    next(steps)  # the title line is left before its second line is looked for, and opened again
    for _ in finder.warm(second):
        pass
    assert finder.is_warm(second)
    assert find(finder, "lantern s", context=second)[0].line == "Harlow Lanes, Lantern Seasons"


def test_picks_that_stand_in_no_list_are_looked_for_once_and_again_where_lists_change() -> None:
    asked: list[str] = []

    class Watched(Finder):
        def by_id(self, title_id: str) -> Title | None:
            asked.append(title_id)
            return super().by_id(title_id)

    finder = Watched([Title("t-1", "Ada", "One")])
    picks = {f"t-{n}": (1, "2026-11-25T09:00:00Z") for n in range(1, 40)}

    def opened() -> int:
        asked.clear()
        context = Context(picks=picks)
        for _ in finder.warm(context):
            pass
        find(finder, "one", context=context)
        return sum(name != "t-1" for name in asked)

    assert opened() == 38
    assert opened() == 0
    finder.attach(build_piece([Title("t-7", "Bo", "Seven")]))
    assert opened() > 0
    assert [hit.title.id for hit in find(finder, "seven", context=Context(picks=picks))] == ["t-7"]
    finder.add(Title("t-9", "Cy", "Nine"))
    assert [hit.title.id for hit in find(finder, "nine", context=Context(picks=picks))] == ["t-9"]


@pytest.mark.parametrize(
    ("number", "typed"),
    [
        ("TW 0041", "tw41"),
        ("TW 41", "tw0041"),
        ("TW 0041", "41"),
        ("TWO 410", "tw0 41o"),
        ("12-ABC-5", "abc5"),
        ("NOVA", "nova"),
        ("BRK 12-3456", "3456"),
    ],
)
def test_a_number_is_found_from_any_group_with_zeros_or_without_and_o_is_nought(
    number: str, typed: str
) -> None:
    finder = Finder(
        [
            Title("n", "Odile Vance", "Harbour Slates", number),
            Title("o", "Harriet Lang", "Slow Trawl", "XY 9"),
        ]
    )
    title = find(finder, typed)[0].title
    assert (title.id, plainly(title, typed)) == ("n", "number")
