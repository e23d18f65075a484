"""Whether two parcels are the same: all that undo puts back, as one text."""

from benchtui.store import Parcel
from benchtui.store.codec import canonical as as_text

LEFT_OUT = ("cursor", "draft", "undone", "revision", "sessions", "earlier")
"""What of a head undo leaves alone."""


def canonical(parcel: Parcel | None) -> str:
    """Head and records as one text, without what undo leaves alone; equal for equal parcels."""
    assert parcel is not None
    head = {key: value for key, value in parcel.head.items() if key not in LEFT_OUT}
    records = [{key: value for key, value in one.items() if key != "earlier"} for one in parcel.records]
    return as_text([head, [{**record, "stock": None} for record in records]])
