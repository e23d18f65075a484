"""Grades, faults and what they allow: events and defects of the part in the hand."""

from functools import partial
from typing import Literal, NamedTuple

from benchtui.books.cautions import said
from benchtui.books.faults import above, allowed, ceiling_of
from benchtui.books.intact import Sound, sound_of
from benchtui.desk.ask.asking import ahead, next_question
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import part_is_here
from benchtui.desk.hand.hand import go_on
from benchtui.desk.line.lines import open_line
from benchtui.model.grade import Fault, Severity, Shade
from benchtui.model.naming import part_name, side_grades, with_the
from benchtui.model.record import (
    FaultDoc,
    GradeDoc,
    PartDoc,
    RecordDoc,
    SetApartDoc,
    half_words,
    halves_of,
    is_here,
    new_id,
    part_of,
    ungraded_half,
)

COUNTED = "ticks"
"""What is counted; all else is measured."""


def example_of(unit: str) -> str:
    """A measure as it is typed."""
    return "3 near the start" if unit == COUNTED else "4.5 bottom edge"


def shown_grade(grade: str, shade: str) -> str:
    """``VG+`` as it is written on slips and screens."""
    return f"{grade}{shade}"


def give(desk: Desk, record: RecordDoc, part: PartDoc, grade_id: str, shade: Shade) -> None:
    """Write a grade event: as arrived, until it was cleaned or played; notes of a play test stay with it."""
    name = part_name(record, part) + (f" {half_words(desk.work.side)}" if desk.work.side else "")
    with dated(desk, f"record {record['no']}, {name}: {shown_grade(grade_id, shade)}") as change:
        changed = part_of(desk.changed(change), part["id"])
        assert changed is not None
        when = occasion(record, part)
        events = changed["grades"]
        event: GradeDoc = {
            "when": when,
            "side": desk.work.side,
            "grade": grade_id,
            "shade": shade,
            "scale": desk.scale.id,
            "at": desk.now(),
        }
        same = [one for one in events if (one["side"], one["when"]) == (desk.work.side, when)]
        if same and (same[-1] is events[-1] or (desk.work.parcel and desk.work.parcel.closed)):
            events.remove(same[-1])
            event = {**same[-1], **event}
        events.append(event)
        if changed["kind"] == "extra" and changed.get("state", "unknown") == "unknown":
            changed["state"] = "present"
            desk.asking.asked = next_question(desk, desk.changed(change))
        desk.work.held, desk.work.graded_side = False, desk.work.side
        if desk.work.part_id == part["id"]:
            desk.work.side = ungraded_half(changed) or desk.work.side
    desk.work.graded_at = desk.tally.keys_pressed
    warn_above_ceiling(desk, part["id"])


def occasion(record: RecordDoc, part: PartDoc) -> Literal["arrived", "cleaned", "played"]:
    """After a cleaning or a play test the next grade is the one after it; it never falls back."""
    done = {
        chore["what"] for chore in record["chores"] if chore["done"] and chore["part"] in (part["id"], "")
    }
    given = {event["when"] for event in part["grades"]}
    if "play-test" in done or "played" in given:
        return "played"
    return "cleaned" if "clean" in done or "cleaned" in given else "arrived"


def above_ceiling(desk: Desk, part: PartDoc, half: str = "") -> str:
    """What to say where a grade stands above what the faults of the part, or of that half, allow; else ""."""
    standing = side_grades(part)
    for side, event in standing.items():
        limit = ceiling_of(part["faults"], desk.scale, desk.references.faults, side)
        if half not in ("", side) and "" not in standing:
            continue
        if limit is None or event["scale"] != desk.scale.id or desk.scale.by_id(event["grade"]) is None:
            continue
        if above(event["grade"], event["shade"], limit, desk.scale):
            given = f"{half_words(side)} {shown_grade(event['grade'], event['shade'])}".strip()
            allowed = shown_grade(limit.grade, limit.shade)
            return f"{given} is above {allowed}, the best that '{limit.fault}' allows"
    return ""


def warn_above_ceiling(desk: Desk, part_id: str) -> None:
    """Say so, and keep the hand on the part: the next grade is meant to put that right."""
    record = desk.work.record
    part = part_of(record, part_id) if record else None
    warning = above_ceiling(desk, part, desk.work.side) if part else ""
    if warning:
        desk.say(f"{desk.open.message}; {warning}", "clash")
        desk.work.held = desk.work.held or (desk.work.part_id == part_id and not desk.work.side)


def _named_is_here(desk: Desk) -> str:
    """Of the part that the prompt names, which the key takes up."""
    return "" if ahead(desk) is not None else part_is_here(desk)


def _part_is_there(desk: Desk) -> object:
    return desk.work.part is not None and is_here(desk.work.part)


@command(
    "fault",
    "bench",
    "note a fault: which, where, how bad",
    short="fault",
    group="Grade",
    also="defect damage scratch scuff warp tear split stain mould",
    legend=Legend(record=70, when=_part_is_there),
    needs=[_named_is_here],
    often=30,
    order=310,
)
def fault_menu(desk: Desk) -> None:
    go_on(desk)
    record, part = desk.record, desk.part
    present, said = {fault["fault"] for fault in part["faults"]}, part.get("sound", [])
    choices = [
        Choice(
            fault.key,
            fault.text,
            partial(severity_menu, desk, fault),
            "•" if fault.id in present else "",
            _allows(desk, fault),
        )
        for fault in desk.references.faults
        if part["kind"] in fault.parts
    ]
    choices += [
        Choice(
            str(one.digit),
            one.text,
            partial(note_sound, desk, one),
            "•" if one.id in said else "",
            ("sound",),
        )
        for one in sound_of(part["kind"])
    ]
    side = f" {half_words(desk.work.side)}" if desk.work.side else ""
    desk.open.menu = Menu(
        f"Fault of {with_the(part_name(record, part))}{side}",
        tuple(choices),
        "letter: the fault, then how bad; digit: what is sound; • noted; at the right: grades it allows",
        "fault",
    )


class Spot(NamedTuple):
    """Where on the part a fault is: the half it is noted of ("" for the whole), and words for the rest."""

    half: str
    words: str = ""


FACES = (
    ("f", "front", "on the front"),
    ("b", "back", "on the back"),
    ("s", "spine", "on the spine"),
    ("i", "inside", "inside"),
    ("t", "top", "at the top"),
    ("d", "bottom", "at the bottom"),
    ("o", "opening", "at the opening"),
)
"""Where a fault of a cover, an inner or a wrap may be: a key, what is noted, the words of the choice."""
_WHOLE, _EDGE, _MEASURE = "w", "r", "m"
"""Keys for the whole disc, for its edge, and for the line in which a fault is measured."""


def severity_menu(desk: Desk, fault: Fault, spot: Spot | None = None) -> None:
    """One digit says how bad, a letter before it where; a fault of one degree is noted at once."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    at = spot or Spot(desk.work.side)
    noted = any(other["fault"] == fault.id and other["place"] == at.half for other in part["faults"])
    if len(fault.severities) == 1 and not noted and spot is None:
        note_fault(desk, fault, fault.severities[0])
        return
    choices = [
        Choice(
            str(severity.digit),
            severity.text,
            partial(note_fault, desk, fault=fault, severity=severity, spot=at),
            ends=_at_best(desk, severity),
        )
        for severity in fault.severities
    ]
    choices += measure_choice(desk, fault)
    if noted:
        choices.append(
            Choice("0", "not there after all", partial(drop_fault, desk, fault=fault, half=at.half))
        )
    choices += _places(desk, part, fault, at)
    where = " ".join(filter(None, (half_words(at.half), at.words)))
    about = "a letter says where; at the right: the best grade it allows"
    title = f"{fault.text}{f', {where}' if where else ''}: how bad?"
    desk.open.menu = Menu(title, tuple(choices), about, "severity", back=partial(fault_menu, desk))


def _places(desk: Desk, part: PartDoc, fault: Fault, at: Spot) -> list[Choice]:
    """Where on the part, a key each: a disc's sides, a box's halves, the faces of what is flat."""
    spots = [
        (_key_of(half, n), f"on {half_words(half)}", Spot(half)) for n, half in enumerate(halves_of(part))
    ]
    if part["kind"] == "disc":
        spots += [(_WHOLE, "the whole disc", Spot("")), (_EDGE, "at the edge", Spot("", "edge"))]
    if not spots and part["kind"] in ("cover", "inner", "wrap"):
        spots = [(key, words, Spot("", face)) for key, face, words in FACES]
    return [
        Choice(key, words, partial(severity_menu, desk, fault=fault, spot=one), "•" if one == at else "")
        for key, words, one in spots
    ]


def _key_of(half: str, n: int) -> str:
    """A half's own letter; of the seventh disc on a side may have one that says something else here."""
    key = half[0].casefold()
    return "ab"[n] if key in (_WHOLE, _EDGE, _MEASURE) else key


def measure_choice(desk: Desk, fault: Fault) -> tuple[Choice, ...]:
    """The choice that opens the line, for a fault whose severities are measured; none for others."""
    measured = [severity for severity in fault.severities if severity.upto is not None]
    if not measured:
        return ()
    return (
        Choice(
            _MEASURE,
            f"measure it: how many {measured[0].unit}, and where",
            partial(open_measure, desk, fault),
        ),
    )


def open_measure(desk: Desk, fault: Fault) -> None:
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    unit = fault.severities[0].unit
    about = f"{part_name(record, part)}: how many {unit}, then where if you like: {example_of(unit)}"
    label = f"{fault.text}, {unit}"
    desk.say("")  # what was said before would hide what the line wants
    open_line(desk, "fault-amount", label, about=about, fault=fault.id, of=part["id"])


def _at_best(desk: Desk, severity: Severity) -> tuple[str, ...]:
    """The best grade it still allows under the shop's scale, in words long and short."""
    step = allowed(severity, desk.scale)
    return (f"to {step.text()} at best", f"to {step.text()}") if step else ("any grade", "any")


def _allows(desk: Desk, fault: Fault) -> tuple[str, ...]:
    """``NM to VG``: the best grades that its mildest and its worst degree still allow."""
    steps = [allowed(severity, desk.scale) for severity in fault.severities]
    found = [step.text() if step else "any" for step in (steps[0], steps[-1])]
    return (" to ".join(dict.fromkeys(found)),)


def note_fault(
    desk: Desk, fault: Fault, severity: Severity, amount: str = "", note: str = "", spot: Spot | None = None
) -> None:
    """Write the fault, with the chore it asks for; mould and smell set the record apart at once.

    ``amount``: what was measured, in the severity's unit; ``note``: where on the part.
    """
    at = spot or Spot(desk.work.side)
    note = note or at.words
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    name = part_name(record, part)
    degree = f"{amount} {severity.unit}" if amount else severity.text
    degree = ", ".join(filter(None, (degree, half_words(at.half) if spot else "", note)))
    with desk.act(f"record {record['no']}, {name}: {fault.text}, {degree}") as change:
        put_fault(desk, desk.changed(change), part["id"], fault, severity, at.half, amount, note)
    mind = "; ".join(map(said, fault.cautions))
    if fault.apart:
        desk.say(
            f"{fault.text}: set apart, in nothing that goes to buyers or senders. Caution: {mind}", "clash"
        )
    elif mind:
        desk.say(f"{desk.open.message}. Caution: {mind}", "done")
    warn_above_ceiling(desk, part["id"])


def put_fault(
    desk: Desk, record: RecordDoc, part_id: str, fault: Fault, severity: Severity, half: str = "",
    amount: str = "", note: str = "",
) -> None:  # fmt: skip
    """The fault into a record that is being changed, in place of what stood of it there."""
    changed = part_of(record, part_id)
    assert changed is not None
    _without(changed, fault, half)
    noted: FaultDoc = {"fault": fault.id, "severity": severity.id, "place": half, "at": desk.now()}
    if amount:
        noted["amount"] = amount
    if amount or note:
        noted["note"] = note
    changed["faults"].append(noted)
    if work := fault.work(severity.id):
        _chore_by_rule(desk, record, work, part_id, fault)
    else:
        _chore_no_more(desk, record, fault, changed)
    if fault.apart:
        apart: SetApartDoc = {"why": fault.apart, "note": fault.text, "at": desk.now(), "fault": fault.id}
        record["set_apart"] = apart


def note_sound(desk: Desk, sound: Sound) -> None:
    """Say that it is so, by one key; the same key again takes it back."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    standing = sound.id in part.get("sound", [])
    said = f"taken back: {sound.text}" if standing else sound.text
    with desk.act(f"record {record['no']}, {part_name(record, part)}: {said}") as change:
        changed = part_of(desk.changed(change), part["id"])
        assert changed is not None
        kept = [one for one in changed.get("sound", []) if one != sound.id]
        changed["sound"] = kept if standing else [*kept, sound.id]


def drop_fault(desk: Desk, fault: Fault, half: str) -> None:
    """Take a fault back by name, with the chore it had asked for."""
    record, part = desk.work.record, desk.work.part
    if record is None or part is None:
        return
    with desk.act(f"record {record['no']}, {part_name(record, part)}: no {fault.text}") as change:
        copy = desk.changed(change)
        changed = part_of(copy, part["id"])
        assert changed is not None
        _without(changed, fault, half)
        _chore_no_more(desk, copy, fault, changed)


def _without(part: PartDoc, fault: Fault, side: str) -> None:
    part["faults"] = [f for f in part["faults"] if not (f["fault"] == fault.id and f["place"] == side)]


def _chore_no_more(desk: Desk, record: RecordDoc, fault: Fault, part: PartDoc) -> None:
    """The work that the fault had called for, and that is not done yet, goes with it, unless another fault of
    the part calls for it still.
    """
    by_id = {one.id: one for one in desk.references.faults}
    noted = [(by_id.get(doc["fault"]), doc["severity"]) for doc in part["faults"]]
    still = {one.work(severity) for one, severity in noted if one is not None}
    left = {doc["fault"] for doc in part["faults"]} - {fault.id}
    asked = {fault.work(severity.id) for severity in fault.severities}  # by a version that named no fault
    record["chores"] = [
        chore
        for chore in record["chores"]
        if chore["done"]
        or chore["by"] != "rule"
        or chore["part"] != part["id"]
        or chore["what"] in still
        or (chore["fault"] in left if "fault" in chore else chore["what"] not in asked)
    ]


def _chore_by_rule(desk: Desk, record: RecordDoc, what: str, part_id: str, fault: Fault) -> None:
    for chore in record["chores"]:
        if chore["what"] == what and chore["part"] == part_id and not chore["done"]:
            return
    record["chores"].append(
        {
            "id": new_id("c"),
            "what": what,
            "part": part_id,
            "note": fault.text,
            "fault": fault.id,
            "by": "rule",
            "at": desk.now(),
            "done": None,
        }
    )
