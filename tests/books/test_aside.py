"""One bad row, clue or book keeps nothing else from being used; a line says where it is."""

import os

import pytest

from benchtui.books.library import Library
from benchtui.books.whole import checked, usable


@pytest.fixture
def path(books):
    return books / "tarrowick.toml"


def spoilt(path, before, after):
    text = path.read_text()
    assert before in text
    path.write_text(text.replace(before, after, 1))


def test_a_bad_pressing_goes_alone(books, path):
    spoilt(path, 'price = "24.00"', 'price = "lots"')
    library = Library.open([books])
    title = library.title("t-tide")
    whole = [
        one
        for one in checked(path.read_bytes().replace(b'"lots"', b'"1.00"'), path).titles
        if one.id == "t-tide"
    ]
    assert title is not None
    assert len(title.pressings) == len(whole[0].pressings) - 1
    assert [line for line in library.aside if "price" in line]
    assert library.clue("tw-label") is not None


def test_a_bad_answer_goes_alone(books, path):
    spoilt(path, 'hardness = "firm"', 'hardness = "iron"')
    clue = Library.open([books]).clue("tw-label")
    assert clue is not None
    assert [answer.id for answer in clue.answers] == ["silver", "unsure"]


def test_a_bad_clue_goes_alone(books, path):
    spoilt(path, 'part = "box"', 'part = "boxx"')
    library = Library.open([books])
    assert library.clue("tw-box") is None
    assert library.clue("tw-label") is not None
    assert library.title("t-tide") is not None


def test_a_book_that_is_no_toml_goes_whole_and_the_others_stay(books, path):
    (books / "broken.toml").write_text("[book\n")
    library = Library.open([books])
    assert [head.id for head in library.books()] == ["universal", "tarrowick"]
    assert len(library.aside) == 1
    assert "broken.toml:1: is not TOML" in library.aside[0]


def test_a_word_where_a_table_should_be_is_set_aside(books, path):
    path.write_text(path.read_text() + "\n[numbering_]\nx = 1\n")
    library = Library.open([books])
    assert "numbering" in library.aside[0]
    assert library.title("t-tide") is not None


def test_what_is_usable_of_a_sound_book_is_all_of_it(path):
    book, aside = usable(path.read_bytes(), path)
    assert aside == []
    assert book == checked(path.read_bytes(), path)


def test_a_file_changed_outside_is_noticed(books, path):
    library = Library.open([books])
    assert not library.is_stale()
    assert not library.joined({}).is_stale()
    spoilt(path, 'name = "Tarrowick Listening"', 'name = "Tarrowick"')
    assert library.is_stale()
    again = library.reopened()
    assert not again.is_stale()
    (books / "new.toml").write_text('[book]\nname = "new"\n')
    assert again.is_stale()
    os.remove(books / "new.toml")
    assert not again.is_stale()
