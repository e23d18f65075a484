"""A part in one row, where a record has so many that two rows each do not fit: name, grade, span, faults."""

from benchtui.bench.pieces import Glyphs, Line, clean, cut, fill, wrap
from benchtui.desk.core import Desk
from benchtui.desk.grading import shown_grade
from benchtui.model.grade import Fault
from benchtui.model.record import PartDoc

HEAD = 15
FAULTS = 14
"""Cells at the end of the row for the faults, where any part of the record has some."""


def fault_of(desk: Desk, fault_id: str) -> Fault | None:
    return next((one for one in desk.references.faults if one.id == fault_id), None)


def faults_in_words(desk: Desk, part: PartDoc) -> str:
    """Every fault with how bad it is: ``A: scuffs, light, not felt, not heard; warp, ...``."""
    words = []
    for fault in part["faults"]:
        known = fault_of(desk, fault["fault"])
        severity = next((s.text for s in known.severities if s.id == fault["severity"]), "") if known else ""
        side = f"{fault['place']}: " if fault["place"] else ""
        words.append(f"{side}{known.text if known else fault['fault']}{', ' + severity if severity else ''}")
    return "; ".join(words)


def faults_in_short(desk: Desk, part: PartDoc, room: int = FAULTS) -> Line:
    """The fault noted first by its name, and how many more: ``scuffs +2``."""
    if not part["faults"]:
        return []
    first = part["faults"][0]["fault"]
    known = fault_of(desk, first)
    more = f" +{len(part['faults']) - 1}" if len(part["faults"]) > 1 else ""
    name = cut([(clean(known.text if known else first), "warn")], room - len(more))
    return [*name, (more, "warn")]


def too_long(desk: Desk, part: PartDoc, width: int) -> bool:
    """Whether the faults in words do not fit beside the name and a grade."""
    return len(faults_in_words(desk, part)) > width - HEAD - 10


def faults_below(desk: Desk, part: PartDoc, width: int, most: int) -> list[Line]:
    """The faults in words in lines of their own under the part's span."""
    lines = wrap(faults_in_words(desk, part), width - HEAD, "warn") if part["faults"] else []
    if len(lines) > most:  # the last one ends in a sign that there is more
        rest = " ".join(text for line in lines[most - 1 :] for text, _ in line)
        lines = [*lines[: most - 1], [(rest, "warn")]]
    return [cut([(" " * HEAD, ""), *line], width) for line in lines]


def draw_low(desk: Desk, part: PartDoc, name: str, bar: Line, width: int, glyphs: Glyphs) -> list[Line]:
    """The part's row; ``bar`` is its span. What is short of room at the end is the faults."""
    held = part["id"] == desk.work.part_id
    last = part["grades"][-1] if part["grades"] else None
    grade = shown_grade(last["grade"], last["shade"]) if last else "--"
    head: Line = [
        (glyphs.hand + " " if held else "  ", "hand"),
        *fill([(cut_name(name), "hand" if held else ""), (grade, "bold" if last else "dim")], HEAD - 2),
    ]
    row = [*head, *bar]
    if part["faults"]:
        row += [(" ", ""), *faults_in_short(desk, part)]
    return [cut(row, width)]


def cut_name(name: str) -> str:
    return f"{name[:7]:<8}"
