"""How a part and a record's grades are called wherever a line has room for a few words only."""

from collections.abc import Sequence

from benchtui.model.grade import Scale
from benchtui.model.record import GradeDoc, PartDoc, RecordDoc, halves_of, is_here


def part_name(record: RecordDoc, part: PartDoc) -> str:
    """``disc 2``, ``cover``, ``poster``: numbered only where there are several."""
    if part["kind"] == "extra":
        return part.get("name") or "extra"
    several = sum(1 for other in record["parts"] if other["kind"] == part["kind"]) > 1
    return f"{part['kind']} {part.get('number', 1)}" if several else part["kind"]


def grades_of(record: RecordDoc, scale: Scale | None = None) -> str:
    """``VG+/VG``: disc then cover; nothing where neither is graded.

    Of several discs or sides the lowest that holds by the scale; without a scale all that differ: ``VG+~VG``.
    """
    found = [_grades(record, kinds, scale) for kinds in (("disc",), ("cover", "box"))]
    return "" if found == ["", ""] else "/".join(words or "-" for words in found)


def _grades(record: RecordDoc, kinds: tuple[str, ...], scale: Scale | None) -> str:
    parts = [part for part in record["parts"] if part["kind"] in kinds and is_here(part)]
    return _in_words(parts, scale)


def part_grade(part: PartDoc, scale: Scale) -> str:
    """The part's grade, which is its lower side's; "" where it has none."""
    return _in_words([part], scale)


def _in_words(parts: Sequence[PartDoc], scale: Scale | None) -> str:
    events = [event for part in parts for event in side_grades(part).values()]
    if scale is not None and events and all(event["scale"] == scale.id for event in events):
        events = [min(events, key=lambda event: scale.rank(event["grade"], event["shade"]))]
    return "~".join(dict.fromkeys(f"{event['grade']}{event['shade']}" for event in events))


def side_grades(part: PartDoc) -> dict[str, GradeDoc]:
    """The grade that holds for each side, for a box's base and lid: the last event about it or all.

    A part graded only as a whole has the one key "".
    """
    events = part["grades"]
    if not any(event["side"] for event in events):
        return {"": events[-1]} if events else {}
    own, halves = {event["side"] for event in events} - {""}, halves_of(part)
    sides = halves if own <= set(halves) else tuple(sorted(own))
    last: dict[str, GradeDoc] = {}
    for side in sides:
        for event in events:
            if event["side"] in ("", side):
                last[side] = event
    return last


def with_the(name: str) -> str:
    """``the cover``, but ``disc 1``: a part with a number goes without the article."""
    return name if name[-1:].isdigit() else f"the {name}"
