"""A fault in words that a buyer understands: what, how bad, on which side, where."""

import pytest

from benchtui.books.faults import load_faults
from benchtui.export.wording import Wording
from benchtui.model.record import FaultDoc

AT = "2026-11-25T10:00:00Z"


@pytest.mark.parametrize(
    ("place", "note", "told"),
    [
        ("C", "", "scuffs, light, not felt, not heard, side C"),
        ("", "", "scuffs, light, not felt, not heard"),
        ("B", "near the rim", "scuffs, light, not felt, not heard, side B, near the rim"),
        ("lid", "", "scuffs, light, not felt, not heard, lid"),
    ],
)
def test_a_fault_names_the_side_it_is_on(place: str, note: str, told: str) -> None:
    doc: FaultDoc = {"fault": "scuffs", "severity": "light", "place": place, "at": AT}
    if note:
        doc["note"] = note
    words = Wording.of({}, load_faults())
    assert words.fault_text(doc) == told
