"""Repeating the last copy's answers: copied, to be confirmed, never evidence before that."""

from typing import Any

from benchtui.desk import hand
from benchtui.desk.core import Desk
from benchtui.desk.title import tick_off
from benchtui.model.record import RecordDoc, new_part, part_of


def copy_last(desk: Desk) -> bool:
    """Repeat the last copy's answers (of this title, else the record before): copied, not seen."""
    record = desk.record
    model = model_for(desk, record) if record else None
    if record is None or model is None or model["title"] is None:
        return False
    source = model
    with desk.act(f"record {record['no']}: answers repeated from {source['no']}, to be confirmed") as change:
        copy = desk.changed(change)
        if copy["title"] is None:
            copy["title"] = model["title"].copy()
            copy["channels"], copy["size_in"] = source["channels"], source["size_in"]
            tick_off(desk, change, copy)
        if not copy["parts"]:
            for part in source["parts"]:
                copy["parts"].append(_like(desk, copy, part))
        _copy_answers(desk, copy, source)
        first = part_of(copy, desk.part_id) or next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    return True


def model_for(desk: Desk, record: RecordDoc) -> RecordDoc | None:
    before = [
        other for other in desk.records if other["no"] < record["no"] and other["title"] and other["answers"]
    ]
    if record["title"] is not None:
        wanted = record["title"]["id"]
        before = [other for other in before if other["title"] and other["title"]["id"] == wanted]
    return before[-1] if before else None


def _like(desk: Desk, record: RecordDoc, part: Any) -> Any:
    fields: dict[str, Any] = {
        key: part[key] for key in ("number", "material", "name", "expected") if key in part
    }
    if part["kind"] == "extra":
        fields["state"] = "unknown"
    return new_part(part["kind"], hand.owner_of(desk, record), **fields)


def _copy_answers(desk: Desk, record: RecordDoc, source: RecordDoc) -> None:
    """Each answer goes to the part of the same kind and number; a cover's number is a copy's own."""
    at = desk.now()
    for answer in source["answers"]:
        model = part_of(source, answer["part"])
        clue = desk.library.clue(answer["clue"])
        if model is None or clue is None or clue.form in ("number", "cut") or answer["how"] != "seen":
            continue
        twin = next(
            (
                p
                for p in record["parts"]
                if p["kind"] == model["kind"]
                and p.get("number", 1) == model.get("number", 1)
                and p.get("name") == model.get("name")
            ),
            None,
        )
        if twin is None:
            continue
        copied = dict(answer) | {"part": twin["id"], "how": "copied", "at": at}
        record["answers"].append(copied)  # type: ignore[arg-type]
