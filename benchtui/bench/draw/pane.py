"""The evidence beside the stack: the question now asked, the likely pressings, second look, agreement."""

from dataclasses import dataclass

from rich.cells import cell_len

from benchtui.bench.desk import clues, hand
from benchtui.bench.desk.asking import HERE, ahead, is_doubted, is_runout, is_touched, lacks_something
from benchtui.bench.desk.core import Asked, Desk
from benchtui.bench.draw.sheet import Glyphs, Line, bar, clean, cut, percent, width_of, wrap
from benchtui.bench.keys import shown as key_shown
from benchtui.books.shape import Answer, Clue
from benchtui.evidence import Weighing
from benchtui.model.record import PartDoc, RecordDoc, anchor_of, answer_to, half_words, is_here

BAR, SHORT_BAR = 10, 6
ANSWERING = ("clue-number", "clue-titles")
"""Lines in which the question shown is answered; beside any other that question would mislead."""


def draw_pane(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """Everything the evidence says, most urgent first."""
    record, weighing = desk.record, desk.weighing()
    if record is None or weighing is None:
        return []
    rest = [*_likely(desk, weighing, width, glyphs), *_urgent(weighing, width, glyphs)]
    rest += _agreement(desk, record, weighing, width)
    if clues.reworded(desk, record):
        rest += wrap(f"the book changed its words: {desk.key('why')} shows which", width, "warn", "  ")
    lines = _question(desk, record, weighing, width, glyphs)
    if len(lines) + 1 + len(rest) > height:  # the odds stay in sight: long answers are cut to a line each
        lines = _question(desk, record, weighing, width, glyphs, short=True)
        gap: list[Line] = [[]] if len(lines) + 1 + len(rest) <= height else []
        return [cut(line, width) for line in [*lines, *gap, *rest][:height]]
    return [cut(line, width) for line in [*lines, [], *rest]]


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
    part = desk.part
    if part is None:
        return [[("nothing in the hand", "dim")]]
    name = hand.part_name(record, part) + (f" {half_words(desk.side)}" if desk.side else "")
    if desk.menu is not None:
        return wrap(desk.menu.title, width, "hand")
    if desk.line is not None and desk.line.name not in ANSWERING:
        return [[(name, "hand")], *wrap(desk.line.label, width, "accent bold")]
    following = ahead(desk)
    if following is not None:
        lines: list[Line] = [[(f"{name} ", "hand"), (f"{glyphs.done} done", "good")]]
        if following.asked is None:
            return [*lines, *wrap(f"{_part(record, following.part)}: lacks its grade", width, "accent bold")]
        shown = _Shown(following.part, following.asked, True)
        return [*lines, *_ask(desk, record, shown, width, glyphs, short)]
    if desk.asked is None:
        return [[(name, "hand")], *_nothing_asked(desk, part, weighing, width)]
    head: Line = [(name, "hand")]
    if is_doubted(record, part, weighing):
        head.append(("  does it belong?", "warn"))
    elif weighing.settled and desk.asked != HERE and not is_runout(desk, desk.asked):
        head.append(("  settled; a check", "dim"))
    return [head, *_ask(desk, record, _Shown(part, desk.asked), width, glyphs, short)]


def _nothing_asked(desk: Desk, part: PartDoc, weighing: Weighing, width: int) -> list[Line]:
    """What is left to do with a part of which nothing is asked."""
    if lacks_something(part):
        return wrap("Now its grade", width, "accent bold")
    if is_finished_record(desk) and record_state(desk) != "taken-in":
        return wrap(f"all done: {desk.key('take-in')} takes the record in", width, "good")
    left = "settled" if weighing.settled else "all asked" if desk.order else "no questions"
    return wrap(f"{left}: {desk.key('next-part')} takes the next part", width, "dim")


def record_state(desk: Desk) -> str:
    return desk.record["state"] if desk.record is not None else ""


def is_finished_record(desk: Desk) -> bool:
    """Whether every part has what it needs."""
    return desk.record is not None and not any(map(lacks_something, desk.record["parts"]))


def _part(record: RecordDoc, part: PartDoc) -> str:
    return hand.part_name(record, part)


def _ask(desk: Desk, record: RecordDoc, shown: _Shown, width: int, glyphs: Glyphs, short: bool) -> list[Line]:
    """The question itself; one about the part that follows says which part that is."""
    name = _part(record, shown.part)
    where: Line = [(f"{glyphs.here} {name}", "accent"), (f"  {shown.asked[0]}", "dim")]
    if shown.asked == HERE:
        lead: list[Line] = [where[:1]] if shown.ahead else []
        return [*lead, *_here_question(shown.part, width)]
    if not shown.ahead:
        where = [(f"  {shown.asked[0]}", "dim")]
    if is_runout(desk, shown.asked):
        return [
            where,
            *wrap(f"{shown.asked[0][0].upper()}{shown.asked[0][1:]}?", width, "accent bold"),
            *wrap(f"a figure begins it; {desk.key('next-clue')} leaves it open", width, "dim"),
        ]
    clue = desk.library.clue(shown.asked[1])
    if clue is None:
        return [[*where, ("  the book lost this clue", "warn")]]
    lines: list[Line] = [where, *wrap(clue.ask + "?", width, "accent bold")]
    for answer in clue.answers:
        if clue.form != "number" or answer.digit == 0:
            lines += _answer(desk, record, shown, clue, answer, width, glyphs, short)
    if clue.form == "number":
        lines.append([("    any other figure begins the number", "dim")])
    return lines


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
        body = [[(_told_apart(clue, answer, room - width_of(tail)), target)]]
    else:
        body = [[(text, style + target) for text, style in line] for line in wrap(answer.text, room)]
    if not body or width_of(body[-1]) + width_of(tail) > room:
        body.append([])
    body[-1] = [*body[-1], *tail]
    key = key_shown(desk.references.keymap.first_key(f"answer-{answer.digit}") or str(answer.digit))
    return [[(f" {key:<2} " if n == 0 else "    ", "key" + target), *piece] for n, piece in enumerate(body)]


def _told_apart(clue: Clue, answer: Answer, room: int) -> str:
    """The answer in so many cells; its end where another begins alike, never the same words twice."""
    text = clean(answer.text)
    if cell_len(text) <= room:
        return text
    start = text[: room - 1]
    if any(other.id != answer.id and clean(other.text).startswith(start[:-1]) for other in clue.answers):
        return "…" + text[-(room - 1) :]
    return start + "…"


def _here_question(part: PartDoc, width: int) -> list[Line]:
    words = {"1": "it is there", "2": "it is missing", "3": "not looked"}
    state = {"present": "1", "missing": "2", "unknown": "3"}[part.get("state", "unknown")]
    lines: list[Line] = wrap("Is it there?", width, "accent bold")
    for digit, text in words.items():
        lines.append(
            [(f" {digit}  ", f"key@key:{digit}"), (text, "bold" if digit == state and state != "3" else "")]
        )
    return lines


def _likely(desk: Desk, weighing: Weighing, width: int, glyphs: Glyphs) -> list[Line]:
    if not any(likely.id for likely in weighing.pressings):
        return (
            wrap("the books know no pressing of this title: dates only", width, "dim")
            if desk.record and desk.record["title"]
            else []
        )
    record = desk.record
    state = (
        ("expected: see the disc", "dim")
        if weighing.settled and record is not None and not _is_seen(record)
        else ("settled", "good")
        if weighing.settled
        else ("nothing left to look at", "warn")
        if weighing.nothing_left
        else ("not settled", "dim")
    )
    if record is not None and record["pressing"]["how"] == "hand":
        state = ("by your word: " + record["pressing"].get("name", ""), "good")
    lines: list[Line] = [cut([("Pressing  ", "bold"), state], width)]
    listed = list(weighing.pressings[:3])
    listed += [likely for likely in weighing.pressings[3:] if likely.id is None and likely.p >= 0.01]
    for n, likely in enumerate(listed):
        style = "bold" if n == 0 else ""
        price = f" {likely.price.plain()}" if likely.price and width >= 44 else ""
        head: Line = [
            (f"{percent(likely.p)} ", style),
            (bar(likely.p, BAR if width >= 44 else SHORT_BAR, glyphs), "accent" if n == 0 else "bar"),
            (" ", ""),
        ]
        lines.append(cut([*head, (likely.name + price, style)], width))
    return lines


def _is_seen(record: RecordDoc) -> bool:
    """Whether the part that decides what the record is has been looked at."""
    anchor = anchor_of(record)
    return anchor is None or is_touched(record, anchor)


def _urgent(weighing: Weighing, width: int, glyphs: Glyphs) -> list[Line]:
    lines: list[Line] = []
    if weighing.second_look is not None:
        lines += wrap(f"{glyphs.money} second look: {weighing.second_look.say}", width, "warn", "  ")
    if weighing.suspect:
        lines += wrap(f"{glyphs.apart} {weighing.suspect}", width, "clash", "  ")
    for clash in weighing.clashes[:2]:
        lines += wrap(f"{glyphs.apart} {clash.say}", width, "clash", "  ")
    for answer in weighing.lost[:1]:
        lines += wrap(f"lost by the book, weighs nothing: {answer['text']}", width, "warn", "  ")
    return lines


def _agreement(desk: Desk, record: RecordDoc, weighing: Weighing, width: int) -> list[Line]:
    said = []
    for part in hand.in_hand_order(record):
        found = weighing.agreement.get(part["id"])
        if found is not None and is_here(part) and found.say and (found.p_swapped >= 0.2 or found.by_rule):
            said.append(found.say)
    lines: list[Line] = []
    for say in said[:3]:
        lines += wrap(clean(say), width, "warn", "  ")
    looked_at = {answer["part"] for answer in record["answers"] if answer["how"] == "seen"}
    decided = (weighing.settled or weighing.nothing_left) and not weighing.clashes
    if not said and len(looked_at) > 1 and weighing.agreement and decided:
        lines += wrap("the parts are consistent with one copy", width, "dim")
    return lines
