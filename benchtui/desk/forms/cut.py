"""A runout: its line opens at the first sign; the cut read out of it is the answer."""

from benchtui.books.shape import Clue
from benchtui.desk.ask.forms import form
from benchtui.desk.core.desk import Asked, Desk
from benchtui.desk.look.runout import write_side


@form("cut", written=True, copied=False)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The digit begins the side's runout, in the line where it is written."""
    write_side(desk, asked[0].split()[-1], digit)
