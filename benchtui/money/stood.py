"""What of a statement stood on a day after the last closing: the lines that were written down, and those that
corrected them on each day since, as they would stand had the books been closed again to the same day.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.account import Account, Known, Written
from benchtui.money.book import Parcels
from benchtui.money.charges import own_terms
from benchtui.money.corrected_lines import lines_of_new, lines_of_one, stated_in
from benchtui.money.days import next_day
from benchtui.money.known import life_known_by
from benchtui.money.since import end_of_day, facts_of
from benchtui.money.statement_line import Line, Theirs
from benchtui.money.statements import lines_as_of


class Step(NamedTuple):
    """A day since the last closing on which something was entered or changed that written lines go by, the
    records whose lines may differ for it, and all lines as they stood at its end."""

    day: str
    keys: set[str]
    stood: Written


def steps_of(account: Account) -> Iterator[Step]:
    """Each of them. What could not be reckoned with then waits for the next; what was entered on the last
    closed day itself, once the books were closed to it, counts from the day after."""
    stood, before = account.written, dict[str, str]()
    for on in sorted(set().union(*account.days.values())):
        mine = [one for one, days in account.days.items() if on in days]
        keys, known = _keys(account, mine, stood), Known(on, before)
        counts = max(on, next_day(account.closed[-1].through))
        with suppress(BenchError):
            made = _corrected(account, stood, keys, known, counts)
            made |= _come_since(account, stood, mine, known, counts)
            keys, stood = keys | made.keys(), stood | made
            before = before | dict.fromkeys(account.days if account.together else mine, on)
        yield Step(counts, keys, stood)


def _keys(account: Account, parcels: list[str], stood: Written) -> set[str]:
    """What stands of these parcels; of all, where a rule or a term changed or one commission is of all sales
    together."""
    if account.together or "" in parcels:
        return set(stood)
    mine = (account.facts[one][1] for one in parcels)
    return {key for records in mine for key in records if key in stood}


def _corrected(account: Account, stood: Written, keys: set[str], known: Known, counts: str) -> Written:
    """The lines of these records with what corrects them by what was known at the end of that day, of the day
    from which it counts."""
    moments: dict[str, set[str]] = {}
    for key in keys:
        if lines := stood.get(key):
            moments.setdefault(facts_of(known.day, stated_in(account, lines)), set()).add(key)
    found: Written = {}
    for moment, mine in moments.items():
        parcels = [one for one in account.parcels if any(record["id"] in mine for record in one[1])]
        at, by_id, then = _closed_days(
            account, account.parcels if account.together else parcels, known, moment
        )
        for key in mine:
            now = then.get(key)
            found[key] = lines_of_one(at, stood[key], by_id.get(key), now, now, counts)
    return found


def _come_since(account: Account, stood: Written, of: list[str], known: Known, counts: str) -> Written:
    """The lines of closed days of records that nothing stands of, as one that was added to its parcel."""
    all_of = account.together or "" in of
    parcels = [one for one in account.parcels if all_of or one[0]["id"] in of]
    if not any(_may_be_new(head, record, stood) for head, records in parcels for record in records):
        return {}
    at, by_id, then = _closed_days(account, parcels, known, end_of_day(known.day))
    new = {key: line for key, line in then.items() if key in by_id and key not in stood}
    return {key: lines_of_new(at, line, by_id[key], counts) for key, line in new.items()}


def _may_be_new(head: HeadDoc, record: RecordDoc, stood: Written) -> bool:
    """Whether nothing stands of a record that is consigned, or may have been."""
    was = head.get("earlier") or record.get("earlier")
    return record["id"] not in stood and bool(was or own_terms(head, record) == "consigned")


def _closed_days(
    account: Account, parcels: Parcels, known: Known, moment: str
) -> tuple[Account, dict[str, Theirs], dict[str, Line]]:
    """The account of these parcels by the facts of that moment and the corrections of events up to the day,
    its records, and the line of each on the last closed day."""
    since, through, on = account.since, account.closed[-1].through, known.day
    sender, rules = since.senders(moment)[account.id], since.settings(moment)
    at = Account(account.id, sender, since.parcels(parcels, on, moment), rules, account.closed, False, known)
    at.paid_to_others = account.paid_to_others
    theirs = [one._replace(record=life_known_by(one.record, through, on)) for one in at.theirs]
    by_id = {one.record["id"]: one for one in theirs}
    return at, by_id, lines_as_of(theirs, sender, at.rates, through)


def stood_on(steps: Sequence[Step], written: Written, as_of: str) -> tuple[Written, set[str]]:
    """What stands on that day, and the records whose lines were corrected on a later one."""
    by_then = [step.stood for step in steps if step.day <= as_of]
    later = (step.keys for step in steps if step.day > as_of)
    return by_then[-1] if by_then else written, set().union(*later)
