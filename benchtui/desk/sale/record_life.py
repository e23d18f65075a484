"""What happens to a record after the bench, entered on its page: one line each, its day at the end."""

from collections.abc import Callable
from datetime import date
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.lives import Make, enter_event, parcel_for
from benchtui.desk.core.needs import is_sold, not_gone, unless
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.day_typed import read_day
from benchtui.desk.line.lines import LINES, LineKind, close_line, left_empty, open_line
from benchtui.desk.sale.credit_note import CreditNote
from benchtui.desk.sale.packing_work import settle_packing
from benchtui.model.money import parse_money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money import life
from benchtui.money.charges import own_terms
from benchtui.money.creditline import Back, split_rate
from benchtui.money.policy import policy_of
from benchtui.money.refunds import left_in, price_left, refund_of
from benchtui.money.standings import left_to_refund, standing

Cells = list[str]
ALL = "all"


class Deed(NamedTuple):
    """One kind of event. ``cells``: how many texts stand before the day; ``make`` reads them.

    ``make(cells, desk)`` gives what makes the event; ValueError or BenchError for bad input. Of ``refund``
    deeds the last cell is the day's rate, "" for none.
    """

    label: str
    about: str
    cells: int
    said: str
    make: Callable[[Cells, Desk], Make]
    refund: bool = False


def _shelf(cells: Cells, desk: Desk) -> Make:
    return lambda head, record, when: life.shelve(record, when, cells[0])


def _hold(cells: Cells, desk: Desk) -> Make:
    until = read_day(cells[1], date.fromisoformat(desk.today())).isoformat()
    return lambda head, record, when: life.hold(record, when, cells[0], until)


def _return(cells: Cells, desk: Desk) -> Make:
    back, why = Back(parse_money(cells[0], desk.currency) if cells[0] else None), _reason(cells[1])
    return lambda head, record, when: give_back(desk, record, when, back, why, cells[2])


def _refund(cells: Cells, desk: Desk) -> Make:
    back = Back(None if cells[0] == ALL else parse_money(cells[0], desk.currency), cells[0] == ALL, off=True)
    why = _reason(cells[1])
    return lambda head, record, when: give_back(desk, record, when, back, why, cells[2])


def _reason(text: str) -> str:
    """Why it came back. ValueError for what has no letter: an amount behind the one that stood there."""
    if text and not any(map(str.isalpha, text)):
        raise ValueError(f"'{text}' is no reason: the refund stands in front of it; write refund; why; day")
    return text


def give_back(desk: Desk, record: RecordDoc, when: life.When, back: Back, why: str, rate: str) -> life.Event:
    """The buyer's return, or (``off``) a refund alone, in the currency of the sale or the shop's."""
    sold = standing(record).sale
    rule = policy_of(desk.settings, sold["at"] if sold else "").conversion
    refund, more = refund_of(record, back.money, rate, rule, whole=back.whole)
    if back.off:
        return life.refund_part(record, when, refund, why, **more)
    return life.take_back(record, when, why, refund, **more)


def _back(cells: Cells, desk: Desk) -> Make:
    return lambda head, record, when: life.hand_back(record, when, cells[0])


def _scrap(cells: Cells, desk: Desk) -> Make:
    return lambda head, record, when: life.scrap(record, when, cells[0])


def _payout(cells: Cells, desk: Desk) -> Make:
    amount = read_amount(cells[0], desk.currency)

    def pay(head: HeadDoc, record: RecordDoc, when: life.When) -> life.Event:
        if own_terms(head, record) != "consigned":
            raise BenchError("it is the shop's own", f"record {record['no']}", "pay out consigned records")
        return life.pay_out(record, when, amount, cells[1])

    return pay


DEEDS = {
    "shelf": Deed("shelf place", "shelf place; day if not today: B3; yesterday", 1, "shelved", _shelf),
    "hold": Deed("hold for", "for whom; until when; day: M. Larch; +7", 2, "held", _hold),
    "return": Deed(
        "buyer's return",
        "refund; why; day: 24.00; did not play through",
        2,
        "returned by the buyer",
        _return,
        True,
    ),
    "refund": Deed(
        "refund", "amount, or all; why; day: 4.00; scratch on B2", 2, "part of it refunded", _refund, True
    ),
    "back": Deed(
        "handed back", "why; day: unsold, asked back; yesterday", 1, "handed back to the sender", _back
    ),
    "scrap": Deed("scrapped", "why; day: broken in two", 1, "scrapped", _scrap),
    "payout": Deed(
        "paid to the sender", "amount; reference; day: 22.50; transfer 14", 2, "paid to the sender", _payout
    ),
}


def _open(desk: Desk, name: str) -> None:
    record, parcel = desk.record, desk.parcel
    deed = DEEDS[name]
    text = _known(record, name)
    about = f"{_paid(record)}{deed.about}" if name in ("return", "refund") else deed.about
    other = left_in(record) if deed.refund else None
    code = other.currency if other else desk.currency
    line = f"life-{name}"
    open_line(desk, line, deed.label, text, about, parcel=parcel.id, record=record["id"], currency=code)


def _paid(record: RecordDoc) -> str:
    """Where more was paid than the price: ``9.00 GBP with postage and tax. ``; and in another currency."""
    try:
        left, price, other = left_to_refund(record), standing(record).price, left_in(record)
    except BenchError:
        return ""
    if other is not None:
        what = f"{other.show()} were paid; an amount is in {other.currency}"
        return f"{what}. rate 0.88, the day's, may stand in a cell of its own. "
    return f"{left.show()} were paid with postage and tax. " if price and left.minor > price.minor else ""


def _known(record: RecordDoc, name: str) -> str:
    """What the line can begin with: of a return what is left of the price, in the currency it was paid in."""
    if name != "return":
        return ""
    try:
        price, abroad = price_left(record), left_in(record) is not None
    except BenchError:
        return ""
    return f"{price.show() if abroad else price.plain()}; "


def _held(desk: Desk) -> str:
    try:
        return unless(
            desk.work.record and standing(desk.work.record, desk.today()).held_for, "it is not held"
        )
    except BenchError:
        return ""


@command(
    "record-shelf",
    "page",
    "set the shelf place",
    short="shelf",
    also="place location stored where",
    needs=[not_gone],
    on=("record",),
    order=1080,
)
def shelf(desk: Desk) -> None:
    _open(desk, "shelf")


@command(
    "record-hold",
    "page",
    "hold it for somebody until a day",
    short="hold",
    also="reserve keep customer",
    needs=[not_gone],
    on=("record",),
    order=1090,
)
def hold(desk: Desk) -> None:
    _open(desk, "hold")


@command(
    "record-return",
    "page",
    "the buyer returned it, and was refunded",
    short="came back",
    also="returned brought back buyer refund",
    needs=[is_sold],
    on=("record",),
    order=1120,
)
def give_back_to_buyer(desk: Desk) -> None:
    _open(desk, "return")


@command(
    "record-refund",
    "page",
    "give money back, part of it or all; the record does not come back",
    short="refund",
    also="part discount rebate money back whole full lost",
    needs=[is_sold],
    on=("record",),
    order=1130,
)
def refund(desk: Desk) -> None:
    _open(desk, "refund")


@command(
    "record-back",
    "page",
    "handed back to the sender unsold",
    short="hand back",
    also="return unsold consignor",
    needs=[not_gone],
    on=("record",),
    order=1140,
)
def hand_back(desk: Desk) -> None:
    _open(desk, "back")


@command(
    "record-scrap",
    "page",
    "scrapped, or left the shop in another way",
    short="scrap",
    also="throw bin broken destroy",
    needs=[not_gone],
    on=("record",),
    order=1150,
)
def scrap(desk: Desk) -> None:
    _open(desk, "scrap")


@command(
    "record-payout",
    "page",
    "paid to the sender for this record",
    short="payout",
    also="pay sender paid",
    on=("record",),
    order=1160,
)
def payout(desk: Desk) -> None:
    _open(desk, "payout")


@command(
    "record-release",
    "page",
    "no longer held",
    short="release",
    also="free unhold",
    needs=[_held],
    on=("record",),
    order=1100,
)
def release(desk: Desk) -> None:
    """No longer held, from today; there is nothing to type."""
    record = desk.record
    enter_event(
        desk,
        desk.parcel.id,
        record["id"],
        desk.today(),
        lambda head, there, when: life.release(there, when),
        f"record {record['no']}: no longer held",
    )


@left_empty
def _take(desk: Desk, line: OpenLine) -> None:
    """Read the line and enter the event; refused in one sentence, the text stays."""
    deed = DEEDS[line.name.removeprefix("life-")]
    today = desk.clock().astimezone().date()
    try:
        text, rate = split_rate(line.text) if deed.refund else (line.text, "")
        cells, on = read_cells(text, deed.cells, deed.about, today)
        if deed is DEEDS["refund"] and cells[0].casefold() == ALL:
            cells[0] = ALL
        elif deed.refund and cells[0]:
            cells[0] = parse_money(cells[0], str(line.data.get("currency") or desk.currency)).show()
        make = deed.make([*cells, rate], desk)
    except ValueError as error:
        desk.refuse(str(error))
        return
    parcel_id, record_id = str(line.data["parcel"]), str(line.data["record"])
    note = CreditNote(desk)
    said = _all_of_it(desk, parcel_id, record_id, cells[0]) if deed is DEEDS["refund"] else ""
    said = said or f"{deed.said}{_amount(deed, cells, desk.currency)}"
    say = f"{_named(desk, parcel_id, record_id)}{said}"
    try:
        then = settle_packing if deed.refund else None
        enter_event(desk, parcel_id, record_id, on, note.on(make), say, then)
    except BaseException:
        note.free()
        raise
    desk.say(f"{desk.open.message}{note.said}", desk.open.tone)
    leave_line(desk)


def _all_of_it(desk: Desk, parcel_id: str, record_id: str, amount: str) -> str:
    """``all of it refunded, 65.00 GBP`` where that is all the buyer paid that is not given back yet."""
    try:
        with parcel_for(desk, parcel_id) as parcel:
            record = parcel.record(record_id)
        left = left_in(record) or left_to_refund(record)
        asked = left if amount == ALL else parse_money(amount, desk.currency)
    except ValueError:  # said when the event is made
        return ""
    return f"all of it refunded, {left.show()}" if asked == left else ""


def _amount(deed: Deed, cells: Cells, currency: str) -> str:
    """``, 8.00 GBP``: what was given back or paid, where an amount was typed."""
    money = (deed.refund or deed is DEEDS["payout"]) and cells[0]
    return f", {parse_money(cells[0], currency).show()}" if money else ""


def read_cells(text: str, cells: int, about: str, today: date) -> tuple[Cells, str]:
    """So many texts between semicolons, and the day after them (today where none is given).

    ValueError for too many, or a day that is none.
    """
    found = [cell.strip() for cell in text.split(";")]
    if len(found) > cells + 1:
        raise ValueError(f"{len(found)} fields are too many: {about}")
    on = read_day(found[cells], today) if len(found) > cells and found[cells] else today
    return [*found, *[""] * cells][:cells], on.isoformat()


def _named(desk: Desk, parcel_id: str, record_id: str) -> str:
    if desk.work.parcel is None or desk.work.parcel.id != parcel_id:
        return ""
    return f"record {desk.work.parcel.record(record_id)['no']}: "


def leave_line(desk: Desk) -> None:
    """Close the line, saved, with the last word still standing."""
    said, tone = desk.open.message, desk.open.tone
    close_line(desk)
    desk.place()
    desk.say(said, tone)


for _name in DEEDS:
    LINES[f"life-{_name}"] = LineKind(_take)
