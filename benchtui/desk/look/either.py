"""Either of two: an answer that was seen, but not told apart from another, typed as one."""

import re

from benchtui.books.shape import Answer, Clue
from benchtui.desk.ask.asking import HERE, ahead
from benchtui.desk.ask.forms import form_asked, form_of
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.look.clues import write_answer

_BETWEEN = re.compile(r"\s*(?:\bor\b|[|/])\s*", re.IGNORECASE)
ABOUT = "the digits of what it may be, such as 1 3 or 1 or 3"


def pieces(text: str) -> list[str]:
    """``1961 or 1967``, ``1961/1967``: each of what was typed; of one number that alone."""
    return [piece for piece in _BETWEEN.split(text) if piece]


def _cannot(desk: Desk) -> str:
    """In short why the question shown takes no answer of two; "" where it does."""
    following = ahead(desk)
    asked = following.asked if following is not None else desk.asking.asked
    if asked is None or asked == HERE:
        return "no question with several answers is open"
    form = form_asked(asked, desk.library.clue(asked[1]))
    return "" if form is not None and form.either else "this question is not answered by choices"


@command(
    "either",
    "bench",
    "answer with either of two you cannot tell apart",
    short="either of two",
    group="Look",
    also="or one of two not sure unclear both doubt",
    needs=[_cannot],
    changes="nothing",
    order=206,
)
def either(desk: Desk) -> None:
    """Open the line in which both are typed; the answers stay in sight."""
    hand.go_on(desk)
    clue = desk.clue
    if clue is not None and form_of(clue).any_digit:
        open_line(desk, "clue-number", "either of two, such as 1961 or 1967")
    else:
        open_line(desk, "clue-either", "either of two, such as 1 3", about=ABOUT)


def _take(desk: Desk, line: OpenLine) -> None:
    clue = desk.clue
    if clue is None:
        close_line(desk)
        return
    digits = re.findall(r"\d", line.text)
    if not digits or re.sub(r"\bor\b|[\d\s,|/.+]", "", line.text, flags=re.IGNORECASE):
        desk.refuse(f"'{line.text.strip()}': type {ABOUT}")
        return
    found = [_of_digit(clue, digit) for digit in dict.fromkeys(digits)]
    strange = [digit for digit, one in zip(dict.fromkeys(digits), found, strict=True) if one is None]
    answers = [one for one in found if one is not None]
    if strange:
        known = ", ".join(str(one.digit) for one in clue.answers)
        desk.refuse(f"'{clue.ask}' has no answer {strange[0]}: its digits are {known}")
    elif len(answers) > 1 and any(one.neutral for one in answers):
        vague = next(one for one in answers if one.neutral)
        desk.refuse(f"{vague.digit} is '{vague.text}', which is not an answer: leave it out")
    elif len(answers) > 1 and len(answers) == sum(not one.neutral for one in clue.answers):
        desk.refuse(f"those are all its answers: {desk.key('next-clue')} leaves the question open")
    else:
        close_line(desk)
        write_answer(desk, clue, answers[0], also=answers[1:])


def _of_digit(clue: Clue, digit: str) -> Answer | None:
    return next((one for one in clue.answers if str(one.digit) == digit), None)


LINES["clue-either"] = LineKind(_take, one_write=True)
