"""How much of a title its book has, which pressings grew here, and which other titles are near to it."""

from pathlib import Path

from benchtui.books.as_table import pressing_table
from benchtui.books.check import check_books
from benchtui.books.edit import edited
from benchtui.books.from_bench import OWN_BOOK
from benchtui.books.library import Library
from benchtui.books.shape import Pressing
from benchtui.model.span import parse_edtf

COMPANY = """
[book]
name = "Whelkin"
company = "Whelkin"
[[clue]]
id = "wk-label"
ask = "Label"
part = "disc"
place = "label"
answer = [{ id = "red", text = "red" }, { id = "blue", text = "blue" }]
"""
TITLE = """
[[title]]
id = "{id}"
title = "{id}"
first = "{first}"
{more}
"""
PRESSING = '[[title.pressing]]\nid = "{id}/1"\nexpect = {{ wk-label = "red" }}\n'


def shelf(folder: Path, *titles: tuple[str, str, str], pressings: bool = True) -> Library:
    text = COMPANY
    for ident, first, more in titles:
        text += TITLE.format(id=ident, first=first, more=more) + PRESSING.format(id=ident) * pressings
    folder.mkdir(exist_ok=True)
    (folder / "whelkin.toml").write_text(text, encoding="utf-8")
    return Library.open([folder])


def test_a_title_says_how_much_of_it_is_known_or_nothing(tmp_path: Path) -> None:
    library = shelf(tmp_path, ("a", "1960", 'complete = "most"'), ("b", "1961", ""))
    found = [library.title(ident) for ident in "ab"]
    assert [title.complete for title in found if title] == ["most", ""]


def test_another_word_for_it_is_told_with_the_words_there_are(tmp_path: Path) -> None:
    shelf(tmp_path, ("a", "1960", 'complete = "all"'))
    book = tmp_path / "whelkin.toml"
    book.write_text(book.read_text(encoding="utf-8").replace('"all"', '"none"'), encoding="utf-8")
    (fault,) = check_books([tmp_path])
    assert "complete = 'none' is not known" in str(fault)


def test_a_pressing_grown_here_keeps_that_and_what_sets_it_apart(tmp_path: Path) -> None:
    shelf(tmp_path, ("a", "1960", ""))
    grown = Pressing("a/seen", "seen", parse_edtf("1961"), known="grown", differs=("wk-label",))
    with edited(tmp_path / OWN_BOOK) as book:
        book.put_pressing("a", pressing_table(grown, ""))
    title = Library.open([tmp_path]).title("a")
    assert title is not None
    assert [(one.id, one.known, one.differs) for one in title.pressings] == [
        ("a/1", "written", ()),
        ("a/seen", "grown", ("wk-label",)),
    ]


def test_a_pressing_of_an_older_own_book_is_known_to_have_grown_here(tmp_path: Path) -> None:
    shelf(tmp_path, ("a", "1960", ""))
    old = '[[add]]\ntitle = "a"\n[[add.pressing]]\nid = "a/2"\nsource = "seen on the bench"\n'
    (tmp_path / OWN_BOOK).write_text(old, encoding="utf-8")
    title = Library.open([tmp_path]).title("a")
    assert title is not None
    assert title.pressings[-1].known == "grown"


def test_what_sets_a_pressing_apart_must_be_a_clue(tmp_path: Path) -> None:
    shelf(tmp_path, ("a", "1960", ""))
    book = tmp_path / "whelkin.toml"
    book.write_text(book.read_text(encoding="utf-8") + 'differs = ["wk-lable"]\n', encoding="utf-8")
    (fault,) = check_books([tmp_path])
    assert "no book has a clue 'wk-lable'" in str(fault)
    assert "wk-label" in str(fault)


def test_the_company_s_other_titles_stand_nearest_first(tmp_path: Path) -> None:
    library = shelf(
        tmp_path, ("a", "1960", ""), ("b", "1970", ""), ("c", "1962-03", ""), ("d", "1950", 'company = "Ot"')
    )
    title = library.title("a")
    assert title is not None
    assert [one.id for one in library.peers(title)] == ["c", "b"]


def test_titles_without_pressings_and_of_no_company_are_near_to_none(tmp_path: Path) -> None:
    library = shelf(tmp_path, ("a", "1960", ""), ("b", "1961", ""), pressings=False)
    title = library.title("a")
    assert title is not None
    assert library.peers(title) == ()
