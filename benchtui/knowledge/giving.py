"""A book as it may leave the shop: its tables, without remarks, notes and what only the shop knows."""

from typing import Any

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.text import table_text

OWN = frozenset({"note", "said", "known", "differs"})
"""Fields of a pressing that speak of the shop's own copies, or repeat other books."""


def text_to_give(book: BookEdit, prices: bool = True) -> str:
    """The book's text anew: comments may name people and prices paid, and stay here."""
    pieces = [table_text(("book",), book.head(), array=False)]
    for clue_id in book.ids("clue"):
        pieces += _with_inner(("clue",), book.clue(clue_id) or {}, "answer")
    for clue_id, answers in book.answers_added().items():
        pieces += _with_inner(("add",), {"clue": clue_id, "answer": answers}, "answer")
    for table in book.others():
        pieces.append(table_text(table[0], table[1]))
    for title_id in book.ids("title"):
        title = dict(book.title(title_id) or {})
        title["pressing"] = [
            _given(one, prices) for one in title.get("pressing", []) if not one.get("retired")
        ]
        pieces += _with_inner(("title",), title, "pressing")
    return "\n".join(pieces)


def _with_inner(path: tuple[str, ...], table: dict[str, Any], inner: str) -> list[str]:
    own = {name: value for name, value in table.items() if name != inner}
    return [table_text(path, own), *(table_text((*path, inner), one) for one in table.get(inner, []))]


def _given(pressing: dict[str, Any], prices: bool) -> dict[str, Any]:
    kept = {
        name: value for name, value in pressing.items() if name not in OWN and (prices or name != "price")
    }
    if "expect" in kept:
        kept["expect"] = {
            clue: words if isinstance(words, str) else words_value(words)
            for clue, words in kept["expect"].items()
        }
    return kept
