"""Editing a book's file: what changes is what was asked for, and every other byte stays."""

import tomllib
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.books.blocks import split_pieces
from benchtui.books.edit import BookEdit, edited, open_edit
from benchtui.books.library import Library
from benchtui.books.skeleton import skeleton
from benchtui.books.whole import checked

BOOK = '''\
# A book with remarks everywhere.
[book]
name = "Whelkin"   # the company
company = "Whelkin"
currency = "GBP"

# the label, seen first
[[clue]]
id = "wk-label"
ask = "Label paper"
part = "disc"
place = "label"
answer = [
  { id = "sailcloth", text = "sailcloth paper" },  # early
  { id = "linen", text = "linen paper" },
]

[[clue]]
id = "wk-rim"
ask = "Rim"
part = "disc"
place = "label"
[[clue.answer]]
id = "thick"
text = "thick [rim]"   # "quotes" in a remark
[[clue.answer]]
id = "thin"
text = """
thin
[[title]]
"""

[[title]]
id = "wk-1041"         # never change it
artist = "The Lantern Row"
title = "Tide Tables"
first = "1974-09"

# the one that everybody wants
[[title.pressing]]
id = "wk-1041/1"
name = "first"         # as the shop calls it
period = "[1974-09..1977-09]"
cuts = [
  ["1", "1", "usually"], # seen often
  ["2", "1", "sometimes"],
]
expect.wk-label = "sailcloth"  # seen on 4
expect.wk-rim = { thick = "usually", thin = "rarely" }

# between the two

[[title.pressing]]
id = "wk-1041/2"
name = "second"
[title.pressing.expect]
# what is seen
wk-label = { linen = "usually" } # on 2
# the end of the title

[[add]]
title = "other-1"
[[add.pressing]]
id = "other-1/x"
name = "export"
'''


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "whelkin.toml"
    path.write_text(BOOK)
    return path


def of(text: str) -> dict:
    return tomllib.loads(text)


def test_the_pieces_are_the_text_again():
    for text in (BOOK, skeleton("Whelkin"), "", "# only a remark\n", "[book]"):
        pieces = split_pieces(text)
        assert pieces is not None
        assert "".join(piece.text for piece in pieces) == text


def test_a_header_within_a_string_or_a_list_begins_no_piece():
    pieces = split_pieces(BOOK)
    assert [piece.path for piece in pieces or ()].count(("title",)) == 1


def test_what_is_changed_in_a_pressing_leaves_every_remark_and_all_other_lines(path):
    with edited(path) as book:
        fields = {"name": "first, thick rim", "price": "24.00", "share": 3}
        book.change_pressing("wk-1041", "wk-1041/1", fields)
    old, new = BOOK.splitlines(), path.read_text().splitlines()
    assert [line for line in old if line not in new] == ['name = "first"         # as the shop calls it']
    assert 'name = "first, thick rim"         # as the shop calls it' in new
    assert {line for line in new if line not in old} == {
        'name = "first, thick rim"         # as the shop calls it', 'price = "24.00"', "share = 3"}  # fmt: skip
    assert of(path.read_text())["title"][0]["pressing"][0]["price"] == "24.00"


def test_an_expectation_is_changed_in_its_place(path):
    with edited(path) as book:
        one = book.pressing("wk-1041", "wk-1041/2")
        assert one is not None
        one["expect"] = {"wk-label": {"linen": "always", "sailcloth": "never"}, "wk-rim": "thin"}
        book.put_pressing("wk-1041", one)
    text = path.read_text()
    assert "# what is seen\n" in text
    assert "# on 2" in text
    assert of(text)["title"][0]["pressing"][1]["expect"] == one["expect"]


def test_a_word_that_means_the_same_is_left_as_it_is_written(path):
    with edited(path) as book:
        one = book.pressing("wk-1041", "wk-1041/1")
        assert one is not None
        one["expect"]["wk-label"] = {"sailcloth": "always"}
        book.put_pressing("wk-1041", one)
    assert path.read_text() == BOOK


def test_a_new_pressing_stands_below_the_others_of_its_title(path):
    with edited(path) as book:
        book.put_pressing("wk-1041", {"id": "wk-1041/3", "name": "third", "expect": {"wk-rim": "thin"}})
    text = path.read_text()
    assert [one["id"] for one in of(text)["title"][0]["pressing"]] == ["wk-1041/1", "wk-1041/2", "wk-1041/3"]
    assert text.index("# the end of the title") < text.index("wk-1041/3") < text.index("[[add]]")
    assert all(line in text for line in BOOK.splitlines())


def test_a_pressing_of_another_books_title_is_an_addition(path):
    with edited(path) as book:
        book.put_pressing("other-1", {"id": "other-1/y", "name": "club"})
        book.put_pressing("strange-9", {"id": "strange-9/1", "name": "only one"})
        book.put_pressing("other-1", {"id": "other-1/x", "name": "export, red"})
    added = of(path.read_text())["add"]
    assert [(one["title"], [p["name"] for p in one["pressing"]]) for one in added] == [
        ("other-1", ["export, red", "club"]), ("strange-9", ["only one"])]  # fmt: skip


def test_an_answer_joins_those_of_its_clue_however_they_are_written(path):
    with edited(path) as book:
        book.put_answer("wk-label", {"id": "silk", "text": "silk"})
        book.put_answer("wk-rim", {"id": "none", "text": "no rim", "digit": 0, "absent": True})
        book.put_answer("far-clue", {"id": "red", "text": "red"})
        book.put_answer("wk-label", {"id": "linen", "text": "linen, coarse"})
    text, made = path.read_text(), of(path.read_text())
    assert [one["text"] for one in made["clue"][0]["answer"]] == ["sailcloth paper", "linen, coarse", "silk"]
    assert [one["id"] for one in made["clue"][1]["answer"]] == ["thick", "thin", "none"]
    assert made["add"][-1] == {"clue": "far-clue", "answer": [{"id": "red", "text": "red"}]}
    assert "# early" in text
    assert '# "quotes" in a remark' in text


def test_a_retired_pressing_is_weighed_no_more_and_its_name_is_still_in_the_book(path):
    with edited(path) as book:
        book.change_pressing("wk-1041", "wk-1041/2", {"retired": "the same as the first"})
    title = Library.open([path.parent]).title("wk-1041")
    assert title is not None
    assert [one.id for one in title.pressings] == ["wk-1041/1"]
    assert (open_edit(path).pressing("wk-1041", "wk-1041/2") or {})["name"] == "second"


def test_a_card_is_changed_and_its_pressings_stay(path):
    with edited(path) as book:
        book.change_title("wk-1041", {"size_in": 10, "catalogues": ["WK 1041"], "first": None})
        book.put_head({"country": "XV"})
    made = of(path.read_text())
    assert (made["title"][0]["size_in"], len(made["title"][0]["pressing"])) == (10, 2)
    assert "first" not in made["title"][0]
    assert made["book"]["country"] == "XV"
    assert "# never change it" in path.read_text()


def test_nothing_is_written_where_the_book_would_not_be_readable(path):
    with pytest.raises(BenchError, match="word"), edited(path) as book:
        book.put_pressing("wk-1041", {"id": "wk-1041/9", "expect": {"wk-rim": {"thin": "mostly"}}})
    assert path.read_text() == BOOK


def test_nothing_is_written_where_the_work_breaks_off(path):
    def work() -> None:
        with edited(path) as book:
            book.put_pressing("wk-1041", {"id": "wk-1041/9", "name": "x"})
            raise RuntimeError

    with pytest.raises(RuntimeError):
        work()
    assert path.read_text() == BOOK


def test_line_ends_of_another_system_stay(path):
    path.write_bytes(BOOK.replace("\n", "\r\n").encode())
    with edited(path) as book:
        book.change_pressing("wk-1041", "wk-1041/1", {"price": "1.00"})
        book.put_answer("wk-rim", {"id": "none", "text": "none"})
    data = path.read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n") > BOOK.count("\n")


def test_a_book_whose_parts_stand_apart_is_told_so(tmp_path):
    path = tmp_path / "odd.toml"
    path.write_text('title = [{ id = "a", title = "A" }]\n[book]\nname = "x"\n')
    with pytest.raises(BenchError, match="order the bench cannot edit"):
        open_edit(path)


ID = st.sampled_from([f"wk-1041/{n}" for n in range(1, 6)])
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
EXPECT = st.dictionaries(
    st.sampled_from(["wk-label", "wk-rim", "odd clue"]),
    st.one_of(
        st.sampled_from(["linen", "thin"]),
        st.dictionaries(
            st.sampled_from(["a", "b c", "linen"]), st.sampled_from(["usually", "never"]), min_size=1
        ),
    ),
    max_size=3,
)
PRESSING = st.fixed_dictionaries(
    {"id": ID, "name": TEXT.map(lambda text: "x" + text)},
    optional={
        "note": TEXT,
        "share": st.one_of(st.integers(0, 9), st.floats(0, 9, allow_nan=False)),
        "extras": st.lists(TEXT, min_size=1, max_size=2),
        "cuts": st.lists(
            st.tuples(st.just("1"), st.just("2"), st.just("always")).map(list), min_size=1, max_size=1
        ),
        "expect": EXPECT.filter(bool),
    },
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["put", "put", "retire"]), PRESSING), max_size=8))
def test_any_row_of_changes_gives_the_book_that_plain_tables_would_give(steps):
    book, plain = BookEdit(Path("x.toml"), BOOK), of(BOOK)
    for what, table in steps:
        pressings = plain["title"][0].setdefault("pressing", [])
        at = next((at for at, one in enumerate(pressings) if one["id"] == table["id"]), None)
        if what == "put":
            book.put_pressing("wk-1041", deepcopy(table))
            if at is None:
                pressings.append(deepcopy(table))
            else:
                pressings[at] = deepcopy(table)
        elif at is not None:
            book.change_pressing("wk-1041", table["id"], {"retired": "why"})
            pressings[at]["retired"] = "why"
        if not pressings:
            del plain["title"][0]["pressing"]
    assert of(book.text) == plain
    assert "# early" in book.text


def test_every_book_of_the_demo_is_parted_and_an_edit_touches_nothing_else(demo_books):
    for path in demo_books:
        text = path.read_text()
        book = BookEdit(path, text)
        assert book.text == text
        for title_id in book.ids("title"):
            title = book.title(title_id)
            assert title is not None
            for pressing in title.get("pressing", []):
                book.change_pressing(title_id, pressing["id"], {"note": "x"})
                book.change_pressing(title_id, pressing["id"], {"note": pressing.get("note")})
        assert of(book.text) == of(text)
        assert checked(book.text.encode(), path)


def test_a_large_book_is_checked_by_what_was_changed(path, monkeypatch):
    monkeypatch.setattr("benchtui.books.edit.LARGE", 10)
    with edited(path) as book:
        book.change_pressing("wk-1041", "wk-1041/1", {"price": "9.00"})
        book.put_pressing("far-1", {"id": "far-1/1", "name": "one"})
        book.put_answer("wk-label", {"id": "silk", "text": "silk"})
        part = of(book.changed_text())
    assert [one["id"] for one in part["title"]] == ["wk-1041"]
    assert [one["id"] for one in part["title"][0]["pressing"]] == ["wk-1041/1"]
    assert checked(path.read_bytes(), path).titles[0].pressings[0].price == 900
    before = path.read_text()
    with pytest.raises(BenchError, match="word"), edited(path) as book:
        book.put_pressing("wk-1041", {"id": "wk-1041/9", "expect": {"wk-rim": {"thin": "mostly"}}})
    assert path.read_text() == before
