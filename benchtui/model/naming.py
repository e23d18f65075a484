"""How a part and a record's grades are called wherever a line has room for a few words only."""

from benchtui.model.record import GradeDoc, PartDoc, RecordDoc, is_here, latest_grade


def part_name(record: RecordDoc, part: PartDoc) -> str:
    """``disc 2``, ``cover``, ``poster``: numbered only where there are several."""
    if part["kind"] == "extra":
        return part.get("name") or "extra"
    several = sum(1 for other in record["parts"] if other["kind"] == part["kind"]) > 1
    return f"{part['kind']} {part.get('number', 1)}" if several else part["kind"]


def grades_of(record: RecordDoc) -> str:
    """``VG+/VG``: disc then cover, the last grade of each; nothing where neither is graded."""
    found = [_last(record, kinds) for kinds in (("disc",), ("cover", "box"))]
    if found == [None, None]:
        return ""
    return "/".join(f"{event['grade']}{event['shade']}" if event else "-" for event in found)


def _last(record: RecordDoc, kinds: tuple[str, ...]) -> GradeDoc | None:
    part = next((part for part in record["parts"] if part["kind"] in kinds and is_here(part)), None)
    event = part["grades"][-1] if part and part["grades"] else None
    return latest_grade(part, event["side"]) if part and event and event["side"] else event
