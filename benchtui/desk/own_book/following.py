"""A pressing made from a copy follows when an answer of that copy is put right, while it is the only one.

What it is expected to show follows, and the name and the period that the bench gave it.
"""

from calendar import monthrange
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.ladder import is_grown
from benchtui.books.passed_on import given_of, pressing_of, taught_of
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.desk.core.desk import Desk
from benchtui.desk.own_book.growing import is_own
from benchtui.evidence import Weighing
from benchtui.model.record import AnswerDoc, RecordDoc, answer_ids
from benchtui.model.span import UNKNOWN, Span
from benchtui.model.title import first_issued


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
    named = {
        **_renamed(desk, title_id, pressing, clue, was, new),
        **_redated(desk, record, pressing, old, new),
    }

    def edit(book: BookEdit) -> None:
        table = book.pressing(title_id, pressing.id) or {}
        value = words_value({one.id: word for one in new})
        expect = {**table.get("expect", {}), clue.id: value}
        book.change_pressing(title_id, pressing.id, {"expect": expect, **named})

    now = f" as '{named['name']}'" if "name" in named else ""
    return Following(edit, f"'{pressing.name}', made from this copy, follows in the shop's book{now}")


def _renamed(
    desk: Desk, title_id: str, pressing: Pressing, clue: Clue, was: Sequence[str], new: Sequence[Answer]
) -> dict[str, Any]:
    """The name, where it is made of answers and the one put right is among them."""
    name = pressing.name
    for text in (one.text for one in clue.answers if one.id in was):
        name = with_answer(name, text, " or ".join(one.text for one in new))
    title = desk.library.title(title_id)
    taken = {one.name.casefold() for one in title.pressings} if title is not None else set()
    return {} if name == pressing.name or name.casefold() in taken else {"name": name}


def with_answer(name: str, was: str, now: str) -> str:
    """A name made of answers with commas between, as some have in them, with another in place of one."""
    return f", {name}, ".replace(f", {was}, ", f", {now}, ")[2:-2]


def _redated(
    desk: Desk, record: RecordDoc, pressing: Pressing, old: AnswerDoc, new: Sequence[Answer]
) -> dict[str, Any]:
    """The period, where it is still what the copy showed rather than the dealer's."""
    if pressing.period != period_shown(desk, record, desk.weighings.of(record, None)):
        return {}
    right: AnswerDoc = {**old, "answer": new[0].id, "also": [one.id for one in new[1:]]}
    copy: RecordDoc = {**record, "answers": [right if one is old else one for one in record["answers"]]}
    period = period_shown(desk, copy, desk.weighings.of(copy, None))
    return {"period": period.edtf() or None} if period != pressing.period else {}


def period_shown(desk: Desk, record: RecordDoc, weighing: Weighing | None) -> Span:
    """When the disc was likely made, once the title was out."""
    found = weighing.disc_span if weighing else None
    period: Span = (found.likely or found.certain or UNKNOWN) if found else UNKNOWN
    return _of_months(period.meet(Span(_first(desk, record).earliest, None)) or period)


def _of_months(span: Span) -> Span:
    """In whole months: a likely date is no better known than that."""
    low, high = span.earliest, span.latest
    last = high and high.replace(day=monthrange(high.year, high.month)[1])
    return Span(low and low.replace(day=1), last)


def _first(desk: Desk, record: RecordDoc) -> Span:
    """When its title was first issued, as the books or, where none has it yet, the record itself say."""
    ref = record["title"]
    title = desk.library.title(ref["id"]) if ref is not None else None
    return title.first if title is not None else first_issued(ref)


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
