"""A book as it may leave the shop: its tables, without remarks, notes and what only the shop knows."""

from typing import Any

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.passed_on import ends_of, expect_now
from benchtui.books.shape import Word
from benchtui.books.text import table_text

OWN = frozenset({"note", "said", "known", "differs"})
"""Fields of a pressing that speak of the shop's own copies, or repeat other books."""


def text_to_give(book: BookEdit, prices: bool = True) -> str:
    """The book's text anew: comments may name people and prices paid, and stay here."""
    pieces = [table_text(("book",), book.head(), array=False)]
    clues = {clue_id: book.clue(clue_id) or {} for clue_id in book.ids("clue")}
    added = book.answers_added()
    every = {**added, **{one: its.get("answer", []) for one, its in clues.items()}}
    given = {clue_id: passed for clue_id, answers in every.items() if (passed := _passed(answers))}
    for clue in clues.values():
        told = {name: value for name, value in clue.items() if name != "slips"}
        pieces += _with_inner(("clue",), {**told, "answer": _answers(clue.get("answer", []))}, "answer")
    for clue_id, answers in added.items():
        if kept := _answers(answers):
            pieces += _with_inner(("add",), {"clue": clue_id, "answer": kept}, "answer")
    for table in book.others():
        pieces.append(table_text(table[0], table[1]))
    for title_id in book.ids("title"):
        title = dict(book.title(title_id) or {})
        title["pressing"] = [
            _given(one, prices, given) for one in title.get("pressing", []) if not one.get("retired")
        ]
        pieces += _with_inner(("title",), title, "pressing")
    return "\n".join(pieces)


def _with_inner(path: tuple[str, ...], table: dict[str, Any], inner: str) -> list[str]:
    own = {name: value for name, value in table.items() if name != inner}
    return [table_text(path, own), *(table_text((*path, inner), one) for one in table.get(inner, []))]


def _passed(answers: list[dict[str, Any]]) -> dict[str, str]:
    """Which of them passed to which answer."""
    to = {str(one["id"]): str(one["passes_to"]) for one in answers if one.get("passes_to")}
    return ends_of(to, set(to.values()) - to.keys())


def _answers(answers: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Those that pass to no other, without the slips they were called by."""
    return [
        {name: value for name, value in one.items() if name != "slips"}
        for one in answers
        if not one.get("passes_to")
    ]


def _given(pressing: dict[str, Any], prices: bool, given: dict[str, dict[str, str]]) -> dict[str, Any]:
    kept = {
        name: value for name, value in pressing.items() if name not in OWN and (prices or name != "price")
    }
    if "expect" in kept:
        said: dict[str, dict[str, Word]] = {
            clue: {words: "always"} if isinstance(words, str) else words
            for clue, words in kept["expect"].items()
        }
        kept["expect"] = {clue: words_value(words) for clue, words in expect_now(said, given).items()}
    return kept
