"""Books that somebody changes beside the bench, and what of them cannot be read."""

from benchtui.books.library import Library
from benchtui.desk.book.table_in import books_changed
from benchtui.desk.core.desk import Desk


def aside_line(library: Library) -> str:
    """What is left out of the books, in one line: the first of it, and how many more; "" for nothing."""
    if not library.aside:
        return ""
    more = len(library.aside) - 1
    rest = f" (and {more} more; benchtui check names all)" if more else ""
    return f"set aside, the rest works: {library.aside[0]}{rest}"


def look_at_books(desk: Desk) -> bool:
    """Reads the books again where a file was changed outside; whether one was."""
    if not desk.library.is_stale():
        return False
    books_changed(desk)
    aside = aside_line(desk.library)
    if aside:
        desk.refuse(aside)
    else:
        desk.say("the books were changed outside the bench and have been read again", "done")
    return True
