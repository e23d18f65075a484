"""What the tests of claims share: one answer that was seen, what a claim says of a record, and the
entry it rests on.
"""

from types import SimpleNamespace
from typing import Any

from benchtui.export.claims import say
from benchtui.model.record import RecordDoc, part_of

ANSWER = {
    "part": "d1", "place": "label A", "clue": "tw-label", "answer": "gold", "value": None, "how": "seen",
    "text": "gold print on black", "book": "q@1", "at": "2026-11-25T11:30:00+00:00",
}  # fmt: skip


def said(make: SimpleNamespace, field: str, record: Any = None, **weighed: Any) -> str:
    item = make.item(record or make.record(), make.weighing(**weighed) if weighed else None)
    return say(field, item, make.words()).text


def entry(record: RecordDoc, path: str) -> object:
    """What stands in the record at a path that a claim named; KeyError where nothing stands there."""
    root, *rest = path.split("/")
    if root == "answers":
        part, *place, clue = rest
        wanted = (part, "/".join(place), clue)
        found = [one for one in record["answers"] if (one["part"], one["place"], one["clue"]) == wanted]
        return found[0] if found else _missing(path)
    at: object = part_of(record, rest.pop(0)) if root == "parts" else dict(record).get(root)
    for step in rest:
        if isinstance(at, dict):
            at = at.get(step)
        elif isinstance(at, list) and step.isdigit() and int(step) < len(at):
            at = at[int(step)]
        else:
            at = None
    return _missing(path) if at is None else at


def _missing(path: str) -> object:
    raise KeyError(path)
