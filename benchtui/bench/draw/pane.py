"""The evidence beside the stack: the question now asked, the likely pressings, second look, agreement."""

from rich.cells import cell_len

from benchtui.bench.desk import clues, hand
from benchtui.bench.desk.core import Desk
from benchtui.bench.draw.sheet import Glyphs, Line, bar, clean, cut, percent, width_of, wrap
from benchtui.bench.keys import shown
from benchtui.books.shape import Answer, Clue
from benchtui.evidence import Weighing
from benchtui.model.record import PartDoc, RecordDoc, half_words, is_here

BAR, SHORT_BAR = 10, 6


def draw_pane(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """Everything the evidence says, most urgent first."""
    record, weighing = desk.record, desk.weighing()
    if record is None or weighing is None:
        return []
    rest = [*_likely(desk, weighing, width, glyphs), *_urgent(weighing, width, glyphs)]
    rest += _agreement(desk, record, weighing, width)
    if clues.reworded(desk, record):
        rest += wrap(f"the book changed its words: {_key(desk, 'why')} shows which", width, "warn", "  ")
    lines = _question(desk, record, weighing, width, glyphs)
    if len(lines) + 1 + len(rest) > height:  # the odds stay in sight: long answers are cut to a line each
        lines = _question(desk, record, weighing, width, glyphs, short=True)
        gap: list[Line] = [[]] if len(lines) + 1 + len(rest) <= height else []
        return [cut(line, width) for line in [*lines, *gap, *rest][:height]]
    return [cut(line, width) for line in [*lines, [], *rest]]


def _question(
    desk: Desk, record: RecordDoc, weighing: Weighing, width: int, glyphs: Glyphs, short: bool = False
) -> list[Line]:
    """The question now asked about the part in the hand, with its digits; ``short``: a line an answer."""
    part = desk.part
    if part is None:
        return [[("nothing in the hand", "dim")]]
    name = hand.part_name(record, part) + (f" {half_words(desk.side)}" if desk.side else "")
    if desk.asked is None:
        left = "settled" if weighing.settled else "all asked" if desk.order else "no questions"
        return [[(name, "hand"), (f"  {left}; {_key(desk, 'next-part')} takes the next part", "dim")]]
    if desk.asked == hand.HERE:
        return _here_question(part, name, width)
    clue = desk.clue
    if clue is None:
        return [[(name, "hand"), ("  the book lost this clue", "warn")]]
    head: Line = [(name, "hand"), (f"  {desk.asked[0]}", "dim")]
    if weighing.settled:
        head.append(("  settled already", "dim"))
    lines: list[Line] = [head, *wrap(clue.ask + "?", width, "accent bold")]
    for answer in clue.answers:
        if clue.form != "number" or answer.digit == 0:
            lines += _answer(desk, clue, answer, width, glyphs, short)
    if clue.form == "number":
        lines.append([("    any other figure begins the number", "dim")])
    return lines


def _key(desk: Desk, action: str) -> str:
    return shown(desk.references.keymap.first_key(action) or "")


def _answer(desk: Desk, clue: Clue, answer: Answer, width: int, glyphs: Glyphs, short: bool) -> list[Line]:
    """One answer with its digit; what was seen, what is only copied and what is foretold look different."""
    standing, guess = desk.answer_now(), clues.foretold(desk)
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
    key = _key(desk, f"answer-{answer.digit}") or answer.digit
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


def _here_question(part: PartDoc, name: str, width: int) -> list[Line]:
    words = {"1": "it is there", "2": "it is missing", "3": "not looked"}
    state = {"present": "1", "missing": "2", "unknown": "3"}[part.get("state", "unknown")]
    lines: list[Line] = [[(name, "hand")], *wrap("Is it there?", width, "accent bold")]
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
        ("settled", "good")
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
    if not said and any(answer["how"] == "seen" for answer in record["answers"]) and weighing.agreement:
        lines += wrap("the parts are consistent with one copy", width, "dim")
    return lines
