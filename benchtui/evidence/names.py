"""Names of a record's parts as the screen shows them."""

from benchtui.model.record import PartDoc, RecordDoc, is_here


def part_names(record: RecordDoc) -> dict[str, str]:
    """Part id -> short name: "disc", "disc 2", "inner", "poster"; numbered only where there are several."""
    kinds = [part["kind"] for part in record["parts"] if is_here(part)]
    return {part["id"]: _name(part, kinds.count(part["kind"])) for part in record["parts"]}


def _name(part: PartDoc, alike: int) -> str:
    if part["kind"] == "extra":
        return part.get("name") or "extra"
    if alike > 1 and "number" in part:
        return f"{part['kind']} {part['number']}"
    return part["kind"]
