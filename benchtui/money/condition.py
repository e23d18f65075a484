"""What a copy's condition does to its price: disc and cover weighed apart, completeness, agreement."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from benchtui.model.grade import Scale
from benchtui.model.naming import side_grades
from benchtui.model.record import RecordDoc, parts_of
from benchtui.model.wear import GRADES, NOT_THERE, Wear, wear_of
from benchtui.money.policy import Policy

Scales = Mapping[str, Scale]


class Condition(NamedTuple):
    """Grade factors of disc and cover: shares of the top grade's price.

    None: not graded, or none was issued, so the other has all the weight; 0: there should be one and is not.
    ``missing`` extras and ``swapped`` parts are counts.
    """

    disc: Fraction | None
    cover: Fraction | None
    missing: int = 0
    swapped: int = 0

    def worth(self, policy: Policy) -> Fraction | None:
        """This copy's share of a perfect complete copy's price; None while nothing is graded."""
        if self.disc is None and self.cover is None:
            return None
        share = policy.disc_weight
        disc, cover = self.disc, self.cover
        grades = share * (cover if disc is None else disc) + (1 - share) * (disc if cover is None else cover)  # type: ignore[operator]
        return grades * policy.missing_extra**self.missing * policy.swapped**self.swapped


def factor_of(scale_id: str, grade: str, scales: Scales, policy: Policy) -> Fraction | None:
    """A grade's share of the top grade's price: the shop's own figure, else the scale's; None if unknown.

    ``grade`` may carry its shade ("VG+"); with one that is no step of the scale it lies halfway to the next
    step that way, as it does among the grades.
    """
    scale, own = scales.get(scale_id), policy.factors.get(scale_id, {})
    if scale is None or grade in own:
        return own.get(grade)
    if step := scale.by_id(grade):
        return Fraction(step.factor)
    base = scale.by_id(grade[:-1]) if grade[-1:] in ("+", "-") else None
    if base is None:
        return None
    beside = base.order + (1 if grade[-1] == "-" else -1)
    steps = [base, *scale.grades[beside : beside + 1]] if beside >= 0 else [base]
    return sum((own.get(one.id, Fraction(one.factor)) for one in steps), Fraction(0)) / len(steps)


def condition_of(record: RecordDoc, scales: Scales, policy: Policy) -> Condition:
    """The record's condition as it is now."""
    return condition_worn(wear_of(record), scales, policy)


def condition_worn(wear: Wear, scales: Scales, policy: Policy) -> Condition:
    """Of several discs or sides the worst, of cover or box the worst; what is lost is 0."""
    disc, cover = (_worst(grades, scales, policy) for grades in (wear.disc, wear.cover))
    return Condition(disc, cover, wear.missing, wear.swapped)


def is_graded(record: RecordDoc) -> bool:
    """Whether every disc, cover and box that is there has a grade."""
    counting = [part for kind in ("disc", "cover", "box") for part in parts_of(record, kind)]
    return all(part["grades"] for part in counting)


def _worst(grades: str, scales: Scales, policy: Policy) -> Fraction | None:
    if grades == NOT_THERE:
        return Fraction(0)
    each = (grade.split(":", 1) for grade in filter(None, grades.split(GRADES)))
    found = (factor_of(scale, grade, scales, policy) for scale, grade in each)
    return min((factor for factor in found if factor is not None), default=None)


def grades_in_words(record: RecordDoc) -> str:
    """``disc VG+, cover VG``: the latest grade of each disc, cover and box; sides named where they differ."""
    words = []
    several = len(parts_of(record, "disc")) > 1
    for part in [part for kind in ("disc", "cover", "box") for part in parts_of(record, kind)]:
        sides = {side: event["grade"] + event["shade"] for side, event in side_grades(part).items()}
        if sides:
            number = f" {part.get('number', 1)}" if several and part["kind"] == "disc" else ""
            alike = len(set(sides.values())) == 1
            steps = [grade if alike else f"{side} {grade}" for side, grade in sides.items()]
            steps = steps[:1] if alike else steps
            words.append(f"{part['kind']}{number} {' '.join(steps)}")
    return ", ".join(words)
