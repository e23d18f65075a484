"""What is changed in an open parcel although the books of its days are closed: noted with the day, so that
the correction it makes stands on the day it was entered and says why. And the words that say so.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.earlier import OF_HEAD, OF_RECORD, OF_SENDER, OF_SHOP
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import bought_on
from benchtui.money.charges import landed
from benchtui.money.dated import value_on
from benchtui.money.policy import Rates
from benchtui.money.spreading import spread
from benchtui.store import Change

HEAD = (*OF_HEAD, "seller", "purchase_invoice")
RECORD = tuple(name for name in OF_RECORD if name not in ("life", "stock"))
"""What of head and record moves a line of the books."""
_BY_WORK = ("state", "stock", "life", "price", "worked", "set_apart", "late", "closed_at", "shares")
"""What of it changes with ordinary work, which is entered for its own day and needs no remark."""
_RECKONED = {*OF_SHOP, *OF_SENDER} - {"reserve", "insures"}
"""What of the rules and of a sender's terms does."""


def note_closed(
    change: Change, settings: Mapping[str, Any], now: str, head: HeadDoc, there: Sequence[RecordDoc]
) -> None:
    """Note the change where it may move a figure of closed days; the last one of a day about the same fields
    of the same records takes the place of the one before. ``there``: the records before it."""
    closed = str(settings.get("closed_through") or "")
    if not closed or not bought_on(head) or bought_on(head) > closed:
        return
    records = change.touches(HEAD, RECORD)
    if records is None:
        return
    noted, fields = list(head.get("corrections") or ()), change.fields(HEAD, RECORD)
    if fields == ["queue"] and _bore_nothing(change, settings, head, there):
        return
    last = noted[-1] if noted else {}
    same = (last.get("records"), last.get("fields"), str(last.get("at"))[:10]) == (records, fields, now[:10])
    if same and (records or last.get("say") == change.say):  # price and postage are fields of one name
        noted.pop()
    own = {"at": now, "say": change.say, "records": records, "fields": fields, "kept": True}
    change.head["corrections"] = [*noted, own]


def _bore_nothing(
    change: Change, settings: Mapping[str, Any], head: HeadDoc, there: Sequence[RecordDoc]
) -> bool:
    """Whether the places that come and go are no reason of any correction: the parcel cost nothing, or none
    came and those that go bore nothing of it."""
    try:
        policy = Rates(settings).on(bought_on(head))
        cost = landed(head, policy.currency, policy.conversion)
        shares = spread(head, cost, there).by_record()
    except BenchError:  # `check` and the result say what is wrong
        return False
    ids = {record["id"] for record in there}
    gone = [share for key, share in shares.items() if key in ids.difference(change.queue)]
    bore = any(share.cost_share.minor or share.inbound.minor for share in gone)
    return not cost.total.minor or (ids.issuperset(change.queue) and not bore)


def booked_into(settings: Mapping[str, Any], today: str, on: str) -> str:
    """What to say of something of the day ``on`` that is entered ``today``, that day being closed: the open
    day on which the books have it, and why; "" for an open day."""
    day = open_day(settings, today, on)
    return f"; booked on {day}: the books are closed to {settings.get('closed_through')}" if day else ""


def open_day(settings: Mapping[str, Any], today: str, on: str) -> str:
    """The day itself; "" where the day ``on`` is open."""
    closed = str(settings.get("closed_through") or "")
    if not closed or not on or on[:10] > closed:
        return ""
    try:
        first = (date.fromisoformat(closed) + timedelta(days=1)).isoformat()
    except ValueError:  # a setting edited by hand keeps nobody from working
        return ""
    return max(first, today)


def change_of_closed(
    settings: Mapping[str, Any], today: str, old: Mapping[str, Any], new: Mapping[str, Any]
) -> str:
    """The same of a rule or of terms: where they are no longer what they were on the last closed day."""
    closed = str(settings.get("closed_through") or "")
    changed = [
        name for name, value in new.items() if value_on(old.get(name), closed) != value_on(value, closed)
    ]
    moves = closed and set(changed) & _RECKONED
    return booked_into(settings, today, closed) if moves else ""


def change_booked_into(change: Change, settings: Mapping[str, Any], today: str, head: HeadDoc) -> str:
    """The same of a change of the parcel's facts, which are of the day it was bought."""
    of_head, of_record = ([one for one in names if one not in _BY_WORK] for names in (HEAD, RECORD))
    moves = change.touches(of_head, of_record) is not None
    return booked_into(settings, today, bought_on(head)) if moves else ""
