"""Two pressings of a title made one on its page: what both show, the time of both, the other retired."""

from functools import partial

from benchtui.books.as_table import words_value
from benchtui.books.edit import BookEdit
from benchtui.books.shape import BookTitle, Pressing, Word
from benchtui.desk.book.book_changes import change, home_of_pressing
from benchtui.desk.book.book_grid import marked_pressing, shown_title
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.model.span import hull

FILLED = ("channels", "catalogue", "cuts", "extras", "price", "note")
"""What the pressing that stays takes from the other where it says nothing itself."""


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
    if title is None or pressing is None or _two_here(desk):
        desk.refuse(_two_here(desk))
        return
    others = [one for one in title.pressings if one.id != pressing.id][:9]
    choices = [
        Choice(str(n), one.name, partial(_merge, desk, title, pressing, one))
        for n, one in enumerate(others, 1)
    ]
    about = f"'{pressing.name}' is retired, records keep its name; whatever else it shows goes to the other"
    desk.open.menu = Menu(f"'{pressing.name}' is the same as", tuple(choices), about, "book-merge")


def _merge(desk: Desk, title: BookTitle, other: Pressing, kept: Pressing) -> None:
    path = home_of_pressing(desk, title.id, kept.id)
    if path is None or home_of_pressing(desk, title.id, other.id) != path:
        desk.refuse("the two must be in one book of the shop's own")
        return
    fields = {
        "period": hull([kept.period, other.period]).edtf() or None,
        "share": round(kept.share + other.share, 4),
        "expect": {clue: words_value(words) for clue, words in both(kept, other).items()} or None,
    }

    def put(book: BookEdit) -> None:
        held, given = book.pressing(title.id, kept.id) or {}, book.pressing(title.id, other.id) or {}
        more = {name: given[name] for name in FILLED if name in given and name not in held}
        book.change_pressing(title.id, kept.id, {**fields, **more})
        book.retire_pressing(title.id, other.id, f"the same as {kept.id}")

    change(desk, f"{title.title}: '{other.name}' and '{kept.name}' are one", path, put, title.id)


def both(kept: Pressing, other: Pressing) -> dict[str, dict[str, Word]]:
    """What either shows; an answer that only the other shows is sometimes seen."""
    found = {clue: dict(words) for clue, words in {**other.expect, **kept.expect}.items()}
    for clue, words in other.expect.items():
        if clue in kept.expect:
            more: dict[str, Word] = dict.fromkeys(words, "sometimes")
            found[clue] = more | found[clue]
    return found
