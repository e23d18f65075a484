"""The order of the answers, case by case (see benchtui.titles.rank)."""

import pytest
from found import find

from benchtui.model.title import Title
from benchtui.titles.build import build_piece
from benchtui.titles.finder import Finder
from benchtui.titles.hit import Context

LINE = {
    "line": "3 Vance - Lantern",
    "artist": "Odile Vance",
    "title": "Lantern",
    "catalogue": "",
    "record": None,
}


def ids(finder: Finder, typed: str, **context: object) -> list[str]:
    return [hit.title.id for hit in find(finder, typed, context=Context(**context))]  # type: ignore[arg-type]


def test_without_history_the_beginning_of_the_title_comes_before_that_of_the_artist(finder: Finder) -> None:
    assert ids(finder, "har")[0] == "t-3"


def test_a_title_typed_whole_comes_before_longer_ones(finder: Finder) -> None:
    assert ids(finder, "lantern")[:2] == ["t-4", "t-1"]


def test_a_letter_typed_last_that_ends_a_title_puts_it_before_one_seen_in_which_it_begins_a_word() -> None:
    finder = Finder([Title(f"w-{one}", "Choir of the Locks", f"Weir {one.upper()}") for one in "ac"])
    assert ids(finder, "weir c", parcel={"w-a"}) == ["w-c", "w-a"]
    assert ids(finder, "weir", parcel={"w-a"}) == ["w-a", "w-c"]
    assert ids(finder, "weir ch", parcel={"w-a"}) == ["w-a", "w-c"]


def test_of_those_found_by_supposing_slips_one_with_a_long_word_as_typed_comes_first() -> None:
    finder = Finder([Title("b", "Idony Perrick", "Last Boat but One", "TW 321")])
    own = {"line": "9", "artist": "Brume", "title": "homemade thing", "catalogue": "", "record": None}
    listed = {"line": "3", "artist": "Idony Perrick", "title": "Last Boat but One", "record": None}
    assert ids(finder, "homemade TB 1", unticked=[listed, own]) == ["", "b"]
    assert ids(finder, "boat but onne", unticked=[own]) == ["b"]


def test_what_stands_on_the_senders_list_comes_first(finder: Finder) -> None:
    assert ids(finder, "la", unticked=[LINE])[0] == "t-4"
    hit = find(finder, "lan", context=Context(unticked=[LINE], picks={"t-1": (50, "2026-01-01")}))[0]
    assert (hit.title.id, hit.line) == ("t-4", "3 Vance - Lantern")


def test_a_line_of_which_no_list_knows_is_offered_as_a_title_without_an_id(finder: Finder) -> None:
    line = {"line": "7", "artist": "Ursel Kappa", "title": "Unknown Garden", "catalogue": "", "record": None}
    hit = find(finder, "unk", context=Context(unticked=[line]))[0]
    assert (hit.title.id, hit.title.artist, hit.line) == ("", "Ursel Kappa", "7")
    assert find(Finder(), "kap gar", context=Context(unticked=[line]))[0].title.title == "Unknown Garden"


def test_a_line_whose_title_is_listed_is_not_offered_twice(finder: Finder) -> None:
    assert ids(finder, "lantern", unticked=[LINE]) == ["t-4", "t-1"]


def test_often_picked_comes_before_seldom_and_seldom_before_never(finder: Finder) -> None:
    picks = {"t-9": (5, "2026-03-01"), "t-2": (1, "2026-03-01")}
    assert ids(finder, "har", picks=picks)[:3] == ["t-9", "t-2", "t-3"]


def test_of_those_picked_alike_the_later_comes_first(finder: Finder) -> None:
    picks = {"t-9": (2, "2024-03-01"), "t-2": (2, "2026-03-01")}
    assert ids(finder, "har", picks=picks)[:2] == ["t-2", "t-9"]


def test_what_this_sender_sends_counts_more_than_what_the_shop_sees(finder: Finder) -> None:
    picks = {"t-9": (2, "2026-03-01"), "t-2": (2, "2026-03-01")}
    assert ids(finder, "har", picks=picks, sender_picks={"t-2": (1, "2026-03-01")})[:2] == ["t-2", "t-9"]


def test_what_is_in_this_parcel_comes_before_the_rest_and_says_so(finder: Finder) -> None:
    hit = find(finder, "har", context=Context(parcel={"t-1"}, stock={"t-1": "1 at VG+, 24.00 GBP"}))[0]
    assert (hit.title.id, hit.here, hit.stock) == ("t-1", True, "1 at VG+, 24.00 GBP")


def test_the_number_typed_whole_beats_list_and_history(finder: Finder) -> None:
    line = {"line": "x", "artist": "Odile Vance", "title": "1041 Nights", "catalogue": "", "record": None}
    assert ids(finder, "1041", unticked=[line], picks={"t-9": (90, "2026-03-01")})[0] == "t-1"


def test_exact_comes_before_a_slip_even_of_a_favourite() -> None:
    finder = Finder([Title("a", "Nora Quist", "Marble"), Title("b", "Nora Quist", "Garble")])
    assert ids(finder, "marble", picks={"b": (100, "2026-03-01")})[0] == "a"


def test_nothing_typed_gives_what_was_seen_most_and_last(finder: Finder) -> None:
    assert ids(finder, "", picks={"t-9": (1, "2026-03-01"), "t-2": (3, "2026-03-01")}) == ["t-2", "t-9"]


def test_a_favourite_is_found_by_two_letters_among_very_many() -> None:
    many = [Title(f"m-{no:05}", f"Maker {no}", f"Hall number {no:05}") for no in range(3000)]
    finder = Finder(many)
    assert ids(finder, "ha", picks={"m-02718": (1, "2026-03-01")})[0] == "m-02718"


def test_a_line_means_the_title_though_its_words_stand_otherwise(finder: Finder) -> None:
    for line in (
        {"line": "7: Lang, Harriet - SLOW TRAWL", "artist": "Lang, Harriet", "title": "Slow trawl"},
        {"line": "harriet lang slow trawl", "artist": "", "title": ""},
        {"line": "a trawl", "artist": "", "title": "?", "catalogue": "tw2041"},
    ):
        assert find(finder, "har", context=Context(unticked=[line]))[0].title.id == "t-9"


def test_a_line_ticked_off_is_offered_no_more() -> None:
    lines = [{"line": str(no), "artist": f"Maker {no}", "title": f"Garden {no}"} for no in range(300)]
    finder = Finder()
    for _ in finder.warm(Context(unticked=lines)):
        pass
    assert [hit.line for hit in find(finder, "garden 250", context=Context(unticked=lines))][:1] == ["250"]
    assert "250" not in [
        hit.line for hit in find(finder, "garden 250", context=Context(unticked=lines[:250]))
    ]


def test_a_favourite_that_was_changed_is_found_in_its_new_form_only() -> None:
    finder = Finder([Title("a", "Nora Quist", "Marble")])
    context = Context(picks={"a": (3, "2026-03-01")})
    assert find(finder, "mar", context=context)[0].title.title == "Marble"
    finder.add(Title("a", "Nora Quist", "Granite"))
    assert [hit.title.title for hit in find(finder, "gran", context=context)] == ["Granite"]
    assert find(finder, "marble", context=context) == []


def test_of_one_title_in_two_lists_the_one_whose_pressings_are_known_is_shown_once() -> None:
    book = Title("b", "Nora Quist", "Marble", "ZK 1", pressings=4, book="q")
    finder = Finder([Title("l", "NORA QUIST", "Marble!", "zk-1"), book])
    assert [hit.title.id for hit in find(finder, "marb")] == ["b"]
    assert [
        hit.title.id for hit in find(finder, "marb", context=Context(picks={"l": (9, "2026-03-01")}))
    ] == ["b"]


def test_two_words_typed_are_two_words_before_they_are_one() -> None:
    finder = Finder([Title("a", "Nora Quist", "Giant"), Title("b", "Ines Gilmar", "The Lost Antler")])
    assert ids(finder, "gi ant") == ["b", "a"]


def test_two_starts_typed_are_of_two_words() -> None:
    finder = Finder([Title("a", "Nora Quist", "Counterdike"), Title("b", "Ada Coehn", "Counting Weirs")])
    assert ids(finder, "co cou") == ["b", "a"]


def test_whole_initials_are_not_buried_under_names_that_begin_with_those_letters() -> None:
    many = [Title(f"m{no}", "Nora Quist", f"Rabbit {no}") for no in range(20)]
    finder = Finder([*many, Title("i", "Ada Coehn", "Rust and Bilge Ballad")])
    assert ids(finder, "rabb").index("i") == 4


@pytest.mark.parametrize(
    "line",
    [
        {"artist": "Lang, Harriett", "title": "Slow Trawls"},
        {"artist": "", "title": "", "line": "12) Hariet Lang: Slow Trawl LP"},
        {"artist": "H. Lang", "title": "?", "catalogue": "TW-2041"},
    ],
)
def test_a_line_written_otherwise_still_means_the_title(finder: Finder, line: dict[str, str]) -> None:
    context = Context(unticked=[{"line": "12", **line}])
    assert not finder.is_warm(context)
    for _ in finder.warm(context):
        pass
    assert finder.is_warm(context)
    meant = finder.by_id("t-9")
    assert meant is not None
    assert finder.line_of(meant, context)
    hits = find(finder, "har", context=context)
    assert hits[0].title.id == "t-9"
    assert hits[0].line


def test_a_line_means_a_title_of_a_list_attached_later(rows: tuple[Title, ...]) -> None:
    context = Context(unticked=[{"line": "12", "artist": "Lang, Harriett", "title": "Slow Trawls"}])
    finder = Finder()
    for _ in finder.warm(context):
        pass
    assert find(finder, "lan", context=context)[0].title.id == ""
    finder.attach(build_piece(rows))
    for _ in finder.warm(context):
        pass
    hits = find(finder, "har slow", context=context)
    assert hits[0].title.id == "t-9"
    assert "" not in [hit.title.id for hit in hits]


def test_two_letters_give_what_was_picked_and_then_starts_of_words(finder: Finder) -> None:
    picks = {"t-5": (1, "2026-03-01"), "t-4": (1, "2026-01-01")}
    found = ids(finder, "la", picks=picks)
    assert found[0] == "t-4"
    assert {"t-1", "t-9"} <= set(found)
