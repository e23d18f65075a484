"""The keys that grade the part in the hand: the scale's letters, shades, the scale as a list."""

from benchtui.desk import grading
from benchtui.desk.command import Legend, command, family
from benchtui.desk.core import Choice, Desk, Menu, doing
from benchtui.desk.needs import part_in_hand, unless
from benchtui.desk.runout import write_same
from benchtui.model.grade import Shade
from benchtui.model.naming import part_name
from benchtui.model.record import is_here, latest_grade


@family("grade:", "bench", one_write=True)
def grade(desk: Desk, grade_id: str) -> None:
    """Grade the part in the hand; the letter again takes a shade away."""
    record, part = desk.work.record, desk.work.part
    if record is not None and record["title"] is None and part is None:
        desk.refuse(f"no title yet: {desk.key('find-title')} finds or makes one")
        return
    if record is None or part is None:
        desk.refuse(f"choose a part first: {desk.key('next-part')} takes the next")
        return
    if not is_here(part):
        desk.refuse(f"{part_name(record, part)} is not there, so it cannot be graded")
        return
    grading.give(desk, record, part, grade_id, "")


def shade_by(desk: Desk, sign: Shade) -> None:
    """Shade the last grade of the part: + and - cancel one another."""
    record, part = desk.work.record, desk.work.part
    last = latest_grade(part, desk.work.side) if part else None
    if record is None or part is None or last is None:
        desk.refuse("grade the part first, then shade it")
        return
    shade: Shade = "" if last["shade"] not in ("", sign) else sign
    grading.give(desk, record, part, last["grade"], shade)


def _graded(desk: Desk) -> str:
    return unless(_has_grade(desk), "no grade to shade yet")


def _has_grade(desk: Desk) -> object:
    return (
        desk.work.part is not None
        and is_here(desk.work.part)
        and latest_grade(desk.work.part, desk.work.side)
    )


@command(
    "shade-up",
    "bench",
    "shade the grade up",
    short="shade up",
    group="Grade",
    also="plus better raise",
    legend=Legend(record=240, when=_has_grade),
    needs=[_graded],
    order=280,
)
def shade_up(desk: Desk) -> None:
    """A shade up; while a second runout is asked of a part without a grade, its sign says: as the first."""
    ungraded = desk.work.part is not None and not desk.work.part["grades"]
    if ungraded and write_same(desk):
        return
    shade_by(desk, "+")


@command(
    "shade-down",
    "bench",
    "shade the grade down",
    short="shade down",
    group="Grade",
    also="minus worse lower",
    legend=Legend(record=250, when=_has_grade),
    needs=[_graded],
    order=290,
)
def shade_down(desk: Desk) -> None:
    shade_by(desk, "-")


@command(
    "grade-ladder",
    "bench",
    "choose the grade from a list",
    short="grades",
    group="Grade",
    also="condition scale mint ladder",
    needs=[part_in_hand],
    order=300,
)
def ladder(desk: Desk) -> None:
    """The scale as a list, each step by a digit: for maps that keep no letters for grades."""
    if desk.work.part is None:
        desk.refuse("choose a part first")
        return
    steps = [grade for grade in desk.scale.grades if not grade.shade]
    choices = [
        Choice(str(n), f"{step.id}  {step.criteria(desk.work.part['kind'])}", doing(grade, step.id))
        for n, step in enumerate(steps, 1)
    ]
    if latest_grade(desk.work.part, desk.work.side) is not None and len(choices) <= 8:
        choices += [Choice("9", "a shade up", shade_up), Choice("0", "a shade down", shade_down)]
    desk.open.menu = Menu(f"Grade, {desk.scale.name}", tuple(choices), name="grade")
