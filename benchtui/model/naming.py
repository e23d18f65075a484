"""How a part and a record's grades are called wherever a line has room for a few words only."""

from benchtui.model.grade import Scale
from benchtui.model.record import GradeDoc, PartDoc, RecordDoc, is_here


def part_name(record: RecordDoc, part: PartDoc) -> str:
    """``disc 2``, ``cover``, ``poster``: numbered only where there are several."""
    if part["kind"] == "extra":
        return part.get("name") or "extra"
    several = sum(1 for other in record["parts"] if other["kind"] == part["kind"]) > 1
    return f"{part['kind']} {part.get('number', 1)}" if several else part["kind"]


def grades_of(record: RecordDoc, scale: Scale | None = None) -> str:
    """``VG+/VG``: disc then cover; nothing where neither is graded.

    Of several discs or sides the lowest by the scale; without a scale all that differ, ``VG+~VG``.
    """
    found = [_grades(record, kinds, scale) for kinds in (("disc",), ("cover", "box"))]
    return "" if found == ["", ""] else "/".join(words or "-" for words in found)


def _grades(record: RecordDoc, kinds: tuple[str, ...], scale: Scale | None) -> str:
    parts = [part for part in record["parts"] if part["kind"] in kinds and is_here(part)]
    events = [event for part in parts for event in latest_grades(part)]
    if scale is not None and events and all(event["scale"] == scale.id for event in events):
        events = [min(events, key=lambda event: scale.rank(event["grade"], event["shade"]))]
    return "~".join(dict.fromkeys(f"{event['grade']}{event['shade']}" for event in events))


def latest_grades(part: PartDoc) -> list[GradeDoc]:
    """The last grade of each side, and of the part as a whole."""
    return list({event["side"]: event for event in part["grades"]}.values())


def with_the(name: str) -> str:
    """``the cover``, but ``disc 1``: a part with a number goes without the article."""
    return name if name[-1:].isdigit() else f"the {name}"
