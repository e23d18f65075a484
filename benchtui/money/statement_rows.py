"""The consignor's statement as rows: what each line is, for which record, the balance before and after it."""

from collections.abc import Iterator, Sequence

from benchtui.model.money import Money
from benchtui.money.book import BookColumn
from benchtui.money.statements import Line, Statement

COLUMNS = (
    BookColumn("stock_number", about="the shop's stock number"),
    BookColumn("parcel", about="the parcel it came in"),
    BookColumn("came_in", about="day"),
    BookColumn("description", about="artist, title, catalogue number, size; or what is charged"),
    BookColumn("grades", about="the latest grade of disc and cover"),
    BookColumn("state", about="in the shop, sold, handed back, scrapped; charge, stated before, correction"),
    BookColumn("what", about="what the line is, in words: sold, how much of it is paid out and by which day"),
    BookColumn("sold_on", about="day; of a correction the day on which it counts"),
    BookColumn("price", "number", "what the buyer paid, part refunds taken off", True),
    BookColumn("commission", "number", "the shop's", True),
    BookColumn("vat_on_commission", "number", "VAT that comes on top of the commission, where it does", True),
    BookColumn("charges", "number", "charges as agreed, and inbound postage where the sender pays it", True),
    BookColumn("net", "number", "price less commission, VAT on it and charges; adds up to the net due", True),
    BookColumn("paid_out", "number", "already paid to the sender", True),
    BookColumn("paid_on", about="day of the last payout for it"),
    BookColumn("balance_before", "number", "what is due by the lines above; of some days by all others too"),
    BookColumn("balance_after", "number", "the same with this line: net added, what was paid out taken off"),
    BookColumn("currency", about="ISO 4217"),
    BookColumn("basis", about="that these figures are an estimate, or what they rest on"),
)


def statement_rows(made: Statement) -> list[dict[str, str]]:
    """A row a line, for the CSV; columns are ``COLUMNS``."""
    rows, before = [], Money(0, made.due.currency)
    for line in _telling(made.lines):
        after = before + line.net - line.paid_out
        rows.append(_row(line, before, after) | {"basis": made.note})
        before = after
    return rows


def _telling(lines: Sequence[Line]) -> Iterator[Line]:
    """The lines without those that say nothing more of a record whose correction stands above them."""
    stood: dict[str, str] = {}
    corrected: set[str] = set()
    for line in lines:
        amounts = (line.price, line.commission, line.charges, line.vat, line.paid_out)
        unmoved = not any(money.minor for money in amounts)
        if line.record in corrected and unmoved and line.state == stood.get(line.record):
            continue
        if line.state == "stated before":
            stood[line.record] = "sold" if line.sold_on else "in the shop"
        elif line.state == "correction" and line.record:
            corrected.add(line.record)
        yield line


def _row(line: Line, before: Money, after: Money) -> dict[str, str]:
    return {
        "stock_number": line.stock,
        "parcel": line.parcel,
        "came_in": line.came_in,
        "description": line.description,
        "grades": line.grades,
        "state": line.state,
        "what": what_of(line),
        "sold_on": line.sold_on,
        "price": line.price.plain() if line.sold_on else "",
        "commission": line.commission.plain() if line.sold_on else "",
        "vat_on_commission": line.vat.plain() if line.vat.minor else "",
        "charges": line.charges.plain(),
        "net": line.net.plain(),
        "paid_out": line.paid_out.plain(),
        "paid_on": line.paid_on if line.paid_out.minor else "",
        "balance_before": before.plain(),
        "balance_after": after.plain(),
        "currency": line.net.currency,
    }


def what_of(line: Line) -> str:
    """``sold on 2026-10-12, 20.48 paid out by 2026-10-20``: the day of the last payout of several."""
    said, paid = _kind(line), line.paid_out
    if line.late and line.charges.minor:
        said += f", charges with {line.late}"
    on = f" by {line.paid_on}" if line.paid_on else ""
    if paid.minor < 0:
        return f"{said}, {(-paid).plain()} less paid out"
    if paid.minor:
        return f"{said}, {paid.plain()} paid out{on}"
    if line.state != "sold":
        return said
    return f"{said}, {'not paid out yet' if line.net.minor > 0 else 'nothing more to account for'}"


def _kind(line: Line) -> str:
    on = f" on {line.sold_on}" if line.sold_on else ""
    if line.state == "charge":
        return "charge for the whole account"
    if line.state == "correction":
        return f"correction{on}"
    if line.state == "stated before":
        return f"sold{on}, as stated before" if on else "as stated before"
    return line.state + on
