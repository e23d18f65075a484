"""Pressings made one, replaced or taken in with a table, and what their copies taught, on the bench."""

import pytest
from bench_hands import Hands
from test_coach_page import BOOK, book, on
from test_table import find, mark, offer, own, shown, work

from benchtui.books.check import check_books
from benchtui.books.passed_on import taught_of
from benchtui.desk.book.cards import cards
from benchtui.desk.book.cells import CARD
from benchtui.desk.book.coach import advices
from benchtui.desk.look.earlier import pressing_name
from benchtui.desk.own_book.otherwise import found_otherwise

GROWN = "ms-1/red-tape"
ROWS = """artist,title,number,pressing,from,to,Rim of the Mossgate label
Osier Choir,Crooked Weir,MS 7,third,1961,1963,thin
"""
NUMBERED = BOOK.replace('first = "1961"', 'first = "1961"\ncatalogues = ["MS 7"]').replace(
    'name = "second"', 'name = "second"\nexpect = { mg-rim = "thin" }'
)


@pytest.fixture
def copy(parcel: Hands) -> Hands:
    """A record of a title of two written pressings, called by a pressing made of it on the bench. Theirs is
    the shop's only book: the coach weighs every pair of all there are.
    """
    for old in (parcel.desk.shop.path / "books").glob("*.toml"):
        old.unlink()
    (parcel.desk.shop.path / "books" / "mossgate.toml").write_text(NUMBERED)
    parcel.do("line-leave") if parcel.desk.open.line else None
    from benchtui.desk.own_book.growing import books_changed

    books_changed(parcel.desk)
    parcel.find("crooked weir")
    parcel.take("disc")
    parcel.ask("rim of the mossgate label").answer("thin")
    parcel.key("q", "n", "n").enter("red tape")
    assert parcel.record["pressing"]["id"] == GROWN
    return parcel


def _taught(hands: Hands, name: str) -> int:
    title = hands.desk.library.title("ms-1")
    assert title is not None
    found = next(one for one in title.pressings if one.name == name)
    return int(taught_of(hands.desk.weighings.counts(), found).get("n", 0))


def test_the_coach_s_one_key_makes_a_grown_and_a_written_one_one_and_u_takes_it_back(copy: Hands) -> None:
    before = book(copy), own(copy)
    work(find(copy, "what to do next"))
    on(copy, "grown").key("1")
    assert not copy.refused, copy.said
    assert (_taught(copy, "second"), pressing_name(copy.desk, copy.record)) == (1, "second")
    assert copy.record["pressing"]["id"] == GROWN, "records keep their id"
    assert check_books([copy.desk.shop.path / "books"]) == []
    copy.do("page-undo")
    assert (book(copy), own(copy)) == before
    assert (_taught(copy, "second"), _taught(copy, "red tape")) == (0, 1)
    copy.do("page-redo")
    assert _taught(copy, "second") == 1
    copy.do("page-undo")
    work(find(copy.do("page-leave"), "what to do next"))
    on(copy, "grown").key("2")
    work(find(copy.do("page-leave"), "what to do next"))
    assert "grown" not in [one.kind for one in advices(copy.desk)]


def test_retiring_one_that_copies_taught_asks_which_replaces_it(copy: Hands) -> None:
    find(copy, "book titles").do("book-find").enter("crooked weir")
    title = copy.desk.library.title("ms-1")
    assert title is not None
    at = [one.name for one in title.pressings].index("red tape")
    copy.key(*["down"] * (len(CARD) + at)).do("book-retire")
    copy.key("1")
    assert (_taught(copy, "first"), pressing_name(copy.desk, copy.record)) == (1, "first")
    copy.do("page-undo").do("book-retire").key("0")
    assert _taught(copy, "first") == 0
    assert pressing_name(copy.desk, copy.record) == GROWN
    copy.do("page-undo")
    assert _taught(copy, "red tape") == 1


def test_a_table_s_row_that_looks_like_it_is_said_to_be_it_by_two_keys_and_undone_and_redone(
    copy: Hands,
) -> None:
    before = own(copy)
    offer(copy, ROWS)
    assert "one or two? 'red tape', grown here, looks like 'third' of line 2" in shown(copy, 140)
    mark(copy, "grown").key("enter", "1")
    mark(copy, "write").key("enter", "1")
    assert not copy.refused, copy.said
    after = own(copy)
    assert (_taught(copy, "third"), pressing_name(copy.desk, copy.record)) == (1, "third")
    find(copy, "book titles").do("page-undo")
    assert own(copy) == before
    assert _taught(copy, "red tape") == 1
    assert found_otherwise(work(copy).desk) == [], "the record is called as it was before"
    copy.do("page-redo")
    assert own(copy) == after
    assert _taught(copy, "third") == 1
    copy.do("page-redo")
    assert copy.refused


def test_at_the_parcel_s_end_one_card_asks_whether_the_two_are_one(copy: Hands) -> None:
    copy.do("take-in")
    copy.do("take-in") if copy.refused else None
    copy.do("line-leave") if copy.desk.open.line else None
    card = next(one for one in cards(copy.desk) if one.other is not None)
    assert card.ask == "Crooked Weir: is 'red tape', made here, the same as 'second' of the book?"
    find(copy, "questions")
    while copy.desk.open.menu is not None and copy.desk.open.menu.title != card.ask:
        copy.key("l")
    copy.key("1")
    assert pressing_name(copy.desk, copy.at(1)) == "second"
    assert card.id not in [one.id for one in cards(copy.desk)]
