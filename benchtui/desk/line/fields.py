"""The parcel's fields, a line each: how each is read from what was typed and shown again."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, NamedTuple

from benchtui.books.cautions import said
from benchtui.desk.line.amount_typed import shown
from benchtui.desk.line.day_typed import read_day
from benchtui.model.money import parse_money
from benchtui.model.parcel import CAME_AS, CHARGE_KINDS, ChargeDoc, HeadDoc
from benchtui.money.rounding import rate_of

MOST_RECORDS = 2000
_BESIDE = re.compile(r"(?:^|\s)\+(?=\s|$)")


class FormField(NamedTuple):
    """``read(text, currency, today)`` gives the value or raises ValueError; ``show`` gives the text back."""

    name: str
    label: str
    about: str
    read: Callable[[str, str, date], Any]
    show: Callable[[HeadDoc], str]
    put: Callable[[HeadDoc, Any], None] | None = None
    """How the value is written where the field is more than one entry of the head."""


def _text(text: str, currency: str, today: date) -> str:
    return " ".join(text.split())


def _day(text: str, currency: str, today: date) -> str:
    return read_day(text, today).isoformat() if text.strip() else ""


def _money(text: str, currency: str, today: date) -> Any:
    if not text.strip():
        return None
    money = parse_money(text, currency)
    if money.minor < 0:
        raise ValueError("An amount cannot be negative. Type 120 or 120.50 EUR.")
    return {"minor": money.minor, "currency": money.currency}


def _terms(text: str, currency: str, today: date) -> str:
    word = text.strip().casefold()
    for terms in ("bought", "consigned"):
        if word and terms.startswith(word):
            return terms
    raise ValueError("type b for bought or c for consigned")


def _count(text: str, currency: str, today: date) -> int:
    if text.strip().isdigit() and int(text) <= MOST_RECORDS:
        return int(text)
    raise ValueError(f"type how many records are expected, 0 to {MOST_RECORDS}")


def read_charge(what: str) -> Callable[[str, str, date], Any]:
    """One bill: ``145.00 EUR @ 0.86 2026-11-20 bank``; the rate is asked for only where the currency is
    another."""

    def read(text: str, currency: str, today: date) -> Any:
        if not text.strip():
            return None
        text, comes_back = _comes_back(text)
        amount, _, rest = text.partition("@")
        money: dict[str, Any] | None = _money(amount, currency, today)
        if money is None:
            raise ValueError("type the amount, then @ and the rate: 145.00 EUR @ 0.86")
        rate, day, origin = _rate(rest, today)
        if money["currency"] != currency and rate is None:
            raise ValueError(
                f"a rate is needed: 1 {money['currency']} is how many {currency}? Write 145.00 EUR @ 0.86"
            )
        charge = {"what": what, **money, "rate": rate, "rate_date": day, "rate_from": origin}
        return charge | ({"reclaimed": True} if comes_back else {})

    return read


def read_charges(what: str) -> Callable[[str, str, date], Any]:
    """Several bills of one kind beside each other: ``12.00 + 3.50 + 4.00 EUR @ 0.86``; none for nothing."""
    one = read_charge(what)

    def read(text: str, currency: str, today: date) -> Any:
        bills = [bill.strip() for bill in _BESIDE.split(text.strip())] if text.strip() else []
        if not all(bills):
            raise ValueError("a bill is missing beside a +: type 12.00 + 3.50")
        return [one(bill, currency, today) for bill in bills]

    return read


def _comes_back(text: str) -> tuple[str, bool]:
    """The rest of the line, and whether it ends in ``reclaimed``: tax that the authority gives back."""
    words = text.split()
    return (text[: text.rindex(words[-1])], True) if words[1:] and words[-1] == "reclaimed" else (text, False)


def _rate(rest: str, today: date) -> tuple[str | None, str, str]:
    words = re.sub(r"^\s*1\s*/\s*", "1/", rest).split()
    if not words:
        return None, "", ""
    rate_of(words[0])
    rate = words[0].replace(",", ".")
    day, origin = today.isoformat(), []
    for word in words[1:]:
        try:
            day = read_day(word, today).isoformat()
        except ValueError:
            origin.append(word)
    return rate, day, " ".join(origin)


def charges_of(head: HeadDoc, what: str) -> list[ChargeDoc]:
    """The parcel's bills of that kind, in the order in which they were entered."""
    return [charge for charge in head["charges"] if charge["what"] == what]


def with_charges(charges: list[ChargeDoc], what: str, bills: list[ChargeDoc]) -> list[ChargeDoc]:
    """All charges with these bills of that kind: each in the place of the one before it, more at the end, so
    that the others keep the number by which the books know them."""
    left, made = list(bills), list[ChargeDoc]()
    for charge in charges:
        if charge["what"] != what:
            made.append(charge)
        elif left:
            made.append(left.pop(0))
    return made + left


def _show_charges(what: str) -> Callable[[HeadDoc], str]:
    return lambda head: " + ".join(map(_show_charge, charges_of(head, what)))


def _show_charge(charge: ChargeDoc) -> str:
    text = shown(charge)
    if charge["rate"]:
        text += " @ " + " ".join(filter(None, (charge["rate"], charge["rate_date"], charge["rate_from"])))
    return text + (" reclaimed" if charge.get("reclaimed") else "")


def _show(name: str) -> Callable[[HeadDoc], str]:
    def show(head: HeadDoc) -> str:
        value: Any = head.get(name)
        if isinstance(value, dict):
            return shown(value)
        return "" if value is None else str(value)

    return show


def _plain(name: str, label: str, about: str, read: Callable[[str, str, date], Any] = _text) -> FormField:
    return FormField(name, label, about, read, _show(name))


def _bearer(text: str, currency: str, today: date) -> str:
    word = text.strip().casefold()
    for bearer in ("shop", "sender"):
        if word in (bearer, bearer[:2]):
            return bearer
    if not word:
        return ""
    raise ValueError("inbound postage: type sh if the shop pays it, se if the sender does; empty: as agreed")


def _came_as(text: str, currency: str, today: date) -> str:
    word = " ".join(text.casefold().split())
    found = [one for one in CAME_AS if word and one.startswith(word)]
    if not word:
        return ""
    if len(found) != 1:
        raise ValueError(f"'{text.strip()}' is not one of {', '.join(CAME_AS)}")
    return "" if found[0] == "bought" else found[0]


_SELLER = ("name", "address", "identity", "checked")


def _read_seller(text: str, currency: str, today: date) -> Any:
    """``K. Fenn; 3 Dock Row, Quarl; passport seen; 2026-11-20``: who, where, how checked, when."""
    if not text.strip():
        return {}
    cells = [cell.strip() for cell in text.split(";")]
    if len(cells) > len(_SELLER) or not cells[0]:
        raise ValueError("write name; address; how identity was checked; day")
    seller = {name: cell for name, cell in zip(_SELLER, cells, strict=False) if cell}
    if "checked" in seller:
        seller["checked"] = read_day(seller["checked"], today).isoformat()
    return seller


def _show_seller(head: HeadDoc) -> str:
    seller = dict(head.get("seller") or {})
    return "; ".join(str(seller.get(name, "")) for name in _SELLER).rstrip("; ")


def read_eligible(text: str) -> tuple[bool | None, str]:
    """``y; bought from a person``: the answer and why, a space for the ``;`` too. ValueError for anything but
    yes, no or open."""
    found = re.match(r"\s*([^\s;]*)[\s;]*", text)
    assert found is not None
    word, why = found[1], text[found.end() :]
    answers = {"y": True, "yes": True, "n": False, "no": False, "?": None, "": None}
    if word.strip().casefold() not in answers:
        raise ValueError(f"'{word.strip()}' is not an answer: y, n or ?, then why")
    return answers[word.strip().casefold()], " ".join(why.split())


def show_eligible(doc: Mapping[str, Any]) -> str:
    """``y; bought from a person`` of a head or a record; "" while it was not answered."""
    answer = doc.get("margin_eligible")
    return "" if answer is None else "; ".join(filter(None, ("y" if answer else "n", doc.get("margin_why"))))


def _put_eligible(head: HeadDoc, value: tuple[bool | None, str]) -> None:
    head["margin_eligible"], head["margin_why"] = value


DAY = "2026-11-25, today, yesterday, -3"
MONEY = "an amount: 120 or 120.50 EUR"
FIELDS: tuple[FormField, ...] = (
    _plain("sender", "sender", "a few letters; Insert makes a new one"),
    _plain("terms", "terms", "b bought, c consigned", _terms),
    _plain(
        "expected",
        "records expected",
        "how many should be in the parcel; the queue gets a place for each",
        _count,
    ),
    *(
        FormField(
            what,
            label,
            "an amount; another currency with its rate: 145.00 EUR @ 0.86 2026-11-20 bank; two: 9 + 4.50",
            read_charges(what),
            _show_charges(what),
        )
        for what, label in zip(
            CHARGE_KINDS, ("price paid", "postage", "duty", "import tax", "fees"), strict=True
        )
    ),
    _plain("carrier", "carrier", "who brought it"),
    _plain("tracking", "tracking", "the carrier's number"),
    _plain("customs", "customs reference", "as on the declaration"),
    _plain("declared", "declared value", MONEY, _money),
    _plain("insured", "insured value", MONEY, _money),
    _plain("dispatched", "dispatched", DAY, _day),
    _plain("delivered", "delivered", DAY, _day),
    _plain("opened", "opened", DAY, _day),
    _plain("claim_deadline", "claim deadline", f"{DAY}; +14 is in a fortnight; {said('claims')}", _day),
    _plain("packing", "packing", "how it was packed, as seen"),
    _plain("damage", "damage seen", "before anything is taken out"),
    _plain("note", "note", "anything else about the parcel"),
    _plain("bought_on", "bought on", DAY + "; empty: the day it came", _day),
    _plain("purchase_invoice", "their invoice", "its number, for the stock book"),
    _plain("came_as", "came as", f"one of {', '.join(CAME_AS)}; a gift or find cost nothing", _came_as),
    FormField(
        "seller",
        "private seller",
        "name; address; how identity was checked; day: private; keep it as long as your law asks",
        _read_seller,
        _show_seller,
    ),
    _plain(
        "inbound",
        "inbound postage",
        "consigned records: sh if the shop pays it, se if the sender does; empty: as agreed",
        _bearer,
    ),
    FormField(
        "margin_eligible",
        "margin scheme",
        "may it be used? y: from a private person or without VAT shown; n: the purchase invoice shows VAT; "
        "did the shop import it? then why: y private seller",
        lambda text, currency, today: read_eligible(text),
        show_eligible,
        _put_eligible,
    ),
)
BY_NAME = {field.name: field for field in FIELDS}
