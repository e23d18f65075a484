"""Books that somebody changes beside the bench, and what of them cannot be read."""

from collections.abc import Sequence

from benchtui.desk.core.desk import Desk
from benchtui.desk.line.lines import refresh
from benchtui.desk.own_book.growing import books_changed


def aside_line(aside: Sequence[str]) -> str:
    """What is left out of the shop's files, in one line: the first, and how many more; "" for nothing."""
    if not aside:
        return ""
    more = len(aside) - 1
    rest = f" (and {more} more; benchtui check names all)" if more else ""
    return f"set aside, the rest works: {aside[0]}{rest}"


def look_at_books(desk: Desk) -> bool:
    """Reads the books again where a file was changed outside; whether one was."""
    if not desk.library.is_stale():
        return False
    books_changed(desk)
    if desk.open.line is not None:  # a title that is gone is not offered any more
        refresh(desk)
    aside = aside_line(desk.library.aside)
    if aside:
        desk.refuse(aside)
    else:
        desk.say("the books were changed outside the bench and have been read again", "done")
    return True
