"""The question that a digit answers, in as many rows as there are: drawn whole, or no digit answers it."""

from dataclasses import dataclass

from benchtui.bench.packed import Short, packed, told_apart
from benchtui.bench.pieces import Glyphs, Line, clean, cut, width_of, wrap
from benchtui.books.shape import Answer, Clue
from benchtui.desk import clues, hand
from benchtui.desk.asking import HERE, ahead, is_doubted, is_runout, lacks_something
from benchtui.desk.core import Asked, Desk
from benchtui.desk.forms.declare import form_of, with_digits
from benchtui.desk.keys import shown as key_shown
from benchtui.evidence import Weighing
from benchtui.model.record import PartDoc, RecordDoc, answer_to, half_words

ANSWERING = ("clue-number", "clue-titles")
"""Lines in which the question shown is answered; beside any other that question would mislead."""
IS_IT_THERE = {"1": "it is there", "2": "it is missing", "3": "not looked"}
TOO_SMALL = "make the window larger: its answers do not fit"


def draw_question(
    desk: Desk,
    record: RecordDoc,
    weighing: Weighing,
    width: int,
    height: int,
    glyphs: Glyphs,
    beside: int = 0,
) -> list[Line]:
    """The question now asked in at most ``height`` rows: in full where ``beside`` more rows fit too, else a
    line an answer, else packed into what there is. Where it cannot be drawn with every digit that
    answers it, ``desk.asking.unseen`` says so, and no digit answers.
    """
    if desk.open.scope == "bench":
        desk.asking.unseen = False
    for short, more in ((False, beside), (True, 0)):
        lines = _question(desk, record, weighing, width, glyphs, short)
        if len(lines) + more <= height:
            return [cut(line, width) for line in lines]
    return [cut(line, width) for line in _packed(desk, record, weighing, width, height, glyphs)[:height]]


def question_asked(desk: Desk, record: RecordDoc) -> "_Shown | None":
    """The question that a digit answers now, and of which part; None where there is none."""
    part, following = desk.work.part, ahead(desk)
    if following is not None:
        return _Shown(following.part, following.asked, True) if following.asked else None
    return _Shown(part, desk.asking.asked) if part is not None and desk.asking.asked is not None else None


def _is_beside_the_point(desk: Desk) -> bool:
    """Whether something else is answered now than the question: a list of choices, a text line."""
    return desk.open.menu is not None or (desk.open.line is not None and desk.open.line.name not in ANSWERING)


def _packed(
    desk: Desk, record: RecordDoc, weighing: Weighing, width: int, height: int, glyphs: Glyphs
) -> list[Line]:
    """The question in a row or two, its answers one after the other, each as short as it must be."""
    asked = None if _is_beside_the_point(desk) else question_asked(desk, record)
    if asked is None:  # the last word first: what is left to do
        return _question(desk, record, weighing, width, glyphs, short=True)[-height:]
    clue = desk.library.clue(asked.asked[1])
    said = [*wrap(_in_words(desk, record, asked, clue, glyphs), width, "accent bold")]
    lines = packed(said, _answers(desk, record, asked, clue, glyphs), width, height)
    if lines is None:
        desk.asking.unseen = True
        return [*said[: max(1, height - 2)], *wrap(TOO_SMALL, width, "warn")]
    hint = "a digit starts it" if is_runout(desk, asked.asked) else ""
    if clue is not None and not hint:
        hint = form_of(clue).hint
    return [*lines, *(wrap(hint, width, "dim") if hint and len(lines) < height else [])]


def _in_words(desk: Desk, record: RecordDoc, shown: "_Shown", clue: Clue | None, glyphs: Glyphs) -> str:
    """``disc 1 label A: Label print?``; the name is left out where nothing else has such a place."""
    place, name = shown.asked[0], hand.part_name(record, shown.part)
    discs = [part for part in record["parts"] if part["kind"] == "disc"]
    name = "" if shown.part["kind"] == "disc" and len(discs) == 1 and place != "whole" else name
    ask = (
        "is it there"
        if shown.asked == HERE
        else clue.ask
        if clue is not None and not is_runout(desk, shown.asked)
        else ""
    )
    where = " ".join(
        filter(None, (glyphs.here if shown.ahead else "", name, place if place != "whole" else ""))
    )
    return f"{where}: {ask}?" if ask else f"{where}?"


def _answers(
    desk: Desk, record: RecordDoc, shown: "_Shown", clue: Clue | None, glyphs: Glyphs
) -> list[Short]:
    """The answers by digit with the sign of what stands: seen, only copied, or foretold."""
    if shown.asked == HERE:
        return [Short(digit, digit, text) for digit, text in IS_IT_THERE.items()]
    if clue is None or is_runout(desk, shown.asked):
        return []
    standing, guess = answer_to(record, shown.part["id"], *shown.asked), clues.foretold(desk, clue)
    found = []
    for answer in with_digits(clue):
        sign: Line = []
        if standing is not None and standing["answer"] == answer.id:
            sign = [(f" {glyphs.done}", "good")] if standing["how"] == "seen" else [(" =", "warn")]
        elif standing is None and guess is not None and guess.id == answer.id:
            sign = [(f" {glyphs.open}", "dim")]
        key = _digit_key(desk, answer)
        found.append(Short(str(answer.digit), key, clean(answer.text), tuple(sign)))
    return found


@dataclass(frozen=True)
class _Shown:
    """The question shown: about which part, asked where, and whether that part is still to be taken up."""

    part: PartDoc
    asked: Asked
    ahead: bool = False


def _question(
    desk: Desk, record: RecordDoc, weighing: Weighing, width: int, glyphs: Glyphs, short: bool = False
) -> list[Line]:
    """The question now asked, of the part in the hand or of the one that follows, with its digits.

    ``short``: a line an answer.
    """
    part = desk.work.part
    if part is None:
        return [[("no part in hand", "dim")]]
    name = hand.part_name(record, part) + (f" {half_words(desk.work.side)}" if desk.work.side else "")
    if _is_beside_the_point(desk):
        if desk.open.menu is not None:
            return wrap(desk.open.menu.title, width, "hand")
        return [[(name, "hand")], *wrap(desk.open.line.label if desk.open.line else "", width, "accent bold")]
    following = ahead(desk)
    if following is not None:
        torn = any(one.within == part["id"] for one in weighing.clashes)
        state = (f"{glyphs.apart} look again", "clash") if torn else (f"{glyphs.done} done", "good")
        lines: list[Line] = [[(f"{name} ", "hand"), state]]
        if following.asked is None:
            return [
                *lines,
                *wrap(f"{hand.part_name(record, following.part)}: no grade yet", width, "accent bold"),
            ]
        shown = _Shown(following.part, following.asked, True)
        return [*lines, *_ask(desk, record, shown, width, glyphs, short)]
    if desk.asking.asked is None:
        return [[(name, "hand")], *_nothing_asked(desk, part, weighing, width)]
    head: Line = [(name, "hand")]
    if is_doubted(record, part, weighing):
        head.append(("  does it belong?", "warn"))
    elif weighing.settled and desk.asking.asked != HERE and not is_runout(desk, desk.asking.asked):
        head.append(("  pressing sure; a check", "dim"))
    return [head, *_ask(desk, record, _Shown(part, desk.asking.asked), width, glyphs, short)]


def _nothing_asked(desk: Desk, part: PartDoc, weighing: Weighing, width: int) -> list[Line]:
    """What is left to do with a part of which nothing is asked."""
    if lacks_something(part):
        return wrap("Now its grade", width, "accent bold")
    if is_finished_record(desk) and record_state(desk) != "taken-in":
        return wrap(f"all done: {desk.key('take-in')} takes the record in", width, "good")
    left = "settled" if weighing.settled else "all asked" if desk.asking.order else "no questions"
    return wrap(f"{left}: {desk.key('next-part')} takes the next part", width, "dim")


def record_state(desk: Desk) -> str:
    return desk.work.record["state"] if desk.work.record is not None else ""


def is_finished_record(desk: Desk) -> bool:
    """Whether every part has what it needs."""
    return desk.work.record is not None and not any(map(lacks_something, desk.work.record["parts"]))


def _ask(desk: Desk, record: RecordDoc, shown: _Shown, width: int, glyphs: Glyphs, short: bool) -> list[Line]:
    """The question itself; one about the part that follows says which part that is."""
    whose: Line = [(f"{glyphs.here} {hand.part_name(record, shown.part)}", "accent")] if shown.ahead else []
    if shown.asked == HERE:
        return [*([whose] if whose else []), *_here_question(shown.part, width)]
    where: Line = [*whose, (f"  {shown.asked[0]}", "dim")]
    if is_runout(desk, shown.asked):
        return [
            where,
            *wrap(f"{shown.asked[0][0].upper()}{shown.asked[0][1:]}?", width, "accent bold"),
            *wrap(f"a digit starts it; {desk.key('next-clue')} leaves it open", width, "dim"),
        ]
    clue = desk.library.clue(shown.asked[1])
    if clue is None:
        return [[*where, ("  the book lost this clue", "warn")]]
    lines: list[Line] = [where, *wrap(clue.ask + "?", width, "accent bold")]
    for answer in with_digits(clue):
        lines += _answer(desk, record, shown, clue, answer, width, glyphs, short)
    if form_of(clue).hint:
        lines.append([(f"    {form_of(clue).hint}", "dim")])
    return lines


def _digit_key(desk: Desk, answer: Answer) -> str:
    return key_shown(desk.references.keymap.first_key(f"answer-{answer.digit}") or str(answer.digit))


def _answer(
    desk: Desk, record: RecordDoc, shown: _Shown, clue: Clue, answer: Answer, width: int, glyphs: Glyphs,
    short: bool,
) -> list[Line]:  # fmt: skip
    """One answer with its digit; what was seen, what is only copied and what is foretold look different."""
    standing, guess = answer_to(record, shown.part["id"], *shown.asked), clues.foretold(desk, clue)
    tail: Line = []
    if standing is not None and standing["answer"] == answer.id:
        seen = standing["how"] == "seen"
        tail = [(f"  {glyphs.done if seen else standing['how']}", "good" if seen else "warn")]
    elif standing is None and guess is not None and guess.id == answer.id:
        tail = [("  foretold", "dim")]
    target = f"@key:{answer.digit}"
    room = width - 4
    if short:
        body = [
            [
                (
                    told_apart(
                        clean(answer.text), [clean(one.text) for one in clue.answers], room - width_of(tail)
                    ),
                    target,
                )
            ]
        ]
    else:
        body = [[(text, style + target) for text, style in line] for line in wrap(answer.text, room)]
    if not body or width_of(body[-1]) + width_of(tail) > room:
        body.append([])
    body[-1] = [*body[-1], *tail]
    key = _digit_key(desk, answer)
    return [[(f" {key:<2} " if n == 0 else "    ", "key" + target), *piece] for n, piece in enumerate(body)]


def _here_question(part: PartDoc, width: int) -> list[Line]:
    state = {"present": "1", "missing": "2", "unknown": "3"}[part.get("state", "unknown")]
    lines: list[Line] = wrap("Is it there?", width, "accent bold")
    for digit, text in IS_IT_THERE.items():
        lines.append(
            [(f" {digit}  ", f"key@key:{digit}"), (text, "bold" if digit == state and state != "3" else "")]
        )
    return lines
