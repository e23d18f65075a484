"""A figure that is printed, stamped, measured or weighed, or a year: typed into a line, read by brackets."""

from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.forms import form
from benchtui.desk.core.desk import Asked, Desk, OpenLine
from benchtui.desk.line.as_read import shows
from benchtui.desk.line.lines import LINES, LineKind, begin, close_line, open_line
from benchtui.desk.look.clues import write_answer
from benchtui.desk.look.either import pieces

SAID_BY_THE_QUESTION = ("year", "copy")
"""Units that are never set behind the figure."""


@form(
    "number",
    hint="any digit starts the number; 0 and Enter: there is none",
    help="Type the number; the book knows what it means.",
    any_digit=True,
    copied=False,
    either=True,
)
def answer(desk: Desk, asked: Asked, clue: Clue | None, digit: str) -> None:
    """The first digit, nought too, begins the figure in its line: nothing is taken before Enter."""
    assert clue is not None
    about = f"{_number_of(clue)}; 0 or 'none' if there is none"
    open_line(desk, "clue-number", clue.ask, "", about, question=question_id(desk.work.part_id, asked))
    begin(desk, digit)


def question_id(part_id: str | None, asked: Asked) -> str:
    """The question of that part, as what Escape left in its line is kept by."""
    return "/".join([part_id or "", *asked])


def _unit(clue: Clue) -> str:
    """`` g`` after the figure; a year and a copy's number are said by the question itself."""
    return f" {clue.unit}" if clue.unit and clue.unit not in SAID_BY_THE_QUESTION else ""


def _number_of(clue: Clue) -> str:
    """What is to be typed: ``a number in g``, ``a year``."""
    if clue.unit == "year":
        return "a year"
    return "a number" + (f" in{_unit(clue)}" if _unit(clue) else "")


def _take(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    if clue is None:
        close_line(desk)
        return
    text = line.text.strip().replace(",", ".")
    absent = next((answer for answer in clue.answers if answer.absent or answer.neutral), None)
    if text in ("none", "no", "") or (text == "0" and absent is not None):
        if absent is None:
            desk.refuse(f"'{clue.ask}' needs {_number_of(clue)}")
            return
        close_line(desk)
        write_answer(desk, clue, absent)
        return
    found = []
    for one in pieces(text):
        try:
            value = float(one)
        except ValueError:
            desk.refuse(f"'{line.text}' is not a number: type digits only, such as 128, or 128 or 130")
            return
        answer = _bracket(clue, value)
        if answer is None:
            desk.refuse(f"{one}{_unit(clue)} is outside the range the book gives for '{clue.ask}'")
            return
        found.append((int(value) if value == int(value) else value, answer))
    close_line(desk)
    numbers = list(dict.fromkeys(number for number, _ in found))
    answers = list(dict.fromkeys(answer for _, answer in found))
    shown = " or ".join(str(number) for number in numbers) + _unit(clue)
    write_answer(desk, clue, answers[0], numbers if len(numbers) > 1 else numbers[0], shown, answers[1:])


def _bracket(clue: Clue, value: float) -> Answer | None:
    for answer in clue.answers:
        low = answer.low if answer.low is not None else float("-inf")
        high = answer.high if answer.high is not None else float("inf")
        if (answer.low is not None or answer.high is not None) and low <= value <= high:
            return answer
    return None


def _read(desk: Desk, line: OpenLine) -> str:
    """The brackets that the figures fall into; "" where they are called as they were typed."""
    clue, text = desk.clue, line.text.strip().replace(",", ".")
    found = [_bracket(clue, float(one)) for one in pieces(text)] if clue is not None else []
    told = " or ".join(dict.fromkeys(one.text for one in found if one is not None))
    return "" if told in ("", text, f"{text}{_unit(clue)}" if clue is not None else text) else told


LINES["clue-number"] = LineKind(_take, typed=shows(_read), one_write=True)
