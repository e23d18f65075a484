"""One record's entries: its cost from account to account, its sales, refunds, commission and VAT.

The record's cost sits where the record is: in stock, in cost of sales once it is sold, written off, handed
back. Whatever happens to the cost later (a late bill, a part that moves) goes where it is on that day.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.consign import ConsignTerms
from benchtui.money.deal import extra, paid_apart
from benchtui.money.entries import OF_POSTAGE, Entry, Leg, difference, legs_of
from benchtui.money.policy import Policy, Rates
from benchtui.money.refunds import taken_back_in
from benchtui.money.rounding import to_money
from benchtui.money.scheme import item_margin, vat_in
from benchtui.money.standings import effective, known_life, money_of_event, taken

SITS = {
    "in the shop": "stock",
    "sold": "cost of sales",
    "handed back": "handed back",
    "scrapped": "written off",
}
_FEES = (
    ("selling_fee", "selling fees"),
    ("payment_fee", "payment fees"),
    ("postage_paid", "postage paid"),
    ("packing", "packing"),
)

NO_WORDS: Mapping[str, str] = {}


class CostStep(NamedTuple):
    """A change of the record's cost on a day: so much, from (or to) that account."""

    key: str
    day: str
    booked: str
    kind: str
    minor: int
    against: str
    about: str = ""


class Subject(NamedTuple):
    """What is the same for all entries of a record. ``purchase`` is its part of what the seller was paid;
    ``terms`` gives a consignor's terms of a day, None for a bought record; ``scheme`` the VAT of a day."""

    head: HeadDoc
    record: RecordDoc
    rates: Rates
    purchase: int
    costs: tuple[CostStep, ...]
    terms: Any
    scheme: Any
    words: Mapping[str, str]

    @property
    def consigned(self) -> bool:
        return self.terms is not None


@dataclass(slots=True)
class _State:
    """Where the fold stands: what the record cost so far, and the sale by which it is gone. ``given``: what
    was given back of it in the currency it was paid in."""

    what: str = "in the shop"
    cost: int = 0
    sale: dict[str, Any] | None = None
    refunded: int = 0
    given: int = 0
    vat: int = 0
    made: dict[str, Entry] = field(default_factory=dict)


def record_entries(subject: Subject) -> list[Entry]:
    """All entries of the record. A correction moves the difference it makes on the day it was entered."""
    life = known_life(subject.record)
    corrected = [at for at, event in enumerate(life) if event.get("what") == "corrected"]
    if not corrected:
        return list(_fold(subject, life).values())
    stood = _fold(subject, life[: corrected[0]])
    found, known = list(stood.values()), dict(stood)
    for at, event in enumerate(life[corrected[0] :], corrected[0]):
        now = _fold(subject, life[: at + 1])
        found += _changes(known, stood, now, event)
        known, stood = known | now, now
    return found


def _changes(
    known: Mapping[str, Entry], stood: Mapping[str, Entry], now: Mapping[str, Entry], event: Mapping[str, Any]
) -> Iterator[Entry]:
    """What an event changed: entries that are new, and differences in those that stood before. ``known`` are
    all that ever stood: what was voided and holds again is a correction too."""
    for key in dict.fromkeys([*stood, *now]):
        if key not in known:
            yield now[key]
            continue
        legs, memo = difference(now.get(key), [stood[key]] if key in stood else [])
        if legs or memo:
            old, day = known[key], str(event["at"])
            why = {"why": str(event.get("why") or "corrected")}
            if paid_in := (now[key].words if key in now else {}).get("paid_in"):
                why["paid_in"] = paid_in
            yield replace(
                old,
                key=f"{key}+{event['n']}",
                day=day,
                kind="correction",
                legs=legs,
                memo=memo,
                words={**old.words, **why},
                booked=day,
                corrects=key,
            )


def _fold(subject: Subject, life: Sequence[dict[str, Any]]) -> dict[str, Entry]:
    """The entries of a life as known after these events, by key."""
    record: RecordDoc = {**subject.record, "life": list(life)}
    steps: list[tuple[str, int, Any]] = [(step.day, 0, step) for step in subject.costs]
    steps += [(event["at"][:10], 1, event) for event in effective(record)]
    state = _State()
    for _, kind, step in sorted(steps, key=lambda one: (one[0], one[1])):
        if kind == 0:
            _cost(subject, state, step)
        else:
            _event(subject, state, step)
    return state.made


def _cost(subject: Subject, state: _State, step: CostStep) -> None:
    state.cost += step.minor
    amounts = {step.against: -step.minor}
    sits = SITS[state.what]
    amounts[sits] = amounts.get(sits, 0) + step.minor
    legs = legs_of(amounts)
    about = {"about": step.about} if legs and step.about else NO_WORDS
    _put(subject, state, step.key, step.day, step.kind, legs, step.booked, words=about)


def _event(subject: Subject, state: _State, event: dict[str, Any]) -> None:
    what = event["what"]
    if what == "sold":
        _sold(subject, state, event)
    elif what in ("returned", "refunded") and state.sale is not None:
        _refunded(subject, state, event, back=what == "returned")
    elif what == "paid out":
        minor = money_of_event(subject.record, event)
        _made(subject, state, event, {"consignors": minor, "bank": -minor})
    elif what in ("scrapped", "handed back"):
        memo = [] if subject.consigned else [*_by_period(subject, event["at"], -subject.purchase)]
        _made(subject, state, event, _cost_moves(state, what), memo)


def _cost_moves(state: _State, what: str) -> dict[str, int]:
    """The record's cost from where it sits to where it goes."""
    before, after = SITS[state.what], SITS[what]
    state.what = what
    return {} if before == after else {before: -state.cost, after: state.cost}


def _sold(subject: Subject, state: _State, event: dict[str, Any]) -> None:
    minor = money_of_event(subject.record, event)
    amounts = {
        "bank": taken(subject.record, event, with_tax=True) - extra(event, "traded"),
        "trade": extra(event, "traded"),
        "postage": -extra(event, "postage"),
        "tax": -extra(event, "tax"),
    }
    for name, role in _FEES:
        amounts[role] = extra(event, name)
        amounts["bank"] -= extra(event, name)
    state.sale, state.refunded, state.given = event, 0, 0
    memo: list[tuple[str, int]] = []
    if subject.consigned:
        _add(amounts, _consigned(subject, event, minor))
        state.what = "sold"
    else:
        amounts["sales"] = -minor
        _add(amounts, _cost_moves(state, "sold"))
        memo = _vat(subject, state, amounts, _selling(subject, event, 0), event)
    _made(subject, state, event, amounts, memo, _banked(event), -paid_apart(event))


def _banked(sale: Mapping[str, Any]) -> tuple[int, str] | None:
    """What of a sale in another currency came to the bank in it. Sales of older versions do not say."""
    paid_in = sale.get("paid_in") or {}
    return (int(paid_in["bank"]), str(paid_in["currency"])) if "bank" in paid_in else None


def _refunded(subject: Subject, state: _State, event: dict[str, Any], back: bool) -> None:
    """Part of the price given back, or (``back``) the record too: what is kept then stays takings."""
    assert state.sale is not None
    sale, refund = state.sale, money_of_event(subject.record, event)
    before, refunded = state.refunded, state.refunded + refund
    state.refunded = refunded
    tax = _of_tax(subject, sale, refunded) - _of_tax(subject, sale, before)
    post = _of_postage(subject, sale, refunded) - _of_postage(subject, sale, before)
    banked = int((event.get("paid_in") or {}).get("day_minor", refund))
    amounts = {"bank": -banked, "tax": tax, "exchange": banked - refund}
    memo: list[tuple[str, int]] = []
    if subject.consigned:
        minor = money_of_event(subject.record, sale)
        delta = _consigned(subject, sale, max(0, minor - before), sign=-1)
        if not back:
            _add(delta, _consigned(subject, sale, max(0, minor - state.refunded)))
        _add(amounts, delta)
        amounts["refunds"] = -sum(amounts.values())
        state.what = "in the shop" if back else state.what
    else:
        amounts["refunds"] = refund - tax
        if back:
            _add(amounts, _cost_moves(state, "in the shop"))
        memo = _vat(subject, state, amounts, _selling(subject, sale, state.refunded), sale, before, back)
    foreign = taken_back_in(subject.record, sale, event, state.refunded, state.given)
    state.given += foreign[0] if foreign else 0
    if back:
        state.sale, state.refunded, state.vat = None, 0, 0
    said = {name: sale[name] for name in ("buyer", "invoice") if sale.get(name)}
    said |= {OF_POSTAGE: str(post)} if post else {}
    _made(subject, state, {**said, **event}, amounts, memo, (-foreign[0], foreign[1]) if foreign else None)


def _of_tax(subject: Subject, sale: dict[str, Any], refunded: int) -> int:
    """What of a refund is tax that was collected: the last of it."""
    return max(0, refunded - taken(subject.record, sale))


def _of_postage(subject: Subject, sale: dict[str, Any], refunded: int) -> int:
    """What of a refund is postage that was charged: what is above the price."""
    return min(extra(sale, "postage"), max(0, refunded - money_of_event(subject.record, sale)))


def _selling(subject: Subject, sale: dict[str, Any], refunded: int) -> int:
    """The selling price as the margin scheme counts it, refunds taken off: the price first, then postage."""
    policy = subject.rates.on(sale["at"])
    minor = money_of_event(subject.record, sale)
    whole = minor + (extra(sale, "postage") if policy.postage_in_margin else 0)
    return max(0, whole - refunded)


def _vat(
    subject: Subject,
    state: _State,
    amounts: dict[str, int],
    selling: int,
    sale: dict[str, Any],
    before: int | None = None,
    back: bool = False,
) -> list[tuple[str, int]]:
    """VAT of a sale, or (``before``: what was refunded till then) the change a refund makes; added to the
    amounts. Of a record that came back what is kept is taxed whole: nothing was supplied for it.

    Outside the scheme the VAT of a refund is that of its own amount, as its credit note shows it; the refund
    that gives back the last of the price takes what VAT is left.
    """
    policy = subject.rates.on(sale["at"])
    scheme = subject.scheme(sale["at"])
    was = _selling(subject, sale, before) if before is not None else 0
    if scheme == "by period":
        return [("period takings", selling - was)] if selling != was else []
    vat = _vat_of(subject, policy, scheme, selling, whole=back)
    if scheme == "outside" and before is not None and selling:
        vat = max(0, state.vat - _vat_of(subject, policy, scheme, was - selling, whole=True))
    delta, state.vat = vat - state.vat, vat
    if delta:
        _add(amounts, {"vat": -delta, "vat in sales": delta})
    return [pair for pair in ((f"{scheme} takings", selling - was), (f"{scheme} VAT", delta)) if pair[1]]


def _vat_of(subject: Subject, policy: Policy, scheme: str, selling: int, whole: bool) -> int:
    if policy.vat_rate is None or scheme not in ("item by item", "outside"):
        return 0
    price = Money(selling, policy.currency)
    if whole or scheme == "outside":
        return vat_in(price, policy.vat_rate, policy.vat_rounding).minor
    purchase = Money(subject.purchase, policy.currency)
    return item_margin(purchase, price, policy.vat_rate, policy.vat_rounding).vat.minor


def _by_period(subject: Subject, on: str, minor: int) -> Iterator[tuple[str, int]]:
    """What leaves unsold takes its purchase out of the period accounts again."""
    if subject.scheme(on) == "by period" and minor:
        yield "period purchases", minor


def _consigned(subject: Subject, sale: dict[str, Any], price: int, sign: int = 1) -> dict[str, int]:
    """What a consigned record sold at that price owes its sender, and what of it is the shop's."""
    terms: ConsignTerms = subject.terms(sale["at"])
    policy = subject.rates.on(sale["at"])
    commission = terms.on_sale(Money(price, policy.currency))
    vat = commission_vat(commission, policy)
    added = vat if policy.commission_vat == "added" else 0
    amounts = {
        "consignors": -(price - commission.minor - added - terms.per_sale.minor),
        "commission": -commission.minor,
        "charges": -terms.per_sale.minor,
        "vat": -vat,
        "vat in sales": vat - added,
    }
    return {role: sign * minor for role, minor in amounts.items() if minor}


def commission_vat(commission: Money, policy: Policy) -> int:
    """VAT on a commission, in minor units: on top of it, or the part of it that is VAT, as the shop's rule
    says; 0 where it says neither. Source: Directive 2006/112/EC, article 24, a service at the ordinary rate.
    """
    if policy.commission_vat == "none" or policy.vat_rate is None:
        return 0
    if policy.commission_vat == "included":
        return vat_in(commission, policy.vat_rate, policy.vat_rounding).minor
    return to_money(commission.minor * policy.vat_rate, commission.currency, policy.vat_rounding).minor


def _add(amounts: dict[str, int], more: Mapping[str, int]) -> None:
    for role, minor in more.items():
        amounts[role] = amounts.get(role, 0) + minor


def _made(
    subject: Subject,
    state: _State,
    event: dict[str, Any],
    amounts: Mapping[str, int],
    memo: Sequence[tuple[str, int]] = (),
    banked: tuple[int, str] | None = None,
    apart: int = 0,
) -> None:
    said = {
        name: str(event[name])
        for name in ("buyer", "invoice", "credit_note", "where", "note", "why", "reference", OF_POSTAGE)
        if event.get(name)
    }
    foreign = {}
    if paid_in := event.get("paid_in"):
        paid = Money(int(paid_in["minor"]), str(paid_in["currency"])).show()
        day = f", rate of the day {paid_in['day_rate']}" if paid_in.get("day_rate") else ""
        foreign = {"paid_in": f"{paid} at {paid_in['rate']}{day}"}
    legs = legs_of(amounts, {"bank": banked} if banked else None, apart)
    booked = str(event.get("booked") or event["at"])[:10]
    key = f"{subject.record['id']}:{event['n']}"
    _put(subject, state, key, event["at"][:10], event["what"], legs, booked, tuple(memo), said | foreign)


def _put(
    subject: Subject, state: _State, key: str, day: str, kind: str, legs: tuple[Leg, ...], booked: str,
    memo: tuple[tuple[str, int], ...] = (), words: Mapping[str, str] = NO_WORDS,
) -> None:  # fmt: skip
    """Nothing where nothing moved and nothing is said."""
    if not legs and not memo and not words:
        return
    record = subject.record
    named = (subject.head["id"], record["id"], record["stock"] or "")
    state.made[key] = Entry(key, day, kind, *named, legs, memo, {**subject.words, **words}, booked)
