"""A pressing made from a copy follows when an answer of that copy is put right, while it is the only one."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.ladder import is_grown
from benchtui.books.passed_on import given_of, pressing_of, taught_of
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.desk.core.desk import Desk
from benchtui.desk.own_book.growing import is_own
from benchtui.model.record import AnswerDoc, RecordDoc, answer_ids


class Following(NamedTuple):
    """``edit``: what the book is told, None where it stays; ``said``: what to say of it."""

    edit: Callable[[BookEdit], object] | None
    said: str


def following(
    desk: Desk, record: RecordDoc, clue: Clue, old: AnswerDoc | None, new: Sequence[Answer]
) -> Following | None:
    """What becomes of the pressing made from the copy, where ``new`` puts ``old`` right; None: nothing."""
    found = _made_of(desk, record)
    if found is None or old is None or old["how"] != "seen" or old["clue"] != clue.id:
        return None
    title_id, pressing = found
    given, words = given_of(clue), pressing.expect.get(clue.id, {})
    was = [given.get(one, one) for one in answer_ids(old)]
    if not words or set(words) != set(was) or {one.id for one in new} == set(was):
        return None
    if _others(desk, record, pressing):
        kept = " or ".join(one.text for one in clue.answers if one.id in words)
        return Following(None, f"'{pressing.name}' stays at {kept} in the book: other copies speak for it")
    word = next(iter(words.values()))

    def edit(book: BookEdit) -> None:
        table = book.pressing(title_id, pressing.id) or {}
        value = words_value({one.id: word for one in new})
        book.change_pressing(title_id, pressing.id, {"expect": {**table.get("expect", {}), clue.id: value}})

    return Following(edit, f"'{pressing.name}', made from this copy, follows in the shop's book")


def _made_of(desk: Desk, record: RecordDoc) -> tuple[str, Pressing] | None:
    """The title's id, and the pressing of the shop's own book that grew out of copies, as the dealer named
    this one.
    """
    named, ref = record["pressing"], record["title"]
    if named["how"] != "hand" or named["id"] is None or ref is None:
        return None
    title = desk.library.title(ref["id"])
    pressing = pressing_of(title, named["id"]) if title is not None else None
    if title is None or pressing is None or not is_grown(pressing):
        return None
    return (title.id, pressing) if is_own(desk, title.id, pressing.id) else None


def _others(desk: Desk, record: RecordDoc, pressing: Pressing) -> bool:
    """Whether another copy was named so too."""
    here = [
        one for one in desk.work.records if one["pressing"]["id"] == pressing.id and one["id"] != record["id"]
    ]
    desk.weighings.forget_counts()
    return bool(here) or taught_of(desk.weighings.counts(), pressing).get("n", 0) > 1
