"""A part dated by the dealer's own word: a year or a span, soft or firm, and why."""

from benchtui.books.dated_words import read_dated
from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.forms import form
from benchtui.desk.core.desk import Asked, Desk, OpenLine
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.clues import write_answer

BY_YOU = Answer("dated", "dated by you", 1)
"""The answer that stands for what was typed."""


@form(
    "dated",
    hint="any digit starts the date: 1958..1960; 0: no date of your own",
    help="Type when it was made, as you know it: 1958..1960, or 1958.. firm (why).",
    any_digit=True,
    copied=False,
    stands_for=BY_YOU,
)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The first digit begins the date in its line; 0 takes the date back."""
    assert clue is not None
    none = next((one for one in clue.answers if str(one.digit) == digit), None)
    if none is not None:
        write_answer(desk, clue, none)
        return
    open_line(desk, "clue-dated", clue.ask, digit, "1958..1960, 1958.. or ..1960; then firm if sure; (why)")


def _take(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    if clue is None:
        close_line(desk)
        return
    try:
        said = read_dated(line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    if said.words or said.span is None:
        desk.refuse(
            "type a year or a span: 1958..1960, 1958.. or ..1960, then firm if you are sure, then (why)"
        )
        return
    close_line(desk)
    made = said.span.edtf()
    value = {"made": made, "hardness": said.hardness, "why": said.why}
    shown = f"{made} {said.hardness}" + (f" ({said.why})" if said.why else "")
    write_answer(desk, clue, BY_YOU, value, shown)


LINES["clue-dated"] = LineKind(_take, one_write=True)
