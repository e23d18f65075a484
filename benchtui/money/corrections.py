"""Closed entries as they were written down, and the difference for whatever of them is no longer so.

Each difference is an entry of the day on which what moved it was entered, and says what it corrects and why.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from benchtui.money.book import consignor
from benchtui.money.causes import UNSAID, Facts, Moves, booked_since, is_since, moved_by
from benchtui.money.days import next_day
from benchtui.money.entries import PERIOD_VAT, Closed, Entry, Leg, difference
from benchtui.money.since import Senders, is_stated_after


class Known(NamedTuple):
    """What was known of some of the books at the end of a day ("": today, of all of them).

    ``entries``: those that follow from it. ``about``: the parcels, or consignors, of which these are all,
    with the day of this kind before, "" for none.
    """

    day: str
    entries: Sequence[Entry]
    about: Mapping[str, str]
    heads: Facts
    settings: Mapping[str, Any]
    senders: Senders


def whose(entry: Entry) -> str:
    """The parcel of an entry; of one that is of none, as of all sales together, the consignor."""
    return entry.parcel or entry.key.partition(":")[0]


class Corrected:
    """The closed entries, and the corrections so far. ``by_day``: see `since.Since`."""

    def __init__(self, closed: Sequence[Closed], by_day: bool = True) -> None:
        self.through, self._last, self._by_day = closed[-1].through, closed[-1], by_day
        self.entries = [entry for one in closed for entry in one.entries]
        self._booked: dict[str, list[Entry]] = {}
        self._keys: dict[str, dict[str, None]] = {}
        self._latest: dict[str, Closed] = {}
        self._first: dict[str, Closed] = {}
        for by, entry in [(one, entry) for one in closed for entry in one.entries]:
            if entry.kind != PERIOD_VAT:
                key = self._fact_of(entry)
                self._note(key, entry)
                self._latest[key] = by
                self._first.setdefault(key, by)

    @property
    def whose(self) -> list[str]:
        """The parcels and consignors that have a closed entry."""
        return list(self._keys)

    def _fact_of(self, entry: Entry) -> str:
        """The key of the fact. An older version named the second correction of what a first had brought by
        the first (``k@0@1``), and goes on from there where its closings are worked out again."""
        if "@" not in entry.key:
            return entry.key
        return entry.corrects.partition("@")[0] if self._by_day else entry.corrects

    def _note(self, key: str, entry: Entry) -> None:
        self._booked.setdefault(key, []).append(entry)
        self._keys.setdefault(whose(entry), {})[key] = None

    def bring_to(self, known: Known) -> None:
        """Corrections that bring what stands of the closed days to what was known then."""
        facts = {entry.key: entry for entry in known.entries}
        closed = {key: entry for key, entry in facts.items() if entry.day <= self.through}
        stood = (key for each in known.about for key in self._keys.get(each, ()))
        for key in list(dict.fromkeys([*stood, *closed])):
            if known.day and is_stated_after(known.day, self._first.get(key)):
                continue
            booked = self._booked.get(key, [])
            legs, memo = difference(closed.get(key), booked)
            if legs or memo:
                about = facts.get(key) or booked[0]
                when = self._when(about, key, moved_by(about, legs, memo, known.heads), known)
                named = key if self._by_day else about.key
                made = _correction(about, named, len(booked), legs, memo, self.through, when)
                self.entries.append(made)
                self._note(key, made)

    def _when(self, about: Entry, key: str, moved: Moves, known: Known) -> tuple[str, str]:
        """The day and the words of what changed the entry. One that no closing has was itself entered since;
        of one that is stated, events of the record's life are no reason: they are entries of their own."""
        last, before = self._latest.get(key, self._last), known.about.get(whose(about), "")
        if key not in self._booked and is_since(about.booked, last):
            return about.booked, about.words["why"] if about.kind == "correction" else "entered later"
        shops, stated = _rules_of(about, known), self._first.get(key)
        of = (about.parcel, about.record, last, known.heads, shops, moved, False, stated)
        on, why = booked_since(*of, before)
        if before and not known.day and not why:
            return booked_since(*of)
        return known.day or on, why


def _rules_of(about: Entry, known: Known) -> list[Mapping[str, Any]]:
    """The shop's rules, and the terms of the consignor whom the entry is about."""
    head, records = known.heads.get(about.parcel, (None, {}))
    record = records.get(about.record)
    owner = (consignor(head, record) if head and record else about.key.partition(":")[0]) or ""
    return [known.settings, *([known.senders[owner]] if owner in known.senders else ())]


def _correction(
    about: Entry,
    key: str,
    number: int,
    legs: tuple[Leg, ...],
    memo: tuple[tuple[str, int], ...],
    through: str,
    when: tuple[str, str],
) -> Entry:
    first = next_day(through)
    on, why = when
    return replace(
        about, key=f"{key}@{number}", day=max(first, on), kind="correction", legs=legs, memo=memo,
        words={**about.words, "why": why or UNSAID, "of": f"{about.kind} of {about.day}"},
        booked=max(first, on), corrects=key,
    )  # fmt: skip
