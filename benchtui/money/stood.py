"""What of a statement stood on a day after the last closing: the lines that were written down, and those that
corrected them on each day since, as they would stand had the books been closed again to the same day.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.money.account import Account, Known, Written
from benchtui.money.corrected_lines import lines_of_one, stated_in
from benchtui.money.days import next_day
from benchtui.money.known import life_known_by
from benchtui.money.since import facts_of
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
        if not (keys := _keys(account, mine)):
            continue
        counts = max(on, next_day(account.closed[-1].through))
        with suppress(BenchError):
            stood = stood | _corrected(account, stood, keys, Known(on, before), counts)
            before = before | dict.fromkeys(account.days if account.together else mine, on)
        yield Step(counts, keys, stood)


def _keys(account: Account, parcels: list[str]) -> set[str]:
    """What was written down of these parcels; of all, where a rule or a term changed or one commission is of
    all sales together."""
    if account.together or "" in parcels:
        return set(account.written)
    mine = (account.facts[one][1] for one in parcels)
    return {key for records in mine for key in records if key in account.written}


def _corrected(account: Account, stood: Written, keys: set[str], known: Known, counts: str) -> Written:
    """The lines of these records with what corrects them by what was known at the end of that day, of the day
    from which it counts."""
    moments: dict[str, set[str]] = {}
    for key in keys:
        if lines := stood.get(key):
            moments.setdefault(facts_of(known.day, stated_in(account, lines)), set()).add(key)
    found: Written = {}
    for moment, mine in moments.items():
        found |= _corrected_by(account, stood, mine, known, counts, moment)
    return found


def _corrected_by(
    account: Account, stood: Written, keys: set[str], known: Known, counts: str, moment: str
) -> Written:
    """The same, by the facts of that moment and the corrections of events up to the day."""
    since, through, on = account.since, account.closed[-1].through, known.day
    mine = [(head, records) for head, records in account.parcels if any(one["id"] in keys for one in records)]
    sender, rules = since.senders(moment)[account.id], since.settings(moment)
    at = Account(account.id, sender, since.parcels(mine, on, moment), rules, account.closed, False, known)
    at.paid_to_others = account.paid_to_others
    theirs = [one._replace(record=life_known_by(one.record, through, on)) for one in at.theirs]
    by_id, then = {one.record["id"]: one for one in theirs}, lines_as_of(theirs, sender, at.rates, through)
    return {
        key: lines_of_one(at, stood[key], by_id.get(key), then.get(key), then.get(key), counts)
        for key in keys
    }


def stood_on(steps: Sequence[Step], written: Written, as_of: str) -> tuple[Written, set[str]]:
    """What stands on that day, and the records whose lines were corrected on a later one."""
    by_then = [step.stood for step in steps if step.day <= as_of]
    later = (step.keys for step in steps if step.day > as_of)
    return by_then[-1] if by_then else written, set().union(*later)
