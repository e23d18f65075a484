"""One edit of a book taken back and done again, whatever else was written since."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.books.patch import Patch, patch_from, patch_of, text_at, turn

HEAD = '[book]\nname = "Mine"\n'
CLUE = '\n[[clue]]\nid = "c"\nask = "a?"\npart = "disc"\nplace = "label"\n'
ANSWER = 'answer = [\n  { id = "x", text = "x" },\n  { id = "y", text = "y" },\n]\n'


@given(st.text("ab\n", max_size=30), st.text("ab\n", max_size=30))
def test_a_patch_says_what_changed_and_nothing_else(old: str, new: str) -> None:
    patch = patch_of(old, new)
    assert old[: patch.at] + patch.now + old[patch.at + len(patch.was) :] == new
    assert patch_from(patch.doc()) == patch


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "own.toml"
    path.write_text(HEAD, "utf-8")
    return path


def test_back_and_forth_give_every_byte_again(book: Path) -> None:
    whole = HEAD + CLUE + ANSWER
    patch = patch_of(HEAD, whole)
    book.write_text(whole, "utf-8")
    assert turn(book, patch, back=True)
    assert book.read_text("utf-8") == HEAD
    assert turn(book, patch, back=False)
    assert book.read_text("utf-8") == whole


def test_what_was_written_above_and_below_since_stays(book: Path) -> None:
    whole = HEAD + CLUE + ANSWER
    patch = patch_of(HEAD, whole)
    book.write_text("# above\n" + whole + "# below\n", "utf-8")
    assert turn(book, patch, back=True)
    assert book.read_text("utf-8") == "# above\n" + HEAD + "# below\n"


def test_where_the_very_place_has_changed_nothing_is_done(book: Path) -> None:
    whole = HEAD + CLUE + ANSWER
    patch = patch_of(HEAD, whole)
    book.write_text(whole.replace('"a?"', '"b?"'), "utf-8")
    assert not turn(book, patch, back=True)
    assert '"b?"' in book.read_text("utf-8")
    assert not turn(book, patch, back=False), "it stands there still: not a second time"


def test_a_book_that_was_made_by_the_edit_goes_with_it_unless_more_stands_in_it(tmp_path: Path) -> None:
    path, patch = tmp_path / "own.toml", patch_of(None, HEAD)
    path.write_text(HEAD, "utf-8")
    assert turn(path, patch, back=True)
    assert text_at(path) is None
    assert turn(path, patch, back=False)
    path.write_text(HEAD + "# mine\n", "utf-8")
    assert not turn(path, patch, back=True)
    assert text_at(path) == HEAD + "# mine\n"


@pytest.mark.parametrize("doc", [None, [], "x", [1, 2], {"at": 1}])
def test_what_is_no_patch_is_none(doc: object) -> None:
    assert patch_from(doc) is None


def test_no_place_is_guessed_where_two_would_do(book: Path) -> None:
    patch = Patch(900, "", "# r\n", "", "")
    book.write_text(HEAD + "# r\n# r\n", "utf-8")
    assert not turn(book, patch, back=True)
