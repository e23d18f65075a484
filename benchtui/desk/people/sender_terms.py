"""What was agreed with a sender, a line each: how each is read from what was typed and shown again."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, NamedTuple

from benchtui.desk.line.amount_typed import read_amount, shown
from benchtui.desk.line.day_typed import read_day
from benchtui.money.dated import always_by_default, read_dated, show_dated, words_read
from benchtui.money.rounding import exact

Sender = Mapping[str, Any]


class TermsField(NamedTuple):
    """``read(text, currency)`` gives what changes in the sender, or raises ValueError (or BenchError)."""

    name: str
    label: str
    about: str
    read: Callable[[str, str], dict[str, Any]]
    show: Callable[[Sender], str]
    dated: tuple[str, ...] = ()
    """Fields of the sender that hold from a day on: a sale is reckoned by what was agreed on its day."""
    goes_by: str = ""
    """Of what it is taken, and by which day, as the line says before it is taken."""


def _text(name: str, label: str, about: str) -> TermsField:
    def read(text: str, currency: str) -> dict[str, Any]:
        words = " ".join(text.split())
        if name == "name" and not words:
            raise ValueError("type the sender's name, or leave with Escape and nothing changes")
        return {name: words}

    return TermsField(name, label, about, read, lambda sender: str(sender.get(name) or ""))


def _choice(
    name: str,
    label: str,
    about: str,
    choices: Mapping[str, str],
    dated: tuple[str, ...] = (),
    goes_by: str = "",
) -> TermsField:
    """One of a few words, each by its first letters; ``choices``: what is kept -> what is typed and shown."""

    def read(text: str, currency: str) -> dict[str, Any]:
        word = text.strip().casefold()
        if dated and word == "none":
            return {name: None}
        found = [value for value, words in choices.items() if word and words.startswith(word)]
        if len(found) != 1:
            raise ValueError(f"'{text.strip()}' is not one of them: {about}")
        return {name: found[0]}

    def show(sender: Sender) -> str:
        return choices.get(str(sender.get(name) or ""), "")

    return TermsField(name, label, about, read, show, dated, goes_by)


def _is_none(text: str) -> bool:
    """As `show_dated` writes what was not set before a day."""
    return text.strip().casefold() in ("", "none")


_BY_SALE = "each sale goes by what holds on its day"
_BY_PARCEL = "by what holds on the day its parcel came in"


def _money(name: str, label: str, about: str, goes_by: str) -> TermsField:
    def read(text: str, currency: str) -> dict[str, Any]:
        return {name: None if _is_none(text) else dict(read_amount(text, currency).to_doc())}

    return TermsField(name, label, about, read, lambda sender: shown(sender.get(name)), (name,), goes_by)


def _day(name: str, label: str, about: str) -> TermsField:
    def read(text: str, currency: str) -> dict[str, Any]:
        try:
            return {name: date.fromisoformat(text.strip()).isoformat() if text.strip() else ""}
        except ValueError:
            raise ValueError(f"'{text.strip()}' is not a day: write it as 2027-05-31") from None

    return TermsField(name, label, about, read, lambda sender: str(sender.get(name) or ""))


def read_commission(text: str, currency: str = "") -> dict[str, Any]:
    """``25`` is flat; ``30 to 50; 25 to 200; 20`` is graduated: 30 % of the first 50, then 25 % ..., then 20.

    Empty: none agreed. What cannot be (over 100 %, bands that fall) is refused where terms are read.
    """
    if _is_none(text):
        return {"commission": "", "bands": None}
    rows = [_band(cell) for cell in text.replace("%", " ").split(";") if cell.strip()]
    if len(rows) == 1 and rows[0][0] is None:
        return {"commission": rows[0][1], "bands": None}
    return {"commission": "", "bands": [list(row) for row in rows]}


def _band(cell: str) -> tuple[str | None, str]:
    words = cell.casefold().split()
    if len(words) == 1:
        return None, _number(words[0])
    if len(words) == 3 and words[1] == "to":
        return _number(words[2]), _number(words[0])
    raise ValueError(f"'{cell.strip()}' is not a commission: write 25, or in bands 30 to 50; 25 to 200; 20")


def _number(word: str) -> str:
    exact(word, "the commission")
    return word.replace(",", ".")


def show_commission(sender: Sender) -> str:
    """The commission as it is typed."""
    bands = sender.get("bands")
    if not bands:
        return str(sender.get("commission") or "")
    return "; ".join(f"{share} to {end}" if end is not None else f"{share}" for end, share in bands)


def _read_charges(text: str, currency: str) -> dict[str, Any]:
    return {"charges": [_charge(cell, currency) for cell in text.split(";") if cell.strip()]}


def _charge(cell: str, currency: str) -> dict[str, Any]:
    what, _, amount = cell.strip().rpartition(" ")
    if not what:
        raise ValueError(
            f"'{cell.strip()}' is not a charge: write what it is for, then the amount: cleaning 5.00"
        )
    return {"what": what, **read_amount(amount, currency).to_doc()}


def _show_charges(sender: Sender) -> str:
    rows = sender.get("charges") or []
    return "; ".join(f"{row.get('what')} {shown(row).rpartition(' ')[0]}" for row in rows)


TERMS: tuple[TermsField, ...] = (
    _text("name", "name", "as it stands on the statement"),
    _text("address", "address", "street, town, country"),
    _choice(
        "terms",
        "usual terms",
        "b bought, c consigned: what a new parcel begins with",
        {"bought": "bought", "consigned": "consigned"},
    ),
    TermsField(
        "commission",
        "commission %",
        "25 from today on, the first agreed from the beginning; 25 from 2026-04-01; 25 always; "
        "graduated 30 to 50; 25 to 200; 20",
        read_commission,
        show_commission,
        ("commission", "bands"),
        _BY_SALE,
    ),
    _choice(
        "bands_over",
        "graduated over",
        "e each price, a all sales of the statement together",
        {"item": "each price", "statement": "all sales together"},
        ("bands_over",),
    ),
    _money("minimum", "at least", "the least commission on a sale, an amount; empty: none", _BY_SALE),
    _money(
        "per_sale",
        "charge per sale",
        "for each record sold, an amount; empty: none",
        f"taken off every record sold, and given back where it comes back: {_BY_SALE}",
    ),
    _money(
        "per_record",
        "charge per record",
        "for each record that came in, an amount; empty: none",
        f"taken off every record, sold or not, {_BY_PARCEL}",
    ),
    TermsField(
        "charges",
        "other charges",
        "once on the statement: cleaning 5.00; table rent 12.50",
        _read_charges,
        _show_charges,
    ),
    _choice(
        "inbound",
        "inbound postage",
        "sh if the shop pays it, se if the sender does",
        {"shop": "shop", "sender": "sender"},
        ("inbound",),
        "each parcel goes by what holds on the day it came in",
    ),
    _money(
        "reserve", "reserve", "no record is sold below this without asking the sender; empty: none", _BY_SALE
    ),
    _choice(
        "insures",
        "insured by",
        "sh if the shop insures what is kept here, se if the sender does",
        {"shop": "shop", "sender": "sender"},
        ("insures",),
    ),
    _day("until", "agreed until", "the last day of what was agreed: 2027-05-31; empty: not agreed"),
    _text("note", "note", "anything else about the sender"),
)


def show_terms(field: TermsField, sender: Sender) -> str:
    """As it is typed: of what holds from a day on the whole list, ``30 before / 50 from 2026-11-01``."""
    return show_dated(sender, field.dated, field.show) if field.dated else field.show(sender)


def read_terms(field: TermsField, text: str, sender: Sender, currency: str, today: date) -> dict[str, Any]:
    """What changes in the sender by the line. The first commission agreed holds always, since no sale can be
    accounted for without. ValueError or BenchError as the field says."""
    if not field.dated:
        return field.read(text, currency)
    first_always = field.name == "commission"
    return read_dated(text, sender, lambda cell: field.read(cell, currency), today, read_day, first_always)


def terms_read(field: TermsField, text: str, currency: str, today: date) -> str:
    """The line that was typed as it was read, without what it left as it was."""
    if not field.dated:
        return field.show(field.read(text, currency))
    return words_read(text, lambda cell: field.read(cell, currency), field.show, today, read_day)


def day_left_out(field: TermsField, text: str, before: Sender, after: Sender) -> str:
    """What to say where the day that was typed does not hold, or none was and it holds always; else ""."""
    first = any(always_by_default(before.get(name), after.get(name)) for name in field.dated)
    if not first or text.strip().casefold().endswith("always"):
        return ""
    if field.name == "commission":
        return "; it holds from the beginning, being the first agreed: for sales before today too"
    return f"; it holds always, since nothing was agreed before; only from now on: {text.strip()} from today"


def terms_told(field: TermsField, text: str, before: Sender, after: Sender) -> str:
    """What Enter makes of the line: the whole list with its days, and of what it is taken."""
    now = show_terms(field, after)
    return f"{now}; {field.goes_by}{day_left_out(field, text, before, after)}" if now else "none"


BY_NAME = {field.name: field for field in TERMS}
