"""Each form of clue declared once: how it is asked and answered, typed and shown at the bench."""

from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from benchtui.books.shape import Answer, Clue
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.learn import learn
from benchtui.desk.core.shapes import RUNOUT, Asked

Answering = Callable[[Desk, Asked, Clue | None, str], None]
"""What a digit does at a question. No clue: a runout is asked of a title whose book has none for it."""


class Form(NamedTuple):
    """``hint`` says in a few words how it is answered, ``help`` in a sentence; "" where a digit does it."""

    id: str
    answer: Answering
    hint: str = ""
    help: str = ""
    any_digit: bool = False
    """Whether any digit begins the answer; only answers of the digit 0 are shown with theirs then."""
    written: bool = False
    """Whether it is answered by what is written down of a runout."""
    chosen: bool = False
    """Whether each answer has its digit and wording, so that the shop's book may add one."""
    copied: bool = True
    """Whether another copy's answer may be repeated, to be confirmed: what is a copy's own is not."""
    asked_of: tuple[str, ...] = ()
    """Kinds of part it is asked of though it gives no expectation."""
    either: bool = False
    """Whether two of its answers may be typed as one, where they could not be told apart."""
    stands_for: Answer | None = None
    """The answer where none of the book's stands: what was picked bounds by itself."""


FORMS: dict[str, Form] = {}


def form(
    id: str,  # noqa: A002  (what books call it)
    *,
    hint: str = "",
    help: str = "",  # noqa: A002
    any_digit: bool = False,
    written: bool = False,
    chosen: bool = False,
    copied: bool = True,
    asked_of: tuple[str, ...] = (),
    either: bool = False,
    stands_for: Answer | None = None,
) -> Callable[[Answering], Answering]:
    """Declare the function below as what a digit does at such a clue; see ``Form`` for each word."""

    def keep(answer: Answering) -> Answering:
        FORMS[id] = Form(
            id, answer, hint, help, any_digit, written, chosen, copied, asked_of, either, stands_for
        )
        return answer

    return keep


@cache
def _learn() -> None:
    """Import every file of forms, when the first of them is wanted."""
    learn("benchtui.desk.forms")


def form_of(clue: Clue) -> Form:
    """The form of a clue of a book."""
    _learn()
    return FORMS[clue.form]


def form_asked(asked: Asked, clue: Clue | None) -> Form | None:
    """The form of the question shown; None where the book has lost it."""
    _learn()
    if asked[1] == RUNOUT:
        return FORMS["cut"]
    return FORMS[clue.form] if clue is not None else None


def with_digits(clue: Clue) -> tuple[Answer, ...]:
    """The answers that a digit gives as they stand; behind them, at the first free digit, the one that a line
    is typed for.
    """
    asked = form_of(clue)
    given = tuple(answer for answer in clue.answers if answer.digit == 0 or not asked.any_digit)
    if asked.any_digit or asked.stands_for is None:
        return given
    free = next(n for n in range(1, 11) if n not in {answer.digit for answer in given})
    return (*given, asked.stands_for._replace(digit=free))
