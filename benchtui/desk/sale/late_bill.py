"""A bill or a credit after the parcel was closed, in one line on the parcel's page or its result."""

from datetime import date
from typing import Any

from benchtui.desk.core.command import command
from benchtui.desk.core.dated import dated
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.needs import parcel_open
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.fields import read_charge
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money
from benchtui.model.parcel import CHARGE_KINDS, HeadDoc
from benchtui.model.record import RecordDoc, new_id
from benchtui.money import landed, policy_of, spread
from benchtui.money.charges import landed_charge
from benchtui.money.late import spread_late

ABOUT = (
    "duty; 18.40; day; why (price, postage, tax, fees, tax reclaimed); credit; 5.00; day; why; records 3 5"
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
    if desk.work.parcel is None:
        desk.refuse("open a parcel first: the bill is for one")
        return
    open_line(desk, "late-bill", "late bill", about=ABOUT)


def read_late(
    text: str, head: HeadDoc, records: list[RecordDoc], settings: dict[str, Any], today: date
) -> dict[str, Any]:
    """The bill as the parcel keeps it, with where it goes. ValueError or BenchError for bad input."""
    policy = policy_of(settings)
    what, amount, on, about, named, *rest = [*(cell.strip() for cell in text.split(";")), *[""] * 5]
    if any(rest) or not amount:
        raise ValueError(f"write {ABOUT}")
    kind, credit, reclaimed = _kind(what)
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
    parts = spread_late(sign * minor, head, records, costs, day.isoformat(), rule, only)
    own = {"id": new_id("l"), "on": day.isoformat(), "booked": today.isoformat(), "about": about}
    made_of: dict[str, Any] = bill | own
    return made_of | {"credit": credit, "reclaimed": reclaimed, "shares": {} if reclaimed else parts}


def _kind(text: str) -> tuple[str, bool, bool]:
    """Kind of charge, whether a credit, whether it comes back: ``duty``, ``credit``, ``tax reclaimed``."""
    words = text.casefold().split()
    if words == ["credit"]:
        return "price", True, False
    kinds = [kind for kind in CHARGE_KINDS if words and kind.startswith(words[0])]
    if len(kinds) == 1 and words[1:] in ([], ["reclaimed"]):
        return kinds[0], False, len(words) == 2
    raise ValueError(f"'{text}' is not one of {', '.join(CHARGE_KINDS)}, tax reclaimed, credit")


def _records(text: str, records: list[RecordDoc]) -> list[str]:
    by_number = {str(record["no"]): record["id"] for record in records}
    unknown = [word for word in text.split() if word not in by_number]
    if unknown:
        raise ValueError(f"'{unknown[0]}' is not a record here: the queue has 1 to {len(records)}")
    return [by_number[word] for word in text.split()]


def _take(desk: Desk, line: OpenLine) -> None:
    """Read the line and keep the bill; refused in one sentence, the text stays."""
    parcel = desk.work.parcel
    if parcel is None or not line.text.strip():
        close_line(desk)
        desk.place()
        return
    try:
        bill = read_late(
            line.text, parcel.head, parcel.records, desk.settings, date.fromisoformat(desk.today())
        )
    except ValueError as error:
        desk.refuse(str(error))
        return
    say = _said(bill, desk.currency)
    with dated(desk, say) as change:
        change.head["late"] = [*(change.head.get("late") or []), bill]
    desk.say(say, "done")
    leave_line(desk)


def _said(bill: dict[str, Any], currency: str) -> str:
    """``duty 18.40 GBP: on 5 unsold records``."""
    shown = Money(bill["minor"], bill["currency"]).show()
    name = "credit" if bill["credit"] else f"late {bill['what']}"
    if bill["reclaimed"]:
        return f"{name} {shown}: comes back, no cost"
    count = len(bill["shares"])
    where = f"on {count} record{'' if count == 1 else 's'}" if count else "on no record: expensed"
    return f"{name} {shown}: {where}"


LINES["late-bill"] = LineKind(_take)
