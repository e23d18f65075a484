"""Grades above what the faults allow: legal, but marked, with the fault named."""

from benchtui.books.faults import above, ceiling
from benchtui.export.items import Item
from benchtui.export.telling import BETWEEN
from benchtui.export.wording import Wording, grade_text, part_name
from benchtui.model.naming import side_grades
from benchtui.model.record import PartDoc, is_here


def too_high(words: Wording, part: PartDoc) -> str:
    """``NM is above VG, the best that 'seam split, up to 8 cm' allows``, or "" where faults allow it."""
    for side, event in side_grades(part).items():
        scale = words.scales.get(event["scale"])
        if scale is None or scale.by_id(event["grade"]) is None:
            continue
        limit = ceiling(part, tuple(words.faults.values()), scale, side)
        if limit and above(event["grade"], event["shade"], limit, scale):
            given = f"{side} {grade_text(event)}".strip()
            return f"{given} is above {limit.grade}{limit.shade}, the best that '{limit.fault}' allows"
    return ""


def all_too_high(item: Item, words: Wording) -> str:
    """The same for every part of the record."""
    here = [part for part in item.record["parts"] if is_here(part)]
    said = [(part, too_high(words, part)) for part in here]
    return BETWEEN.join(f"{part_name(item.record, part)}: {text}" for part, text in said if text)
