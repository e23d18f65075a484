"""Invoices and credit notes as they were issued, and what was corrected of them since, day by day.

A paper that left the shop is not changed: a document that amends and refers specifically and unambiguously
to the initial invoice is treated as an invoice (Directive 2006/112/EC, article 219). So is one that amends a
credit note. It is of the day on which the correction was entered: of an event, or of what its VAT follows
from (the answer about the margin scheme, the rate). All of one day about one paper is one page, which says
which correction of that paper it is, so that no later one changes its number.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple

from benchtui.export.ask import Ask
from benchtui.export.paper_then import Shown, Then, put_right
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels
from benchtui.money.standings import effective

Event = Mapping[str, Any]
Kind = Literal["invoice", "credit note"]
GIVEN = ("returned", "refunded")
WORDS: Mapping[Kind, Mapping[str, str]] = {
    "invoice": {"at": "day of the sale", "buyer": "to", "invoice": "invoice"},
    "credit note": {"at": "day", "note": "reason"},
}
AMOUNTS = ("discount", "postage", "tax", "traded")
States = Sequence[Shown | None]
"""Each record of a paper as it stood; None where it never happened."""


class Correction(NamedTuple):
    """What was corrected of a paper on a day: its records before and after, in the order of the paper."""

    kind: Kind
    number: int
    on: str
    why: str
    issued: Sequence[Shown]
    was: States
    now: States

    @property
    def paper(self) -> str:
        """``invoice 26-0353``, ``credit note C0001``."""
        event = self.issued[0].event
        if self.kind == "invoice":
            return f"invoice {event['invoice']}"
        number = event.get("credit_note")
        return f"credit note {number}" if number else "credit note without a number"

    @property
    def name(self) -> str:
        number = f" {self.number}" if self.number > 1 else ""
        of = f"Correction{number} of {self.paper}"
        return of if any(self.now) else f"{of}: void"


class _Member(NamedTuple):
    """A record on a paper: event ``of`` of its life, and the one that made a paper of it."""

    head: HeadDoc
    record: RecordDoc
    of: int
    by: int


def issued_sales(record: RecordDoc) -> Iterator[dict[str, Any]]:
    """Each sale as its invoice was issued; without an invoice as it counts now."""
    issued = invoiced(record)
    yield from (sale for sale, _ in issued.values())
    yield from (one for one in effective(record) if one["what"] == "sold" and one["n"] not in issued)


def invoiced(record: RecordDoc) -> dict[int, tuple[dict[str, Any], int]]:
    """Number of a sale -> the sale when it first had an invoice, and the number of the event that gave it."""
    stood: dict[int, dict[str, Any]] = {}
    found: dict[int, tuple[dict[str, Any], int]] = {}
    for event in record["life"]:
        of = int(event["of"] if event["what"] == "corrected" else event["n"])
        if event["what"] == "sold":
            stood[of] = event
        elif event["what"] == "corrected" and of in stood and event.get("now"):
            stood[of] = stood[of] | event["now"]
        if of in stood and of not in found and stood[of].get("invoice"):
            found[of] = stood[of], int(event["n"])
    return found


def noted(record: RecordDoc) -> Iterator[int]:
    """Numbers of the events that a credit note was issued for: something given back of an invoiced sale."""
    sales, sale = invoiced(record), 0
    for event in record["life"]:
        if event["what"] == "sold":
            sale = int(event["n"])
        elif event["what"] in GIVEN and sale in sales and (event["minor"] or event.get("credit_note")):
            yield int(event["n"])


def invoice_words(record: RecordDoc, sale: Event) -> str:
    """Number and day of the invoice of a sale, also where it got its number later."""
    first, _ = invoiced(record).get(int(sale["n"]), (sale, 0))
    return f"{first.get('invoice') or 'without a number'} of {str(first['at'])[:10]}"


def corrections(parcels: Parcels, then: Then, ask: Ask, kind: Kind) -> list[Correction]:
    """Those entered in the days asked for, of which something stands on the paper."""
    return [
        one
        for mine in _papers(parcels, kind).values()
        if ask.parcel is None or any(each.head["id"] == ask.parcel for each in mine)
        for one in _of_paper(then, mine, kind)
        if ask.first <= one.on <= ask.last
    ]


def _papers(parcels: Parcels, kind: Kind) -> dict[str, list[_Member]]:
    """Number of a paper (else what is the same of no other) -> the records on it."""
    found: dict[str, list[_Member]] = {}
    for head, records in parcels:
        for record in records:
            if kind == "invoice":
                for of, (sale, by) in invoiced(record).items():
                    found.setdefault(str(sale["invoice"]), []).append(_Member(head, record, of, by))
            else:
                for of in noted(record):
                    event = next(one for one in record["life"] if one["n"] == of)
                    number = str(event.get("credit_note") or f"{record['id']}:{of}")
                    found.setdefault(number, []).append(_Member(head, record, of, of))
    return found


def _of_paper(then: Then, mine: Sequence[_Member], kind: Kind) -> Iterator[Correction]:
    """A paper's corrections, a day each."""
    points = [list(then.points(one.head, one.record, one.by)) for one in mine]
    if not any(points):
        return
    begun = [then.issued(one.head, one.record, one.of, one.by) for one in mine]
    kept = [n for n, one in enumerate(begun) if one is not None]
    issued, state = [one for one in begun if one is not None], [begun[n] for n in kept]
    number = 0
    for day in sorted({point.on for n in kept for point in points[n]}):
        was, whys = list(state), list[str]()
        for place, n in enumerate(kept):
            for point in (one for one in points[n] if one.on == day):
                one, before = mine[n], state[place]
                state[place] = then.at(one.head, one.record, one.of, point.moment, point.upto)
                if _printed(before, kind) != _printed(state[place], kind):
                    whys.append(point.why)
        changed = [pair for pair in zip(was, state, strict=True) if _differ(*pair, kind)]
        if changed:
            number += 1
            whys += [put_right(*pair) for pair in changed]
            why = "; ".join(dict.fromkeys(filter(None, whys)))
            yield Correction(kind, number, day, why, issued, was, list(state))


def _differ(was: Shown | None, now: Shown | None, kind: Kind) -> bool:
    return bool(_printed(was, kind) != _printed(now, kind))


def _printed(one: Shown | None, kind: Kind) -> Any:
    """What of it stands on its paper."""
    if one is None:
        return None
    names = (*WORDS[kind], "minor", *AMOUNTS)
    paid_in, vat = one.event.get("paid_in") or {}, one.vat
    of_vat = (vat.kind, vat.rate, vat.gross, vat.vat) if vat.ordinary else vat.kind
    return [one.event.get(name) or "" for name in names], paid_in.get("of"), of_vat, one.consigned
