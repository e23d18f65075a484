"""A few answers, each by its digit."""

from benchtui.books.shape import Clue
from benchtui.desk.ask.forms import form
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.look.clues import write_answer


@form("choice", chosen=True, either=True)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The digit's answer, written at once."""
    assert clue is not None
    found = next((one for one in clue.answers if str(one.digit) == digit), None)
    if found is None:
        desk.refuse(f"'{clue.ask}' has the digits {', '.join(str(one.digit) for one in clue.answers)}")
        return
    write_answer(desk, clue, found)
