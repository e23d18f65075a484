"""One record split in two: parts of it go on as a record of their own, the disc sold and the cover kept."""

from collections.abc import Sequence

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import not_gone, unless
from benchtui.desk.hand import hand
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money
from benchtui.model.record import MoneyDoc, PartDoc, RecordDoc, empty_record, is_here
from benchtui.money.charges import landed, own_terms
from benchtui.money.moved_cost import split_price
from benchtui.money.policy import policy_of
from benchtui.money.spreading import spread
from benchtui.store import Change, split_record

ABOUT = "parts that go, by name; price; cost that goes with them: cover, inner 1; 12.00; 3.50"


def _parts(desk: Desk) -> str:
    record = desk.work.record
    here = [part for part in record["parts"] if is_here(part)] if record else []
    return unless(len(here) > 1, "it has fewer than two parts to split")


@command(
    "record-split",
    "page",
    "split it in two: some parts become a record of their own",
    short="split",
    also="divide apart separate cover disc alone lot",
    needs=[_parts, not_gone],
    on=("record",),
    order=1065,
)
def open_split(desk: Desk) -> None:
    record = desk.record
    names = ", ".join(hand.part_name(record, part) for part in record["parts"] if is_here(part))
    about = f"it has {names}. {ABOUT}"
    open_line(desk, "record-split", "split off", about=about, record=record["id"])


def _take(desk: Desk, line: OpenLine) -> None:
    """Read the line and split the record in one action; refused in one sentence, the text stays."""
    parcel = desk.work.parcel
    if parcel is None or not line.text.strip():
        close_line(desk)
        desk.place()
        return
    record = parcel.record(str(line.data["record"]))
    try:
        said = _split(desk, record, line.text)
    except ValueError as error:
        desk.refuse(str(error))
        return
    desk.weighings.forget_counts()
    leave_line(desk)
    desk.say(said, "done")


def _split(desk: Desk, record: RecordDoc, text: str) -> str:
    named, price, cost, *rest = [*(cell.strip() for cell in text.split(";")), "", ""]
    if any(rest):
        raise ValueError(f"write {ABOUT}")
    parts = chosen(record, named)
    asked = read_amount(price, desk.currency) if price else None
    went, paid = _cost(desk, record, cost)
    parcel = desk.work.parcel
    assert parcel is not None
    new = _begun(record, desk.now(), asked)
    if record["stock"]:
        new["stock"] = desk.shop.reserve_stock(parcel.id, new["id"])
    names = ", ".join(hand.part_name(record, part) for part in parts)
    no = desk.work.next_no
    with dated(desk, f"record {record['no']}: {names} split off as record {no}") as change:
        _carry(desk, change, record, new, [part["id"] for part in parts], went, paid)
    number = f", {new['stock']}" if new["stock"] else ""
    with_it = f", {went.show()} of cost with it" if went.minor else ""
    return f"record {record['no']} split: {names} is record {no}{number}{with_it}"


def _carry(
    desk: Desk, change: Change, record: RecordDoc, new: RecordDoc, parts: list[str], went: Money, paid: int
) -> None:
    assert desk.work.parcel is not None
    cost: MoneyDoc = {"minor": went.minor, "currency": went.currency}
    split_record(change, desk.work.parcel.id, record["id"], new, parts, desk.now(), cost, paid)
    if desk.work.part_id in parts:
        left = next(part for part in record["parts"] if is_here(part) and part["id"] not in parts)
        desk.work.part_id = left["id"]


def chosen(record: RecordDoc, named: str) -> Sequence[PartDoc]:
    """The parts of these names. ValueError for one that is not there, for none, or for all."""
    here = {hand.part_name(record, part).casefold(): part for part in record["parts"] if is_here(part)}
    found = []
    for name in filter(None, (" ".join(one.split()).casefold() for one in named.split(","))):
        fits = [part for full, part in here.items() if full == name] or [
            part for full, part in here.items() if full.startswith(name)
        ]
        if len(fits) != 1:
            raise ValueError(f"'{name}' is not one part of it: {', '.join(here)}")
        found.append(fits[0])
    if not found or len(found) >= len(here):
        raise ValueError(f"name the parts that go, and leave at least one: {', '.join(here)}")
    return found


def _begun(record: RecordDoc, now: str, price: Money | None) -> RecordDoc:
    """The new record: the same title and terms, graded and described by its own parts."""
    new = empty_record(0)
    new["state"], new["title"], new["terms"] = record["state"], record["title"], record["terms"]
    new["channels"], new["size_in"] = record["channels"], record["size_in"]
    new["pressing"] = {**record["pressing"], "learn": False, "untaught": True}
    new["started_at"], new["taken_in_at"] = now, now if record["state"] == "taken-in" else None
    new["note"] = f"split from {record['stock'] or record['no']}"
    if record.get("consignor"):
        new["consignor"] = record["consignor"]
    if "margin_eligible" in record:
        new["margin_eligible"], new["margin_why"] = record["margin_eligible"], record.get("margin_why", "")
    if price is not None:
        new["price"] = {"minor": price.minor, "currency": price.currency, "how": "hand"}
    return new


def _cost(desk: Desk, record: RecordDoc, text: str) -> tuple[Money, int]:
    """What of cost and of the price paid goes with the parts. Until the parcel is closed both share its cost
    by price; of a consigned record there is none. ValueError saying so."""
    parcel = desk.work.parcel
    assert parcel is not None
    nothing = Money(0, desk.currency)
    if own_terms(parcel.head, record) != "bought":
        if text:
            raise ValueError("a consigned record has no cost: leave the third field out")
        return nothing, 0
    if not parcel.closed:
        if text:
            raise ValueError("cost is shared by price until the parcel is closed: leave the third field out")
        return nothing, 0
    policy = policy_of(desk.settings)
    made = spread(
        parcel.head, landed(parcel.head, policy.currency, policy.conversion), parcel.records
    ).by_record()
    share = made.get(record["id"])
    most = share.cost_share if share else nothing
    if not text:
        if most.minor:
            raise ValueError(f"say how much of its cost, {most.show()}, goes with them; 0 for none")
        return nothing, 0
    went = read_amount(text, desk.currency)
    if went.minor > most.minor:
        raise BenchError(f"{went.show()} is more than its cost, {most.show()}", "", "enter that or less")
    return went, split_price(share.margin_purchase_price.minor, most.minor, went.minor) if share else 0


LINES["record-split"] = LineKind(_take)
