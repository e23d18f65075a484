"""The consignor's statement as rows: what each line is, for which record, the balance before and after it."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from benchtui.model.money import Money
from benchtui.money.book import BookColumn
from benchtui.money.given_back import GIVEN, REFUND, RETURNED
from benchtui.money.statement_line import Charge, Line
from benchtui.money.statements import Statement

COLUMNS = (
    BookColumn("stock_number", about="the shop's stock number"),
    BookColumn("parcel", about="the parcel it came in"),
    BookColumn("came_in", about="day"),
    BookColumn("description", about="artist, title, catalogue number, size; or what is charged"),
    BookColumn("grades", about="the latest grade of disc and cover"),
    BookColumn(
        "state",
        about="in the shop, sold, handed back, scrapped; came in, late bill, credit, refund, returned, "
        "payment, charge, correction ...",
    ),
    BookColumn("what", about="what the line is, in words: sold, how much of it is paid out and by which day"),
    BookColumn(
        "sold_on",
        about="day; of a refund, return, late bill, credit its own; of what counts later the day it does",
    ),
    BookColumn("price", "number", "what the buyer paid; below 0 what was refunded", True),
    BookColumn("commission", "number", "the shop's", True),
    BookColumn("vat_on_commission", "number", "VAT that comes on top of the commission, where it does", True),
    BookColumn("charges", "number", "charges as agreed, and inbound postage where the sender pays it", True),
    BookColumn("net", "number", "price less commission, VAT on it and charges; adds up to the net due", True),
    BookColumn("paid_out", "number", "paid to the sender: one row for each payment", True),
    BookColumn("paid_on", about="day of the payment"),
    BookColumn("balance_before", "number", "what is due by the lines above; of some days by all others too"),
    BookColumn("balance_after", "number", "the same with this line: net added, what was paid out taken off"),
    BookColumn("currency", about="ISO 4217"),
    BookColumn("basis", about="that these figures are an estimate, or what they rest on"),
)

_SALE = ("sold", "stated before")


def statement_rows(made: Statement) -> list[dict[str, str]]:
    """A row a line and a row a payment, by day, for the CSV; columns are ``COLUMNS``. Those of a day stand by
    record, whatever else happened to it since, and payments after them."""
    rows, before = [], Money(0, made.due.currency)
    charges = [_charge(line, one) for line in made.lines for one in _beside(line)]
    own = _by_day(made._replace(lines=tuple(map(_own, made.lines))))
    place = {line.stock: n for n, line in reversed(list(enumerate(made.lines))) if line.stock}
    for row, moved in sorted(
        [*charges, *own],
        key=lambda one: (_day(one[0]), place.get(one[0].get("stock_number", ""), len(made.lines))),
    ):
        after = before + moved
        balance = {"balance_before": before.plain(), "balance_after": after.plain()}
        rows.append({column.name: "" for column in COLUMNS} | row | balance | {"basis": made.note})
        before = after
    return rows


class _Paid(NamedTuple):
    """What of a payment's row was for a record."""

    on: str
    reference: str
    minor: int


def _by_day(made: Statement) -> Iterator[tuple[dict[str, str], Money]]:
    """Each row, and what it adds to what is due. What a payment's row tells, no record's row adds too."""
    told = _told(made)
    words, ahead = _for_sales(made.lines, told)
    sums = {record: sum(one.minor for one in mine) for record, mine in told.items()}
    back = {(line.record, line.sold_on) for line in made.lines if line.state == RETURNED}
    for line, paid in _telling(list(_paid_apart(made.lines, sums))):
        stands = not any(record == line.record and on >= line.sold_on for record, on in back)
        yield _row(line, paid, words.get(id(line), []), stands and made.due.minor > 0), line.net - paid
    days: dict[tuple[str, str], int] = {}
    for one in sorted((one for mine in told.values() for one in mine), key=lambda one: one.on):
        days[one.on, one.reference] = days.get((one.on, one.reference), 0) + one.minor
    for (on, reference), minor in days.items():
        early = Money(ahead.get((on, reference), 0), made.due.currency)
        yield (
            _payment(on, reference, Money(minor, made.due.currency), early),
            Money(-minor, made.due.currency),
        )


def _told(made: Statement) -> dict[str, list[_Paid]]:
    """Of each record what rows of payments tell of what was paid for it, in their order."""
    left: dict[str, int] = {}
    for line in made.lines:
        if line.state != "correction":
            left[line.record] = left.get(line.record, 0) + line.paid_out.minor
    told: dict[str, list[_Paid]] = {}
    for one in sorted(made.payments, key=lambda one: one.on):
        minor = min(one.amount.minor, left.get(one.record, 0))
        if minor > 0:
            left[one.record] -= minor
            told.setdefault(one.record, []).append(_Paid(one.on, one.reference, minor))
    return told


def _for_sales(
    lines: Sequence[Line], told: Mapping[str, Sequence[_Paid]]
) -> tuple[dict[int, list[_Paid]], dict[tuple[str, str], int]]:
    """What was paid for which sale, the last one of its record by then; and of each payment what was paid
    before any: (day, reference) -> minor units."""
    found: dict[int, list[_Paid]] = {}
    ahead: dict[tuple[str, str], int] = {}
    for record, mine in told.items():
        sales = [one for one in lines if one.record == record and one.state in _SALE and one.sold_on]
        for paid in mine:
            by_then = [one for one in sales if one.sold_on <= paid.on]
            if by_then:
                sale = max(by_then, key=lambda one: one.sold_on)
                found.setdefault(id(sale), []).append(paid)
            else:
                ahead[paid.on, paid.reference] = ahead.get((paid.on, paid.reference), 0) + paid.minor
    return found, ahead


def _day(row: dict[str, str]) -> str:
    return row["sold_on"] or row["came_in"] or row["paid_on"]


def _paid_apart(lines: Sequence[Line], told: Mapping[str, int]) -> Iterator[tuple[Line, Money]]:
    """Each line with what was paid for it that no row of a payment tells."""
    left = dict(told)
    for line in lines:
        here = min(left.get(line.record, 0), line.paid_out.minor) if line.state != "correction" else 0
        here = max(0, here)
        left[line.record] = left.get(line.record, 0) - here
        yield line, line.paid_out - Money(here, line.paid_out.currency)


def _telling(lines: Sequence[tuple[Line, Money]]) -> Iterator[tuple[Line, Money]]:
    """The lines without those that say nothing more of a record whose correction stands above them, or which
    came back to the shop, as its line says."""
    stood: dict[str, str] = {}
    corrected: set[str] = set()
    returned = {line.record for line, _ in lines if line.state == RETURNED}
    for line, paid in lines:
        amounts = (line.price, line.commission, line.charges, line.vat, paid)
        unmoved = not any(money.minor for money in amounts)
        again = line.state in (stood.get(line.record), "stated before")
        if line.record in corrected and unmoved and again:
            continue
        if line.record in returned and unmoved and line.state == "in the shop":
            continue
        if line.state == "stated before":
            stood[line.record] = "sold" if line.sold_on else "in the shop"
        elif line.state == "correction" and line.record:
            corrected.add(line.record)
        yield line, paid


def _beside(line: Line) -> list[Charge]:
    """The charges that have a row on their own day. A correction is of one day with all that is in it; what
    coming in cost stands in the row of a record that was not sold."""
    charged = line.charged if line.state != "correction" else ()
    return [one for one in charged or () if one.said or line.sold_on or one.on != line.came_in]


def _own(line: Line) -> Line:
    """The line with the charges of its own day."""
    off = Money(sum(one.minor for one in _beside(line)), line.net.currency)
    return line._replace(charges=line.charges - off, net=line.net + off)


def _charge(line: Line, one: Charge) -> tuple[dict[str, str], Money]:
    """The row of a charge on the day on which it fell due, and what it adds to what is due."""
    shown = Money(one.minor, line.net.currency)
    later = f", on this account from {one.on}" if one.on != line.came_in else ""
    what = one.said or f"came in on {line.came_in}{later}: inbound postage and charges"
    state = ("credit" if one.minor < 0 else "late bill") if one.said else "came in"
    named = {"stock_number": line.stock, "parcel": line.parcel, "description": line.description}
    of_day = {"sold_on": one.on} if one.said or later else {}
    of_day |= {} if one.said else {"came_in": line.came_in, "grades": line.grades}
    sums = {"charges": shown.plain(), "net": (-shown).plain(), "paid_out": (shown - shown).plain()}
    return {**named, "sold_on": "", "came_in": "", "paid_on": "", "state": state, "what": what,
            "currency": shown.currency} | of_day | sums, -shown  # fmt: skip


def _row(line: Line, paid: Money, told: Sequence[_Paid], is_due: bool) -> dict[str, str]:
    return {
        "stock_number": line.stock,
        "parcel": line.parcel,
        "came_in": line.came_in,
        "description": line.description,
        "grades": line.grades,
        "state": line.state,
        "what": _what(line, paid, told, is_due),
        "sold_on": line.sold_on,
        "price": line.price.plain() if line.sold_on else "",
        "commission": line.commission.plain() if line.sold_on else "",
        "vat_on_commission": line.vat.plain() if line.vat.minor else "",
        "charges": line.charges.plain(),
        "net": line.net.plain(),
        "paid_out": paid.plain(),
        "paid_on": line.paid_on if paid.minor else "",
        "currency": line.net.currency,
    }


def _payment(on: str, reference: str, amount: Money, early: Money) -> dict[str, str]:
    """``early``: what of it was paid before a sale that it is for."""
    said = f"payment, {reference}" if reference else "payment"
    what = f"paid on {on}" + (f", {early.plain()} of it in advance" if early.minor else "")
    words = {"description": said, "state": "payment", "what": what, "came_in": "", "sold_on": ""}
    paid = {"net": Money(0, amount.currency).plain(), "paid_out": amount.plain(), "paid_on": on}
    return words | paid | {"currency": amount.currency}


def _what(line: Line, paid: Money, told: Sequence[_Paid], is_due: bool) -> str:
    """``sold on 2026-10-12, 20.48 paid out by 2026-10-20``: the day of the last payout of several.

    ``paid``: of it what no payment's row tells; ``is_due``: whether anything is, of the account and the sale.
    """
    said = _kind(line)
    if late := _late(line):
        said += f", charges include {late}"
    whole = paid + Money(sum(one.minor for one in told), paid.currency)
    by = max([one.on for one in told] + ([line.paid_on] if paid.minor else []), default="")
    if whole.minor < 0:
        return f"{said}, {(-whole).plain()} less paid out"
    if whole.minor:
        return f"{said}, {whole.plain()} paid out{f' by {by}' if by else ''}"
    if line.state != "sold" or (line.net.minor > 0 and not is_due):
        return said
    return f"{said}, {'not paid out yet' if line.net.minor > 0 else 'nothing more to account for'}"


def _late(line: Line) -> str:
    """What of a correction came with late bills: ``3.00 late duty of 2026-03-20``. A closing of an older
    version has it of every line in words."""
    if line.charged is None or line.state != "correction":
        return line.late if line.charges.minor else ""
    bills = (one for one in line.charged if one.said)
    return ", ".join(f"{Money(one.minor, line.net.currency).plain()} {one.said}" for one in bills)


def _kind(line: Line) -> str:
    on = f" on {line.sold_on}" if line.sold_on else ""
    if line.state == "charge":
        return "charge for the whole account"
    if line.state == "correction":
        return f"correction{on}"
    if line.state in GIVEN:
        return f"{'refund' if line.state == REFUND else 'came back'}{on}"
    said = line.state + on
    if line.state == "stated before":
        said = f"sold{on}, as stated before" if on else "as stated before"
    if not on and line.came_in and line.charges.minor:
        return f"came in on {line.came_in}: inbound postage and charges; {said}"
    return said
