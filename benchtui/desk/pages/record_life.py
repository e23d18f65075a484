"""On the record's page: where it stands, what happened to it, and its money."""

from typing import Any

from benchtui.base.errors import BenchError
from benchtui.desk.core.desk import Desk
from benchtui.desk.core.lives import with_reserve
from benchtui.desk.core.page_parts import Para, Section, Text, says, words
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.line.fields import show_eligible
from benchtui.desk.parcel.parcel import sender_name
from benchtui.desk.parcel.result import result_of
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc, part_of
from benchtui.money.book import consignor
from benchtui.money.charges import own_terms
from benchtui.money.deal import AMOUNTS
from benchtui.money.figures import sale_rows
from benchtui.money.late_inbound import sender_bears
from benchtui.money.ledger import parcel_entries
from benchtui.money.moved_cost import cost_moves
from benchtui.money.notice import ESTIMATE
from benchtui.money.policy import Rates, policy_of
from benchtui.money.refunds import price_on_invoice
from benchtui.money.result import ParcelResult, guess_in_words
from benchtui.money.scheme import eligibility
from benchtui.money.standings import Standing, standing

LABEL = 16
"""Cells for what an amount is."""


def life(desk: Desk, record: RecordDoc) -> list[Section]:
    """Where the record stands now, and every event with its number; what was corrected stays readable."""
    lines: list[Para] = []
    try:
        lines.append(says(said_standing(standing(record)), "", 2, 3))
    except BenchError as error:
        lines.append(says(str(error), "warn", 2, 3))
    corrected = {str(event.get("of")): event for event in record["life"] if event.get("what") == "corrected"}
    for event in record["life"]:
        later = corrected.get(str(event.get("n")))
        told = details(event, desk.currency)
        said = f"{event.get('n', '?')}  {event.get('at', '?')}  {event.get('what', '?')}{told}"
        if later is not None:
            said += f" (corrected by event {later.get('n')})"
        lines.append(says(said, "dim" if later is not None else "", 2, 3))
    return [Text(tuple(lines), words("What happened to it", "accent bold"), "life")]


def said_standing(now: Standing) -> str:
    """``in the shop, shelf B3, held for M. Larch until 2026-12-02``."""
    said = [now.what + (f" since {now.since}" if now.since and now.what == "in the shop" else "")]
    if now.since and now.what != "in the shop":
        said[0] += f" on {now.since}"
    if now.sale is not None and now.price is not None:
        sold = Money(int(now.sale["minor"]), now.price.currency)
        given = Money(now.refunded, now.price.currency)
        part = f", {given.show()} of it refunded" if now.refunded else ""
        said[0] += f" for {sold.show()}{', all refunded' if now.all_refunded else part}"
        said += [f"buyer {now.sale['buyer']}"] if now.sale.get("buyer") else []
        said += [f"invoice {now.sale['invoice']}"] if now.sale.get("invoice") else []
    elif now.shelf:
        said.append(f"shelf {now.shelf}")
    if now.held_for:
        said.append(f"held for {now.held_for} until {now.held_until}")
    if now.returns:
        said.append(f"brought back {now.returns} time{'s' if now.returns > 1 else ''}")
    return ", ".join(said)


def details(event: dict[str, Any], currency: str = "") -> str:
    """What the event says, whatever kind it is; ``currency``: the shop's, of an amount that was corrected."""
    said = [shown(event)] if "minor" in event else []
    said += _paid_in(event.get("paid_in"), event)
    for name, said_so in (("place", "{}"), ("who", "for {}"), ("until", "until {}"), ("buyer", "buyer {}")):
        if event.get(name):
            said.append(said_so.format(event[name]))
    if event.get("where"):
        said.append(f"at {event['where']}")
    if event.get("invoice"):
        said.append(f"invoice {event['invoice']}")
    if event.get("credit_note"):
        said.append(f"credit note {event['credit_note']}")
    if event.get("what") == "corrected":
        said.append(f"event {event.get('of')}: {_right(event.get('now'), currency)}")
    said += [str(event[name]) for name in ("note", "why", "reference") if event.get(name)]
    for name, called in AMOUNTS.items():
        if event.get(name) and event.get("currency"):
            share = f" ({event['percent_off']} %)" if name == "discount" and event.get("percent_off") else ""
            said.append(f"{called} {shown({'minor': event[name], 'currency': event['currency']})}{share}")
    said += [f"agreed by {event['agreed']}"] if event.get("agreed") else []
    return ", ".join(["", *said]) if said else ""


def _paid_in(kept: Any, event: dict[str, Any]) -> list[str]:
    """``20.00 EUR at 0.86, at the day's 0.88``: what it was in the currency it was paid in; of a sale the
    price alone, as its amount in the shop's own is."""
    if not isinstance(kept, dict):
        return []
    if kept.get("of") or event.get("what") == "sold":
        whole = {**event, "paid_in": kept}
        kept = {**kept, "minor": price_on_invoice(whole, str(event.get("currency") or ""))}
    day = f", at the day's {kept['day_rate']}" if kept.get("day_rate") else ""
    return [f"{shown(kept)} at {kept.get('rate')}{day}"]


def _right(now: Any, currency: str) -> str:
    if now is None:
        return "void, it did not happen"
    said = []
    for name, value in now.items():
        if name == "minor":
            said.append(f"amount {shown({'minor': value, 'currency': currency})}")
        elif name == "paid_in":
            said += _paid_in(value, {**now, "currency": currency})
        elif name == "percent_off":
            said += [f"{value} % off"] if value else []
        elif name in AMOUNTS:
            said.append(f"{AMOUNTS[name]} {shown({'minor': value, 'currency': currency})}")
        else:
            said.append(f"{'day' if name == 'at' else name} {value}")
    return ", ".join(said) or "as it was"


def money(desk: Desk, record: RecordDoc) -> list[Section]:
    """Price, whose it is, what it cost and what was paid for it; never a figure without what it is."""
    if desk.work.parcel is None:
        return []
    rows = [("price", _price(record))]
    try:
        rows += _whose(desk, record) + _cost(desk, record, result_of(desk))
        if profit := _realised(desk, record):
            rows = [one for one in rows if one[0] not in ("margin", "commission")] + [("profit", profit)]
    except (BenchError, ValueError) as error:
        rows.append(("cost", str(error)))
    lines = [Para(words(text), lead=words(f"  {label:<{LABEL}}", "dim")) for label, text in rows]
    return [Text((says(ESTIMATE, "dim", 2, 3), *lines), words("Money", "accent bold"), "money")]


def _price(record: RecordDoc) -> str:
    price, worked = record["price"], record.get("worked")
    said = (
        f"{shown(price)} {'by hand' if price.get('how') == 'hand' else 'as worked'}" if price else "none yet"
    )
    if worked and shown(worked) != shown(price):
        said += f"; worked price {shown(worked)}"
    return said


def _whose(desk: Desk, record: RecordDoc) -> list[tuple[str, str]]:
    assert desk.work.parcel is not None
    head = desk.work.parcel.head
    if own_terms(head, record) == "bought":
        seller = sender_name(desk, head["sender"])
        return [
            ("terms", f"bought, the shop's own{f', from {seller}' if seller else ''}"),
            ("margin scheme", _eligible(desk, record)),
        ]
    who = sender_name(desk, consignor(head, record)) or "nobody named yet"
    reserve = with_reserve(desk, head, record).get("reserve")
    agreed = "" if record.get("reserve") or not reserve else ", as agreed with the sender"
    return [
        ("terms", f"consigned by {who}"),
        ("reserve", f"{shown(reserve)}{agreed}" if reserve else "none"),
    ]


def _eligible(desk: Desk, record: RecordDoc) -> str:
    assert desk.work.parcel is not None
    found = eligibility(record, desk.work.parcel.head)
    if found.answer is None:
        return f"not answered yet: {' '.join(found.ask)}"
    of = "" if show_eligible(record) else " (the parcel's answer)"
    return (
        f"{'may be used' if found.answer else 'not for this one'}{f': {found.why}' if found.why else ''}{of}"
    )


def _realised(desk: Desk, record: RecordDoc) -> str:
    """``4.10 GBP realised`` of a record that is sold: after its cost, fees and VAT, as the export of sales
    has it; "" of one that is not."""
    parcel, page = desk.work.parcel, desk.open.page
    if parcel is None or page is None or standing(record).what != "sold":
        return ""
    key = (parcel.id, parcel.head["revision"], record["id"])
    kept = page.data.get("realised")
    if kept is None or kept[0] != key:  # worked out once for each change
        rates = Rates(desk.settings)
        made = parcel_entries(parcel.head, parcel.records, desk.shop.senders, rates, desk.today())
        rows = [one for one in sale_rows(made) if one.record == record["id"]]
        profit = Money(sum(one.profit for one in rows), desk.currency)
        vat = Money(sum(one.vat for one in rows), desk.currency)
        kept = key, f"{profit.show()} realised{_vat_said(desk, record, rates, vat) if vat.minor else ''}"
        page.data["realised"] = kept
    return str(kept[1])


def _vat_said(desk: Desk, record: RecordDoc, rates: Rates, vat: Money) -> str:
    """VAT that comes on top of a commission is its sender's, and no part of the profit."""
    assert desk.work.parcel is not None
    sale = standing(record).sale
    consigned = own_terms(desk.work.parcel.head, record) == "consigned"
    if consigned and sale and rates.on(str(sale["at"])[:10]).commission_vat == "added":
        return f", VAT on the commission {vat.show()} on top, borne by the sender"
    return f", VAT taken off {vat.show()}"


def _moved(desk: Desk, record: RecordDoc) -> list[str]:
    """``less 5.00 GBP with the cover to record 2, 2026-11-25``: a line a move of cost."""
    said = []
    for move in cost_moves(record, desk.currency):
        came = move.amount.minor >= 0
        part = part_of(record, move.part)
        name = part.get("name") or part["kind"] if part else "part"
        amount = move.amount if came else -move.amount
        way = "plus {} with the {} from" if came else "less {} with the {} to"
        other = _other(desk, move.parcel, move.record)
        said.append(f"{way.format(amount.show(), name)} {other}, {move.at}")
    return said


def _other(desk: Desk, parcel: str, record_id: str) -> str:
    """A record of this parcel by its number, one of another by its parcel."""
    known = next((one for one in desk.work.records if one["id"] == record_id), None)
    return f"record {known['no']}" if known else f"a record of parcel {parcel}"


def _beside_commission(desk: Desk, record: RecordDoc, inbound: Money) -> str:
    """What else is in it: charges agreed, and the postage that the shop pays."""
    assert desk.work.parcel is not None
    head = desk.work.parcel.head
    sender = desk.shop.senders.get(consignor(head, record) or "") or {}
    charges = ", with charges" if sender.get("per_sale") or sender.get("per_record") else ""
    bears = sender_bears(head, sender, policy_of(desk.settings))
    paid = f", less the {inbound.show()} of postage that the shop pays" if inbound.minor and not bears else ""
    return charges + paid


def _cost(desk: Desk, record: RecordDoc, result: ParcelResult) -> list[tuple[str, str]]:
    row = next((one for one in result.rows if one.record == record["id"]), None)
    if row is None:
        return [("cost share", "none: the record has no share in the parcel's cost")]
    share, guess = row.share, f", {guess_in_words(result)}" if row.share.guessed else ""
    frozen = ", frozen when the parcel was closed" if result.spread.frozen else ""
    margin = f"{row.margin.show()} expected" if row.margin else "not known yet"
    if share.terms != "bought":
        return [
            (
                "inbound postage",
                f"{share.inbound.show()}{frozen}{guess}: its part of what the parcel cost to get here",
            ),
            ("commission", f"{margin}{_beside_commission(desk, record, share.inbound)}"),
        ]
    vat = f", VAT in it {row.vat.show()}" if row.vat and row.vat.minor else ""
    own = (share.cost_share - share.moved - share.late).show()
    before = f"{own} of {result.cost.total.show()} it cost to get here{frozen}{guess}"
    rows = [
        (
            "cost share",
            f"{share.cost_share.show()}: {before}" if share.moved.minor or share.late.minor else before,
        )
    ]
    late = [("", f"{share.late.show()} of it in bills after the closing")] if share.late.minor else []
    return [
        *rows,
        *late,
        *(("", said) for said in _moved(desk, record)),
        ("paid for it", f"{share.margin_purchase_price.show()}, its part of what the seller was paid"),
        ("margin", f"{margin}{vat}"),
    ]
