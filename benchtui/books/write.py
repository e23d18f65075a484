"""Adds to the shop's own book what was just seen on the bench: a pressing, an answer to a clue.

The new text is read back before it replaces the old, which is never left half written.
"""

from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.books.as_table import answer_table, pressing_table, title_table
from benchtui.books.edit import edited
from benchtui.books.shape import Answer, Clue, Pressing
from benchtui.books.text import replace_file
from benchtui.model.record import TitleRef


def add_pressing(
    path: Path, title_id: str, pressing: Pressing, *, title: TitleRef | None = None, currency: str = ""
) -> None:
    """Adds a pressing of a title to the book at ``path``, which is made where there is none.

    ``title``: of a title that no book has yet; it is written down with the pressing. ``currency``: of the
    price. BenchError where the book cannot be written, is in another currency, or has the id already.
    """
    with edited(path, currency) as book:
        has = book.head().get("currency", "")
        if pressing.price is not None and has != currency:
            what = f"prices in this book are in {has or 'no currency'}, not in {currency or 'none'}"
            raise BenchError(what, path, f'write currency = "{currency}" under [book], or begin another book')
        if book.has_pressing(pressing.id):
            raise BenchError(f"has a pressing {pressing.id!r} already", path, "use another id")
        if title is not None and book.title(title_id) is None:
            book.put_title(title_table(title))
        book.put_pressing(title_id, pressing_table(pressing, has))


def add_answer(path: Path, clue: Clue, answer: Answer) -> Answer:
    """Adds an answer to a clue (of whatever book) to the book at ``path``; returns it with its digit.

    The digit is the next one free, so that no other answer's digit changes. BenchError where the clue has
    the id already, has no digit left, or the book cannot be written.
    """
    if clue.answer(answer.id) is not None:
        raise BenchError(f"the clue {clue.id} has an answer {answer.id!r} already", path, "use another id")
    taken = {other.digit for other in clue.answers}
    digit = next((number for number in range(1, 10) if number not in taken), None)
    if digit is None and clue.form == "choice":
        right = "make a clue of its own for what is new"
        raise BenchError(f"the clue {clue.id} has no digit left from 1 to 9", path, right)
    made = answer if digit is None else answer._replace(digit=digit)
    with edited(path) as book:
        book.put_answer(clue.id, answer_table(made))
    return made


def put_back(path: Path, data: bytes | None) -> None:
    """The book as it was: these bytes, or no file at all (None). BenchError where that cannot be written."""
    if data is not None:
        replace_file(path, data.decode("utf-8"))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise BenchError(f"cannot be removed: {error.strerror or error}", path) from None
