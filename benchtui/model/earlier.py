"""What facts about money were before they were changed, kept in the document with the moment it was entered.

The day on which a fact happened is the fact's own: a bill's ``on``, the day delivered, an event's ``at``, the
``from`` of a dated rate; of terms, eligibility and the price paid it is the day of purchase. The moment it
was booked is when it was entered: of the value that holds now the last ``until`` of the rows below. So the
document alone says what was known at any moment, whatever was changed or undone since.

A value that was entered and changed again on the same day is not kept, unless books were closed in between.
"""

import time
from collections.abc import Collection, Iterator, Mapping
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any, NotRequired, TypedDict


class EarlierDoc(TypedDict):
    """Fields as they were ``until`` a moment (UTC). ``unset``: fields that were not there; ``absent``: the
    record itself was not. ``record``: on a head, a record that is gone although it had a stock number, or
    stood there when books were closed.
    """

    until: str
    was: NotRequired[dict[str, Any]]
    unset: NotRequired[list[str]]
    absent: NotRequired[bool]
    record: NotRequired[dict[str, Any]]


OF_HEAD = (
    "state", "closed_at", "shares", "charges", "late", "terms", "inbound", "share_how", "delivered",
    "bought_on", "opened", "dispatched", "margin_eligible", "came_as", "sender",
)  # fmt: skip
OF_RECORD = (
    "state", "stock", "terms", "consignor", "price", "worked", "set_apart", "cost_by_hand", "cost_moved",
    "free", "margin_eligible", "life",
)  # fmt: skip
OF_SHOP = (
    "margin_scheme", "vat_rate", "vat_rounding", "vat_period", "period_limit", "postage_in_margin",
    "commission_vat", "late_cost", "conversion_rounding", "opening_margin", "currency", "currencies",
)  # fmt: skip
OF_SENDER = (
    "commission", "bands", "bands_over", "minimum", "per_sale", "per_record", "charges", "inbound",
    "reserve", "insures",
)  # fmt: skip
"""What of each document the books go by, without words and persons."""

Doc = Mapping[str, Any]


def local_day(moment: str) -> str:
    """The day on this machine's calendar of a moment in UTC; of any other text its first ten signs."""
    return _day_of(moment, (time.timezone, time.altzone, *time.tzname))


@lru_cache(4096)
def _day_of(moment: str, zone: tuple[Any, ...]) -> str:
    """Every line of the books asks for the same few moments."""
    try:
        return datetime.fromisoformat(moment).astimezone().date().isoformat()
    except ValueError:
        return moment[:10]


def with_earlier(
    old: Doc, new: dict[str, Any], names: Collection[str], at: str, begun: str = "", closed_at: str = ""
) -> dict[str, Any]:
    """The new document, with a row more where a value that stood at the end of an earlier day, or when the
    books were closed last (``closed_at``), is no longer so. ``begun``: when the document was made."""
    changed = [name for name in names if _differs(name, old, new)]
    rows = list(old.get("earlier") or ())
    lost = [name for name in changed if _stood(name, rows, at, begun, closed_at)]
    if not lost:
        return new
    row: dict[str, Any] = {
        "until": after_closing(at, closed_at),
        "was": {name: old[name] for name in lost if name in old},
    }
    if unset := [name for name in lost if name not in old]:
        row["unset"] = unset
    return {**new, "earlier": [*rows, row]}


def begun_with(new: dict[str, Any], at: str, begun: str = "", closed_at: str = "") -> dict[str, Any]:
    """A record that comes to a parcel of an earlier day, or since the books were closed: it was not there."""
    if "earlier" in new or not _stood("", [], at, begun, closed_at):
        return new
    return {**new, "earlier": [{"until": after_closing(at, closed_at), "absent": True}]}


def after_closing(at: str, closed_at: str) -> str:
    """The moment, or one after the closing where that came within the same second before it."""
    if at > closed_at:
        return at
    return (datetime.fromisoformat(closed_at) + timedelta(seconds=1)).strftime("%Y-%m-%dT%H:%M:%SZ")


def _differs(name: str, old: Doc, new: Doc) -> bool:
    """Events that only came to a life keep their own days: nothing is lost."""
    before, now = old.get(name), new.get(name)
    if name == "life" and isinstance(before, list) and isinstance(now, list):
        return now[: len(before)] != before
    return bool(before != now) or (name in old) != (name in new)


def _stood(name: str, rows: list[Any], at: str, begun: str, closed_at: str) -> bool:
    came = next((row["until"] for row in reversed(rows) if _tells(row, name)), begun)
    return local_day(came) < local_day(at) or came <= closed_at <= at


def _tells(row: Doc, name: str) -> bool:
    return bool(row.get("absent")) or name in row.get("was", ()) or name in row.get("unset", ())


def note_kept(old: Doc, new: dict[str, Any], closed_at: str) -> dict[str, Any]:
    """The changes to settings or a sender, their note marked where none since the closing lost a value;
    beside it stand (``also``) the last notes of other rules, and of this one that of each earlier day."""
    if not isinstance(new.get("noted"), Mapping):
        return new
    names, on = new["noted"].get("names"), local_day(str(new["noted"].get("at")))

    def stays(one: Doc) -> bool:
        at = str(one.get("at"))
        return one.get("names") != names or local_day(at) < on or at <= closed_at

    if also := [one for one in notes_of(old) if stays(one)]:
        new = {**new, "noted": {**new["noted"], "also": also}}
    last = old.get("noted") or {}
    lost = last and not last.get("kept") and str(last.get("at")) >= closed_at
    return {**new, "noted": {**new["noted"], **({} if lost else {"kept": True})}}


def notes_of(doc: Doc) -> list[dict[str, Any]]:
    """What is said of the changes to settings or a sender: of each rule and day its last, the latest last."""
    noted = doc.get("noted")
    if not isinstance(noted, Mapping):
        return []
    return [*(noted.get("also") or ()), {name: value for name, value in noted.items() if name != "also"}]


def as_known(doc: Doc, moment: str) -> Doc | None:
    """The document as it stood at that moment (UTC), itself where nothing changed since; None where it was
    not there yet."""
    rows = list(doc.get("earlier") or ())
    later = [row for row in rows if str(row["until"]) > moment]
    if not later:
        return doc
    made = {**doc, "earlier": [row for row in rows if row not in later]}
    for row in reversed(later):
        if row.get("absent"):
            return None
        made |= row.get("was", {})
        for name in row.get("unset", ()):
            made.pop(name, None)
    return made


def taken_back(head: Doc, moment: str) -> list[dict[str, Any]]:
    """Records that were undone after that moment, as they were before."""
    rows = head.get("earlier") or ()
    return [row["record"] for row in rows if "record" in row and str(row["until"]) > moment]


def days_of(*docs: Doc) -> set[str]:
    """The days on which an earlier value of these ceased to hold."""
    return {local_day(row["until"]) for doc in docs for row in doc.get("earlier") or ()}


def changes_of(doc: Doc, names: Collection[str]) -> Iterator[tuple[str, str]]:
    """(day, name) of each of these values that ceased to hold."""
    for row in doc.get("earlier") or ():
        changed = (name for name in names if name in row.get("was", ()) or name in row.get("unset", ()))
        yield from ((local_day(row["until"]), name) for name in changed)


def stood_at_closing(record: Doc, begun: str, closed_at: str) -> bool:
    """Whether it was in its parcel when the books were closed last: also a place still empty has a share of
    an open parcel's cost."""
    came = next((row["until"] for row in reversed(record.get("earlier") or ()) if row.get("absent")), begun)
    return bool(closed_at) and came <= closed_at


def had_stock(record: Doc) -> bool:
    """Whether it has, or once had at the end of a day, a stock number."""
    rows = record.get("earlier") or ()
    return bool(record.get("stock")) or any((row.get("was") or {}).get("stock") for row in rows)
