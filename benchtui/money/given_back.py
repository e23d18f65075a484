"""What a buyer was given back of a consigned sale: lines of their own on its sender's statement, each with
its day and reason, beside the sale as it was.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.model.money import Money
from benchtui.money.consign import terms_of
from benchtui.money.policy import Rates
from benchtui.money.standings import effective, money_of_event, standing
from benchtui.money.statement_line import Line, Theirs, vat_added

REFUND, RETURNED = "refund", "returned"
GIVEN = (REFUND, RETURNED)
"""States of the lines."""
_OWN = ("price", "commission", "vat")
_WORDS = {REFUND: "refund of", RETURNED: "return of"}


def apart(
    line: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, since: str = ""
) -> list[Line]:
    """The line of a sold record as it was before the refunds entered for days after ``since``, and a line for
    each of them. What a commission over all sales together makes of them stays with the sale."""
    given = [event for event in _of_this_sale(one, as_of) if str(event["at"])[:10] > since]
    refunds = _refunds(line, one, sender, rates, as_of, len(given)) if line.state == "sold" and given else []
    return [less(line, refunds), *refunds]


def with_given(line: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str) -> list[Line]:
    """The record's lines of no closing: sales that came back, then where it stands and its refunds."""
    back = came_and_went(line, one, sender, rates, as_of)
    return [*back, *apart(line, one, sender, rates, as_of)]


def came_back(stood: Sequence[Line], event: Mapping[str, Any]) -> Line:
    """The line that takes a stated sale back: price, commission, the VAT on it and the charge for it. What
    came of other days stays with the record's own line."""
    sums = {name: sum(getattr(line, name).minor for line in stood) for name in _OWN}
    sums["charges"] = sum(line.of_sale.minor for line in stood)
    return _line(stood[0], RETURNED, event, {name: -minor for name, minor in sums.items()})


def returned_since(one: Theirs | None, as_of: str, since: str) -> Mapping[str, Any] | None:
    """The first return of the record after a day, up to another."""
    events = effective(one.record, as_of) if one else []
    found = (event for event in events if event["what"] == "returned" and str(event["at"])[:10] > since)
    return next(found, None)


def less(line: Line, others: Sequence[Line]) -> Line:
    """The line less price, commission and VAT of others."""
    each = {name: getattr(line, name) - _sum(others, name, line) for name in _OWN}
    made = line._replace(**each)
    return made._replace(net=made.price - made.commission - made.vat - made.charges)


def _sum(lines: Sequence[Line], name: str, like: Line) -> Money:
    return sum((getattr(one, name) for one in lines), Money(0, like.price.currency))


def _of_this_sale(one: Theirs, as_of: str) -> list[dict[str, Any]]:
    """The part refunds of the sale by which it is gone."""
    found: list[dict[str, Any]] = []
    for event in effective(one.record, as_of):
        if event["what"] == "refunded":
            found.append(event)
        elif event["what"] in ("sold", "returned"):
            found = []
    return found


def _refunds(
    line: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, last: int
) -> list[Line]:
    """A line for each of the last so many."""
    sale = standing(one.record, as_of).sale
    assert sale is not None
    return _lowered(line, one, sale, _of_this_sale(one, as_of), sender, rates)[1:][-last:]


def _lowered(
    like: Line,
    one: Theirs,
    sale: Mapping[str, Any],
    refunds: Sequence[Mapping[str, Any]],
    sender: Mapping[str, Any],
    rates: Rates,
) -> list[Line]:
    """A sale and its part refunds, a line each."""
    policy = rates.on(sale["at"])
    terms, minor = terms_of(sender, policy, sale["at"]), money_of_event(one.record, dict(sale))

    def figures(refunded: int) -> dict[str, int]:
        price = Money(max(0, minor - refunded), policy.currency)
        commission = terms.on_sale(price)
        vat = vat_added(commission, policy)
        return {"price": price.minor, "commission": commission.minor, "vat": vat.minor}

    was, refunded = figures(0), 0
    found = [_sold(like, sale, was | {"charges": terms.per_sale.minor})]
    for event in refunds:
        refunded += money_of_event(one.record, dict(event))
        now = figures(refunded)
        found.append(_line(like, REFUND, event, {name: now[name] - was[name] for name in _OWN}))
        was = now
    return found


def came_and_went(
    like: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, since: str = ""
) -> list[Line]:
    """Each sale after a day that came back by another, its refunds and its return: all together nothing."""
    found: list[Line] = []
    sale: Mapping[str, Any] | None = None
    refunds: list[Mapping[str, Any]] = []
    for event in effective(one.record, as_of):
        if event["what"] == "sold":
            sale, refunds = event, []
        elif event["what"] == "refunded":
            refunds.append(event)
        elif event["what"] == "returned":
            if sale is not None and str(sale["at"])[:10] > since:
                mine = _lowered(like, one, sale, refunds, sender, rates)
                found += [*mine, came_back(mine, event)]
            sale = None
    return found


def _sold(like: Line, sale: Mapping[str, Any], minors: Mapping[str, int]) -> Line:
    made = _line(like, "sold", sale, minors)
    return made._replace(came_in=like.came_in, description=like.description, grades=like.grades)


def _line(like: Line, state: str, event: Mapping[str, Any], minors: Mapping[str, int]) -> Line:
    currency = like.price.currency
    nothing = Money(0, currency)
    price, commission, vat, charges = (Money(minors.get(name, 0), currency) for name in (*_OWN, "charges"))
    note = str(event.get("note") or "").strip()
    said = f"{_WORDS.get(state, 'sale of')} {like.stock}{f': {note}' if note else ''}"
    made = like._replace(
        came_in="", description=said, grades="", state=state, sold_on=str(event["at"])[:10], charges=charges,
        paid_out=nothing, paid_on="", late="", charged=(), price=price, commission=commission, vat=vat,
    )  # fmt: skip
    return made._replace(net=price - commission - vat - charges)
