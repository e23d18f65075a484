"""A book changed under a half-done parcel: answers keep their meaning, or say that they lost it."""

import re
from collections.abc import Callable

import pytest
from bench_hands import Hands, Sit
from seen import page_rows, pane_rows

from benchtui.bench.pieces import FANCY, text_of

Change = Callable[[Callable[[str], str]], Hands]
TITLE = 'id = "tw-breakwater"\ncomplete = "'


@pytest.fixture
def changed(breakwater: Hands, sit: Sit) -> Change:
    """The disc's label answered; the bench left; the book edited by somebody; the bench opened again."""
    breakwater.take("disc")
    breakwater.ask("label paper").answer("reed")
    assert breakwater.answers("tw-label")

    def again(edit: Callable[[str], str]) -> Hands:
        shop = breakwater.desk.shop.path
        breakwater.leave()
        book = shop / "books" / "tarrowick.toml"
        before = book.read_text(encoding="utf-8")
        after = edit(before)
        assert after != before
        book.write_text(after, encoding="utf-8")
        return sit(shop)

    return again


def _without(text: str, kind: str, ident: str) -> str:
    """The book without that block, up to the next one."""
    pattern = rf'\[\[{re.escape(kind)}\]\]\nid = "{re.escape(ident)}"\n(?:(?!\[\[).*\n)*'
    return re.sub(pattern, "", text, count=1)


def _pane(hands: Hands) -> str:
    return " ".join(text_of(pane_rows(hands.desk, 60, 40, FANCY)).split())


def _why(hands: Hands) -> str:
    hands.do("why")
    return " ".join(text_of(page_rows(hands.desk, 110, 200, FANCY)).split())


def test_an_answer_keeps_its_meaning_when_the_digits_move(changed: Change) -> None:
    new = '[[clue.answer]]\nid = "bronze"\ntext = "bronze print on black"\n\n[[clue.answer]]\nid = "rag"'
    hands = changed(lambda text: text.replace('[[clue.answer]]\nid = "rag"', new, 1))
    clue = hands.desk.library.clue("tw-label")
    assert clue is not None
    assert clue.answer("reed").digit == 3  # type: ignore[union-attr]
    assert hands.answers("tw-label")[0]["answer"] == "reed"
    assert hands.desk.weighing().lost == ()  # type: ignore[union-attr]
    hands.ask("label paper")
    shown = text_of(pane_rows(hands.desk, 60, 40, FANCY)).splitlines()
    (ticked,) = [line for line in shown if FANCY.done in line]
    assert ticked.split()[0] == "3", "the tick stands at the answer that was given"


def test_an_answer_the_book_no_longer_has_is_said_to_be_lost_and_weighs_nothing(changed: Change) -> None:
    hands = changed(lambda text: _without(text, "clue.answer", "reed").replace('"reed"', '"rag"'))
    weighing = hands.desk.weighing()
    assert weighing is not None
    assert [one["clue"] for one in weighing.lost] == ["tw-label"]
    assert "no longer in the book, not counted: Label paper: reed paper, brown print" in _pane(hands)
    assert "no longer in the book" in _why(hands)
    assert hands.answers("tw-label"), "the record keeps what was seen, in words"


def test_a_lost_answer_is_answered_again_by_one_digit(changed: Change) -> None:
    hands = changed(lambda text: _without(text, "clue.answer", "reed").replace('"reed"', '"rag"'))
    hands.ask("label paper").answer("rag")
    assert [one["answer"] for one in hands.answers("tw-label")] == ["rag"]
    assert hands.desk.weighing().lost == ()  # type: ignore[union-attr]


def test_where_the_whole_clue_is_gone_its_question_says_so_and_the_bench_goes_on(changed: Change) -> None:
    def rename(text: str) -> str:
        return text.replace('id = "tw-label"', 'id = "tw-print"', 1)

    hands = changed(rename)
    assert [one["clue"] for one in hands.desk.weighing().lost] == ["tw-label"]  # type: ignore[union-attr]
    hands.desk.asking.asked = ("label A", "tw-label")  # where the cursor may have been left
    assert "this question is no longer in the book" in _pane(hands)
    hands.do("answer-1")
    assert hands.refused
    hands.do("next-clue")
    assert hands.desk.asking.asked != ("label A", "tw-label")
    hands.grade("VG")
    assert hands.part["grades"]


def test_an_answer_whose_words_changed_says_what_was_meant(changed: Change) -> None:
    hands = changed(lambda text: text.replace("reed paper, brown print", "plum, brown print"))
    assert hands.desk.weighing().lost == ()  # type: ignore[union-attr]
    said = "answered 'reed paper, brown print', but the book now says 'plum, brown print'"
    assert said in _why(hands)
    assert "the book has changed" in _pane(hands)


def test_a_title_the_books_have_lost_stands_on_the_record_s_own_word(breakwater: Hands, sit: Sit) -> None:
    shop = breakwater.desk.shop.path
    assert breakwater.record["title"] is not None
    breakwater.leave()
    for book in (shop / "books").glob("tarrowick*.toml"):
        book.unlink()
    again = sit(shop)
    assert again.record["title"] is not None
    assert again.record["title"]["title"] == "Bafflers on the Breakwater"
    assert "no book has a pressing of this title" in _pane(again)
    again.take("disc")
    again.grade("VG", "+")
    assert again.part["grades"][-1]["shade"] == "+"


def test_a_book_that_can_no_longer_be_read_is_said_in_one_line_and_the_rest_works(
    breakwater: Hands, sit: Sit
) -> None:
    shop = breakwater.desk.shop.path
    breakwater.leave()
    (shop / "books" / "tarrowick.toml").write_text("[book\n", encoding="utf-8")
    again = sit(shop)
    assert "tarrowick.toml:1" in again.desk.open.message
    assert len(again.desk.open.message.splitlines()) == 1
    assert any(clue.book == "fandrigal" for clue in again.desk.library.clues())


def test_of_a_book_with_few_of_the_pressings_the_bench_asks_on_before_it_is_sure(changed: Change) -> None:
    few = changed(lambda text: text.replace(f"{TITLE}all", f"{TITLE}some"))
    few.ask("rim").answer("spoken")
    few.ask("the label says").answer("nothing")
    weighing = few.desk.weighing()
    assert weighing is not None
    assert weighing.held == "new"
    assert "it may be a pressing nobody has described" in _pane(few), "how likely stands in the row above"
    assert few.desk.asking.asked is not None
    assert "that it is a pressing nobody has described" in _why(few)
