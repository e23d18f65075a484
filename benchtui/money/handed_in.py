"""Statements as they were handed in: a closed period keeps each line of them, whatever is changed afterwards.

A later statement shows the lines that were written down, for whatever of them is no longer so one line that
says what it corrects and on which day, and what happened since. Its sums are those of the facts.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchtui.money.account import Account, Written, doc_of, less, minors, written_lines
from benchtui.money.book import Parcels, bought_on
from benchtui.money.corrected_lines import lines_of_none, lines_of_one
from benchtui.money.entries import Closed
from benchtui.money.given_back import came_and_went
from benchtui.money.known import life_known_by
from benchtui.money.statement_line import Line, Theirs
from benchtui.money.statements import Payment, Statement, added_up, lines_as_of, payments_of, statement
from benchtui.money.stood import Step, steps_of, stood_on

Kept = dict[str, list[list[Any]]]
"""The same as a closing keeps it: for each the days on which its lines changed, and the lines from there."""


def statement_after(account: Account, as_of: str) -> Statement:
    """The sender's account as of a day: of a closed day as it was written down, of a later one with what was
    corrected since as lines of their own day. BenchError as ``statements.statement``."""
    since = _kept_since(account.closed)
    if since is None or as_of <= since:
        return statement(account.id, account.sender, account.parcels, account.settings, as_of)
    if as_of <= account.closed[-1].through:
        lines = written_lines(account.closed, account.id, account.rates.currency, as_of)
    else:
        lines = _shown(account, list(steps_of(account)), account.theirs, as_of)
    found = tuple(line for key in account.in_order(lines) for line in lines[key])
    payments = _payments(account, as_of)
    return added_up(account.id, account.sender, account.rates, as_of, found, account.theirs, payments)


def _payments(account: Account, as_of: str) -> Iterator[Payment]:
    """As they were stated, whosever the record is now, and those since; what is corrected of stated ones is a
    line."""
    through = min(as_of, account.closed[-1].through)
    mine = {one.record["id"] for one in account.theirs}
    for _, records in account.parcels:
        for record in records:
            if record["id"] in account.written:
                yield from payments_of(record, account.rates, through)
            if record["id"] in mine:
                since = (
                    through
                    if record["id"] in account.written or record["id"] in account.paid_to_others
                    else ""
                )
                yield from payments_of(record, account.rates, as_of, since)


def _kept_since(closed: Sequence[Closed]) -> str | None:
    """The day after which closings have statements in them; None where none has."""
    before = ""
    for one in closed:
        if one.statements is not None:
            return before
        before = one.through
    return None


def kept_statements(
    parcels: Parcels,
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    closed: Sequence[Closed],
    through: str,
    whose: Iterable[str],
    by_day: bool = True,
) -> dict[str, Kept]:
    """Sender -> what changed on their statement in the period that is being closed, day by day. ``by_day``:
    see `since.Since`."""
    found = {}
    for one in whose:
        account = Account(one, senders[one], parcels, settings, closed, by_day)
        if kept := _days_of(account, through):
            found[one] = kept
    return found


def _days_of(account: Account, through: str) -> Kept:
    after = account.closed[-1].through if account.closed else ""
    stood: Written = dict(account.written)
    found: Kept = {}
    steps = list(steps_of(account))
    for on, keys in _change_days(account, steps, after, through):
        mine = [one for one in account.theirs if keys is None or one.record["id"] in keys]
        lines = _shown(account, steps, mine, on, keys)
        for key in dict.fromkeys([*lines, *(stood if keys is None else keys)]):
            now = lines.get(key, [])
            if now != stood.get(key, []):
                found.setdefault(key, []).append([on, [doc_of(line) for line in now]])
            stood[key] = now
    return found


def _change_days(
    account: Account, steps: Sequence[Step], after: str, through: str
) -> list[tuple[str, set[str] | None]]:
    """(day, whose lines may change on it); None for all, as on the last day, and with a commission over all
    sales together on every one."""
    days: dict[str, set[str]] = {}
    for one in account.theirs:
        events = [str(event["at"])[:10] for event in one.record["life"]]
        for on in (bought_on(one.head), *events, *(bill.on for bill in one.late)):
            if after < on < through:
                days.setdefault(on, set()).add(one.record["id"])
    for step in steps:
        if after < step.day < through:
            days.setdefault(step.day, set()).update(step.keys)
    together = account.together
    found: list[tuple[str, set[str] | None]] = [(on, None if together else days[on]) for on in sorted(days)]
    return [*found, (through, None)]


def _shown(
    account: Account,
    steps: Sequence[Step],
    theirs: Sequence[Theirs],
    as_of: str,
    keys: set[str] | None = None,
) -> Written:
    """The lines of a day after the last closing, of these records or (None) all: written down, corrected,
    happened since."""
    now = _lines(account, theirs, as_of, keys)
    by_id = {one.record["id"]: one for one in theirs}
    if not account.written and not account.paid_to_others and not steps:
        return {key: lines_of_none(account, line, by_id.get(key), as_of) for key, line in now.items()}
    through = account.closed[-1].through
    known = [one._replace(record=life_known_by(one.record, through, as_of)) for one in theirs]
    then = _lines(account, known, through, keys)
    stood, later = stood_on(steps, account.written, as_of)
    before = [key for key in stood if keys is None or key in keys]
    now = _come_by(now, then, then.keys() & later - stood.keys())
    found = {
        key: lines_of_one(
            account, stood.get(key, []), by_id.get(key), now.get(key), then.get(key), as_of, key in later
        )
        for key in dict.fromkeys([*now, *before])
    }
    return {
        key: [*(_brought_back(account, key, now, by_id, as_of) if key in stood else ()), *mine]
        for key, mine in found.items()
        if mine
    }


def _come_by(now: Mapping[str, Line], then: Mapping[str, Line], later: set[str]) -> dict[str, Line]:
    """The lines without what is of closed days of records that come on the account on a later day."""
    open_days = {key: less(line, [then[key]]) if key in later else line for key, line in now.items()}
    return {key: line for key, line in open_days.items() if key not in later or any(minors(line).values())}


def _brought_back(
    account: Account, key: str, now: Mapping[str, Line], by_id: Mapping[str, Theirs], as_of: str
) -> list[Line]:
    """Sales since the closing that came back: no other line of the record has them."""
    if key not in now or key not in by_id:
        return []
    through = account.closed[-1].through
    return came_and_went(now[key], by_id[key], account.sender, account.rates, as_of, through)


def _lines(account: Account, theirs: Sequence[Theirs], as_of: str, keys: set[str] | None) -> dict[str, Line]:
    lines = lines_as_of(theirs, account.sender, account.rates, as_of)
    return {key: line for key, line in lines.items() if keys is None or key in keys}
