"""A pressing grown here and one that is written: offered as one, joined, taken back and done again exactly."""

import shutil

import pytest

from benchtui.books.check import check_books
from benchtui.books.edit import edited
from benchtui.books.library import Library
from benchtui.books.passed_on import pressing_of
from benchtui.knowledge.asked import target_of
from benchtui.knowledge.coach import Advice, Stock, pair_key, reviewing
from benchtui.knowledge.merge import merge
from benchtui.knowledge.one_pressing import taken_over
from benchtui.knowledge.other import Told, compare
from benchtui.knowledge.plan import Decisions
from benchtui.knowledge.preview import preview_lines
from benchtui.knowledge.put import next_undone, take_again, take_out
from benchtui.knowledge.reading import other_book

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
made = "[..1963]"
hardness = "soft"
[[clue.answer]]
id = "thin"
text = "thin"
made = "[1964..]"
hardness = "soft"

[[title]]
id = "ms-1"
artist = "Osier Choir"
title = "Crooked Weir"
first = "1961"
catalogues = ["MS 7"]
"""
GROWN = {
    "id": "ms-1/bent",
    "name": "bent rim",
    "period": "[1961..1966]",
    "source": "seen on the bench",
    "known": "grown",
    "price": "12.00",
    "expect": {"mg-rim": "thin"},
}
ROWS = """artist,title,number,pressing,from,to,Rim of the Mossgate label
Osier Choir,Crooked Weir,MS 7,first,1961,1963,thick
,,,second,1964,1969,thin
"""
ID = "ms-1/bent"
LANE = """[[clue]]
id = "mg-fold"
ask = "Fold of the Mossgate cover"
part = "cover"
place = "back"
[[clue.answer]]
id = "three"
text = "three flaps"
made = "[..1967]"
hardness = "soft"
[[clue.answer]]
id = "none"
text = "no flaps"
made = "[1968..]"
hardness = "soft"

"""


@pytest.fixture
def mossgate(field):
    """A title with one pressing that grew here, in the shop's own book."""
    (field.shop / "books" / "mossgate.toml").write_text(BOOK)
    with edited(field.shop / "books" / "own.toml", "GBP") as book:
        book.put_pressing("ms-1", GROWN)
    return field


def _names(field):
    return [one.name for one in field.library.title("ms-1").pressings]


def advices(library: Library, stock: Stock) -> list[Advice]:
    return [one for one, _ in reviewing(library, stock) if one is not None]


def test_a_row_that_looks_like_it_is_asked_about_and_till_then_the_two_are_two(mossgate):
    plan = mossgate.plan(mossgate.table(ROWS))
    assert [(one.grown.id, one.row.name, one.one) for one in plan.alike] == [(ID, "second", None)]
    assert plan.asked == ["bent rim, grown here"]
    assert "one or two? 'bent rim', grown here, looks like 'second' of line 3" in list(preview_lines(plan))
    mossgate.take(mossgate.table(ROWS))
    assert sorted(_names(mossgate)) == ["bent rim", "first", "second"]


@pytest.mark.parametrize("decided", [Decisions(grown={ID: True}), Decisions(every_grown=True)])
def test_as_one_its_copies_pass_to_the_row_and_undo_and_redo_bring_each_exactly(mossgate, decided):
    before = mossgate.texts()
    plan = mossgate.take(mossgate.table(ROWS), decisions=decided)
    assert not plan.asked
    after = mossgate.texts()
    assert sorted(_names(mossgate)) == ["first", "second"]
    written = pressing_of(mossgate.library.title("ms-1"), ID)
    assert written is not None
    assert (written.name, written.known, written.was) == ("second", "written", (ID,))
    assert written.price == 1200, "what only it had goes under the row"
    assert check_books([mossgate.shop / "books"]) == []
    take_out(mossgate.shop)
    assert mossgate.texts() == before
    take_again(mossgate.shop)
    assert mossgate.texts() == after
    take_out(mossgate.shop)
    assert mossgate.texts() == before


def test_another_table_after_the_undo_leaves_nothing_to_redo_and_a_change_elsewhere_stays(mossgate):
    mossgate.take(mossgate.table(ROWS))
    after = mossgate.texts()
    take_out(mossgate.shop)
    with edited(mossgate.shop / "books" / "mossgate.toml") as book:
        book.change_title("ms-1", {"first": "1960"})
    take_again(mossgate.shop)
    assert mossgate.texts()["own.toml"] == after["own.toml"]
    assert 'first = "1960"' in mossgate.texts()["mossgate.toml"]
    take_out(mossgate.shop)
    mossgate.take(mossgate.table(ROWS.replace("1969", "1968")))
    assert next_undone(mossgate.shop) is None


def test_the_same_name_is_the_same_and_a_table_that_tells_of_it_makes_it_written(mossgate):
    plan = mossgate.take(mossgate.table(ROWS.replace("second", "bent rim").replace("thin", "usually thin")))
    assert not plan.alike
    assert [one.known for one in mossgate.library.title("ms-1").pressings] == ["written", "written"]


def test_another_dealer_s_pressing_that_looks_like_it_is_asked_and_mine_passes_to_theirs(mossgate, tmp_path):
    other = tmp_path / "theirs.toml"
    written = """[[title.pressing]]
id = "ms-1/2"
name = "second"
period = "[1964..1969]"
expect = { mg-rim = "thin" }
"""
    other.write_text(BOOK.replace("Mossgate", "Fenwether's", 1) + written)
    shutil.copy(mossgate.shop / "books" / "own.toml", tmp_path / "kept")
    theirs, head = other_book(str(other), mossgate.shop / "books")
    found = compare(mossgate.library, theirs, head.id)
    assert [one for one in found.asked if "pressing" in one] == [
        f"pressing 'second' (ms-1/2) of Crooked Weir may be yours: 'bent rim' ({ID})"
    ]
    found = compare(mossgate.library, theirs, head.id, Told({"ms-1/2": ID}))
    merge(found, mossgate.library, head, mossgate.shop, target_of(mossgate.shop / "books", "own"))
    (only,) = mossgate.library.title("ms-1").pressings
    assert (only.name, only.known, only.was) == ("second", "written", (ID,))
    assert check_books([mossgate.shop / "books"]) == []
    take_out(mossgate.shop)
    assert (mossgate.shop / "books" / "own.toml").read_text() == (tmp_path / "kept").read_text()


def test_the_coach_tells_one_that_looks_like_a_stretch_of_the_ladder_until_it_is_said_to_be_two(mossgate):
    path = mossgate.shop / "books" / "mossgate.toml"
    path.write_text(BOOK.replace("[[title]]", LANE + "[[title]]"))
    with edited(mossgate.shop / "books" / "own.toml", "GBP") as book:
        book.change_pressing("ms-1", ID, {"period": "[1961..1964]"})  # its middle is in the stretch before
    found = [one for one in advices(mossgate.library, Stock()) if one.kind == "proposed"]
    assert [one.pressings for one in found] == [(ID, "ms-1/~1964-01-01")]
    said = Stock(two=frozenset([pair_key(*found[0].pressings)]))
    assert "proposed" not in [one.kind for one in advices(mossgate.library, said)]


def test_what_the_dealer_said_of_a_grown_pressing_goes_under_the_written_one() -> None:
    """What one copy showed is its copies' to teach; a word beyond that is the dealer's own."""
    given = {
        "expect": {"a": "demi", "b": {"x": "usually"}, "c": {"y": "rarely"}, "d": {"z": "usually"}},
        "differs": ["d"],
    }
    kept = {"expect": {"c": "y"}}
    assert taken_over(kept, given)["expect"] == {"a": "demi", "c": "y", "d": {"z": "usually"}}
