"""Choices in columns: what gives way where a row does not hold all of it."""

from types import SimpleNamespace
from typing import Any, cast

from benchtui.bench.columns import Entry, in_columns
from benchtui.bench.pieces import text_of
from benchtui.desk.book.differences import Difference, from_difference

WORDS, BESIDE = "Kind of inner sleeve: printed with the words of the play", "the book: russet, round corners"


def test_what_may_go_is_cut_before_the_words_beside_it() -> None:
    kept, cut = (
        text_of(in_columns([Entry("5", WORDS, ends=ends)], 82, 4) or []) for ends in ((BESIDE,), (BESIDE, ""))
    )
    assert kept.endswith(BESIDE)
    assert WORDS not in kept
    assert WORDS in cut
    assert cut.endswith("the book: russet, ro…")
    assert text_of(in_columns([Entry("5", WORDS, ends=(BESIDE, ""))], 70, 4) or []) == f"5  {WORDS}"


def test_what_the_book_has_instead_is_cut_where_both_begin_alike() -> None:
    clue: Any = SimpleNamespace(ask="How the cover is made")
    doc: Any = {"text": "How the cover is made: glued edges, varnished front"}
    said = Difference(doc, clue, cast(Any, None), 2, "the book: glued edges, matt front")
    assert said.beside == ("the book: glued edges, matt front", "the book: …matt front", "")
    assert said._replace(other="the book: never").beside == ("the book: never", "")
    assert said._replace(other="").beside == ()
    entry = Entry("1", said.words, ends=said.beside)
    assert text_of(in_columns([entry], 80, 4) or []).endswith("  the book: …matt front")


def test_words_both_begin_with_are_left_out_and_nothing_else() -> None:
    assert from_difference("glued edges, matt", "glued edges, varnished") == "…matt"
    assert from_difference("sewn edges", "glued edges") == "sewn edges"
    assert from_difference("glued", "glued edges") == "glued"
    assert from_difference("glued edges, matt", "glued edges,") == "…matt"
    assert from_difference("same", "same") == "same"


def test_of_a_difference_too_long_for_a_row_the_answer_is_whole() -> None:
    clue: Any = SimpleNamespace(ask="Shop's price: sticker, pencil or stamp")
    doc: Any = {"text": "old francs: hundreds or thousands"}
    said = Difference(doc, clue, cast(Any, None), 2, "").words
    assert said == "Shop's price: sticker, pencil or …: old francs: hundreds or thousands"
