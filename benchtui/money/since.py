"""What of closed days was entered or changed since, by day: the documents as they stood at the end of each.

A correction is the difference between what was known at the end of one such day and of the next, so that it
stands on the day of its own cause, whatever else is changed on a later one.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property
from typing import Any

from benchtui.model.earlier import as_known, local_day
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on, consignor
from benchtui.money.causes import is_since
from benchtui.money.entries import Closed
from benchtui.money.known import Doc, Event, booked, end_of, known_doc, known_parcels
from benchtui.money.late import price_since
from benchtui.money.policy import Rates

_OF_DAY = frozenset(("bought_on", "delivered", "opened", "dispatched"))
_MOVE_NOTHING = frozenset(("currencies", "vat_period", "late_cost"))
"""Rules of the shop's that no figure of a closed day goes by."""
_MONEY = frozenset(("sold", "returned", "refunded", "paid out", "handed back", "scrapped"))
"""Events that the books have an entry of."""
Senders = Mapping[str, Mapping[str, Any]]


class Entered:
    """What closings have among their entries: entered by then, whatever day it says."""

    def __init__(self, closed: Sequence[Closed]) -> None:
        self._closed = closed

    @cached_property
    def _keys(self) -> set[str]:
        return {entry.key.replace("+", ":") for one in self._closed for entry in one.entries}

    def has_key(self, key: str) -> bool:
        """Whether there is such an entry."""
        return key in self._keys

    def has_event(self, record: RecordDoc, event: Doc) -> bool:
        """Whether there is one of this event of the record's."""
        of = f"{event['of']}:" if event.get("what") == "corrected" else ""
        return self.has_key(f"{record['id']}:{of}{event.get('n')}")


class Since:
    """The days since the last closing. None of them where nothing is closed, or (``by_day`` False) for a
    closing of an older version, which put all corrections of a figure on the day of the last of its causes.
    """

    def __init__(
        self, senders: Senders, settings: Mapping[str, Any], closed: Sequence[Closed], by_day: bool = True
    ) -> None:
        self._senders, self._settings = senders, settings
        self._last = closed[-1] if closed and by_day else None
        self._closed = Entered(closed)
        self._rules: dict[str, dict[str, Any]] = {}
        self._rates: dict[str, Rates] = {}
        self._known: dict[str, dict[str, dict[str, Any]]] = {}
        self._owners: dict[str, set[str]] = {}
        self.of_rules = self._ceased(settings, _MOVE_NOTHING)
        """The days on which one of the shop's rules changed."""
        found = {key: self._ceased(doc) for key, doc in senders.items()}
        self.of_terms = {key: days for key, days in found.items() if days}
        """Sender -> the days on which a term of theirs did."""

    def of_consignor(self, owner: str, parcels: Parcels) -> set[str]:
        """The days on which something was entered or changed that what is of this consignor may go by."""
        if self._last is None or owner not in self._senders:
            return set()
        mine = self.with_something_of(owner, parcels)
        return self.of_terms.get(owner, set()).union(*(self.of_parcel(*one) for one in mine))

    def with_something_of(self, owner: str, parcels: Parcels) -> Parcels:
        """The parcels in which something is, or may have been, of this consignor."""
        return [one for one in parcels if owner in self._owners_of(*one)]

    def _owners_of(self, head: HeadDoc, records: Sequence[RecordDoc]) -> set[str]:
        """Every consignor asks for those of every parcel."""
        if head["id"] not in self._owners:
            self._owners[head["id"]] = _owners(head, records)
        return self._owners[head["id"]]

    def of_parcel(self, head: HeadDoc, records: Sequence[RecordDoc], with_lives: bool = False) -> set[str]:
        """The days on which something was entered or changed that closed days of the parcel may go by, rules
        and terms among it. ``with_lives``: those too on which an event of a record was corrected."""
        last = self._last
        if last is None:
            return set()
        days = self.of_rules.union(*(self._ceased(doc) for doc in (head, *records)))
        if self.of_terms:
            days = days.union(*(self.of_terms.get(owner, ()) for owner in self._owners_of(head, records)))
        bills = _entered_late(head.get("late"), "on", last)
        days |= {on for bill, on in bills if not self._closed.has_key(f"{head['id']}:late:{bill.get('id')}")}
        days |= {str(bill["on"])[:10] for bill in price_since(head, last.through)}
        for record in records:
            late = _entered_late([one for one in _events(record) if one["what"] in _MONEY], "at", last)
            days |= {on for event, on in late if not self._closed.has_event(record, event)}
            days |= set(_corrected(record, last)) if with_lives else set()
        return days if days and _was_there(head, last.through) else set()

    def parcels(self, parcels: Parcels, day: str, moment: str = "") -> list[tuple[HeadDoc, list[RecordDoc]]]:
        """Those that were there, as they were known at the end of that day, or at a later ``moment``; a
        correction of an event counts from its own day."""

        def counts(record: RecordDoc, event: Doc) -> bool:
            is_correction = event.get("what") == "corrected" and str(event.get("at"))[:10] <= day
            return is_correction or self._closed.has_event(record, event)

        found = known_parcels(parcels, moment or end_of_day(day), counts)
        return [(head, [_lived_to(one, day, counts) for one in mine]) for head, mine in found]

    def settings(self, moment: str) -> dict[str, Any]:
        """The shop's rules as they were known at that moment."""
        if moment not in self._rules:
            self._rules[moment] = known_doc(self._settings, moment)
        return self._rules[moment]

    def rates(self, moment: str) -> Rates:
        """The same, read."""
        if moment not in self._rates:
            self._rates[moment] = Rates(self.settings(moment))
        return self._rates[moment]

    def senders(self, moment: str) -> dict[str, dict[str, Any]]:
        """Everyone's terms as they were known at that moment."""
        if moment not in self._known:
            self._known[moment] = {key: known_doc(doc, moment) for key, doc in self._senders.items()}
        return self._known[moment]

    def _ceased(self, doc: Doc, but: Collection[str] = ()) -> set[str]:
        """The days since the closing on which an earlier value of it ceased to hold."""
        last = self._last
        if last is None:
            return set()
        since = (row for row in doc.get("earlier") or () if is_since(str(row["until"]), last))
        return set(filter(_is_day, (local_day(str(row["until"])) for row in since if not _only(row, but))))


def _lived_to(record: RecordDoc, day: str, also: Event) -> RecordDoc:
    """Without the events that were entered later than that day, but for those that also count."""
    life = [one for one in record["life"] if booked(one, "at") <= day or also(record, one)]
    return record if len(life) == len(record["life"]) else {**record, "life": life}


def _owners(head: HeadDoc, records: Sequence[RecordDoc]) -> set[str]:
    """Whose something of the parcel is, or may have been."""
    rows = (row.get("was", {}) for doc in (head, *records) for row in doc.get("earlier") or ())
    were = {str(row[name]) for row in rows for name in ("consignor", "sender") if row.get(name)}
    return were | {one for record in records if (one := consignor(head, record))} | {str(head["sender"])}


def is_stated_after(day: str, stated: Closed | None) -> bool:
    """Whether a closing that has the figure was written down when that day was over: it is in it."""
    return stated is not None and end_of_day(day) <= stated.closed_at


def facts_of(day: str, stated: Closed | None) -> str:
    """The moment whose facts a figure of that day goes by: the end of the day; where a closing that has the
    figure was written down later, that moment: what was changed between is in the figure already.
    """
    return max(end_of_day(day), stated.closed_at if stated is not None else "")


def end_of_day(day: str) -> str:
    """The same as a moment in UTC."""
    return end_of(date.fromisoformat(day))


def _only(row: Doc, names: Collection[str]) -> bool:
    """Whether it tells of no other values than these."""
    told = _names(row)
    return bool(told) and told.issubset(names)


def _names(row: Doc) -> set[str]:
    return {*row.get("was", ()), *row.get("unset", ())}


def _is_day(text: str) -> bool:
    """Whether it is one: a document that was edited from outside keeps nobody from the books."""
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False


def _events(record: RecordDoc) -> list[dict[str, Any]]:
    """Its events without those that were edited from outside until they are none: whoever adds up what they
    may be is refused (`standings.must_be_told`), and others in the parcel are not."""
    life: list[Any] = [*record["life"]]
    known = (one for one in life if isinstance(one, dict) and {"what", "at"} <= one.keys())
    return [one for one in known if type(one.get("n")) is int and type(one.get("of", 0)) is int]


def _entered_late(docs: Sequence[Doc] | None, day: str, last: Closed) -> Iterator[tuple[Doc, str]]:
    """Those of a closed day that say that they were entered since, and when; ``day`` names the field of the
    day it was."""
    for one in docs or ():
        booked = str(one.get("booked") or "")[:10]
        if str(one.get(day, ""))[:10] <= last.through and _is_day(booked) and is_since(booked, last):
            yield one, booked


def _corrected(record: RecordDoc, last: Closed) -> Iterator[str]:
    """The days since on which an event of a closed day was corrected."""
    events = _events(record)
    mine = {event["n"] for event in events if str(event["at"])[:10] <= last.through}
    for event in events:
        on = str(event["at"])[:10]
        if event["what"] == "corrected" and event.get("of") in mine and _is_day(on) and is_since(on, last):
            yield on


def _was_there(head: HeadDoc, through: str) -> bool:
    """Whether by what is known now, or was once, the parcel was bought by that day."""
    moved = (row for row in head.get("earlier") or () if not _OF_DAY.isdisjoint(_names(row)))
    before = (as_known(head, str(row["until"])[:-1]) for row in moved)
    return any((bought_on(one) or one["id"][:10]) <= through for one in (head, *before) if one)  # type: ignore[arg-type]
