"""A sender's page: what was agreed, the account, payments, and the files that tell of it."""

from contextlib import ExitStack
from datetime import date
from functools import partial
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.desk.core.closed_books import change_of_closed
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine, Page
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.keeping import exports, write_soon
from benchtui.desk.core.lives import changing, parcel_for, when_on
from benchtui.desk.core.needs import unless
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.as_read import shows
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, open_line
from benchtui.desk.parcel.parcel import marked, sender_name
from benchtui.desk.people.sender_terms import (
    BY_NAME,
    TERMS,
    day_left_out,
    read_terms,
    show_terms,
    terms_read,
    terms_told,
)
from benchtui.desk.sale.record_life import leave_line, read_cells
from benchtui.export.run import Ask, export, file_name
from benchtui.model.filename import plain_name
from benchtui.money import life
from benchtui.money.account import Account
from benchtui.money.book import Parcels, consignor
from benchtui.money.charges import own_terms
from benchtui.money.closing import read_closed
from benchtui.money.consign import terms_of
from benchtui.money.handed_in import statement_after
from benchtui.money.policy import policy_of
from benchtui.money.statements import Statement, split_payout

AT_ONCE = 60
"""Up to so many parcels are read when the page opens; in a larger shop the statement's key does it."""


def _has_sender(desk: Desk) -> str:
    return unless(whose_page(desk), "this parcel has no sender yet: Enter on its first line names one")


def _consigned_here(desk: Desk) -> str:
    parcel = desk.parcel
    here = any(
        own_terms(parcel.head, one) == "consigned"
        for one in parcel.records
        if one["state"] not in ("empty", "withdrawn")
    )
    return unless(here, "no receipt: nothing in this parcel is consigned")


def _account(desk: Desk) -> str:
    data = desk.open.page.data if desk.open.page is not None else {}
    if data.get("trouble") and set(data.get("came_as") or ()) == {"bought"}:
        return "no account: nothing of theirs is consigned"
    return str(data.get("trouble", ""))


@command(
    "sender-page",
    "page",
    "the sender's terms, account and statement",
    short="sender",
    also="account consignor statement owed terms",
    needs=[_has_sender],
    changes="nothing",
    on=("parcel",),
    offered=30,
    order=1240,
)
def open_sender(desk: Desk) -> None:
    """The page of whoever the marked record is consigned by, else of the parcel's sender."""
    sender_id = whose_page(desk)
    theirs: dict[str, list[str]] = {}
    for one in desk.shop.parcels():
        if one.sender == sender_id:
            theirs.setdefault(one.terms, []).append(one.id)
    desk.open.page = Page("sender", data={"sender": sender_id, "came_as": theirs})
    if len(desk.shop.parcel_ids()) <= AT_ONCE:
        read_account(desk)


def whose_page(desk: Desk) -> str:
    """Who the marked record (on its own page that one) is consigned by, else the parcel's sender; "" for
    nobody.
    """
    parcel, row = desk.parcel, marked(desk)
    record = parcel.record(row.id) if row is not None and row.kind == "record" else None
    if desk.open.page is not None and desk.open.page.name == "record":
        record = desk.work.record
    whose = parcel.head["sender"]
    if record is not None and own_terms(parcel.head, record) == "consigned":
        whose = consignor(parcel.head, record)
    return whose if whose is not None and whose in desk.shop.senders else ""


def sender_of(desk: Desk) -> str:
    """The sender whose page is open."""
    return str(desk.open.page.data["sender"]) if desk.open.page is not None else ""


def account_of(desk: Desk, sender_id: str, as_of: str = "", parcels: Parcels | None = None) -> Statement:
    """The sender's account as of a day (else today) over all parcels. BenchError for terms or files that
    cannot be."""
    sender = desk.shop.senders[sender_id]
    closed = read_closed(desk.shop.closings())
    account = Account(sender_id, sender, parcels or all_parcels(desk), desk.settings, closed)
    return statement_after(account, as_of or desk.today())


def came_as(sender_id: str, parcels: Parcels) -> dict[str, list[str]]:
    """``bought``, ``consigned``: in which of these parcels what came from them, or is theirs, is so."""
    found: dict[str, list[str]] = {}
    for head, records in parcels:
        for record in records:
            terms = own_terms(head, record)
            whose = consignor(head, record) if terms == "consigned" else head["sender"]
            if whose == sender_id and head["id"] not in (ids := found.setdefault(terms, [])):
                ids.append(head["id"])
    return found


def read_account(desk: Desk) -> None:
    """Work the account out for the page; where it cannot be, the page says why."""
    page = desk.open.page
    if page is None:
        return
    sender_id = str(page.data["sender"])
    try:
        parcels = all_parcels(desk)
        page.data["came_as"] = came_as(sender_id, parcels)
        page.data["account"] = account_of(desk, sender_id, parcels=parcels)
        page.data["trouble"] = ""
    except BenchError as error:
        page.data["account"], page.data["trouble"] = None, str(error)


# -- the terms, a line each ----------------------------------------------------------------------


def enter(desk: Desk) -> None:
    """Open the marked line of the page with what it holds."""
    sender_id, page = sender_of(desk), desk.open.page
    if page is None:
        return
    field = TERMS[page.at(len(TERMS))]
    text = show_terms(field, desk.shop.senders[sender_id])
    open_line(desk, f"terms-{field.name}", field.label, text, field.about, replace=True, sender=sender_id)


_NO_MONEY = ("name", "address", "note")


def _take_terms(desk: Desk, line: OpenLine) -> None:
    """Read it, see whether the whole still makes terms, keep it; refused in one sentence otherwise."""
    field, sender_id = BY_NAME[line.name.removeprefix("terms-")], str(line.data["sender"])
    sender = desk.shop.senders.get(sender_id, {})
    if line.text.strip() == show_terms(field, sender):
        close_line(desk)
        desk.place()
        return
    try:
        change = read_terms(field, line.text, sender, desk.currency, date.fromisoformat(desk.today()))
    except ValueError as error:
        desk.refuse(str(error))
        return
    after = {**sender, **change}
    if after.get("commission") or after.get("bands"):
        terms_of(after, policy_of(desk.settings))
    typed = terms_read(field, line.text, desk.currency, date.fromisoformat(desk.today()))
    said = _change_words(field.label, typed, show_terms(field, sender))
    own = {"at": desk.now(), "say": said, "names": [field.name]}
    noted = {} if field.name in _NO_MONEY else {"noted": own}
    desk.shop.change_sender(sender_id, **change, **noted)
    booked = change_of_closed(desk.settings, desk.today(), sender, change)
    always = day_left_out(field, line.text, sender, after)
    desk.say(f"{sender_name(desk, sender_id)}: {field.label} kept{always}{booked}", "done")
    leave_line(desk)
    if desk.open.page is not None and desk.open.page.name == "sender" and "account" in desk.open.page.data:
        read_account(desk)


def _told(desk: Desk, line: OpenLine) -> str:
    """What the line will do, with the day on which the books have it where its own is closed."""
    field, sender = BY_NAME[line.name.removeprefix("terms-")], desk.shop.senders[str(line.data["sender"])]
    if not field.goes_by or line.text.strip() == show_terms(field, sender):
        return ""
    change = read_terms(field, line.text, sender, desk.currency, date.fromisoformat(desk.today()))
    told = terms_told(field, line.text, sender, {**sender, **change})
    return told + change_of_closed(desk.settings, desk.today(), sender, change)


def _change_words(label: str, now: str, was: str) -> str:
    """``commission 30 %, was 25 %``: it stands on the sender's own statement."""
    name, per_cent = label.removesuffix(" %"), " %" if label.endswith(" %") else ""

    def plain(value: str) -> str:
        value = value.strip() if "/" in value else value.strip().removesuffix(" always")
        return f"{value}{per_cent}" if value.replace(".", "").isdigit() else value or "none"

    return f"{name} {plain(now)}, was {plain(was)}"


# -- payments and files ----------------------------------------------------------------------------


@command(
    "sender-payout",
    "page",
    "pay what is due to the sender",
    short="pay out",
    also="pay paid due owed",
    needs=[_account],
    on=("sender",),
    order=1260,
)
def open_payout(desk: Desk) -> None:
    sender_id = sender_of(desk)
    due = account_of(desk, sender_id).due
    text = f"{due.plain()}; " if due.minor > 0 else ""
    about = "amount; reference; day; it is spread over the records that were due on that day"
    open_line(desk, "sender-payout", "paid to the sender", text, about, sender=sender_id)


@left_empty
def _take_payout(desk: Desk, line: OpenLine) -> None:
    try:
        today = date.fromisoformat(desk.today())
        (amount, reference), on = read_cells(line.text, 2, line.about, today)
        money = read_amount(amount, desk.currency)
    except ValueError as error:
        desk.refuse(str(error))
        return
    sender_id = str(line.data["sender"])
    account = account_of(desk, sender_id)
    if not 0 < money.minor <= account.due.minor:
        desk.refuse(f"{money.show()} cannot be paid: {account.due.show()} is due")
        return
    then = account_of(desk, sender_id, on) if on < desk.today() else None
    parts = split_payout(account, money, then)
    by_parcel: dict[str, list[str]] = {}
    for one in account.lines:
        if one.record in parts and one.record not in by_parcel.get(one.parcel, ()):
            by_parcel.setdefault(one.parcel, []).append(one.record)
    say = f"{money.show()} paid to {account.name}"
    with ExitStack() as held:  # every parcel is held before the first is written to
        parcels = [(held.enter_context(parcel_for(desk, each)), ids) for each, ids in by_parcel.items()]
        for parcel, ids in parcels:
            with changing(desk, parcel, say) as change:
                for record_id in ids:
                    copy = change.record(record_id)
                    when = when_on(desk, on)
                    copy["life"].append(life.pay_out(copy, when, parts[record_id], reference))
    desk.say(say, "done")
    leave_line(desk)
    read_account(desk)


@command(
    "sender-statement",
    "page",
    "write the sender's statement: a page to print, and as CSV",
    short="statement",
    also="csv account write print page",
    needs=[_account],
    changes="nothing",
    on=("sender",),
    order=1250,
)
def write_statement(desk: Desk) -> None:
    """The sender's statement as CSV and to be printed, among the exports; the page shows the account."""
    sender_id = sender_of(desk)
    rows, path = _write(desk, "statement", sender_id)
    printed = path.with_suffix(".html")
    export(desk.shop, Ask("statement", date.fromisoformat(desk.today()), sender=sender_id), printed)
    read_account(desk)
    lines = "line" if rows == 1 else "lines"
    desk.say(f"statement of {rows} {lines} written: {path}; to print: {printed.name}", "done")


@command(
    "sender-receipt",
    "page",
    "write the receipt for what this parcel brought on consignment",
    short="receipt",
    also="consignor consignment arrival receipt print condition",
    needs=[_consigned_here],
    changes="nothing",
    on=("sender",),
    order=1265,
)
def write_receipt(desk: Desk) -> None:
    """The consignor's receipt of the parcel on the bench, among the exports."""
    ask = Ask("consignment", date.fromisoformat(desk.today()), parcel=desk.parcel.id)
    path = exports(desk) / file_name(ask)
    count = export(desk.shop, ask, path)
    desk.say(f"{'a receipt' if count == 1 else f'{count} receipts'} written: {path}", "done")


@command(
    "sender-book",
    "page",
    "write the shop's stock book as CSV",
    short="stock book",
    also="csv stock book register",
    changes="nothing",
    on=("sender",),
    offered=40,
    order=1270,
)
def write_stock_book(desk: Desk) -> None:
    """The whole stock book as CSV among the exports."""
    write_soon(desk, "the stock book", partial(_stock_book, desk))


def _stock_book(desk: Desk) -> None:
    rows, path = _write(desk, "stockbook")
    desk.say(f"stock book of {rows} numbers written: {path}", "done")


NAMED = 120
"""Bytes of a sender's name in a file's: what tells two of one name apart stands at its end."""


def _write(desk: Desk, kind: str, sender: str | None = None) -> tuple[int, Path]:
    today = date.fromisoformat(desk.today())
    about = f"-{plain_name(sender_name(desk, sender), NAMED)}" if sender else ""
    path = exports(desk) / f"{kind}{about}-{today.isoformat()}.csv"
    return export(desk.shop, Ask(kind, today, sender=sender), path), path


for _field in TERMS:
    LINES[f"terms-{_field.name}"] = LineKind(_take_terms, typed=shows(_told))
LINES["sender-payout"] = LineKind(_take_payout)
