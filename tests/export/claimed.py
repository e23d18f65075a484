"""What the tests of claims share: one answer that was seen, and what a claim says of a record."""

from types import SimpleNamespace
from typing import Any

from benchtui.export.claims import say

ANSWER = {
    "part": "d1", "place": "label A", "clue": "tw-label", "answer": "gold", "value": None, "how": "seen",
    "text": "gold print on black", "book": "q@1", "at": "2026-11-25T11:30:00+00:00",
}  # fmt: skip


def said(make: SimpleNamespace, field: str, record: Any = None, **weighed: Any) -> str:
    item = make.item(record or make.record(), make.weighing(**weighed) if weighed else None)
    return say(field, item, make.words()).text
