"""A bill or a credit after a parcel was closed, in one line: on its page, or anywhere with its number."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any, NamedTuple

from benchtui.desk.core.closed_books import booked_into, open_day
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Pick
from benchtui.desk.core.lives import changing, parcel_for
from benchtui.desk.core.needs import parcel_open
from benchtui.desk.core.page_parts import Column, words
from benchtui.desk.core.shapes import pick_of
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.fields import read_charge
from benchtui.desk.line.lines import (
    LINES,
    LineKind,
    left_empty,
    marked_pick,
    open_line,
    refresh,
    refuse_unfound,
)
from benchtui.desk.parcel.parcel import sender_name
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money
from benchtui.model.parcel import CHARGE_KINDS, HeadDoc
from benchtui.model.record import RecordDoc, new_id
from benchtui.money.book import consignor
from benchtui.money.charges import landed, landed_charge, own_terms
from benchtui.money.late import spread_late
from benchtui.money.late_inbound import borne_by_senders, sender_bears
from benchtui.money.policy import policy_of
from benchtui.money.spreading import spread
from benchtui.money.standings import standing
from benchtui.store import Summary

ABOUT = (
    "duty; 18.40; day; why (price, postage, tax, fees, tax reclaimed); credit; 5.00; day; why; records 3 5 "
    "(postage credit: from the carrier)"
)


@command(
    "late-bill",
    "page",
    "a bill or a credit after the parcel was closed",
    short="late bill",
    also="customs carrier duty credit refund sender missing broken charge",
    needs=[parcel_open],
    on=("parcel", "result"),
    order=1225,
)
def open_late(desk: Desk) -> None:
    open_line(desk, "late-bill", "late bill", about=ABOUT, parcel=desk.parcel.id)


@command(
    "bench-late-bill",
    "bench",
    "a bill or a credit for a parcel that was closed",
    short="late bill",
    group="Queue",
    also="customs carrier duty credit refund sender missing broken charge",
    changes="nothing",
    order=478,
)
@command(
    "parcels-late-bill",
    "page",
    "a bill or a credit for a parcel that was closed",
    short="late bill",
    also="customs carrier duty credit refund sender missing broken charge",
    changes="nothing",
    on=("parcels", "year"),
    order=1226,
)
def open_late_any(desk: Desk) -> None:
    """The line, for whichever parcel it names first."""
    open_line(desk, "late-bill", "late bill", about=f"the parcel (letters of its sender find it); {ABOUT}")


def _suggest(desk: Desk, line: OpenLine) -> list[Pick]:
    """Closed parcels, the latest first, by their number or their sender's name."""
    typed = line.text.strip().casefold()
    if line.data.get("parcel") or ";" in typed:
        return []
    fits = [
        pick_of((words(one.id, "bold"), words(name), words(one.opened or "", "dim")), one.id)
        for one, name in _fitting(desk, typed)
    ]
    return sorted(fits, key=lambda one: str(one.value), reverse=True)[:8]


def _fitting(desk: Desk, typed: str) -> list[tuple[Summary, str]]:
    """Closed parcels of which number or sender hold these letters, each with its sender's name."""
    named = [(one, sender_name(desk, one.sender) or "no sender") for one in desk.shop.parcels()]
    return [
        (one, name)
        for one, name in named
        if one.state == "closed" and typed.casefold() in f"{one.id} {name}".casefold()
    ]


def _the_one(desk: Desk, typed: str) -> str:
    """The closed parcel that these letters or its number name. ValueError for none, or for several."""
    fits = [one.id for one, _ in _fitting(desk, typed)] if typed else []
    if typed in fits or len(fits) == 1:
        return typed if typed in fits else fits[0]
    if fits:
        raise ValueError(
            f"'{typed}' fits {len(fits)} closed parcels: write one of {', '.join(sorted(fits)[-3:])}"
        )
    raise ValueError(f"there is no closed parcel '{typed}': write its number or its sender first")


class Billed(NamedTuple):
    """The parcel that a bill is for, and the rules and senders by which it goes to its records."""

    head: HeadDoc
    records: list[RecordDoc]
    settings: Mapping[str, Any]
    senders: Mapping[str, Mapping[str, Any]]


def read_late(text: str, of: Billed, today: date) -> dict[str, Any]:
    """The bill as the parcel keeps it, with where it goes. ValueError or BenchError for bad input."""
    head, records, settings, senders = of
    policy = policy_of(settings)
    what, amount, on, about, named, *more = [*(cell.strip() for cell in text.split(";")), *[""] * 5]
    if any(more) or not what:
        raise ValueError(f"write {ABOUT}")
    kind, credit, reclaimed = _kind(what, any(own_terms(head, one) == "bought" for one in records))
    if not amount:
        raise ValueError(f"how much? write {what}; 18.40; day; why")
    if credit and not about:
        raise ValueError(f"why was it given back? write {what}; {amount}; {on}; sleeve torn; its records")
    day = read_day(on, today) if on else today
    if day > today:
        raise ValueError(f"{day.isoformat()} has not come yet: enter the day of the bill")
    bill = read_charge(kind)(amount, policy.currency, today)
    if not bill["minor"]:
        raise ValueError("an amount of 0: type the amount of the bill")
    minor = landed_charge(bill, policy.currency, policy.conversion, "late bill").landed.minor
    made = spread(head, landed(head, policy.currency, policy.conversion), records)
    costs = {share.record: share.cost_share.minor for share in made.shares}
    only, rule = _records(named, records), policy_of(settings, day.isoformat()).late_cost
    sign = -1 if credit else 1
    counts = open_day(settings, today.isoformat(), day.isoformat())
    unsold_on = today.isoformat() if counts else day.isoformat()  # of a closed day it is borne today
    charged = kind != "price" and not reclaimed
    borne = borne_by_senders(minor, head, records, senders, policy, only) if charged else {}
    theirs = {record: sign * part for record, part in borne.items()}
    parts = spread_late(sign * minor - sum(theirs.values()), head, records, costs, unsold_on, rule, only)
    own = {"id": new_id("l"), "on": day.isoformat(), "booked": today.isoformat(), "about": about}
    made_of: dict[str, Any] = bill | own | ({"counts_on": counts} if counts else {})
    made_of |= {"credit": credit, "reclaimed": reclaimed, "shares": {} if reclaimed else parts}
    return made_of | ({"inbound": theirs} if theirs else {})


_ALSO = {
    "customs": "duty", "tariff": "duty", "vat": "tax", "carrier": "postage", "courier": "postage",
    "carriage": "postage", "shipping": "postage", "freight": "postage", "post": "postage", "fee": "fees",
    "handling": "fees",
    "clearance": "fees", "storage": "fees", "refund": "credit", "goods": "price",
}  # fmt: skip
"""Usual words for what a bill is about."""


def _kind(text: str, bought: bool) -> tuple[str, bool, bool]:
    """Kind of charge, whether a credit, whether it comes back: ``duty``, ``postage credit``.

    A credit alone is the seller's; where nothing was ``bought`` here it can but be the carrier's.
    """
    said = [_ALSO.get(word, word) for word in text.casefold().split()]
    credit = "credit" in said
    named = [word for word in said if word not in ("credit", "reclaimed")]
    reclaimed = said[1:] == ["reclaimed"]
    if credit and not named:
        named = ["price" if bought else "postage"]
    kinds = [kind for kind in CHARGE_KINDS if named and kind.startswith(named[0])]
    if len(kinds) == 1 and len(named) == 1 and len(said) <= 2 and (credit or reclaimed or len(said) == 1):
        return kinds[0], credit, reclaimed
    raise ValueError(
        f"'{text}' is not one of {', '.join(CHARGE_KINDS)}, tax reclaimed, credit, postage credit"
    )


def _records(text: str, records: list[RecordDoc]) -> list[str]:
    by_number = {str(record["no"]): record["id"] for record in records}
    unknown = [word for word in text.split() if word not in by_number]
    if unknown:
        raise ValueError(f"'{unknown[0]}' is not a record here: the queue has 1 to {len(records)}")
    return [by_number[word] for word in text.split()]


def _take(desk: Desk, line: OpenLine) -> None:
    """The marked parcel of the list, else `_keep`."""
    if marked_pick(line) is not None and not line.text.strip():
        _complete(desk, line)
    else:
        _keep(desk, line)


@left_empty
def _keep(desk: Desk, line: OpenLine) -> None:
    """Read the line and keep the bill; refused in one sentence, the text stays."""
    here = str(line.data.get("parcel") or "")
    named, _, rest = ("", "", line.text) if here else line.text.partition(";")
    if not here and not rest.strip() and ";" not in line.text:
        _complete(desk, line)
        return
    try:
        into = here or _the_one(desk, named.strip())
        say = _enter(desk, into, rest, "" if here else f"parcel {into}: ")
    except ValueError as error:
        desk.refuse(str(error))
        return
    desk.say(say, "done")
    desk.watch_trouble()
    leave_line(desk)


def _complete(desk: Desk, line: OpenLine) -> None:
    """The marked parcel's number into the line; the bill is still to be typed."""
    pick = marked_pick(line)
    if pick is None:
        refuse_unfound(desk, f"no closed parcel fits '{line.text.strip()}'")
        return
    line.text = f"{pick.value}; "
    refresh(desk)
    desk.place()


def _enter(desk: Desk, parcel_id: str, text: str, where: str) -> str:
    """Into that parcel, whichever it is; what to say, behind ``where``. ValueError or BenchError for bad
    input.
    """
    with parcel_for(desk, parcel_id) as parcel:
        today = date.fromisoformat(desk.today())
        of = Billed(parcel.head, parcel.records, desk.settings, desk.shop.senders)
        bill = read_late(text, of, today)
        say = said_of(bill, of)
        with changing(desk, parcel, say) as change:
            change.head["late"] = [*(change.head.get("late") or []), bill]
    return where + say + booked_into(desk.settings, desk.today(), bill["on"])


def said_of(bill: Mapping[str, Any], of: Billed) -> str:
    """``late duty 18.40 GBP: on 5 records``; what senders bear of it; on none, why."""
    shown = Money(bill["minor"], bill["currency"]).show()
    kind = "" if bill["what"] == "price" else f"{bill['what']} "
    name = f"{kind}credit" if bill["credit"] else f"late {bill['what']}"
    if bill["reclaimed"]:
        return f"{name} {shown}: comes back, no cost"
    said = [_on_statement(bill["inbound"], of)] if bill.get("inbound") else []
    if bill["shares"]:
        said.append(f"on {_records_said(bill['shares'], of.records)}")
    if not said:
        said.append(f"on no record, expensed: {_why_on_none(bill, of)}")
    return f"{name} {shown}: {'; '.join(said)}"


def _on_statement(parts: Mapping[str, int], of: Billed) -> str:
    mine = [one for one in of.records if one["id"] in parts]
    owners = {consignor(of.head, one) or "": None for one in mine}
    names = " and ".join(str(of.senders[one].get("name") or one) for one in owners if one in of.senders)
    minor, single = sum(parts.values()), len(owners) == 1
    verb = ("bears" if single else "bear") if minor > 0 else ("gets" if single else "get")
    whole = Money(abs(minor), policy_of(of.settings).currency).show()
    sold = ", sold ones too" if any(standing(one).what == "sold" for one in mine) else ""
    return f"{names} {verb} {whole} of it, on the next statement ({_records_said(parts, mine)}{sold})"


def _records_said(parts: Collection[str], records: list[RecordDoc]) -> str:
    """One or two by their numbers."""
    named = [one["stock"] or f"record {one['no']}" for one in records if one["id"] in parts]
    return " and ".join(named) if len(named) <= 2 else f"{len(named)} records"


def _why_on_none(bill: Mapping[str, Any], of: Billed) -> str:
    here = [one for one in of.records if one["state"] not in ("withdrawn", "empty")]
    if here and all(own_terms(of.head, one) == "consigned" for one in here):
        return "the records are consigned" + _why_the_shop(bill, of._replace(records=here))
    if policy_of(of.settings, bill["on"]).late_cost == "expense":
        return "the shop's rule for late bills says expense"
    bought = [one for one in here if own_terms(of.head, one) == "bought"]
    unsold = any(standing(one).what == "in the shop" for one in bought)
    return "no record has a cost to lower" if unsold else "nothing bought is unsold"


def _why_the_shop(bill: Mapping[str, Any], of: Billed) -> str:
    """Why no sender bears it, and where it is entered if one shall all the same."""
    if bill["what"] == "price":
        return ", which bear no cost"
    policy = policy_of(of.settings, bill["on"])
    owners = [of.senders.get(consignor(of.head, one) or "") for one in of.records]
    if any(sender_bears(of.head, one, policy) for one in owners):
        return ", and none of them is on a statement: not taken in, or set apart"
    agreed = all(one and (one.get("commission") or one.get("bands")) for one in owners)
    why = "the shop bears inbound postage as agreed" if agreed else "no commission is agreed yet"
    return f" and {why}; if the sender shall pay: sender's page, other charges"


LINES["late-bill"] = LineKind(_take, _suggest, columns=(Column(), Column(rank=1), Column()))
