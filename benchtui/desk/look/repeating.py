"""Confirming what is copied or foretold; repeating the last copy's answers, never evidence before that."""

from typing import Any

from benchtui.desk.ask.asking import HERE, ahead, answer_now, is_answered
from benchtui.desk.ask.forms import form_of
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.needs import record_here, unless
from benchtui.desk.hand import hand
from benchtui.desk.look.clues import answered_already, foretold, write_answer
from benchtui.desk.look.ticking import tick_off
from benchtui.model.record import RecordDoc, answer_to, new_part, part_of


def copy_last(desk: Desk) -> bool:
    """Repeat the last copy's answers (of this title, else the record before): copied, not seen."""
    record = desk.work.record
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
        first = part_of(copy, desk.work.part_id) or next(iter(hand.in_hand_order(copy)), None)
        hand.take(desk, copy, first["id"] if first else None)
    return True


def model_for(desk: Desk, record: RecordDoc) -> RecordDoc | None:
    before = [
        other
        for other in desk.work.records
        if other["no"] < record["no"] and other["title"] and other["answers"]
    ]
    if record["title"] is not None:
        before = [other for other in before if desk.library.are_one(other["title"], record["title"])]
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
        if model is None or clue is None or not form_of(clue).copied or answer["how"] != "seen":
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


def _to_repeat(desk: Desk) -> str:
    """Whether something copied or foretold waits to be confirmed, or a copy before to be repeated."""
    record, following = desk.work.record, ahead(desk)
    asked, part = (following.asked, following.part) if following else (desk.asking.asked, desk.work.part)
    if record is None:
        return record_here(desk)
    clue = desk.library.clue(asked[1]) if asked and asked != HERE else None
    standing_now = answer_to(record, part["id"], *asked) if part and asked else None
    waits = clue is not None and standing_now is not None and standing_now["how"] != "seen"
    if part is not None and asked and is_answered(desk, record, part, asked):
        return answered_already(desk)
    fresh = not any(answer["how"] in ("seen", "copied") for answer in record["answers"])
    if waits or (fresh and model_for(desk, record) is not None):
        return ""
    return unless(clue is not None and foretold(desk, clue), "nothing here to repeat or to confirm")


@command(
    "ditto",
    "bench",
    "confirm what was copied, or repeat the last copy",
    short="repeat",
    group="Look",
    also="same again copy confirm yes",
    legend=Legend(record=120, untitled=20, when=foretold),
    needs=[_to_repeat],
    one_write=True,
    often=120,
    order=220,
)
def ditto(desk: Desk) -> None:
    """Confirm what is copied or foretold; on a record without answers, repeat the last copy's."""
    hand.go_on(desk)
    record = desk.record
    clue, standing = desk.clue, answer_now(desk)
    if clue is not None and standing is not None and standing["how"] != "seen":
        answer = clue.answer(standing["answer"]) or form_of(clue).stands_for
        if answer is not None:
            also = [one for name in standing.get("also", ()) if (one := clue.answer(name)) is not None]
            write_answer(desk, clue, answer, standing["value"], standing["text"].partition(": ")[2], also)
            return
    fresh = not any(answer["how"] in ("seen", "copied") for answer in record["answers"])
    if fresh and copy_last(desk):
        return
    if clue is not None and (guess := foretold(desk)) is not None:
        write_answer(desk, clue, guess)
