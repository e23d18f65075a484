"""The coach on the bench: advice by worth, and one key that deals with it."""

import pytest
from bench_hands import Hands
from test_table import find, shown, work

from benchtui.desk.book.book_grid import marked_pressing
from benchtui.desk.book.coach import advices

BOOK = """[book]
name = "Mossgate"
company = "Mossgate"
currency = "GBP"

[[clue]]
id = "mg-rim"
ask = "Rim of the Mossgate label"
part = "disc"
place = "label"
[[clue.answer]]
id = "thick"
text = "thick"
[[clue.answer]]
id = "thin"
text = "thin"

[[title]]
id = "ms-1"
artist = "Osier Choir"
title = "Crooked Weir"
first = "1961"
[[title.pressing]]
id = "ms-1/1"
name = "first"
period = "[1961..1963]"
expect = { mg-rim = "thick" }
[[title.pressing]]
id = "ms-1/2"
name = "second"
period = "[1961..1963]"
"""


@pytest.fixture
def coach(empty: Hands) -> Hands:
    """The page, over one small book of the shop's own."""
    for old in (empty.desk.shop.path / "books").glob("*.toml"):
        old.unlink()
    path = empty.desk.shop.path / "books" / "mossgate.toml"
    path.write_text(BOOK)
    empty.desk.references = empty.desk.references._replace(library=empty.desk.library.reopened())
    return work(find(empty, "what to do next"))


def on(hands: Hands, kind: str) -> Hands:
    """Enter on the first advice of that kind."""
    kinds = [one.kind for one in advices(hands.desk)]
    assert kind in kinds
    return hands.key(*["down"] * kinds.index(kind), "enter")


def book(hands: Hands) -> str:
    return (hands.desk.shop.path / "books" / "mossgate.toml").read_text()


def test_the_empty_cell_is_filled_by_a_digit_and_taken_back_by_u(coach: Hands) -> None:
    assert "What to do next about the books" in shown(coach)
    on(coach, "cell").key("2")
    assert 'mg-rim = "thin"' in book(coach)
    assert "cell" not in [one.kind for one in advices(coach.desk)]
    coach.do("page-undo")
    assert book(coach) == BOOK


def test_pressings_hardly_told_apart_are_one_by_a_digit_or_the_cell_that_would_tell_is_gone_to(
    coach: Hands,
) -> None:
    on(coach, "inseparable").key("g")
    assert coach.desk.open.page is not None
    assert coach.desk.open.page.name == "book-title"
    assert marked_pressing(coach.desk) is not None
    work(find(coach.do("page-leave", "page-leave"), "what to do next"))
    on(coach, "inseparable").key("2")
    assert 'passes_to = "ms-1/1"' in book(coach)


def test_a_title_with_one_pressing_is_gone_to(coach: Hands) -> None:
    on(coach, "inseparable").key("2")
    work(find(coach.do("page-leave"), "what to do next"))
    on(coach, "single").key("g")
    assert coach.desk.open.page.name == "book-title"  # type: ignore[union-attr]
