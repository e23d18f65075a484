"""A sale, or what was given back of one, as a paper shows it: by what was known when it was issued, and by
what is known since.

A paper is issued by the end of the day on which it is entered. The documents keep what their facts were
before (`model.earlier`), so its VAT, and whose the record was, follow for any day as they followed then.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple, cast

from benchtui.export.paper_vat import Taxed, booked_vat, taxed
from benchtui.model.earlier import as_known, changes_of
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.charges import own_terms
from benchtui.money.entries import Entry
from benchtui.money.known import booked, end_of
from benchtui.money.policy import Rates
from benchtui.money.recordflow import Subject, record_entries
from benchtui.money.scheme import eligibility, scheme_of
from benchtui.money.standings import effective, known_life

Event = Mapping[str, Any]
_NOW = "9999"
_OF_GOODS = ("margin_eligible", "terms")
_OF_RULES = {
    "vat_rate": "the rate of VAT",
    "vat_rounding": "how VAT is rounded",
    "postage_in_margin": "how postage is taxed",
}
"""What of the documents moves the VAT of a paper; of the rules as its correction names it."""
_SOLD = {
    "margin": "sold under the margin scheme",
    "ordinary": "not sold under the margin scheme",
    "to be asked": "whether it was sold under the margin scheme is open",
}


class Shown(NamedTuple):
    """``event`` as it counts then, the ``sale`` it is of (itself, for a sale), ``vat`` in the shop's own
    currency, and the rules it follows.
    """

    head: HeadDoc
    record: RecordDoc
    event: Event
    sale: Event
    vat: Taxed
    rates: Rates

    @property
    def consigned(self) -> bool:
        return own_terms(self.head, self.record) == "consigned"


class Point(NamedTuple):
    """A later moment at which a paper may no longer be right: the last event that counts, and why ("" where
    it was no event)."""

    on: str
    moment: str
    upto: int
    why: str


class Then:
    """The shop's papers at any moment. ``settings`` with their earlier values."""

    def __init__(self, settings: Mapping[str, Any]) -> None:
        self._settings = settings
        self._rates: dict[int, Rates] = {}

    def rates(self, moment: str) -> Rates:
        """The rules as they stood then."""
        rows = self._settings.get("earlier") or ()
        later = sum(str(row["until"]) > moment for row in rows)
        if later not in self._rates:
            self._rates[later] = Rates(as_known(self._settings, moment) or self._settings)
        return self._rates[later]

    def at(self, head: HeadDoc, record: RecordDoc, of: int, moment: str, upto: int) -> Shown | None:
        """Event ``of`` of the record at a moment, its life up to event ``upto``; None where it is void."""
        rates = self.rates(moment)
        answered = eligibility(record, head).answer is not None
        head = cast(HeadDoc, as_known(head, moment) or head)
        life = [one for one in known_life(record) if one["n"] <= upto]
        record = cast(RecordDoc, {**(as_known(record, moment) or record), "life": life})
        sale: Event | None = None
        for event in effective(record):
            sale = event if event["what"] == "sold" else sale
            if event["n"] == of and sale is not None:
                facts = booked_vat(_entries(head, record, rates))
                vat = taxed(record, event, str(sale["at"])[:10], facts, rates)
                return Shown(head, record, event, sale, vat._replace(answered=answered), rates)
        return None

    def issued(self, head: HeadDoc, record: RecordDoc, of: int, by: int) -> Shown | None:
        """The same as it was when event ``by`` made a paper of it."""
        return self.at(head, record, of, end_of(_entered(record, by)), by)

    def now(self, head: HeadDoc, record: RecordDoc, of: int) -> Shown | None:
        """The same as it counts now."""
        return self.at(head, record, of, _NOW, len(record["life"]))

    def points(self, head: HeadDoc, record: RecordDoc, by: int) -> Iterator[Point]:
        """What came after event ``by`` made a paper of it, oldest first."""
        since, last = _entered(record, by).isoformat(), by
        facts = {day for day in self._facts(head, record) if day > since}
        corrected = [one for one in record["life"] if one["what"] == "corrected" and one["n"] > by]
        by_day: dict[str, list[Event]] = {day: [] for day in facts}
        for one in corrected:
            by_day.setdefault(booked(one, "at"), []).append(one)
        for day in sorted(by_day):
            moment = end_of(date.fromisoformat(day))
            for event in by_day[day]:
                last = max(last, int(event["n"]))
                yield Point(str(event["at"])[:10], moment, last, str(event.get("why") or ""))
            if not by_day[day]:
                entered = (int(one["n"]) for one in record["life"] if booked(one, "at") <= day)
                last = max((last, *entered))
                yield Point(day, moment, last, "")

    def _facts(self, head: HeadDoc, record: RecordDoc) -> set[str]:
        """The days on which something that VAT follows from was put right."""
        rules = (*_OF_RULES, "margin_scheme")
        docs: tuple[tuple[Mapping[str, Any], tuple[str, ...]], ...] = (
            (head, _OF_GOODS), (record, _OF_GOODS), (self._settings, rules),
        )  # fmt: skip
        return {day for doc, names in docs for day, _ in changes_of(doc, names)}


def put_right(was: Shown | None, now: Shown | None) -> str:
    """What of goods and rules made the VAT of a paper another one; "" for nothing, as where a rule was put
    back."""
    if was is None or now is None:
        return ""
    said = ["whose the record was"] if was.consigned != now.consigned else []
    before, after = was.vat, now.vat
    if before.kind != after.kind and not said:
        said.append(_SOLD.get(after.kind, ""))
    elif after.ordinary or before.ordinary:
        policies = [[one.rates.on(on) for one in (was, now)] for on in {before.sold_on, after.sold_on}]
        said += [
            label
            for name, label in _OF_RULES.items()
            if any(getattr(one, name) != getattr(other, name) for one, other in policies)
        ]
    words = ", ".join(filter(None, said))
    return f"put right: {words}" if words else ""


def _entered(record: RecordDoc, number: int) -> date:
    """The day on which that event was entered."""
    event = next(one for one in record["life"] if one["n"] == number)
    return date.fromisoformat(booked(event, "at"))


def _entries(head: HeadDoc, record: RecordDoc, rates: Rates) -> list[Entry]:
    """The record's entries as far as a paper shows them: what it cost stands on none."""
    if own_terms(head, record) == "consigned":
        return []
    nothing = Money(0, rates.currency)

    def scheme(on: str) -> str:
        return scheme_of(head, record, nothing, rates.on(on))

    return record_entries(Subject(head, record, rates, 0, (), None, scheme, {}))
