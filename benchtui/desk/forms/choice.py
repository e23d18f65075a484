"""A few answers, each by its digit."""

from benchtui.books.shape import Clue
from benchtui.desk.clues import write_answer
from benchtui.desk.core import Asked, Desk
from benchtui.desk.forms.declare import form


@form("choice", chosen=True)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The digit's answer, written at once."""
    assert clue is not None
    found = next((one for one in clue.answers if str(one.digit) == digit), None)
    if found is None:
        desk.refuse(f"'{clue.ask}' has the digits {', '.join(str(one.digit) for one in clue.answers)}")
        return
    write_answer(desk, clue, found)
