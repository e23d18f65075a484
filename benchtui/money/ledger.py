"""The shop's ledger: every parcel's entries, closed periods as they were written down, then corrections.

Nothing of a closed period is worked out again. Where a fact of it has changed since, the difference is an
entry of a later day that says what it corrects.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import date
from functools import partial
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.accounts import are_by_period, periods_of
from benchtui.money.book import Parcels, bought_on, consignor, description, sender_name
from benchtui.money.causes import Facts
from benchtui.money.charges import LandedCharge, landed, own_terms
from benchtui.money.consign import ConsignTerms, terms_of
from benchtui.money.corrections import Corrected, Known, whose
from benchtui.money.dated import rows_of
from benchtui.money.days import day
from benchtui.money.entries import PERIOD_VAT, Closed, Entry, Leg, legs_of
from benchtui.money.late import LateBill, late_bills
from benchtui.money.late_inbound import is_on_statement
from benchtui.money.moved_cost import cost_moves
from benchtui.money.policy import Rates
from benchtui.money.recordflow import CostStep, Subject, commission_vat, record_entries
from benchtui.money.scheme import period_end, scheme_of
from benchtui.money.since import Senders, Since, end_of_day
from benchtui.money.spreading import Share, spread
from benchtui.money.standings import LEFT, effective, must_be_told, require_currency
from benchtui.money.statement_line import Theirs
from benchtui.money.statements import lines_as_of, theirs_of

GRADUATED = "commission over all sales"


def shop_entries(
    parcels: Parcels,
    senders: Senders,
    settings: Mapping[str, Any],
    closed: Sequence[Closed] = (),
    until: str = "",
    by_day: bool = True,
) -> list[Entry]:
    """All entries of the shop by day. ``until``: the last day for which period VAT is worked out; ``by_day``:
    see `since.Since`.

    BenchError as the money of any parcel is wrong.
    """
    rates = Rates(settings)
    found = [*_of_parcels(until, parcels, senders, rates), *_of_consignors(parcels, senders, rates, until)]
    if closed:
        found = _after(found, parcels, senders, settings, closed, by_day)
    if are_by_period(found, rates, until):
        found += _period_vat(found, rates, closed, until)
    return sorted(found, key=lambda entry: (entry.day, entry.key))


def _of_consignors(parcels: Parcels, whose: Senders, rates: Rates, until: str) -> Iterator[Entry]:
    """What is of no parcel: agreed, or reckoned, with one consignor for all of them."""
    yield from _once(parcels, whose, rates)
    yield from _over_all_sales(parcels, whose, rates, until)


def parcel_entries(
    head: HeadDoc, records: Sequence[RecordDoc], senders: Senders, rates: Rates, until: str = ""
) -> list[Entry]:
    """One parcel's: what was paid, what each record bears of it, and each record's life."""
    must_be_told(head, records)
    policy = rates.on(bought_day(head))
    cost = landed(head, policy.currency, policy.conversion)
    late = late_bills(head, policy.currency, policy.conversion)
    made = spread(head, cost, records)
    found = [_charge(head, n, charge, senders) for n, charge in enumerate(cost.charges, 1)]
    found += [entry for bill in late for entry in _late(head, bill)]
    shares = made.by_record()
    for record in records:
        require_currency(record, policy.currency)
        share = shares.get(record["id"])
        if share is None or share.terms != "bought":
            found += _strays(head, record, rates.currency, {one["id"] for one in records})
        if share is not None or record["life"]:
            found += _record(
                head, record, share, late, senders, rates, until, {one.record for one in made.shares}
            )
    return [entry for entry in found if entry.legs or entry.memo]


def bought_day(head: HeadDoc) -> str:
    """The day of purchase, else the day the parcel's id says it was begun."""
    if found := bought_on(head):
        return found
    try:
        return day(head["id"], "the day").isoformat()
    except BenchError:
        return "1970-01-01"


def _charge(head: HeadDoc, n: int, charge: LandedCharge, senders: Senders) -> Entry:
    """What was paid: for goods, or with a tax that comes back beside them."""
    on = charge.on or bought_day(head)
    to = "reclaimed" if charge.reclaimed else "arriving"
    kind = "purchase" if charge.what == "price" else charge.what
    seller = str((head.get("seller") or {}).get("name") or "") or sender_name(senders, head["sender"])
    words = {"seller": seller, "invoice": head.get("purchase_invoice") or ""}
    return Entry(
        f"{head['id']}:charge:{n}", on, kind, head["id"],
        legs=_paid(charge, to, paid_from(head, charge.what), 1),
        words={name: word for name, word in words.items() if word and kind == "purchase"}, booked=on,
    )  # fmt: skip


def paid_from(head: HeadDoc, what: str) -> str:
    """The account that a charge of this kind was paid from."""
    came = head.get("came_as") or ""
    if what != "price":
        return "bank"
    return {"traded in": "trade", "opening stock": "opening"}.get(came, "bank")


def _paid(charge: LandedCharge, to: str, source: str, sign: int) -> tuple[Leg, ...]:
    minor = sign * charge.landed.minor
    foreign = charge.charged.currency != charge.landed.currency and source == "bank"
    own = (-sign * charge.charged.minor, charge.charged.currency) if foreign else None
    return legs_of({to: minor, source: -minor}, {source: own} if own else None)


def _late(head: HeadDoc, bill: LateBill) -> Iterator[Entry]:
    """The bill itself; what records bear of it are their own entries."""
    sign = -1 if bill.amount.minor < 0 else 1
    to = "reclaimed" if bill.reclaimed else "arriving"
    name = f"{head['id']}:late:{bill.id}"
    kind = "credit" if sign < 0 else f"late {bill.charge.what}"
    words = {"about": bill.about} if bill.about else {}
    words |= {"of": f"{kind} of {bill.on}"} if bill.counts != bill.on else {}
    yield Entry(
        name, bill.counts, kind, head["id"],
        legs=_paid(bill.charge, to, "bank", sign), words=words, booked=bill.booked,
    )  # fmt: skip
    if bill.expensed:
        legs = legs_of({"late cost": bill.expensed, "arriving": -bill.expensed})
        yield Entry(
            f"{name}:expensed",
            bill.counts,
            "late cost",
            head["id"],
            legs=legs,
            words=words,
            booked=bill.booked,
        )


def _record(
    head: HeadDoc,
    record: RecordDoc,
    share: Share | None,
    late: Sequence[LateBill],
    senders: Senders,
    rates: Rates,
    until: str,
    bearing: set[str],
) -> list[Entry]:
    """A record's entries: bought, its cost and the VAT of its sale; consigned, what its sender is owed."""
    consigned = own_terms(head, record) == "consigned"
    purchase = share.margin_purchase_price.minor if share else 0
    policy_purchase = Money(purchase, rates.currency)

    def scheme(on: str) -> str:
        return "consigned" if consigned else scheme_of(head, record, policy_purchase, rates.on(on))

    owner = consignor(head, record) or ""
    words = {"description": description(record)} if record["title"] else {}

    def terms(on: str) -> ConsignTerms:
        return terms_of(senders.get(owner, {}), rates.on(on), on)

    if consigned:
        words |= {"seller": sender_name(senders, owner)} if owner in senders else {}
        found = [
            *_inbound(head, record, share, senders.get(owner), rates),
            *_late_inbound(head, record, late),
        ]
        if not _agreed(senders.get(owner)):
            return found  # nothing can be accounted for before terms are agreed; `check` names the sender
        subject = Subject(head, record, rates, 0, (), terms, scheme, words)
        return found + record_entries(subject)
    costs = tuple(_steps(head, record, share, late, bearing, rates.currency)) if share else ()
    subject = Subject(head, record, rates, purchase, costs, None, scheme, words)
    return [*record_entries(subject), *_purchases(subject, until, rates)]


def _agreed(sender: Mapping[str, Any] | None) -> bool:
    return bool(sender and (sender.get("commission") or sender.get("bands")))


def _steps(
    head: HeadDoc,
    record: RecordDoc,
    share: Share,
    late: Sequence[LateBill],
    bearing: set[str],
    currency: str,
) -> Iterator[CostStep]:
    """What the record costs from which day: its share, bills that came later, parts that moved."""
    on, key = bought_day(head), record["id"]
    base = (share.cost_share - share.moved - share.late).minor
    yield CostStep(f"{key}:share", on, on, "cost share", base, "arriving")
    for bill in late:
        if minor := bill.shares.get(key, 0):
            named = (f"{key}:late:{bill.id}", bill.counts, bill.booked, "late cost")
            yield CostStep(*named, minor, "arriving", bill.said)
    for n, move in enumerate(cost_moves(record, currency), 1):
        if move.record not in bearing and move.parcel == head["id"]:
            continue
        when = max(on, move.at or on)
        yield CostStep(f"{key}:moved:{n}", when, when, "part moved", move.amount.minor, "moved")


def _strays(head: HeadDoc, record: RecordDoc, currency: str, here: set[str]) -> Iterator[Entry]:
    """Cost that came with parts to a record that bears none any more: still here, on no record."""
    for n, move in enumerate(cost_moves(record, currency), 1):
        if move.parcel != head["id"] and move.record not in here:
            on = max(bought_day(head), move.at)
            legs = legs_of({"arriving": move.amount.minor, "moved": -move.amount.minor})
            yield Entry(
                f"{record['id']}:moved:{n}", on, "part moved", head["id"], record["id"], legs=legs, booked=on
            )


def _inbound(
    head: HeadDoc, record: RecordDoc, share: Share | None, sender: Mapping[str, Any] | None, rates: Rates
) -> Iterator[Entry]:
    """A consigned record's part of the postage, and the charge for its coming in."""
    on = bought_day(head)
    here = not record["set_apart"] or bool({event["what"] for event in effective(record)} & {"sold"})
    taken_in = record["state"] == "taken-in" and bool(record["stock"]) and here
    terms = terms_of(sender, rates.on(on), on) if sender and _agreed(sender) else None
    bears = terms is not None and taken_in and (head.get("inbound") or terms.inbound) == "sender"
    named = (head["id"], record["id"], record["stock"] or "")
    if share and share.inbound.minor:
        to = "consignors" if bears else "inbound"
        legs = legs_of({to: share.inbound.minor, "arriving": -share.inbound.minor})
        yield Entry(f"{record['id']}:share", on, "inbound postage", *named, legs=legs, booked=on)
    if terms and taken_in and terms.per_record.minor:
        legs = legs_of({"consignors": terms.per_record.minor, "charges": -terms.per_record.minor})
        yield Entry(f"{record['id']}:came", on, "charge", *named, legs=legs, booked=on)


def _late_inbound(head: HeadDoc, record: RecordDoc, late: Sequence[LateBill]) -> Iterator[Entry]:
    """What its sender bears of bills that came later; of a record that is on no statement nobody does."""
    named = (head["id"], record["id"], record["stock"] or "")
    to = "consignors" if is_on_statement(record) else "inbound"
    for bill in late:
        if minor := bill.inbound.get(record["id"], 0):
            legs = legs_of({to: minor, "arriving": -minor})
            key = f"{record['id']}:late:{bill.id}"
            yield Entry(
                key,
                bill.on,
                "inbound postage",
                *named,
                legs=legs,
                words={"about": bill.said},
                booked=bill.booked,
            )


def _once(parcels: Parcels, senders: Senders, rates: Rates) -> Iterator[Entry]:
    """Charges agreed once with a sender, on the day of the first parcel with something of theirs."""
    first: dict[str, str] = {}
    for head, records in parcels:
        for record in records:
            owner = consignor(head, record)
            if owner and own_terms(head, record) == "consigned" and _agreed(senders.get(owner)):
                first[owner] = min(first.get(owner, "9999"), bought_day(head))
    for owner, on in first.items():
        for n, (what, amount) in enumerate(terms_of(senders[owner], rates.on(on), on).once, 1):
            legs = legs_of({"consignors": amount.minor, "charges": -amount.minor})
            words = {"seller": sender_name(senders, owner), "about": what}
            yield Entry(f"{owner}:once:{n}", on, "charge", "", legs=legs, words=words, booked=on)


def _purchases(subject: Subject, until: str, rates: Rates) -> Iterator[Entry]:
    """The purchase side of period accounting: counted when bought, or when the shop begins to reckon by
    period with the record unsold; taken out again where it ceases to (stock carried in and out). What left
    before the day on which it came (sold ahead, or that day put right since) was bought all the same.
    """
    head, record = subject.head, subject.record
    bought, counted = bought_day(head), False
    gone = min((event["at"][:10] for event in effective(record) if event["what"] in LEFT), default="9999")
    for start, _ in rates.schemes(until or date.today().isoformat()):
        on = max(bought, start)
        if on > max(gone, bought):
            break
        by_period = subject.scheme(on) == "by period"
        if by_period != counted and subject.purchase:
            counted = by_period
            memo = (("period purchases", subject.purchase if by_period else -subject.purchase),)
            yield Entry(
                f"{record['id']}:period:{start}", on, "purchase counted", head["id"], record["id"],
                record["stock"] or "", memo=memo, words=dict(subject.words), booked=on,
            )  # fmt: skip


# -- closed periods, and what changed in them since ----------------------------------------------------------


def _after(
    now: Sequence[Entry],
    parcels: Parcels,
    senders: Senders,
    settings: Mapping[str, Any],
    closed: Sequence[Closed],
    by_day: bool,
) -> list[Entry]:
    """What was written down, what came after, and the difference for whatever is no longer as it was."""
    made, since = Corrected(closed, by_day), Since(senders, settings, closed, by_day)
    before = dict.fromkeys([*made.whose, *map(whose, now)], "")
    for known in _each_day(parcels, since, before, made.through):
        made.bring_to(known)
        before |= dict.fromkeys(known.about, known.day)
    made.bring_to(Known("", now, before, _heads(parcels), settings, senders))
    return [*made.entries, *(entry for entry in now if entry.day > made.through)]


def _heads(parcels: Parcels) -> Facts:
    return {head["id"]: (head, {record["id"]: record for record in records}) for head, records in parcels}


class _Part(NamedTuple):
    """A parcel, or what is of a consignor for all parcels together: the days since the last closing on which
    what closed days go by was changed, the parcels, and what makes entries of them."""

    id: str
    days: set[str]
    parcels: Parcels
    make: Callable[[Parcels, Senders, Rates], Iterable[Entry]]


def _each_day(parcels: Parcels, since: Since, before: Mapping[str, str], through: str) -> Iterator[Known]:
    """What was known at the end of each such day, of the parts concerned. What could not be reckoned with
    then (an amount without its rate, say) waits for the next."""
    parts = list(_parts(parcels, since, before, through))
    for on in sorted(set().union(*(part.days for part in parts))):
        moment = end_of_day(on)
        senders, rates = since.senders(moment), since.rates(moment)
        entries, heads, about = list[Entry](), dict[str, Any](), dict[str, str]()
        for part in parts:
            if on in part.days and (then := since.parcels(part.parcels, on)):
                with suppress(BenchError):
                    entries += list(part.make(then, senders, rates))
                    heads |= _heads(then)
                    about[part.id] = before.get(part.id, "")
        yield Known(on, entries, about, heads, since.settings(moment), senders)


def _parts(parcels: Parcels, since: Since, whole: Iterable[str], through: str) -> Iterator[_Part]:
    """``whole``: among them the consignors with something that is of no parcel."""
    for head, records in parcels:
        if days := since.of_parcel(head, records):
            yield _Part(head["id"], days, [(head, records)], partial(_of_parcels, through))
    for owner in whole:
        if days := since.of_consignor(owner, parcels):
            mine = since.with_something_of(owner, parcels)
            yield _Part(owner, days, mine, partial(_of_one, owner, through))


def _of_parcels(until: str, parcels: Parcels, senders: Senders, rates: Rates) -> Iterator[Entry]:
    for head, records in parcels:
        yield from parcel_entries(head, records, senders, rates, until)


def _of_one(owner: str, through: str, parcels: Parcels, senders: Senders, rates: Rates) -> Iterator[Entry]:
    return _of_consignors(parcels, {owner: senders[owner]}, rates, through)


# -- a commission over all sales together --------------------------------------------------------------------


def _over_all_sales(parcels: Parcels, senders: Senders, rates: Rates, until: str) -> Iterator[Entry]:
    """Where a sender's commission is graduated over all sales of the statement, each day's entry brings what
    was booked with the sales (the least commission of each) to what the statement of that day says."""
    end = until or date.today().isoformat()
    for owner, sender in senders.items():
        over = rows_of(sender.get("bands_over"))
        if not _agreed(sender) or not any(value == "statement" for _, value in over):
            continue
        theirs = theirs_of(owner, sender, parcels, rates)
        starts = {on for name in ("bands_over", "bands", "commission") for on, _ in rows_of(sender.get(name))}
        lives = [(*one.record["life"], *effective(one.record)) for one in theirs]
        sold = {str(event["at"])[:10] for life in lives for event in life}
        came = {bought_on(one.head) for one in theirs}
        booked = (0, 0, 0)
        for on in sorted({*sold, *came, *starts} - {""}):
            if on > end or not sold or on < min(sold):
                continue
            due = _above_the_least(theirs, sender, rates, on)
            commission, added, within = (now - was for now, was in zip(due, booked, strict=True))
            booked = due
            legs = legs_of(
                {
                    "consignors": commission + added,
                    "commission": -commission,
                    "vat": -added - within,
                    "vat in sales": within,
                }
            )
            if legs:
                words = {"seller": sender_name(senders, owner)}
                yield Entry(f"{owner}:graduated:{on}", on, GRADUATED, "", legs=legs, words=words, booked=on)


def _above_the_least(
    theirs: Sequence[Theirs], sender: Mapping[str, Any], rates: Rates, on: str
) -> tuple[int, int, int]:
    """Commission, VAT on top of it and VAT in it of a day's statement, less what the sales booked."""
    whole = [0, 0, 0]
    for line in lines_as_of(theirs, sender, rates, on).values():
        if line.state != "sold":
            continue
        policy = rates.on(line.sold_on)
        least = terms_of(sender, policy, line.sold_on).on_sale(line.price)
        for sign, amount in ((1, line.commission), (-1, least)):
            vat = commission_vat(amount, policy)
            added = vat if policy.commission_vat == "added" else 0
            for at, minor in enumerate((amount.minor, added, vat - added)):
                whole[at] += sign * minor
    return whole[0], whole[1], whole[2]


def _period_vat(
    entries: Sequence[Entry], rates: Rates, closed: Sequence[Closed], until: str
) -> Iterator[Entry]:
    """VAT of each period that has ended, of periods that are not closed yet."""
    through = closed[-1].through if closed else ""
    for one in periods_of(entries, rates, until, closed):
        end = period_end(one.name)
        if one.vat.minor and end > through and end <= (until or date.today().isoformat()):
            legs = legs_of({"vat in sales": one.vat.minor, "vat": -one.vat.minor})
            yield Entry(
                f"vat:{one.name}", end, PERIOD_VAT, "", legs=legs, words={"about": one.name}, booked=end
            )
