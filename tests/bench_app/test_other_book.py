"""Another dealer's book on the bench: compared, the doubtful decided by a digit, taken in and back."""

from pathlib import Path

import pytest
from bench_hands import Hands, Sit
from test_table import find, own, shown, work

from benchtui.books.check import check_books
from benchtui.desk.book.other_book import items
from benchtui.store import Shop

CLUE = """[[clue]]
id = "{id}"
ask = "{ask}"
part = "disc"
place = "label"
answer = [{{ id = "a", text = "thick rim" }}, {{ id = "b", text = "thin rim" }}, {{ id = "c", text = "no rim" }}]
"""
TITLE = """[[title]]
id = "{id}"
artist = "Osier Choir"
title = "{title}"
first = "1961"
[[title.pressing]]
id = "{id}/1"
name = "first"
period = "[1961..1963]"
expect = {{ {clue} = "a" }}
"""
MINE = (
    '[book]\nname = "Mine"\n'
    + CLUE.format(id="m1", ask="Rim")
    + TITLE.format(id="t1", title="Crooked Weir", clue="m1")
)
THEIRS = (
    '[book]\nname = "Theirs"\n'
    + CLUE.format(id="x1", ask="Edge of the paper")
    + TITLE.format(id="x1", title="Crooked Weirs", clue="x1")
    + TITLE.format(id="x2", title="Nine Bells Slow", clue="x1").replace("1961", "1965")
)


@pytest.fixture
def beside(tmp_path: Path, sit: Sit) -> Hands:
    """The page of their book, in a shop with one of its own."""
    path = tmp_path / "shop"
    Shop.create(path, currency="GBP").close()
    (path / "books").mkdir(exist_ok=True)
    (path / "books" / "mine.toml").write_text(MINE)
    (path / "theirs.toml").write_text(THEIRS)
    return work(find(sit(path), "merge a book").enter("theirs.toml"))


def test_what_is_doubtful_is_asked_decided_and_taken_in_and_back(beside: Hands) -> None:
    assert "nothing is written yet" in shown(beside)
    asked = [one.what for one in items(beside.desk) if one.mine]
    assert "title" in asked
    while any(one.mine for one in items(beside.desk)):
        at = next(no for no, one in enumerate(items(beside.desk)) if one.mine)
        beside.desk.open.page.marked = at  # type: ignore[union-attr]
        work(beside.key("enter", "1"))
    assert "all is decided" in shown(beside)
    beside.desk.open.page.marked = 0  # type: ignore[union-attr]
    beside.key("enter", "1")
    assert not beside.refused, beside.said
    assert [row.title for row in beside.desk.library.titles()] == ["Crooked Weir", "Nine Bells Slow"]
    assert check_books([beside.desk.shop.path / "books"]) == []
    assert 'strangers = ["Theirs"]' in own(beside)
    find(beside, "book titles").do("page-undo")
    assert own(beside) == ""
    assert [row.title for row in beside.desk.library.titles()] == ["Crooked Weir"]


def test_a_decision_is_taken_back_on_its_row(beside: Hands) -> None:
    at = next(no for no, one in enumerate(items(beside.desk)) if one.mine)
    before = items(beside.desk)
    work(beside.key(*["down"] * at, "enter", "2"))
    assert [one.what for one in items(beside.desk)][-1] == "decided"
    work(beside.key(*["down"] * len(before), "enter"))
    assert items(beside.desk) == before


def test_what_is_said_of_a_question_is_there_at_once_and_nothing_is_written_before_all_is_compared(
    beside: Hands,
) -> None:
    at = next(no for no, one in enumerate(items(beside.desk)) if one.mine)
    beside.key(*["down"] * at, "enter", "1", *["up"] * at, "enter")
    assert beside.refused
    assert "still being compared" in beside.said
    work(beside)
    assert "all is decided" in shown(beside) or any(one.mine for one in items(beside.desk))
    assert beside.key("enter").desk.open.menu is not None


def test_a_book_of_the_shop_is_no_other_one(beside: Hands) -> None:
    find(beside.do("page-leave"), "merge a book").enter("books/mine.toml")
    assert beside.refused
    assert "already" in beside.said
