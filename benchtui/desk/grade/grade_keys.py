"""The keys that grade the part in the hand: the scale's letters, shades, the scale as a list."""

from functools import partial

from benchtui.desk.ask.asking import ahead, target
from benchtui.desk.core.command import Legend, command, family
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.needs import part_in_hand, part_is_here, unless
from benchtui.desk.grade import grading
from benchtui.desk.hand import hand
from benchtui.desk.look.runout import SAME, as_the_first, write_side
from benchtui.model.grade import Shade
from benchtui.model.naming import part_name
from benchtui.model.record import GradeDoc, PartDoc, is_here, latest_grade


@family("grade:", "bench", one_write=True)
def grade(desk: Desk, grade_id: str) -> None:
    """Grade the part that the prompt names."""
    hand.go_on(desk)
    record, part = desk.record, desk.part
    if said := part_is_here(desk):
        desk.refuse(said)
        return
    side = desk.work.side
    grading.give(desk, record, part, grade_id, "")
    if desk.open.tone == "done" and (target(desk), desk.work.side) != (part["id"], side):
        desk.say(f"{desk.open.message}; {desk.key('undo')} takes it back", "done")


def shade_by(desk: Desk, sign: Shade) -> None:
    """Shade the grade given by the key before, or that of a part taken by its own key: + and - cancel one
    another. Later the key would change an old grade that nobody looks at; a grade's letter gives it anew, and
    the list of all commands shades by name.
    """
    by_name = desk.work.pressed not in ("shade-up", "shade-down")
    meant = _just_graded(desk) or desk.work.held or by_name
    if not _just_graded(desk):
        hand.go_on(desk)
    part = desk.work.part
    if not meant and part is not None and _last_grade(desk, part) is not None:
        name = part_name(desk.work.record, part) if desk.work.record else "part"
        desk.refuse(f"a shade goes directly after a grade: grade the {name} again, then shade it")
        return
    shade(desk, sign)


def _just_graded(desk: Desk) -> bool:
    """Whether the key before gave a grade, or shaded it."""
    return desk.work.graded_at >= 0 and desk.work.graded_at == desk.tally.keys_pressed - 1


def shade(desk: Desk, sign: Shade) -> None:
    """Shade the last grade of the part in the hand."""
    record, part = desk.work.record, desk.work.part
    last = _last_grade(desk, part) if part else None
    if record is None or part is None or last is None:
        desk.refuse("grade the part first, then shade it")
        return
    desk.work.side = last["side"]
    now: Shade = "" if last["shade"] not in ("", sign) else sign
    grading.give(desk, record, part, last["grade"], now)


def _last_grade(desk: Desk, part: PartDoc) -> GradeDoc | None:
    """Of the half in the hand; where that has none, of the half that was graded last."""
    return latest_grade(part, desk.work.side) or latest_grade(part, desk.work.graded_side)


def _graded(desk: Desk) -> str:
    return unless(_has_grade(desk), "grade the part first, then shade it")


def _as_first(desk: Desk) -> str:
    """The second side of the disc, where the key means that its runout reads as the first; "" else."""
    by_key = desk.work.pressed == "shade-up" and not _just_graded(desk)
    return as_the_first(desk) if by_key else ""


def _graded_or_asked(desk: Desk) -> str:
    return "" if _as_first(desk) else _graded(desk)


def _has_grade(desk: Desk) -> object:
    return desk.work.part is not None and is_here(desk.work.part) and _last_grade(desk, desk.work.part)


def _to_shade(desk: Desk) -> object:
    """Whether the next key may shade: a grade was just given, or the part was taken by its own key."""
    return _has_grade(desk) and (desk.work.held or desk.work.graded_at == desk.tally.keys_pressed)


@command(
    "shade-up",
    "bench",
    "shade the grade up",
    short="shade up",
    group="Grade",
    also="plus better raise",
    legend=Legend(record=240, when=_to_shade),
    needs=[_graded_or_asked],
    order=280,
)
def shade_up(desk: Desk) -> None:
    """A shade up; while a second runout is asked and no grade was given just before, its sign says: as the
    first."""
    if side := _as_first(desk):
        write_side(desk, side, SAME)
    else:
        shade_by(desk, "+")


@command(
    "shade-down",
    "bench",
    "shade the grade down",
    short="shade down",
    group="Grade",
    also="minus worse lower",
    legend=Legend(record=250, when=_to_shade),
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
    following = ahead(desk)
    part = following.part if following is not None else desk.part
    steps = [grade for grade in desk.scale.grades if not grade.shade]
    choices = [
        Choice(str(n), f"{step.id}  {step.criteria(part['kind'])}", partial(grade, desk, step.id))
        for n, step in enumerate(steps, 1)
    ]
    meant = desk.work.part if following is None or _just_graded(desk) else None
    if meant is not None and _last_grade(desk, meant) is not None and len(choices) <= 8:
        of = f" for the {part_name(desk.work.record, meant)}" if following and desk.work.record else ""
        choices += [
            Choice("9", f"a shade up{of}", partial(shade, desk, sign="+")),
            Choice("0", f"a shade down{of}", partial(shade, desk, sign="-")),
        ]
    desk.open.menu = Menu(f"Grade, {desk.scale.name}", tuple(choices), name="grade")
