"""Regrading blind without a sheet: a sample drawn from the stock, kept item by item, and what it says.

An item is a plain document, so that the shop keeps it: ``stock shelf artist title part scale`` say what to
take from the shelf, ``first`` and ``month`` the grade that stood when the sample was drawn (never shown
before the end), ``given`` the step given now, "" not yet and "-" passed over.
"""

import random
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchtui.export.items import Item
from benchtui.export.regrade import Regrading, gradable, result_of_pairs, standing_grade
from benchtui.export.wording import Wording, local_day, part_name
from benchtui.model.agreement_of_graders import Pair
from benchtui.model.grade import Scale
from benchtui.model.record import PartDoc
from benchtui.money.standings import standing

PASSED = "-"
FIELDS = ("stock", "shelf", "artist", "title", "part", "scale", "first", "month", "given")
Asked = dict[str, str]


def gradable_items(items: Iterable[Item], words: Wording) -> Iterator[Asked]:
    """Every graded part in stock as an item of a sample, nothing given yet."""
    for item, part in gradable(items, words):
        if (asked := _asked(item, part, words)) is not None:
            yield asked


def _asked(item: Item, part: PartDoc, words: Wording) -> Asked | None:
    grade, title = standing_grade(part, words), item.record["title"]
    scale = words.scales.get(grade["scale"]) if grade else None
    step = scale.step(grade["grade"], grade["shade"]) if scale and grade else None
    if grade is None or scale is None or step is None:
        return None
    day = local_day(grade["at"])
    return {
        "stock": item.stock,
        "shelf": standing(item.record).shelf,
        "artist": title["artist"] if title else "",
        "title": title["title"] if title else "",
        "part": part_name(item.record, part),
        "scale": scale.id,
        "first": step.id,
        "month": f"{day:%Y-%m}" if day else "",
        "given": "",
    }


def draw_sample(found: Sequence[Asked], size: int, seed: int) -> list[Asked]:
    """So many of them at random, by stock number; the seed repeats it."""
    chosen = random.Random(seed).sample(list(found), min(size, len(found)))
    return sorted(chosen, key=lambda asked: asked["stock"])


def kept_sample(doc: Any) -> list[Asked]:
    """The sample as the shop keeps it; one that cannot be read (edited by hand) is none."""
    rows = doc.get("items") if isinstance(doc, Mapping) else None
    if not isinstance(rows, list):
        return []
    whole = all(
        isinstance(row, dict) and all(isinstance(row.get(name), str) for name in FIELDS) for row in rows
    )
    return [dict(row) for row in rows] if whole else []


def step_read(scale: Scale, text: str) -> str | None:
    """The step that ``VG+`` (in capitals or not) or the scale's letter (``v+``) means, or None."""
    wanted = "".join(text.split()).casefold()
    names = {grade.id.casefold(): grade for grade in scale.grades}
    for shade in ("", "+", "-"):
        base = wanted.removesuffix(shade) if shade else wanted
        if shade and base == wanted:
            continue
        grade = names.get(base) or (scale.by_key(base) if len(base) == 1 else None)
        twice = bool(shade and grade and grade.shade)
        found = scale.read(grade.id + shade) if grade and not twice else None
        step = scale.step(*found) if found else None
        if step is not None:
            return step.id
    return None


def sample_results(sample: Iterable[Asked], scales: Mapping[str, Scale]) -> tuple[list[Regrading], int]:
    """One result a scale of what was given; and how many are left out, their scale being changed since."""
    pairs: dict[str, list[Pair]] = {}
    left_out = 0
    for asked in sample:
        if asked["given"] in ("", PASSED):
            continue
        scale = scales.get(asked["scale"])
        if scale is None or not {asked["first"], asked["given"]} <= {grade.id for grade in scale.grades}:
            left_out += 1
            continue
        pairs.setdefault(scale.id, []).append(Pair(asked["first"], asked["given"], asked["month"]))
    return [result_of_pairs(scales[scale], found) for scale, found in pairs.items()], left_out
