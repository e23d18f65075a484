"""Two pressings of a title made one on its page: what both show, the time of both, the other retired."""

from functools import partial
from typing import Any

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit, open_edit
from benchtui.books.ladder import is_grown
from benchtui.books.shape import BookTitle, Pressing
from benchtui.desk.book.book_changes import SplitDoc, change, home_of_pressing, split_of
from benchtui.desk.book.book_grid import marked_pressing, shown_title
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.knowledge.one_pressing import both_show, passing, taken_over
from benchtui.model.span import hull


def _two_here(desk: Desk) -> str:
    """In short why the marked pressing cannot be made one with another; "" where it can."""
    title = shown_title(desk)
    if title is None or marked_pressing(desk) is None:
        return "mark a pressing first"
    return "" if len(title.pressings) > 1 else "this title has one pressing only"


@command(
    "book-merge", "page", "make the marked pressing one with another of the title", short="merge pressings",
    also="join same duplicate unite", needs=[_two_here], changes="nothing", on=("book-title",), order=1026,
)  # fmt: skip
def merge(desk: Desk) -> None:
    """Ask with which; the marked one goes into that."""
    title, pressing = shown_title(desk), marked_pressing(desk)
    if title is None or pressing is None:
        return
    others = [one for one in title.pressings if one.id != pressing.id][:9]
    choices = [
        Choice(str(n), one.name, partial(_merge, desk, title, pressing, one))
        for n, one in enumerate(others, 1)
    ]
    about = f"'{pressing.name}' is retired; its copies and what it shows go to the other"
    desk.open.menu = Menu(f"'{pressing.name}' is the same as", tuple(choices), about, "book-merge")


def _merge(desk: Desk, title: BookTitle, other: Pressing, kept: Pressing) -> None:
    make_one(desk, title, other, kept, f"{title.title}: '{other.name}' and '{kept.name}' are one")


def make_one(desk: Desk, title: BookTitle, given: Pressing, kept: Pressing, say: str) -> bool:
    """Retire the given pressing, so that it passes to the kept one; False where a book is not the shop's own.

    Of two written ones the kept one shows what either does; one grown here gives what the other lacks, and
    never takes a written one's place. Halves of a split are what was split.
    """
    if is_grown(kept) and not is_grown(given):
        given, kept = kept, given
    path, there = (home_of_pressing(desk, title.id, one.id) for one in (kept, given))
    if there is None or (path is None and not is_grown(given)):
        desk.refuse("that pressing is in a book that is not the shop's own")
        return False
    giver = open_edit(there)
    held, money = giver.pressing(title.id, given.id) or {}, giver.head().get("currency", "")
    split = _split_of(desk, kept, given)

    def keep(book: BookEdit) -> None:
        table = book.pressing(title.id, kept.id) or {}
        fields = taken_over(table, held, book.head().get("currency", "") == money)
        if split is not None or not is_grown(given):
            fields = _of_both(kept, given) | {k: v for k, v in fields.items() if k != "expect"}
        if split is not None:
            fields |= _as_before(split, kept, fields["expect"] or {})
        book.change_pressing(title.id, kept.id, fields)

    def give(book: BookEdit) -> None:
        book.change_pressing(title.id, given.id, passing(kept.id, kept.name))

    say += ", as before the split" if split is not None else ""
    change(desk, say, there, give, title.id, (path, keep) if path is not None else None)
    return True


def _split_of(desk: Desk, kept: Pressing, given: Pressing) -> SplitDoc | None:
    """The split that made the two, where both still show of its question what that left them with."""
    split = split_of(desk, {kept.id, given.id})
    if split is None:
        return None
    stands = all(one.expect.get(split["clue"], {}) == split["left"][one.id] for one in (kept, given))
    return split if stands else None


def _as_before(split: SplitDoc, kept: Pressing, expect: dict[str, Any]) -> dict[str, Any]:
    """What the whole pressing showed of the question that split it: nobody has seen both halves' answers on
    one.
    """
    rest = {clue: words for clue, words in expect.items() if clue != split["clue"]}
    was = {split["clue"]: words_value(split["was"])} if split["was"] else {}
    differs = [one for one in kept.differs if one != split["clue"] or split["differed"]]
    return {"expect": {**rest, **was} or None, "differs": differs or None}


def _of_both(kept: Pressing, given: Pressing) -> dict[str, Any]:
    """Time, share and what is expected of two written pressings that are one."""
    return {
        "period": hull([kept.period, given.period]).edtf() or None,
        "share": round(kept.share + given.share, 4),
        "expect": both_show(kept, given) or None,
    }
