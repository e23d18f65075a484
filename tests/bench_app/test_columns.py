"""Choices in columns: what gives way where a row does not hold all of it."""

from types import SimpleNamespace
from typing import Any, cast

from benchtui.bench.columns import Entry, in_columns
from benchtui.bench.pieces import text_of
from benchtui.desk.book.differences import Difference

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


def test_of_a_difference_too_long_for_a_row_the_answer_is_whole() -> None:
    clue: Any = SimpleNamespace(ask="Shop's price: sticker, pencil or stamp")
    doc: Any = {"text": "old francs: hundreds or thousands"}
    said = Difference(doc, clue, cast(Any, None), 2, "").words
    assert said == "Shop's price: sticker, pencil or …: old francs: hundreds or thousands"
