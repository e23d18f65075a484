"""A part dated by the dealer's own word: any digit begins the line that takes it, Enter opens it empty."""

from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.forms import form
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.hand import hand
from benchtui.desk.look.clues import write_answer
from benchtui.desk.look.dating import keep_date, open_dating, standing

BY_YOU = Answer("dated", "dated by you", 1)
"""The answer by which older benches kept what was typed."""


@form(
    "dated",
    hint="a digit begins the date, Enter opens its line: before 1963; 0: none of yours",
    help="Type when it was made, as you know it: 1958..1960, or about 1967 soft, then why.",
    any_digit=True,
    copied=False,
    stands_for=BY_YOU,
)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The first digit begins the date in its line; 0 takes the date back."""
    record, part = desk.work.record, desk.work.part
    assert clue is not None
    assert record is not None
    assert part is not None
    none = next((one for one in clue.answers if str(one.digit) == digit), None)
    if none is None:
        open_dating(desk, part["id"], digit)
    elif standing(record, part["id"]) is not None:
        keep_date(desk, part["id"], hand.part_name(record, part), None)
    else:
        write_answer(desk, clue, none)
