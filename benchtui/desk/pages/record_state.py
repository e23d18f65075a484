"""The state of the thing on the record's page: every grade with its day, faults with what they allow."""

from benchtui.books.faults import Ceiling, above, allowed, ceiling
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.page_parts import SIGNS, Para, Section, Text, Words, says, words
from benchtui.desk.hand import hand
from benchtui.desk.record.describing import wording
from benchtui.export.wording import WHEN_WORDS
from benchtui.model.earlier import local_day
from benchtui.model.grade import Scale
from benchtui.model.naming import side_grades
from benchtui.model.record import FaultDoc, GradeDoc, HeardDoc, PartDoc, RecordDoc, half_words, is_here

NAME, STEP = 16, 6
"""Cells for the part with its side, and for the grade; the words beside them begin after both."""
BESIDE = 2 + NAME + STEP


def grades(desk: Desk, record: RecordDoc) -> list[Section]:
    """Grades are events: all of them, part by part; a sign before those the description claims."""
    graded = [part for part in hand.in_hand_order(record) if part["grades"]]
    if not graded:
        return [Text((), (("Grades", "bold"), ("  none yet", "dim")), "grades")]
    heading = (("Grades", "bold"), (f"  {SIGNS['done']} is what the description claims", "dim"))
    return [Text(tuple(line for part in graded for line in _events(desk, record, part)), heading, "grades")]


def _events(desk: Desk, record: RecordDoc, part: PartDoc) -> list[Para]:
    claimed = side_grades(part).values() if is_here(part) else ()
    lines: list[Para] = []
    for event in part["grades"]:
        stands = any(event is one for one in claimed)
        name = hand.part_name(record, part) + (f" {half_words(event['side'])}" if event["side"] else "")
        lead = (
            (f"{SIGNS['done'] if stands else ' '} ", "good"),
            (_named(name), ""),
            (f"{event['grade'] + event['shade']:<{STEP}}", "bold" if stands else "dim"),
        )
        said = words(f"{local_day(event['at'])}  {_words(desk, event)}", "dim")
        lines.append(Para((*said, *_too_high(desk, part, event, stands)), lead=lead))
        lines += [says(heard, "", BESIDE, 2) for heard in _heard(event)]
    return lines


def _named(name: str) -> str:
    """The part's name in its column, cut where a long one would push the grade away."""
    return f"{name if len(name) < NAME else name[: NAME - 2] + '…':<{NAME}}"


def _words(desk: Desk, event: GradeDoc) -> str:
    scale = desk.references.scales.get(event["scale"])
    return f"{WHEN_WORDS[event['when']]}, {scale.name if scale else event['scale']} scale"


def _too_high(desk: Desk, part: PartDoc, event: GradeDoc, stands: bool) -> Words:
    """Allowed, but marked: a grade that stands above what the part's faults allow."""
    scale = desk.references.scales.get(event["scale"])
    if scale is None or not stands or scale.by_id(event["grade"]) is None:
        return ()
    limit = ceiling(part, desk.references.faults, scale, event["side"])
    if not above(event["grade"], event["shade"], limit, scale):
        return ()
    return words("  above what its faults allow", "clash")


def _heard(event: GradeDoc) -> list[str]:
    """What the play test noted, a line a position."""
    notes = event.get("heard")
    if event["when"] != "played" or notes is None:
        return []
    said = [_note(one) for one in notes] or ["nothing heard"]
    stylus = event.get("stylus")
    return [*said, f"stylus {stylus}"] if stylus else said


def _note(one: HeardDoc) -> str:
    ticks = f"{one['ticks']} {'tick' if one['ticks'] == '1' else 'ticks'}" if one["ticks"] else ""
    return ", ".join(filter(None, (one["position"], ticks, one["noise"])))


def faults(desk: Desk, record: RecordDoc) -> list[Section]:
    """Every fault with the highest grade it allows and the ground of that."""
    faulty = [part for part in hand.in_hand_order(record) if part["faults"]]
    if not faulty:
        return [Text((), (("Faults", "bold"), ("  none noted", "dim")), "faults")]
    lines: list[Para] = []
    for part in faulty:
        for n, doc in enumerate(part["faults"]):
            lines += _fault(desk, hand.part_name(record, part) if n == 0 else "", doc)
        limit = ceiling(part, desk.references.faults, desk.scale)
        if limit is not None and len(part["faults"]) > 1:
            lines.append(_together(limit))
    heading = (("Faults", "bold"), (f"  with the best grade each allows, {desk.scale.name}", "dim"))
    return [Text(tuple(lines), heading, "faults")]


def _fault(desk: Desk, name: str, doc: FaultDoc) -> list[Para]:
    step, ground = _allowed(desk, doc, desk.scale)
    text = f"{wording(desk).fault_text(doc)} ({local_day(doc['at'])})"
    lead = (("  ", ""), (_named(name), ""), (f"{step:<{STEP}}", "bold"))
    return [Para(words(text), lead=lead), says(ground, "dim", BESIDE)]


def _allowed(desk: Desk, doc: FaultDoc, scale: Scale) -> tuple[str, str]:
    """``VG+`` and its ground; a fault without a limit says so, one the list has lost too."""
    severity = wording(desk).severity(doc)
    if severity is None:
        return "-", "no longer in the list of faults: sets no limit"
    step = allowed(severity, scale)
    return (step.text(), severity.ground) if step else ("any", f"no limit on this scale; {severity.ground}")


def _together(limit: Ceiling) -> Para:
    return says(f"together at most {limit.grade}{limit.shade}: {limit.fault}", "warn", BESIDE, 2)
