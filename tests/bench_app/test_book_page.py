"""The book page: titles, a title's card and grid, edited without a copy in the hand, saved and undone."""

import pytest
from bench_hands import Hands, Sit
from seen import markable

from benchtui.books.check import check_books
from benchtui.books.shape import BookTitle, Pressing
from benchtui.desk.book.book_grid import shown_title
from benchtui.desk.book.cells import CARD
from benchtui.desk.core.page_parts import Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.own_book.growing import own_book


def _title(hands: Hands) -> BookTitle:
    title = shown_title(hands.desk)
    assert title is not None
    return title


def _pressing(hands: Hands, name: str) -> Pressing:
    return next(one for one in _title(hands).pressings if one.name == name)


def _on(hands: Hands, letters: str) -> Hands:
    """The page of a title, without a record in the hand."""
    hands.do("commands").enter("book titles")
    hands.do("book-find").enter(letters)
    assert hands.desk.open.page is not None
    assert hands.desk.open.page.name == "book-title"
    return hands


def _row(hands: Hands, number: int) -> Hands:
    """Down to that row of the page, first the card's rows, then the pressings."""
    assert hands.desk.open.page is not None
    while hands.desk.open.page.marked < number:
        hands.do("page-down")
    return hands


def _first_pressing(hands: Hands) -> Hands:
    return _row(hands, len(CARD))


@pytest.fixture
def grid(empty: Hands) -> Hands:
    """The page of a title of the demo's books, in a shop without a parcel."""
    return _on(empty, "baf")


def test_all_titles_are_listed_with_how_well_each_is_known(empty: Hands) -> None:
    empty.do("commands").enter("book titles")
    view = view_now(empty.desk)
    assert view is not None
    (table,) = (one for one in view.sections if isinstance(one, Table))
    assert len(table.rows) == len({one.id for one in empty.desk.library.titles()})
    known, filled = (
        ["".join(text for text, _ in table.rows[at].cells[n]) for at in range(len(table.rows))]  # type: ignore[union-attr]
        for n in (-2, -1)
    )
    assert any(one.isdigit() and more.endswith("%") for one, more in zip(known, filled, strict=True))


def test_a_cell_of_the_card_is_changed_and_taken_back_on_the_page(grid: Hands) -> None:
    before = _title(grid)
    _row(grid, [one.key for one in CARD].index("company"))
    grid.do("page-enter").enter("Whelkin")
    assert not grid.refused, grid.said
    assert _title(grid).company == "Whelkin"
    assert grid.desk.finder.by_id(before.id).company == "Whelkin"  # type: ignore[union-attr]
    assert check_books([own_book(grid.desk).parent]) == []
    grid.do("page-undo")
    assert _title(grid) == before
    grid.do("page-redo")
    assert _title(grid).company == "Whelkin"


def test_a_change_is_taken_back_after_a_restart_too(grid: Hands, sit: Sit) -> None:
    before = _title(grid)
    _first_pressing(grid).do("book-right", "page-enter").enter("1971..1973")
    made = _title(grid).pressings[0].period.edtf()
    assert made == "[1971..1973]"
    path = grid.desk.shop.path
    grid.leave()
    again = _on(sit(path), "baf")
    assert _title(again).pressings[0].period.edtf() == made
    again.do("page-undo")
    assert _title(again) == before


def test_an_answer_is_typed_into_a_clue_s_column(grid: Hands) -> None:
    _first_pressing(grid).do("book-clue").enter("label paper")
    grid.do("page-enter").type("kelp, rarely reed")
    line = grid.desk.open.line
    assert line is not None
    assert line.about == "read as usually kelp paper, green flecks; rarely reed paper, brown print", (
        "before Enter"
    )
    grid.enter()
    assert not grid.refused, grid.said
    clue = grid.desk.library.clue("tw-label")
    assert clue is not None
    words = _title(grid).pressings[0].expect["tw-label"]
    by_text = {clue.answer(answer).text.split()[0]: word for answer, word in words.items()}  # type: ignore[union-attr]
    assert by_text == {"kelp": "usually", "reed": "rarely"}
    grid.do("page-enter").enter("nonsense")
    assert grid.refused
    assert "+nonsense makes it one" in grid.said
    grid.do("line-leave", "page-enter").paste("+bronze 1990.. (two copies)").do("line-accept")
    fresh = grid.desk.library.clue("tw-label")
    assert fresh is not None
    assert "bronze" in [one.text for one in fresh.answers]
    assert _title(grid).pressings[0].expect["tw-label"] == {"bronze": "always"}
    assert check_books([own_book(grid.desk).parent]) == []


def test_a_pressing_is_added_like_the_marked_one_filled_down_and_retired(grid: Hands) -> None:
    first = _title(grid).pressings[0]
    _first_pressing(grid).do("book-add").enter("export, silver label")
    made = _pressing(grid, "export, silver label")
    assert made.expect == first.expect, "a pressing is split from the marked one"
    assert made.source == "by the dealer"
    grid.do("book-right", "page-enter").enter("1970")
    assert _pressing(grid, "export, silver label").period.edtf() == "1970"
    count = len(_title(grid).pressings)
    grid.do("book-retire")
    assert len(_title(grid).pressings) == count - 1
    grid.do("page-undo")
    assert len(_title(grid).pressings) == count


def test_a_share_that_looks_like_a_year_is_told(grid: Hands) -> None:
    _first_pressing(grid).do("book-right", "book-right", "page-enter").enter("1957")
    assert _title(grid).pressings[0].share == 1957
    assert "looks like a year" in grid.said


def test_fill_down_copies_the_cell_into_the_pressing_below_and_goes_there(grid: Hands) -> None:
    _first_pressing(grid).do("book-right", "page-enter").enter("1971..1973")
    grid.do("book-fill")
    assert [one.period.edtf() for one in _title(grid).pressings[:2]] == ["[1971..1973]"] * 2
    assert grid.desk.open.page is not None
    assert grid.desk.open.page.marked == len(CARD) + 1


@pytest.mark.parametrize(
    ("column", "typed"), [(0, ""), (1, "soon"), (2, "many"), (3, "dear"), (4, "loud"), (7, "1-1")]
)
def test_what_a_cell_cannot_be_is_refused_in_one_sentence_and_stays_in_the_line(
    grid: Hands, column: int, typed: str
) -> None:
    before = _title(grid)
    _first_pressing(grid)
    for _ in range(column):
        grid.do("book-right")
    grid.do("page-enter").paste(typed)
    grid.do("line-accept")
    assert grid.refused, typed
    assert len(grid.said.splitlines()) == 1
    assert grid.desk.open.line is not None
    assert _title(grid) == before


def test_a_title_of_no_book_goes_into_the_shop_s_own_with_its_first_change(parcel: Hands) -> None:
    parcel.type("Ada Pellimore - Sluice Tales - OWN 1").do("line-new")
    parcel.do("commands").enter("book page")
    _row(parcel, [one.key for one in CARD].index("country"))
    parcel.do("page-enter").enter("gb")
    assert not parcel.refused, parcel.said
    assert parcel.record["title"]["country"] == "GB"  # type: ignore[index,typeddict-item]
    parcel.do("book-add").enter("first")
    assert [one.name for one in _title(parcel).pressings] == ["first"]
    assert check_books([own_book(parcel.desk).parent]) == []
    parcel.do("page-undo", "page-undo")
    assert parcel.desk.library.title(parcel.record["title"]["id"]) is None  # type: ignore[index]


def test_the_copy_in_the_hand_stands_above_the_pressings(breakwater: Hands) -> None:
    breakwater.take("disc")
    breakwater.ask("label paper").answer("reed")
    breakwater.do("commands").enter("book page")
    view = view_now(breakwater.desk)
    assert view is not None
    grid = next(one for one in view.sections if isinstance(one, Table) and one.name == "pressings")
    assert grid.rows[0].key == "hand"
    assert len(markable(view)) == len(CARD) + len(_title(breakwater).pressings)
    _first_pressing(breakwater).do("book-clue").enter("label paper")
    view = view_now(breakwater.desk)
    grid = next(one for one in view.sections if isinstance(one, Table) and one.name == "pressings")  # type: ignore[union-attr]
    assert any("reed" in text for cell in grid.rows[0].cells for text, _ in cell)  # type: ignore[union-attr]


def test_a_comment_in_the_book_survives_every_change(grid: Hands) -> None:
    book = own_book(grid.desk).parent / "tarrowick.toml"
    comments = [line for line in book.read_text("utf-8").splitlines() if line.startswith("#")]
    assert comments
    _first_pressing(grid).do("book-right", "page-enter").enter("1971..1973")
    grid.do("book-add").enter("another")
    assert [line for line in book.read_text("utf-8").splitlines() if line.startswith("#")] == comments


def test_a_title_is_added_among_all_titles_with_what_the_shop_s_field_says(empty: Hands) -> None:
    empty.desk.shop.change_settings(
        field={"company": "Whelkin", "country": "XV", "prefixes": {"WKS": "stereo"}}
    )
    empty.do("commands").enter("book titles").do("book-add").enter("Marl Tanner")
    assert empty.refused
    empty.do("line-leave", "book-add").paste("Marl Tanner - Ford and Fathom - WKS 301 - 1962").do(
        "line-accept"
    )
    made = _title(empty)
    assert (made.artist, made.title, made.catalogues) == ("Marl Tanner", "Ford and Fathom", ("WKS 301",))
    assert (made.company, made.country, made.channels, made.first.edtf()) == (
        "Whelkin",
        "XV",
        "stereo",
        "1962",
    )
    assert [hit.title.title for hit in [[], *empty.desk.finder.steps("ford fath")][-1]] == ["Ford and Fathom"]
    empty.do("page-undo")
    assert empty.desk.library.title(made.id) is None


def test_a_new_question_is_told_on_the_grid_and_becomes_its_column(grid: Hands) -> None:
    _first_pressing(grid).do("book-clue").enter("lining: plain / waxed")
    assert grid.refused
    assert "begin with the part" in grid.said
    grid.do("line-leave", "book-clue").enter("inner whole: lining / plain ..1967 / waxed")
    clue = grid.desk.library.clue("own-lining")
    assert clue is not None
    assert (clue.part, clue.place, clue.companies) == ("inner", "whole", (_title(grid).company,))
    assert [(one.text, one.span.edtf() if one.span else "") for one in clue.answers] == [
        ("plain", "[..1967]"),
        ("waxed", ""),
    ]
    grid.do("page-enter").enter("waxed")
    assert _title(grid).pressings[0].expect["own-lining"] == {"waxed": "always"}
    assert check_books([own_book(grid.desk).parent]) == []
    grid.do("page-undo", "page-undo")
    assert grid.desk.library.clue("own-lining") is None


def test_two_pressings_that_are_one_are_merged_and_taken_apart_again(grid: Hands) -> None:
    _first_pressing(grid).do("book-add").enter("the same, with a slip")
    grid.do("book-clue").enter("label paper")
    grid.do("page-enter").enter("kelp")
    before = _title(grid)
    first, other = before.pressings[0], _pressing(grid, "the same, with a slip")
    grid.do("page-more").enter("merge pressings")
    assert grid.desk.open.menu is not None
    grid.key(next(one.key for one in grid.desk.open.menu.choices if one.words == first.name))
    assert not grid.refused, grid.said
    merged = _pressing(grid, first.name)
    assert other.id not in [one.id for one in _title(grid).pressings]
    assert merged.share == first.share + other.share
    assert first.expect["tw-label"] == {"reed": "always"}
    assert merged.expect["tw-label"] == {"reed": "usually", "kelp": "sometimes"}, "beside another, not always"
    assert check_books([own_book(grid.desk).parent]) == []
    grid.do("page-undo")
    assert _title(grid) == before
