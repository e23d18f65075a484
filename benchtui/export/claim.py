"""A claim of a description: words, and the entries of the record they rest on."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from benchtui.export.items import Item
from benchtui.export.wording import Wording
from benchtui.model.record import RecordDoc

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
