"""The evidence beside the stack: the question now asked, the likely pressings, second look, agreement."""

from benchtui.bench.draw.question import draw_question
from benchtui.bench.pieces import Glyphs, Line, bar, clean, cut, shed, wrap
from benchtui.desk import clues, hand
from benchtui.desk.asking import is_touched
from benchtui.desk.core import Desk
from benchtui.desk.words import percent
from benchtui.evidence import Weighing
from benchtui.model.record import RecordDoc, anchor_of, is_here

BAR, SHORT_BAR = 10, 6


def draw_pane(desk: Desk, width: int, height: int, glyphs: Glyphs) -> list[Line]:
    """Everything the evidence says, most urgent first."""
    record, weighing = desk.work.record, desk.weighing()
    if record is None or weighing is None:
        return []
    rest = [*_likely(desk, weighing, width, glyphs), *_urgent(weighing, width, glyphs)]
    rest += _agreement(desk, record, weighing, width)
    if clues.reworded(desk, record):
        rest += wrap(f"the book has changed: {desk.key('why')} shows which", width, "warn", "  ")
    lines = draw_question(desk, record, weighing, width, height, glyphs, beside=len(rest) + 1)
    gap: list[Line] = [[]] if len(lines) + 1 + len(rest) <= height else []
    if len(lines) + len(rest) > height:  # what is urgent stays in sight, then the odds
        rest = [*_urgent(weighing, width, glyphs), *_likely(desk, weighing, width, glyphs)]
        rest += _agreement(desk, record, weighing, width)
    return [cut(line, width) for line in shed([*lines, *gap, *rest], height, width)]


def _likely(desk: Desk, weighing: Weighing, width: int, glyphs: Glyphs) -> list[Line]:
    if not any(likely.id for likely in weighing.pressings):
        return (
            wrap("no book has a pressing of this title: dates only", width, "dim")
            if desk.work.record and desk.work.record["title"]
            else []
        )
    record = desk.work.record
    state = (
        ("expected: check the disc", "dim")
        if weighing.settled and record is not None and not _is_seen(record)
        else ("sure", "good")
        if weighing.settled
        else ("nothing left to look at", "warn")
        if weighing.nothing_left
        else ("not sure", "dim")
    )
    if record is not None and record["pressing"]["how"] == "hand":
        state = ("your choice: " + record["pressing"].get("name", ""), "good")
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
        lines += wrap(f"no longer in the book, not counted: {answer['text']}", width, "warn", "  ")
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
