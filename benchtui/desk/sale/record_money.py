"""The record's money on its page: price, reserve, and whether the margin scheme may be used."""

from typing import Any

from benchtui.desk.core.closed_books import change_booked_into
from benchtui.desk.core.command import Need, command
from benchtui.desk.core.desk import Desk, OpenLine
from benchtui.desk.core.late_change import dated
from benchtui.desk.core.needs import unless
from benchtui.desk.line.amount_typed import read_amount
from benchtui.desk.line.fields import read_eligible, show_eligible
from benchtui.desk.line.lines import LINES, LineKind, close_line, open_line
from benchtui.desk.sale.on_paper import vat_on_paper
from benchtui.desk.sale.record_life import leave_line
from benchtui.model.money import Money
from benchtui.model.record import RecordDoc
from benchtui.money.charges import own_terms
from benchtui.money.scheme import eligibility
from benchtui.money.stock import FREE


def _amount_of(doc: Any) -> str:
    return Money(doc["minor"], doc["currency"]).plain() if doc else ""


def _terms(wanted: str, said: str) -> Need:
    def why(desk: Desk) -> str:
        return unless(own_terms(desk.parcel.head, desk.record) == wanted, said)

    return why


@command(
    "record-price",
    "page",
    "set another price, even after closing",
    short="price",
    also="set cost value amount ask",
    on=("record",),
    order=1110,
)
def price(desk: Desk) -> None:
    """The asking price, also after the parcel was closed; a sale has its own line."""
    about = "asking price from today: an amount such as 24 or 24.50"
    _open(desk, "record-price", f"price in {desk.currency}", _amount_of(desk.record["price"]), about)


@command(
    "record-reserve",
    "page",
    "set the least price agreed with the sender",
    short="reserve",
    also="minimum least lowest limit",
    needs=[_terms("consigned", "no reserve: this record is the shop's own")],
    on=("record",),
    order=1190,
)
def reserve(desk: Desk) -> None:
    about = "not sold below this without asking the sender; - for none"
    _open(desk, "record-reserve", "reserve", _amount_of(desk.record.get("reserve")), about)


@command(
    "record-eligible",
    "page",
    "say whether the margin scheme may be used",
    short="scheme",
    also="margin tax vat",
    needs=[_terms("bought", "the margin scheme is not for consigned records")],
    on=("record",),
    order=1180,
)
def eligible(desk: Desk) -> None:
    """Asked, never decided here: whether this record may be sold under a margin scheme."""
    known = eligibility({"margin_eligible": None}, desk.parcel.head)
    of_parcel = f"the parcel's answer is {'yes' if known.answer else 'no'}"
    more = known.ask[1:] if known.ask else (of_parcel,)
    about = "; ".join((_MAY_IT, *more)) + "; then why: y private seller"
    _open(desk, "record-eligible", "margin scheme", show_eligible(desk.record), about)


_MAY_IT = (
    "may the margin scheme be used? y: bought from a private person or without VAT shown; "
    "n: the purchase invoice shows VAT; ?: not known yet"
)


def _shared_still(desk: Desk) -> str:
    return unless(not desk.parcel.closed, "its share of the cost was frozen when the parcel was closed")


@command(
    "record-free",
    "page",
    "say that this record cost nothing: a gift, a find, a bonus",
    short="cost nothing",
    also="free gift find bonus nothing thrown in",
    needs=[_terms("bought", "a consigned record has no cost"), _shared_still],
    on=("record",),
    order=1185,
)
def free(desk: Desk) -> None:
    about = f"one of {', '.join(FREE)}: the others bear the cost; - for none"
    _open(desk, "record-free", "cost nothing", desk.record.get("free") or "", about)


def _take_free(desk: Desk, line: OpenLine) -> None:
    def change(copy: RecordDoc) -> str:
        word = line.text.strip().casefold()
        if word == "-":
            copy["free"] = ""
            return "bears its share of the cost"
        fits = [one for one in FREE if one.startswith(word)]
        if len(fits) != 1:
            raise ValueError(f"'{word}' is not one of {', '.join(FREE)}")
        copy["free"] = fits[0]
        return f"{fits[0]}, cost nothing"

    _take(desk, line, change)


def _open(desk: Desk, name: str, label: str, text: str, about: str) -> None:
    open_line(desk, name, label, text, about, replace=True, record=desk.record["id"])


def _take_eligible(desk: Desk, line: OpenLine) -> None:
    def change(copy: RecordDoc) -> str:
        before = copy.get("margin_eligible")
        copy["margin_eligible"], copy["margin_why"] = read_eligible(line.text)
        words = {True: "yes", False: "no", None: "open again"}
        also = vat_on_paper(copy, desk.settings, desk.today()) if copy["margin_eligible"] != before else ""
        why = f", {copy['margin_why']}" if copy["margin_why"] else ""
        return f"margin scheme: {words[copy['margin_eligible']]}{why}{also}"

    _take(desk, line, change)


def _take_price(desk: Desk, line: OpenLine) -> None:
    def change(copy: RecordDoc) -> str:
        money = read_amount(line.text, desk.currency)
        copy["price"] = {"minor": money.minor, "currency": money.currency, "how": "hand"}
        return f"price {money.show()}"

    _take(desk, line, change)


def _take_reserve(desk: Desk, line: OpenLine) -> None:
    def change(copy: RecordDoc) -> str:
        if line.text.strip() == "-":
            copy["reserve"] = None
            return "no reserve"
        money = read_amount(line.text, desk.currency)
        copy["reserve"] = {"minor": money.minor, "currency": money.currency}
        return f"reserve {money.show()}"

    _take(desk, line, change)


def _take(desk: Desk, line: OpenLine, change_record: Any) -> None:
    """Change the record by what was typed; a ValueError refuses it, the text stays."""
    record = desk.work.record
    if record is None or not line.text.strip():
        close_line(desk)
        desk.place()
        return
    try:
        with dated(desk, f"record {record['no']}") as change:
            change.say = f"record {record['no']}: {change_record(change.record(str(line.data['record'])))}"
            said = change.say
            if desk.work.parcel is not None:
                head = desk.work.parcel.head
                said += change_booked_into(change, desk.settings, desk.today(), head)
    except ValueError as error:
        desk.refuse(str(error))
        return
    desk.say(said, "done")
    leave_line(desk)


LINES["record-eligible"] = LineKind(_take_eligible)
LINES["record-free"] = LineKind(_take_free)
LINES["record-price"] = LineKind(_take_price)
LINES["record-reserve"] = LineKind(_take_reserve)
