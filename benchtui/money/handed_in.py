"""Statements as they were handed in: a closed period keeps each line of them, whatever is changed afterwards.

A later statement shows the lines that were written down, for whatever of them is no longer so one line that
says what it corrects and on which day, and what happened since. Its sums are those of the facts.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on
from benchtui.money.causes import CHARGES, FEE, FEE_VAT, OTHER, UNSAID, Facts, booked_since
from benchtui.money.dated import is_dated, rows_of
from benchtui.money.entries import Closed
from benchtui.money.given_back import GIVEN, apart, came_and_went, came_back, returned_since, with_given
from benchtui.money.policy import Rates
from benchtui.money.standings import known_life, standing
from benchtui.money.statement_line import LATE, Line, Theirs
from benchtui.money.statements import (
    Payment,
    Statement,
    added_up,
    lines_as_of,
    payments_of,
    statement,
    theirs_of,
)

_AMOUNTS = ("price", "commission", "charges", "vat", "paid_out")
_WORDS = (
    "record", "parcel", "stock", "came_in", "description", "grades", "state", "sold_on", "paid_on", "late",
)  # fmt: skip
_KINDS = {"commission": FEE, "vat": FEE_VAT, "charges": CHARGES}
Written = dict[str, list[Line]]
"""Record (or charge) -> its lines as they were written down."""
Kept = dict[str, list[list[Any]]]
"""The same as a closing keeps it: for each the days on which its lines changed, and the lines from there."""


class Account:
    """Whose account it is, and all that it follows from; what was written down is read once."""

    def __init__(
        self,
        id: str,  # noqa: A002  (as the documents call it)
        sender: Mapping[str, Any],
        parcels: Parcels,
        settings: Mapping[str, Any],
        closed: Sequence[Closed] = (),
    ) -> None:
        self.id, self.sender, self.closed = id, sender, closed
        self.parcels, self.settings, self.rates = parcels, settings, Rates(settings)

    @cached_property
    def theirs(self) -> list[Theirs]:
        return theirs_of(self.id, self.sender, self.parcels, self.rates)

    @cached_property
    def written(self) -> Written:
        return written_lines(self.closed, self.id, self.rates.currency)

    @cached_property
    def facts(self) -> Facts:
        return {
            head["id"]: (head, {record["id"]: record for record in records}) for head, records in self.parcels
        }

    def in_order(self, keys: Iterable[str]) -> list[str]:
        """Records as they stand in their parcels, then what is for the whole."""
        place = {record["id"]: n for n, record in enumerate(one for _, mine in self.parcels for one in mine)}
        return sorted(keys, key=lambda key: place.get(key, len(place)))

    @cached_property
    def paid_to_others(self) -> dict[str, int]:
        """Record -> what was paid out for it to somebody else whose it was then, as was written down."""
        others = {sender for one in self.closed for sender in one.statements or {}} - {self.id}
        found: dict[str, int] = {}
        for other in others:
            for key, lines in written_lines(self.closed, other, self.rates.currency).items():
                if minor := sum(line.paid_out.minor for line in lines if line.record):
                    found[key] = found.get(key, 0) + minor
        return found


def statement_after(account: Account, as_of: str) -> Statement:
    """The sender's account as of a day: of a closed day as it was written down, of a later one with what was
    corrected since as lines of their own day. BenchError as ``statements.statement``."""
    since = _kept_since(account.closed)
    if since is None or as_of <= since:
        return statement(account.id, account.sender, account.parcels, account.settings, as_of)
    if as_of <= account.closed[-1].through:
        lines = written_lines(account.closed, account.id, account.rates.currency, as_of)
    else:
        lines = _shown(account, account.theirs, as_of)
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


def written_lines(closed: Sequence[Closed], sender: str, currency: str, as_of: str = "9999") -> Written:
    """The lines of that day as they were written down."""
    found: Written = {}
    for one in closed:
        for key, steps in ((one.statements or {}).get(sender) or {}).items():
            for on, lines in steps:
                if on <= as_of:
                    found[key] = [_line_of(doc, currency) for doc in lines]
    return {key: lines for key, lines in found.items() if lines}


def kept_statements(
    parcels: Parcels,
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    closed: Sequence[Closed],
    through: str,
    whose: Iterable[str],
) -> dict[str, Kept]:
    """Sender -> what changed on their statement in the period that is being closed, day by day."""
    found = {}
    for one in whose:
        account = Account(one, senders[one], parcels, settings, closed)
        if kept := _days_of(account, through):
            found[one] = kept
    return found


def _days_of(account: Account, through: str) -> Kept:
    after = account.closed[-1].through if account.closed else ""
    stood: Written = dict(account.written)
    found: Kept = {}
    for on, keys in _change_days(account, after, through):
        mine = [one for one in account.theirs if keys is None or one.record["id"] in keys]
        lines = _shown(account, mine, on, keys)
        for key in dict.fromkeys([*lines, *(stood if keys is None else keys)]):
            now = lines.get(key, [])
            if now != stood.get(key, []):
                found.setdefault(key, []).append([on, [_doc(line) for line in now]])
            stood[key] = now
    return found


def _change_days(account: Account, after: str, through: str) -> list[tuple[str, set[str] | None]]:
    """(day, whose lines may change on it); None for all, as on the last day, and with a commission over all
    sales together on every one."""
    days: dict[str, set[str]] = {}
    for one in account.theirs:
        events = [str(event["at"])[:10] for event in one.record["life"]]
        for on in (bought_on(one.head), *events, *(bill.on for bill in one.late)):
            if after < on < through:
                days.setdefault(on, set()).add(one.record["id"])
    over = account.sender.get("bands_over")
    together = "statement" in ([value for _, value in rows_of(over)] if is_dated(over) else [over])
    found: list[tuple[str, set[str] | None]] = [(on, None if together else days[on]) for on in sorted(days)]
    return [*found, (through, None)]


def _shown(account: Account, theirs: Sequence[Theirs], as_of: str, keys: set[str] | None = None) -> Written:
    """The lines of a day after the last closing, of these records or (None) all: written down, corrected,
    happened since."""
    now = _lines(account, theirs, as_of, keys)
    by_id = {one.record["id"]: one for one in theirs}
    if not account.written and not account.paid_to_others:
        return {key: _of_none(account, line, by_id.get(key), as_of) for key, line in now.items()}
    through = account.closed[-1].through
    known = [one._replace(record=life_known_by(one.record, through, as_of)) for one in theirs]
    then = _lines(account, known, through, keys)
    before = [key for key in account.written if keys is None or key in keys]
    found = {
        key: _of_one(account, key, by_id.get(key), now.get(key), then.get(key), as_of)
        for key in dict.fromkeys([*now, *before])
    }
    return {
        key: [*_brought_back(account, key, now, by_id, as_of), *mine] for key, mine in found.items() if mine
    }


def _brought_back(
    account: Account, key: str, now: Mapping[str, Line], by_id: Mapping[str, Theirs], as_of: str
) -> list[Line]:
    """Sales since the closing that came back: no other line of the record has them."""
    if key not in now or key not in by_id or key not in account.written:
        return []
    through = account.closed[-1].through
    return came_and_went(now[key], by_id[key], account.sender, account.rates, as_of, through)


def _of_none(account: Account, line: Line, one: Theirs | None, as_of: str) -> list[Line]:
    """The lines of a record of which nothing was stated."""
    return with_given(line, one, account.sender, account.rates, as_of) if one else [line]


def _lines(account: Account, theirs: Sequence[Theirs], as_of: str, keys: set[str] | None) -> dict[str, Line]:
    lines = lines_as_of(theirs, account.sender, account.rates, as_of)
    return {key: line for key, line in lines.items() if keys is None or key in keys}


def _with_given(account: Account, line: Line, one: Theirs | None, as_of: str, since: str) -> list[Line]:
    """The line, and what of it was given back after a day."""
    return apart(line, one, account.sender, account.rates, as_of, since) if one else [line]


def _of_one(
    account: Account, key: str, one: Theirs | None, now: Line | None, then: Line | None, as_of: str
) -> list[Line]:
    """The lines of one record: ``now`` and ``then`` are the facts of this day and of the closed ones."""
    stood, taken = account.written.get(key, []), account.paid_to_others.get(key, 0)
    if now is not None and taken:
        now = _with(now, _minors(now) | {"paid_out": max(0, now.paid_out.minor - taken)})
    if not stood:
        return _of_none(account, now, one, as_of) if now else []
    through = account.closed[-1].through
    back = returned_since(one, as_of, through) if then is not None and then.sold_on else None
    if then is None:
        then = _nothing(stood[0], _paid(account, key, stood) - taken)
    elif taken:
        then = _with(then, _minors(then) | {"paid_out": max(0, then.paid_out.minor - taken)})
    corrected = _correction(account, stood, then)
    if now is None:
        return _without(stood, corrected, as_of)
    pending = corrected is not None and corrected.sold_on > as_of
    if back is None and (corrected is None or pending):
        at = max(n for n, line in enumerate(stood) if line.state not in GIVEN)
        fixed = [*stood[:at], *stood[at + 1 :], *([corrected] if corrected else [])]
        rest, *given = _with_given(account, _less(now, fixed), one, as_of, through)
        return [*stood[:at], rest, *stood[at + 1 :], *given]
    before = _as_stated(stood)
    before += [corrected] if corrected is not None and not pending else []
    before += [came_back(before, back)] if back is not None else []
    rest = _less(now, [*before, *([corrected] if corrected is not None and pending else [])])
    return [*before, *_with_given(account, rest, one, as_of, through)]


def _without(stood: list[Line], corrected: Line | None, as_of: str) -> list[Line]:
    """What is left of the lines of a record that is no longer on the account."""
    if corrected is None:
        return [line for line in stood if any(_minors(line).values())]
    return stood if corrected.sold_on > as_of else [*_as_stated(stood), corrected]


def _as_stated(stood: Sequence[Line]) -> list[Line]:
    own = ("correction", *GIVEN)
    return [line if line.state in own else line._replace(state="stated before") for line in stood]


def _correction(account: Account, stood: Sequence[Line], so: Line) -> Line | None:
    """The difference between the facts of the closed days and what was written down; None for none."""
    rest = _less(so, stood)
    amounts = _minors(rest)
    if not any(amounts.values()):
        return None
    through, first = account.closed[-1].through, stood[0]
    shops = [account.settings, account.sender]
    moved = frozenset(_KINDS.get(name, OTHER) for name, minor in amounts.items() if minor)
    on, why = booked_since(
        first.parcel,
        first.record,
        account.closed[-1],
        account.facts,
        shops,
        moved,
        stated=_stated_in(account, stood),
    )
    day = max((date.fromisoformat(through) + timedelta(days=1)).isoformat(), on)
    said = f"correction of {first.stock or first.description}: {_by_stock(account, first, why) or UNSAID}"
    line = first._replace(
        came_in="", description=said, grades="", state="correction", sold_on=day, paid_on="", late=rest.late
    )
    return _with(line, amounts)


def _by_stock(account: Account, line: Line, why: str) -> str:
    """The words with stock numbers for a parcel's own numbers, which its sender does not know; that of the
    line's own record stands before them."""
    _, records = account.facts.get(line.parcel, (None, {}))
    stocks = {str(record["no"]): record["stock"] or "another record" for record in records.values()}

    def named(found: re.Match[str]) -> str:
        stock = stocks.get(found["no"], found["all"])
        return "" if stock == line.stock and found["colon"] else stock + found["colon"]

    return re.sub(r"\b(?P<all>record (?P<no>\d+))\b(?P<colon>: |)", named, why)


def _stated_in(account: Account, stood: Sequence[Line]) -> Closed | None:
    """The first closing that has the record as it was stated last: its sale, or before one that it came."""
    last = next((line for line in reversed(stood) if line.state not in ("correction", *GIVEN)), stood[-1])
    key = last.record
    for one in account.closed:
        for _, lines in ((one.statements or {}).get(account.id) or {}).get(key, ()):
            if any(
                line.get("sold_on", "") == last.sold_on for line in lines if line["state"] != "correction"
            ):
                return one
    return None


def life_known_by(record: RecordDoc, through: str, as_of: str) -> RecordDoc:
    """The record's life of the closed days as it is known on a later day: corrections of it included."""
    lived = known_life(record)
    mine = {event["n"] for event in lived if str(event["at"])[:10] <= through}
    life = [
        {**event, "at": min(str(event["at"])[:10], through)} if event["what"] == "corrected" else event
        for event in lived
        if event["n"] in mine or (event["what"] == "corrected" and event.get("of") in mine)
        if str(event["at"])[:10] <= as_of
    ]
    return {**record, "life": life}


def _paid(account: Account, key: str, stood: Sequence[Line]) -> int:
    """What was paid out for a record by the closing, whosever it is now."""
    parcel, through = stood[0].parcel, account.closed[-1].through
    records = account.facts[parcel][1] if parcel in account.facts else {}
    if key in records:
        return standing(records[key], through).paid_out
    return sum(line.paid_out.minor for line in stood)


def _nothing(line: Line, paid: int) -> Line:
    return _with(line, dict.fromkeys(_AMOUNTS, 0) | {"paid_out": max(0, paid)})


def _minors(line: Line) -> dict[str, int]:
    return {name: getattr(line, name).minor for name in _AMOUNTS}


def _less(line: Line, others: Sequence[Line]) -> Line:
    """The line less what stands on the others."""
    each, told = _minors(line), {bill for one in others for bill in one.late.split(LATE)}
    left = LATE.join(bill for bill in line.late.split(LATE) if bill not in told)
    return _with(
        line._replace(late=left),
        {name: each[name] - sum(_minors(one)[name] for one in others) for name in _AMOUNTS},
    )


def _with(line: Line, minors: Mapping[str, int]) -> Line:
    currency = line.price.currency
    made = line._replace(**{name: Money(minor, currency) for name, minor in minors.items()})  # type: ignore[arg-type]
    return made._replace(net=made.price - made.commission - made.vat - made.charges)


def _doc(line: Line) -> dict[str, Any]:
    """As a closing keeps it: words and whole minor units, those that are not empty."""
    words = {name: value for name, value in line._asdict().items() if name in _WORDS and value}
    return words | {name: minor for name, minor in _minors(line).items() if minor}


def _line_of(doc: Mapping[str, Any], currency: str) -> Line:
    nothing = Money(0, currency)
    words = {name: str(doc.get(name, "")) for name in _WORDS}
    bare = Line(**words, **dict.fromkeys((*_AMOUNTS, "net"), nothing))  # type: ignore[arg-type]
    return _with(bare, {name: int(doc.get(name, 0)) for name in _AMOUNTS})
