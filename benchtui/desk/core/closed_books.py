"""What is changed in an open parcel although the books of its days are closed: noted with the day, so that
the correction it makes stands on the day it was entered and says why.
"""

from collections.abc import Mapping
from typing import Any

from benchtui.model.earlier import OF_HEAD, OF_RECORD
from benchtui.model.parcel import HeadDoc
from benchtui.money.book import bought_on
from benchtui.store import Change

HEAD = (*OF_HEAD, "seller", "purchase_invoice")
RECORD = tuple(name for name in OF_RECORD if name not in ("life", "stock"))
"""What of head and record moves a line of the books."""


def note_closed(change: Change, settings: Mapping[str, Any], now: str, head: HeadDoc) -> None:
    """Note the change where it may move a figure of closed days; the last one of a day about the same records
    takes the place of the one before."""
    closed = str(settings.get("closed_through") or "")
    if not closed or not bought_on(head) or bought_on(head) > closed:
        return
    records = change.touches(HEAD, RECORD)
    if records is None:
        return
    noted = list(head.get("corrections") or ())
    if noted and (noted[-1].get("records"), str(noted[-1].get("at"))[:10]) == (records, now[:10]):
        noted.pop()
    change.head["corrections"] = [*noted, {"at": now, "say": change.say, "records": records, "kept": True}]
