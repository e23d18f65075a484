"""The consignor's statement: what came in, what sold, commission, charges, what is due, what is still here.

Records set apart (mould, a suspected copy) are kept from it, as from every outgoing file, and counted.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.apportion import largest_remainder
from benchtui.money.book import Parcels, bought_on, consignor, description
from benchtui.money.charges import landed, own_terms
from benchtui.money.condition import grades_in_words
from benchtui.money.consign import ConsignTerms, terms_of
from benchtui.money.given_back import with_given
from benchtui.money.late import LateBill, late_bills
from benchtui.money.notice import CONSIGNED_ESTIMATE
from benchtui.money.policy import Policy, Rates
from benchtui.money.rounding import to_int
from benchtui.money.spreading import spread
from benchtui.money.standings import effective, money_of_event, must_be_told, require_currency, standing
from benchtui.money.statement_line import Charge, Line, Theirs, vat_added


class Payment(NamedTuple):
    """What was paid to the sender on a day, as far as it was for this record."""

    on: str
    reference: str
    record: str
    amount: Money


class Statement(NamedTuple):
    """Everything of one sender up to a day. The lines add up to the totals; ``due`` = net - paid out.

    ``payments``: what of the lines' ``paid_out`` was paid on which day. ``apart``: how many of the sender's
    records are set apart and therefore not among the lines.
    """

    sender: str
    name: str
    as_of: str
    terms: str
    lines: tuple[Line, ...]
    gross: Money
    commission: Money
    charges: Money
    net: Money
    paid_out: Money
    due: Money
    apart: int
    vat: Money
    payments: tuple[Payment, ...] = ()
    note: str = CONSIGNED_ESTIMATE

    def in_the_shop(self) -> tuple[Line, ...]:
        """The lines still unsold."""
        return tuple(line for line in self.lines if line.state == "in the shop")


def statement(
    sender_id: str,
    sender: Mapping[str, Any],
    parcels: Parcels,
    settings: Mapping[str, Any],
    as_of: str,
    weights: Mapping[str, int] | None = None,
) -> Statement:
    """The sender's account as the facts stand: every consigned record that is theirs (``consignor``), as of a
    day. Where books were closed, ``handed_in.statement_after`` gives it with what was written down.

    Cumulative, so that a later statement shows the same sales again and what was paid out since. Each sale is
    reckoned by the terms of its own day, what came in by those of the day it came. BenchError
    for terms that cannot be (see ``terms_of``) or amounts in another currency.
    """
    rates = Rates(settings)
    theirs = theirs_of(sender_id, sender, parcels, rates, weights)
    by_id = {one.record["id"]: one for one in theirs}
    lines = tuple(
        each
        for key, line in lines_as_of(theirs, sender, rates, as_of).items()
        for each in (with_given(line, by_id[key], sender, rates, as_of) if key in by_id else [line])
    )
    payments = (each for one in theirs for each in payments_of(one.record, rates, as_of))
    return added_up(sender_id, sender, rates, as_of, lines, theirs, payments)


def added_up(
    sender_id: str,
    sender: Mapping[str, Any],
    rates: Rates,
    as_of: str,
    lines: tuple[Line, ...],
    theirs: Sequence[Theirs],
    payments: Iterable[Payment],
) -> Statement:
    """The statement that these lines and payments make."""
    nothing = Money(0, rates.currency)
    sums = {
        name: sum((getattr(line, name) for line in lines), nothing)
        for name in ("price", "commission", "charges", "net", "paid_out", "vat")
    }
    return Statement(
        sender_id,
        str(sender.get("name", "")),
        as_of,
        terms_of(sender, rates.on(as_of), as_of).say(),
        lines,
        sums["price"],
        sums["commission"],
        sums["charges"],
        sums["net"],
        sums["paid_out"],
        sums["net"] - sums["paid_out"],
        sum(_is_apart(one.record, as_of) for one in theirs if bought_on(one.head) <= as_of),
        sums["vat"],
        tuple(payments),
    )


def payments_of(record: RecordDoc, rates: Rates, as_of: str, after: str = "") -> list[Payment]:
    """What was paid for it on the days after one, up to another, as it is known on that."""
    return [
        Payment(
            str(event["at"])[:10],
            str(event.get("reference") or ""),
            record["id"],
            Money(money_of_event(record, event), rates.currency),
        )
        for event in effective(record, as_of)
        if event["what"] == "paid out" and str(event["at"])[:10] > after
    ]


def theirs_of(
    sender_id: str,
    sender: Mapping[str, Any],
    parcels: Parcels,
    rates: Rates,
    weights: Mapping[str, int] | None = None,
) -> list[Theirs]:
    """Every consigned record of the sender's, whatever the day."""
    each = (_consigned(sender_id, sender, head, records, rates, weights) for head, records in parcels)
    return [one for mine in each for one in mine]


def lines_as_of(
    theirs: Sequence[Theirs], sender: Mapping[str, Any], rates: Rates, as_of: str
) -> dict[str, Line]:
    """Record id (of a charge for the whole its own key) -> line, as of a day."""
    terms = terms_of(sender, rates.on(as_of), as_of)
    lines = {
        one.record["id"]: _line(one, sender, rates, as_of)
        for one in theirs
        if bought_on(one.head) <= as_of and not _is_apart(one.record, as_of)
    }
    made = _graduated(list(lines.values()), terms, rates)
    once = {f"charge:{n}": _once(what, amount) for n, (what, amount) in enumerate(terms.once, 1)}
    return dict(zip(lines, made, strict=True)) | once


def consignors(parcels: Parcels) -> list[str]:
    """The ids of all who have a consigned record in these parcels, in the order in which they first occur."""
    found = (
        consignor(head, record)
        for head, records in parcels
        for record in records
        if own_terms(head, record) == "consigned"
    )
    return list(dict.fromkeys(one for one in found if one))


def split_payout(made: Statement, amount: Money, then: Statement | None = None) -> dict[str, Money]:
    """A payment over the records it is for (record id -> part), in proportion to what each is due.

    ``then``: the account as of an earlier day on which it was paid: what was due on that day comes first, and
    only what is more than that goes to what came later.
    """
    due = _due_by_record(made)
    early = {record: min(minor, due.get(record, 0)) for record, minor in _due_by_record(then or made).items()}
    rest = max(0, amount.minor - sum(early.values()))
    parts = _in_proportion(amount.minor - rest, early)
    for record, minor in _in_proportion(rest, {one: due[one] - parts.get(one, 0) for one in due}).items():
        parts[record] = parts.get(record, 0) + minor
    return {record: Money(minor, amount.currency) for record, minor in parts.items() if minor}


def _due_by_record(made: Statement) -> dict[str, int]:
    """Of each record to which something is due what it is, in minor units."""
    found: dict[str, int] = {}
    for line in made.lines:
        if line.record:
            found[line.record] = found.get(line.record, 0) + (line.net - line.paid_out).minor
    return {record: minor for record, minor in found.items() if minor > 0}


def _in_proportion(minor: int, weights: Mapping[str, int]) -> dict[str, int]:
    some = {record: weight for record, weight in weights.items() if weight > 0}
    parts = largest_remainder(minor, list(some.values())) if some else []
    return dict(zip(some, parts, strict=True))


def _consigned(
    sender_id: str,
    sender: Mapping[str, Any],
    head: HeadDoc,
    records: Sequence[RecordDoc],
    rates: Rates,
    weights: Mapping[str, int] | None,
) -> list[Theirs]:
    """The sender's records of a parcel that have a number, each with the inbound postage the sender bears."""
    theirs = [
        record
        for record in records
        if own_terms(head, record) == "consigned" and consignor(head, record) == sender_id
        if record["state"] == "taken-in" and record["stock"]
    ]
    if not theirs:
        return []
    must_be_told(head, theirs)
    on = bought_on(head)
    policy = rates.on(on)
    shares = spread(head, landed(head, policy.currency, policy.conversion), records, weights).by_record()
    bears = (head.get("inbound") or terms_of(sender, policy, on).inbound) == "sender"
    nothing = Money(0, policy.currency)
    late = late_bills(head, policy.currency, policy.conversion)
    return [
        Theirs(
            head,
            record,
            shares[record["id"]].inbound if bears else nothing,
            tuple(bill for bill in late if bill.inbound.get(record["id"])),
        )
        for record in theirs
    ]


def _line(one: Theirs, sender: Mapping[str, Any], rates: Rates, as_of: str) -> Line:
    head, record = one.head, one.record
    require_currency(record, rates.currency)
    now = standing(record, as_of)
    sold_on = now.sale["at"] if now.sale else as_of
    policy, nothing = rates.on(sold_on), Money(0, rates.currency)
    terms, coming = terms_of(sender, policy, sold_on), terms_of(sender, policy, bought_on(head) or as_of)
    price = now.price or nothing
    commission = terms.on_sale(price) if now.price else nothing
    vat = vat_added(commission, policy)
    charged = _charged(one, (one.inbound + coming.per_record).minor, as_of)
    beside = Money(sum(each.minor for each in charged), rates.currency)
    charges = beside + (terms.per_sale if now.price else nothing)
    return Line(
        record["id"],
        head["id"],
        record["stock"] or "",
        bought_on(head),
        description(record),
        grades_in_words(record),
        now.what,
        now.sale["at"] if now.sale else "",
        price,
        commission,
        charges,
        price - commission - vat - charges,
        Money(now.paid_out, policy.currency),
        vat,
        now.paid_on,
        charged=charged,
    )


def _charged(one: Theirs, coming: int, as_of: str) -> tuple[Charge, ...]:
    """What the record's coming in cost, and its part of each bill and credit since: each on its own day, as
    the journal has it."""
    bills = [bill for bill in one.late if bill.on <= as_of]
    late = (Charge(bill.on, bill.inbound[one.record["id"]], _said_of(bill)) for bill in bills)
    return (*([Charge(bought_on(one.head), coming, "")] if coming else []), *late)


def _said_of(bill: LateBill) -> str:
    """``late duty of 2026-11-20, van billed late``, ``postage credited on 2026-11-20``."""
    what, why = bill.charge.what, f", {bill.about}" if bill.about else ""
    return (f"{what} credited on {bill.on}" if bill.amount.minor < 0 else f"late {what} of {bill.on}") + why


def _is_apart(record: RecordDoc, as_of: str) -> bool:
    return bool(record["set_apart"]) and standing(record, as_of).what == "in the shop"


def _graduated(lines: list[Line], terms: ConsignTerms, rates: Rates) -> list[Line]:
    """A commission graduated over all sales together, shared out over the lines it comes from."""
    if terms.over == "item":
        return lines
    prices = [line.price.minor for line in lines]
    least = [line.commission.minor for line in lines]
    whole = max(to_int(terms.commission(sum(prices))), 0)
    parts = largest_remainder(whole, prices) if sum(prices) else [0] * len(lines)
    return [
        _with_commission(line, min(line.price.minor, max(part, floor)), rates.on(line.sold_on))
        for line, part, floor in zip(lines, parts, least, strict=True)
    ]


def _with_commission(line: Line, minor: int, policy: Policy) -> Line:
    commission = Money(minor, line.price.currency)
    vat = vat_added(commission, policy)
    return line._replace(commission=commission, vat=vat, net=line.price - commission - vat - line.charges)


def _once(what: str, amount: Money) -> Line:
    nothing = Money(0, amount.currency)
    return Line("", "", "", "", what, "", "charge", "", nothing, nothing, amount, -amount, nothing, nothing)
