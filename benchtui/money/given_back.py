"""What a buyer was given back of a consigned sale, and what of it was put right on a later day: lines of
their own on its sender's statement, each with its day and reason, beside the sale as it was.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from benchtui.model.money import Money
from benchtui.money.consign import terms_of
from benchtui.money.policy import Rates
from benchtui.money.standings import effective, known_life, money_of_event, standing
from benchtui.money.statement_line import Line, Theirs, vat_added

REFUND, RETURNED = "refund", "returned"
GIVEN = (REFUND, RETURNED)
"""States of the lines."""
CORRECTION = "correction"
_OWN = ("price", "commission", "vat")
_WORDS = {REFUND: "refund of", RETURNED: "return of"}


def apart(
    line: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, since: str = ""
) -> list[Line]:
    """The line of a sold record as it was before the refunds and corrections of days after ``since``, and a
    line for each of them. What a commission over all sales together makes of them stays with the sale."""
    given = [event for event in _of_this_sale(one, as_of) if str(event["at"])[:10] > since]
    refunds = _refunds(line, one, sender, rates, as_of, len(given)) if line.state == "sold" and given else []
    sale = standing(one.record, as_of).sale if line.state == "sold" else None
    right = _put_right(line, one, sale, sender, rates, as_of) if sale and sale["at"][:10] > since else []
    return [*right, less(line, [*refunds, *right]), *refunds]


def with_given(line: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str) -> list[Line]:
    """The record's lines of no closing: sales that came back, then where it stands and its refunds."""
    back = came_and_went(line, one, sender, rates, as_of)
    return [*back, *apart(line, one, sender, rates, as_of)]


def _made_void(
    like: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, since: str
) -> list[Line]:
    """Each sale after a day that was made void on a later one, and that: together nothing."""
    found: list[Line] = []
    so, life = {event["n"] for event in effective(one.record, as_of)}, known_life(one.record)
    for sale in (event for event in life if event["what"] == "sold" and event["n"] not in so):
        of_it = (event for event in life if event.get("of") == sale["n"] and event.get("now") is None)
        void = next(of_it, None)
        sold, on = (str(event["at"])[:10] if event else "" for event in (sale, void))
        if void is not None and since < sold < on <= as_of:
            sums = _of_sale(one, sale, sender, rates) | {"charges": _per_sale(sale, sender, rates)}
            back = {name: -minor for name, minor in sums.items()}
            found += [
                _sold(like, sale, sums), _corrected(like, void, back, sums, dict.fromkeys(sums, 0)),
            ]  # fmt: skip
    return found


def _put_right(
    like: Line, one: Theirs, sale: Mapping[str, Any], sender: Mapping[str, Any], rates: Rates, as_of: str
) -> list[Line]:
    """A line for each correction of that sale by its day or later: what it moved, of the day it was entered.

    One of another day of sale, and one that was entered on the day of the sale, is the sale as it is.
    """
    found: list[Line] = []
    stood: Mapping[str, Any] = {}
    for event in known_life(one.record):
        on = str(event["at"])[:10]
        if event["n"] == sale["n"]:
            stood = event
        if event.get("of") != sale["n"] or event.get("now") is None or on > as_of:
            continue
        now = {**stood, **event["now"]}
        was, so = (_of_sale(one, each, sender, rates) for each in (stood, now))
        moved = {name: so[name] - was[name] for name in was}
        if on > str(now["at"])[:10] and any(moved.values()):
            found.append(_corrected(like, event, moved, was, so))
        stood = now
    return found


def _corrected(
    like: Line,
    event: Mapping[str, Any],
    moved: Mapping[str, int],
    was: Mapping[str, int],
    so: Mapping[str, int],
) -> Line:
    """The line of a correction: what it was, and what it is."""
    now = so["price"] if event.get("now") is not None else None
    told = price_told(was["price"], now, like.price.currency) if moved["price"] else ""
    why = str(event.get("why") or "").strip()
    line = _line(like, CORRECTION, event, moved)
    return line._replace(description=f"correction of {like.stock}{told}{f': {why}' if why else ''}")


def price_told(was: int, now: int | None, currency: str) -> str:
    """``, price 37.00, was 38.00``, and of a sale that was made void what it was."""
    before = f"was {Money(was, currency).plain()}"
    return (
        f", sale void, price {before}" if now is None else f", price {Money(now, currency).plain()}, {before}"
    )


def _of_sale(
    one: Theirs, sale: Mapping[str, Any], sender: Mapping[str, Any], rates: Rates, refunded: int = 0
) -> dict[str, int]:
    """What the sender has of a sale less what was refunded of it, in minor units."""
    policy = rates.on(sale["at"])
    price = Money(max(0, money_of_event(one.record, dict(sale)) - refunded), policy.currency)
    commission = terms_of(sender, policy, sale["at"]).on_sale(price)
    vat = vat_added(commission, policy)
    return {"price": price.minor, "commission": commission.minor, "vat": vat.minor}


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

    def figures(refunded: int) -> dict[str, int]:
        return _of_sale(one, sale, sender, rates, refunded)

    was, refunded = figures(0), 0
    found = [_sold(like, sale, was | {"charges": _per_sale(sale, sender, rates)})]
    for event in refunds:
        refunded += money_of_event(one.record, dict(event))
        now = figures(refunded)
        found.append(_line(like, REFUND, event, {name: now[name] - was[name] for name in _OWN}))
        was = now
    return found


def _per_sale(sale: Mapping[str, Any], sender: Mapping[str, Any], rates: Rates) -> int:
    return terms_of(sender, rates.on(sale["at"]), sale["at"]).per_sale.minor


def came_and_went(
    like: Line, one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str, since: str = ""
) -> list[Line]:
    """Each sale after a day that came back by another, its refunds and its return, or that was made void:
    all together nothing."""
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
    return found + _made_void(like, one, sender, rates, as_of, since)


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
