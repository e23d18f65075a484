"""What is wrong with the money in a shop, for ``benchtui check``: every fault, not only the first."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import Parcels, bought_on
from benchtui.money.causes import UNSAID
from benchtui.money.charges import landed
from benchtui.money.closing import proved
from benchtui.money.consign import terms_of
from benchtui.money.dated import rows_of
from benchtui.money.days import day
from benchtui.money.figures import vat_disagreements
from benchtui.money.ledger import shop_entries
from benchtui.money.policy import Policy, Rates, policy_of
from benchtui.money.price_index import check_price_index
from benchtui.money.proof import proof
from benchtui.money.rounding import money_of, rate_of
from benchtui.money.spreading import spread
from benchtui.money.standings import effective, life_fault, require_currency, standing, unsound
from benchtui.money.stated_again import stated_faults
from benchtui.money.trades import trade_faults


def check_money(
    parcels: Parcels,
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    sales: Iterable[Mapping[str, Any]] = (),
) -> list[BenchError]:
    """Settings, terms, charges, shares, prices, lives, stock numbers, sales seen. Bad settings end it."""
    faults: list[BenchError] = []
    if (policy := _caught(faults, lambda: policy_of(settings))) is None:
        return faults
    for sender in senders.values():
        if sender.get("commission") or sender.get("bands"):
            _caught(faults, lambda sender=sender: terms_of(sender, policy))  # type: ignore[misc]
        _caught(faults, lambda sender=sender: _sender_reserve(sender, policy))  # type: ignore[misc]
    for sale in sales:
        _caught(faults, lambda sale=sale: _sale(sale))  # type: ignore[misc]
    _caught(faults, lambda: _limit(settings))
    _caught(faults, lambda: check_price_index(settings))
    faults.extend(trade_faults(parcels, policy.currency))
    stock: dict[str, str] = {}
    invoices: dict[str, tuple[str, str]] = {}
    for head, records in parcels:
        _caught(faults, lambda head=head, records=records: _spread(head, records, policy))  # type: ignore[misc]
        for record in records:
            faults.extend(_of_record(head, record, policy))
            faults.extend(_invoice_twice(head, record, invoices))
            place = f"parcel {head['id']}, record {record['no']}"
            if (number := record["stock"]) and stock.setdefault(number, place) != place:
                faults.append(BenchError(f"stock number {number} is used twice: also {stock[number]}", place))
    return faults


def check_accounts(
    parcels: Parcels,
    senders: Mapping[str, Mapping[str, Any]],
    settings: Mapping[str, Any],
    closings: Sequence[Mapping[str, Any]] = (),
) -> list[BenchError]:
    """Closed periods worked out again from what was booked by then, and each line of their stock books and
    statements; every entry balanced; what was paid found again as stock, cost of sales, written off or handed
    back; and what changed in a closed period without an entry that says why. Nothing where the money itself
    cannot be read: `check_money` says what is wrong."""
    faults, closed = proved(closings)
    last = max((str(doc.get("through")) for doc in closings), default="")
    if settings.get("closed_at") and str(settings.get("closed_through") or "") > last:
        said = f"the books were closed to {settings['closed_through']}, but that closing is not there"
        faults.append(BenchError(said, "closed", "put it back from a backup"))
    if len(closed) < len(closings):
        return faults
    try:
        entries = shop_entries(parcels, senders, settings, closed)
    except BenchError as fault:
        return [*faults, fault] if closings else faults
    faults += [BenchError(said, "books") for said in proof(entries, parcels, settings)]
    rates, today = Rates(settings), date.today().isoformat()
    faults += [BenchError(said, "books") for said in vat_disagreements(entries, rates, closed, today)]
    faults += stated_faults(parcels, senders, settings, closed)
    done = {head["id"] for head, _ in parcels if head["state"] == "closed"}
    for entry in entries:
        if entry.words.get("why") == UNSAID and entry.day > last and entry.parcel in done:
            said = f"{entry.words['of']} is no longer as it was when the books were closed to {last}"
            right = "nothing entered since says why: look at what was changed outside the program"
            faults.append(BenchError(said, f"parcel {entry.parcel} {entry.stock}".strip(), right))
    return faults


def unused_invoices(parcels: Parcels, taken: Mapping[str, Any]) -> list[BenchError]:
    """Numbers of the shop's series that were taken for a sale that is not in the books: a gap to explain."""
    deals = {
        str(event.get("deal") or event.get("invoice"))
        for _, records in parcels
        for record in records
        for event in record["life"]
        if event.get("what") == "sold"
    }
    return [
        BenchError(
            f"invoice {number} was given out, but no sale has it", "invoices", "keep a note of the reason"
        )
        for number, doc in taken.items()
        if str(doc.get("deal")) not in deals
    ]


def unused_credit_notes(parcels: Parcels, taken: Mapping[str, Any]) -> list[BenchError]:
    """Numbers of credit notes that no return or price reduction has: a gap to explain."""
    known = {
        str(event["credit_note"])
        for _, records in parcels
        for record in records
        for event in record["life"]
        if event.get("credit_note")
    }
    right = "keep a note of the reason"
    return [
        BenchError(
            f"credit note {number} was given out, but no return or refund has it", "credit notes", right
        )
        for number in taken
        if number not in known
    ]


def _limit(settings: Mapping[str, Any]) -> None:
    """The period scheme is for items up to a price that the authority names; no figure is shipped."""
    uses = any(scheme == "period" for _, scheme in Rates(settings).schemes("9999"))
    if uses and settings.get("period_limit") in (None, ""):
        raise BenchError(
            "no limit for an item is set for period accounting",
            "setting period_limit",
            "enter the price above which your authority takes items out of it, or none",
        )


def _invoice_twice(
    head: HeadDoc, record: RecordDoc, known: dict[str, tuple[str, str]]
) -> Iterator[BenchError]:
    """One number on two sales. Records on one invoice name the same sale, or the same day and buyer."""
    try:
        events = effective(record)
    except BenchError:  # told with the record
        return
    for event in events:
        if number := str(event.get("invoice") or "") if event["what"] == "sold" else "":
            sale = str(event.get("deal") or f"{event['at']} {event.get('buyer', '')}")
            here = f"record {record['no']} ({record['stock']})"
            first, other = known.setdefault(number, (sale, here))
            if first != sale:
                said = f"invoice {number} is on two sales: also {other}"
                yield BenchError(said, f"parcel {head['id']}, record {record['no']}", "correct one of them")


def _caught(faults: list[BenchError], read: Callable[[], Any]) -> Any:
    try:
        return read()
    except BenchError as fault:
        faults.append(fault)
        return None


def _sale(sale: Mapping[str, Any]) -> None:
    where = f"sale seen {sale.get('id', '')}".strip()
    money_of(sale, where)
    day(sale.get("date"), "its day", where)
    if sale.get("rate"):
        rate_of(sale["rate"], where)


def _sender_reserve(sender: Mapping[str, Any], policy: Policy) -> None:
    for _, reserve in rows_of(sender.get("reserve"), f"sender {sender.get('name') or ''}"):
        _amount(reserve, f"sender {sender.get('name') or ''}, reserve", policy)


def _amount(doc: Any, where: str, policy: Policy) -> None:
    if doc:
        money_of(doc, where, policy.currency)


def _spread(head: HeadDoc, records: Any, policy: Policy) -> None:
    """The shares can be made out, and no record gave more cost away with its parts than it bears."""
    made = spread(head, landed(head, policy.currency, policy.conversion), records)
    numbers = {record["id"]: record["no"] for record in records}
    for share in made.shares:
        if share.cost_share.minor < 0:
            said = f"moved parts leave it a cost of {share.cost_share.show()}"
            where = f"parcel {head['id']}, record {numbers[share.record]}"
            raise BenchError(said, where, "move no more cost than it had")


def _of_record(head: HeadDoc, record: RecordDoc, policy: Policy) -> Iterator[BenchError]:
    """Faults of one record's life: unreadable events, sold twice or before it was bought."""
    place = f"parcel {head['id']}, record {record['no']}"
    faults: list[BenchError] = []
    if fault := life_fault(head, record):
        yield fault
        return
    _caught(faults, lambda: require_currency(record, policy.currency))
    _caught(faults, lambda: _amount(record.get("reserve"), "reserve", policy))
    if faults:
        yield BenchError(f"{faults[0].where}: {faults[0].what}", place, faults[0].right)
        return
    if record["state"] == "withdrawn" and standing(record).what == "sold":
        yield BenchError(
            "it was sold and is taken out of its parcel all the same", place, "put it back, or enter a return"
        )
    if broken := unsound(record):
        yield BenchError(broken, place, "enter a correction")
    bought = bought_on(head)
    for event in effective(record):
        if event["what"] == "sold" and bought and event["at"] < bought:
            yield BenchError(
                f"sold on {event['at']}, before it came on {bought}",
                place,
                "enter a correction, or the parcel's day delivered",
            )
