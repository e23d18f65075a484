"""The lines of one record on a statement after a closing: as they were written down, what of them is no
longer so as lines of their own day, and what happened since.
"""

import re
from collections.abc import Sequence

from benchtui.model.record import RecordDoc
from benchtui.money.account import AMOUNTS, Account, less, minors, with_minors
from benchtui.money.causes import CHARGES, FEE, FEE_VAT, OTHER, UNSAID, Moves, booked_since
from benchtui.money.days import next_day
from benchtui.money.entries import Closed
from benchtui.money.given_back import GIVEN, apart, came_back, price_told, returned_since, with_given
from benchtui.money.known import life_known_by
from benchtui.money.standings import money_of_event, standing
from benchtui.money.statement_line import Line, Theirs

_KINDS = {"commission": FEE, "vat": FEE_VAT, "charges": CHARGES}


def lines_of_one(
    account: Account,
    stood: list[Line],
    one: Theirs | None,
    now: Line | None,
    then: Line | None,
    as_of: str,
    more_later: bool = False,
) -> list[Line]:
    """The lines of one record: ``stood`` as they were stated last, ``now`` and ``then`` the facts of this day
    and of the closed ones. ``more_later``: what is no longer so was corrected on a later day than this."""
    taken = account.paid_to_others.get(stood[0].record if stood else now.record if now else "", 0)
    if now is not None and taken:
        now = with_minors(now, minors(now) | {"paid_out": max(0, now.paid_out.minor - taken)})
    if not stood:
        return lines_of_none(account, now, one, as_of) if now else []
    through = account.closed[-1].through
    now, then = (_on_stated_days(line, stood, through) if line else None for line in (now, then))
    back = returned_since(one, as_of, through) if then is not None and then.sold_on else None
    if then is None:
        then = _nothing(stood[0], _paid(account, stood, as_of) - taken)
    elif taken:
        then = with_minors(then, minors(then) | {"paid_out": max(0, then.paid_out.minor - taken)})
    known = life_known_by(one.record, through, as_of) if one is not None else None
    corrected = _correction(account, stood, then, known)
    pending = corrected is not None and (more_later or corrected.sold_on > as_of)
    if now is None:
        return _without(stood, corrected, pending)
    if back is None and (corrected is None or pending):
        at = max(n for n, line in enumerate(stood) if line.state not in GIVEN)
        if stood[at].state == "correction":  # it was off the account, and is on it again
            at = len(stood)
        fixed = [*stood[:at], *stood[at + 1 :], *([corrected] if corrected else [])]
        rest, *given = _with_given(account, less(now, fixed), one, as_of, through)
        return [*stood[:at], rest, *stood[at + 1 :], *given]
    before = _as_stated(stood)
    before += [corrected] if corrected is not None and not pending else []
    before += [came_back(before, back)] if back is not None else []
    rest = less(now, [*before, *([corrected] if corrected is not None and pending else [])])
    return [*before, *_with_given(account, rest, one, as_of, through)]


def _on_stated_days(line: Line, stood: Sequence[Line], through: str) -> Line:
    """The line with its charges of closed days on the days from which they were stated to count."""
    if line.charged is None:
        return line
    days = {one.said: one.on for each in stood for one in each.charged or ()}
    charged = (
        one._replace(on=days.get(one.said, one.on) if one.on <= through else one.on) for one in line.charged
    )
    return line._replace(charged=tuple(charged))


def _without(stood: list[Line], corrected: Line | None, pending: bool) -> list[Line]:
    """What is left of the lines of a record that is no longer on the account."""
    if corrected is None:
        return [line for line in stood if any(minors(line).values())]
    return stood if pending else [*_as_stated(stood), corrected]


def _as_stated(stood: Sequence[Line]) -> list[Line]:
    own = ("correction", *GIVEN)
    return [line if line.state in own else line._replace(state="stated before") for line in stood]


def _correction(
    account: Account, stood: Sequence[Line], so: Line, known: RecordDoc | None = None
) -> Line | None:
    """The difference between the facts of the closed days and what was written down; None for none.
    ``known``: the record by these facts."""
    rest = less(so, stood)
    amounts = minors(rest)
    if not any(amounts.values()):
        return None
    through, first, stated = account.closed[-1].through, stood[0], stated_in(account, stood)
    moved = frozenset(_KINDS.get(name, OTHER) for name, minor in amounts.items() if minor)
    on, why = _when(account, first, moved, stated)
    day = max(next_day(through), on)
    told = _told(known, amounts["price"], first.net.currency) if known and amounts["price"] else ""
    said = (
        f"correction of {first.stock or first.description}{told}: {_by_stock(account, first, why) or UNSAID}"
    )
    line = first._replace(
        came_in="", description=said, grades="", state="correction", sold_on=day, paid_on="", late="",
        charged=rest.charged,
    )  # fmt: skip
    return with_minors(line, amounts)


def _told(known: RecordDoc, moved: int, currency: str) -> str:
    """What the price is and was, as on the line of a correction of open days."""
    if sale := standing(known).sale:
        now = money_of_event(known, sale)
        return price_told(now - moved, now, currency) if now != moved else ""
    sales = {event["n"] for event in known["life"] if event["what"] == "sold"}
    is_void = any(one.get("of") in sales and one.get("now") is None for one in known["life"])
    return price_told(-moved, None, currency) if is_void and moved < 0 else ""


def _when(account: Account, line: Line, moved: Moves, stated: Closed | None) -> tuple[str, str]:
    """The day and the words of what was entered since."""
    shops = [account.settings, account.sender]
    of = (line.parcel, line.record, account.closed[-1], account.facts, shops, moved, True, stated)
    if account.known:
        return account.known.day, booked_since(*of, account.known.before.get(line.parcel, ""))[1]
    if (days := account.days.get(line.parcel)) and (said := booked_since(*of, days[-1]))[1]:
        return said
    return booked_since(*of)


def _by_stock(account: Account, line: Line, why: str) -> str:
    """The words with stock numbers for a parcel's own numbers, which its sender does not know; that of the
    line's own record stands before them."""
    _, records = account.facts.get(line.parcel, (None, {}))
    stocks = {str(record["no"]): record["stock"] or "another record" for record in records.values()}

    def named(found: re.Match[str]) -> str:
        stock = stocks.get(found["no"], found["all"])
        return "" if stock == line.stock and found["colon"] else stock + found["colon"]

    return re.sub(r"\b(?P<all>record (?P<no>\d+))\b(?P<colon>: |)", named, why)


def stated_in(account: Account, stood: Sequence[Line]) -> Closed | None:
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


def _paid(account: Account, stood: Sequence[Line], as_of: str) -> int:
    """What was paid out for a record by the closing, as it is known on a day, whosever it is now."""
    parcel, key, through = stood[0].parcel, stood[0].record, account.closed[-1].through
    records = account.facts[parcel][1] if parcel in account.facts else {}
    if key in records:
        return standing(life_known_by(records[key], through, as_of), through).paid_out
    return sum(line.paid_out.minor for line in stood)


def _nothing(line: Line, paid: int) -> Line:
    return with_minors(line._replace(charged=()), dict.fromkeys(AMOUNTS, 0) | {"paid_out": max(0, paid)})


def _with_given(account: Account, line: Line, one: Theirs | None, as_of: str, since: str) -> list[Line]:
    """The line, and what of it was given back after a day."""
    return apart(line, one, account.sender, account.rates, as_of, since) if one else [line]


def lines_of_new(account: Account, line: Line, one: Theirs, counts: str) -> list[Line]:
    """The lines of closed days of a record of which nothing stands: its charges are of the day from which it
    counts, and so is a sale, whosever it was then."""
    line = line._replace(charged=tuple(each._replace(on=counts) for each in line.charged or ()))
    if not line.sold_on:
        return [line]
    nothing = _nothing(line, 0)
    corrected = _correction(account, [nothing], line)
    return [*([corrected] if corrected else []), nothing]


def lines_of_none(account: Account, line: Line, one: Theirs | None, as_of: str) -> list[Line]:
    """The lines of a record of which nothing was stated."""
    return with_given(line, one, account.sender, account.rates, as_of) if one else [line]
