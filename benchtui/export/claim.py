"""A claim of a description: words, and the entries of the record they rest on."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from benchtui.export.items import Item
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc, part_of

PROBABLY = 0.80
CONSISTENT = 0.50
"""From this probability up what is not settled is named so; below it, it is "not established"."""


class Said(NamedTuple):
    """Words and the entries they rest on; no words, nothing to rest on."""

    text: str = ""
    entries: tuple[str, ...] = ()


Claim = Callable[[Item, Wording], Said]


def seen_at(record: RecordDoc, parts: Sequence[str]) -> tuple[str, ...]:
    """The entries of what was seen on those parts; copied and predicted answers are no ground for a claim."""
    return tuple(
        f"answers/{one['part']}/{one['place']}/{one['clue']}"
        for one in record["answers"]
        if one["part"] in parts and one["how"] == "seen"
    )


def dated_at(record: RecordDoc, parts: Sequence[str]) -> tuple[str, ...]:
    """The entries of the dealer's own dating of those parts, and of the whole copy."""
    dated = enumerate(record.get("dated", ()))
    return tuple(f"dated/{n}" for n, own in dated if not own["part"] or own["part"] in parts)


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
