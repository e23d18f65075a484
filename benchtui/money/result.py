"""The parcel's result: paid, landed, asked, expected margin, a record and the whole. An estimate."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import consignor, description
from benchtui.money.charges import Landed, landed, own_terms
from benchtui.money.consign import ConsignTerms, terms_of
from benchtui.money.late import late_bills
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Policy, policy_of
from benchtui.money.rounding import money_of
from benchtui.money.scheme import eligibility, item_margin, vat_in
from benchtui.money.spreading import Share, Spread, changed, spread
from benchtui.money.standings import must_be_told, standing


class ResultRow(NamedTuple):
    """One record. ``margin`` is asked less landed, of a consigned one the commission; None: no price yet.

    ``vat`` is what would be due if it sold at the price asked, None where that is not known (no price, no
    rate, eligibility not answered). ``after_vat`` = margin - vat.
    """

    record: str
    no: int
    stock: str
    label: str
    share: Share
    asked: Money | None
    margin: Money | None
    vat: Money | None
    after_vat: Money | None


class ParcelResult(NamedTuple):
    """The page: rows and their sums. ``priced`` of ``len(rows)`` records have a price.

    ``paid`` and ``landed`` are the whole parcel's. ``asked``, ``margin`` and ``vat`` are sums of the bought
    records that have a price; what consigned ones ask and the ``commission`` it should bring stand apart.
    ``sunk`` is cost that no price will bring back: of records set apart, scrapped or handed back, postage of
    consigned ones that no commission covers yet, late bills expensed. ``margin`` has it taken off, and is
    None while nothing has a price: a parcel that nobody has seen yet makes no loss.
    ``since``: record -> (share frozen at the closing, share it would have now), of those that differ.
    """

    parcel: str
    currency: str
    cost: Landed
    spread: Spread
    rows: tuple[ResultRow, ...]
    priced: int
    paid: Money
    landed: Money
    asked: Money
    margin: Money | None
    vat: Money
    asked_consigned: Money
    commission: Money
    sunk: Money
    since: Mapping[str, tuple[int, int]]
    note: str = ESTIMATE


def parcel_result(
    head: HeadDoc,
    records: Sequence[RecordDoc],
    settings: Mapping[str, Any],
    weights: Mapping[str, int] | None = None,
    senders: Mapping[str, Mapping[str, Any]] | None = None,
    *,
    afresh: bool = False,
) -> ParcelResult:
    """What the parcel cost and what it should bring. ``weights``: record id -> worked price in minor units.

    ``senders`` (id -> sender) gives the terms of consigned records; without them their commission is not
    known. BenchError for charges, prices or terms that cannot be right.
    """
    must_be_told(head, records)
    policy = policy_of(settings)
    cost = landed(head, policy.currency, policy.conversion)
    made = spread(head, cost, records, weights, afresh=afresh)
    terms = {
        one: terms_of(sender, policy)
        for one, sender in (senders or {}).items()
        if sender.get("commission") or sender.get("bands")
    }
    by_id = {record["id"]: record for record in records}
    frozen = head["shares"]
    earned = _commissions(head, records, policy, terms)
    rows = tuple(_row(head, by_id[share.record], share, policy, terms, earned) for share in made.shares)
    late = late_bills(head, policy.currency, policy.conversion)
    gone = {record["id"] for record in records if _brings_nothing(record)}
    sunk = sum(
        (_sunk(row, head, gone) for row in rows), Money(sum(one.expensed for one in late), policy.currency)
    )
    hoped = tuple(row for row in rows if row.record not in gone)
    priced = any(row.asked is not None for row in hoped)
    return ParcelResult(
        head["id"],
        policy.currency,
        cost,
        made,
        rows,
        sum(row.asked is not None for row in rows),
        cost.paid,
        cost.total + sum((one.amount for one in late if not one.reclaimed), Money(0, policy.currency)),
        _sum(hoped, "asked", "bought", policy),
        _sum(hoped, "margin", "bought", policy) - sunk if priced else None,
        _sum(hoped, "vat", "bought", policy),
        _sum(hoped, "asked", "consigned", policy),
        _sum(hoped, "margin", "consigned", policy),
        sunk,
        {} if frozen is None else changed(frozen, spread(head, cost, records, weights, afresh=True)),
    )


def _commissions(
    head: HeadDoc, records: Sequence[RecordDoc], policy: Policy, terms: Mapping[str, ConsignTerms]
) -> dict[str, Money]:
    """Record -> commission on the price asked. One graduated over all sales together is reckoned as if those
    of this parcel were all, which an estimate may: what else the consignor sells is not known yet."""
    hoped: dict[str, list[RecordDoc]] = {}
    for record in records:
        who = consignor(head, record) or ""
        if own_terms(head, record) == "consigned" and who in terms and not _brings_nothing(record):
            hoped.setdefault(who, []).append(record)
    found: dict[str, Money] = {}
    for who, theirs in hoped.items():
        priced = [(record["id"], asked) for record in theirs if (asked := _asked(record, policy)) is not None]
        due = terms[who].on_sales([asked for _, asked in priced])
        found |= {record: money for (record, _), money in zip(priced, due, strict=True)}
    return found


def _asked(record: RecordDoc, policy: Policy) -> Money | None:
    price = record["price"]
    return money_of(price, f"price of record {record['no']}", policy.currency) if price else None


def guess_in_words(result: ParcelResult) -> str:
    """At what a record without a price is counted in the shares; "" where none is, or all count evenly."""
    weights = [row.share.weight for row in result.rows if row.share.guessed]
    if not weights or result.spread.how == "even":
        return ""
    if len(weights) == len(result.rows):
        return "no price yet: all are counted alike"
    shown = Money(weights[0], result.currency).show()
    return f"no price yet: counted at {shown}, the lower middle of the worked prices (asked, where none)"


def _brings_nothing(record: RecordDoc) -> bool:
    """Whether no sale is to be expected: set apart, or gone without one."""
    what = standing(record).what
    return what in ("scrapped", "handed back") or (what == "in the shop" and record["set_apart"] is not None)


def _sunk(row: ResultRow, head: HeadDoc, gone: set[str]) -> Money:
    """The cost of a record that brings nothing; the postage of a consigned one that no commission covers."""
    nothing = Money(0, row.share.cost_share.currency)
    if row.share.terms == "bought":
        return row.share.cost_share if row.record in gone else nothing
    lost = row.record in gone or row.margin is None
    return row.share.inbound if lost and head.get("inbound") != "sender" else nothing


def _sum(rows: Sequence[ResultRow], what: str, terms: str, policy: Policy) -> Money:
    known = (getattr(row, what) for row in rows if row.share.terms == terms)
    return sum((money for money in known if money is not None), Money(0, policy.currency))


def _row(
    head: HeadDoc,
    record: RecordDoc,
    share: Share,
    policy: Policy,
    terms: Mapping[str, ConsignTerms],
    earned: Mapping[str, Money],
) -> ResultRow:
    asked = _asked(record, policy)
    margin = _margin(asked, share, terms.get(consignor(head, record) or ""), head, earned.get(record["id"]))
    vat = _vat(head, record, asked, share, policy)
    after = None if margin is None or vat is None else margin - vat
    label = description(record) if record["title"] else ""
    return ResultRow(
        record["id"], record["no"], record["stock"] or "", label, share, asked, margin, vat, after
    )


def _margin(
    asked: Money | None, share: Share, terms: ConsignTerms | None, head: HeadDoc, commission: Money | None
) -> Money | None:
    """Of a bought record asked less its cost; of a consigned one the commission and charges, less what the
    shop bears of its inbound postage."""
    if asked is None:
        return None
    if share.terms == "bought":
        return asked - share.cost_share
    if terms is None:
        return None
    bearer = head.get("inbound") or terms.inbound
    earned = (commission or terms.on_sale(asked)) + terms.per_sale + terms.per_record
    return earned if bearer == "sender" else earned - share.inbound


def _vat(head: HeadDoc, record: RecordDoc, asked: Money | None, share: Share, policy: Policy) -> Money | None:
    """On the margin if the record is eligible, in the whole price if not; item by item in either scheme."""
    nothing = Money(0, policy.currency)
    if policy.scheme == "none" or share.terms != "bought":
        return nothing
    answer = eligibility(record, head).answer
    if asked is None or policy.vat_rate is None or answer is None:
        return None
    if not answer:
        return vat_in(asked, policy.vat_rate, policy.vat_rounding)
    return item_margin(share.margin_purchase_price, asked, policy.vat_rate, policy.vat_rounding).vat
