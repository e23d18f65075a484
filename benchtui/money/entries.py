"""Double entry: every event of a shop as an entry that balances. All figures of a period follow from these.

Amounts are whole minor units of the shop's currency, above 0 for a debit. A leg may also say what it was in
another currency. ``memo`` are figures that the VAT return counts and that move no account.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from benchtui.money.notice import ESTIMATE as ESTIMATE

ROLES = {
    "bank": "Assets:Bank",
    "stock": "Assets:Stock",
    "arriving": "Assets:Stock-Not-Shared-Out",
    "moved": "Assets:Stock-Moved-With-Parts",
    "reclaimed": "Assets:Tax-To-Come-Back",
    "trade": "Assets:Taken-In-Exchange",
    "consignors": "Liabilities:Consignors",
    "vat": "Liabilities:VAT",
    "tax": "Liabilities:Tax-Collected",
    "opening": "Equity:Opening-Balance",
    "sales": "Income:Sales",
    "refunds": "Income:Refunds",
    "postage": "Income:Postage-Charged",
    "commission": "Income:Commission",
    "charges": "Income:Consignors-Charges",
    "cost of sales": "Expenses:Cost-Of-Sales",
    "written off": "Expenses:Written-Off",
    "handed back": "Expenses:Handed-Back",
    "late cost": "Expenses:Late-Cost",
    "inbound": "Expenses:Inbound-Postage-Of-Consignments",
    "vat in sales": "Expenses:VAT-In-Sales",
    "selling fees": "Expenses:Selling-Fees",
    "payment fees": "Expenses:Payment-Fees",
    "postage paid": "Expenses:Postage-Paid",
    "packing": "Expenses:Packing",
    "exchange": "Expenses:Exchange-Differences",
}
"""Role of an account -> its name where the shop's setting ``accounts`` gives no other."""

COST_ROLES = (
    "stock",
    "arriving",
    "moved",
    "cost of sales",
    "written off",
    "handed back",
    "late cost",
    "inbound",
)
"""Where what was paid for goods is found again: together they are what was paid, always."""

OF_POSTAGE = "of_postage"
"""Among the words of a refund: what of it is postage that was charged, in minor units. A word, so that books
closed before it was told apart stay as they are."""
PERIOD_VAT = "period VAT"
"""Kind of the entry by which VAT in the margin of a whole period is booked on its last day."""


class Leg(NamedTuple):
    """One side of an entry. ``foreign``: (minor units, currency) of it, where it was paid in another."""

    role: str
    minor: int
    foreign: tuple[int, str] | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One event. ``day`` is the day it counts on, ``booked`` the day it was entered.

    ``key`` names the fact for ever (record and number of its event, say), so that a later correction can say
    what it corrects (``corrects``: the key). ``words``: buyer, invoice, seller, description ...
    """

    key: str
    day: str
    kind: str
    parcel: str
    record: str = ""
    stock: str = ""
    legs: tuple[Leg, ...] = ()
    memo: tuple[tuple[str, int], ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)
    booked: str = ""
    corrects: str = ""

    def sum_of(self, *roles: str) -> int:
        """What these accounts were moved by."""
        return sum(leg.minor for leg in self.legs if leg.role in roles)

    def memo_of(self, name: str) -> int:
        """That figure of the VAT return."""
        return sum(minor for each, minor in self.memo if each == name)

    def doc(self) -> dict[str, object]:
        """As a closed period keeps it."""
        legs = [[leg.role, leg.minor, *(leg.foreign or ())] for leg in self.legs]
        named = {"key": self.key, "day": self.day, "kind": self.kind, "parcel": self.parcel, "legs": legs}
        more = {
            "record": self.record, "stock": self.stock, "booked": self.booked, "corrects": self.corrects,
            "memo": [list(pair) for pair in self.memo], "words": dict(self.words),
        }  # fmt: skip
        return named | {name: value for name, value in more.items() if value}


Returns = Literal["", "stated", "each"]
EACH: Returns = "each"
"""Which sales that came back have rows of their own, and their returns, in a closing's stock book: those of
every version since 2026-12; before it only the return of a sale that an earlier closing had; in older ones
none, a return was taken off the row of the sale."""


class Closed(NamedTuple):
    """A closed period as its file has it: entries, figures, and the stock book's rows that changed in it.

    ``digest`` is of all of it, ``before`` the digest of the closing before. ``days``: stock number -> the
    days within the period on which its row changed, each with the row from there (None: that of the end).
    ``statements``: see ``handed_in``. ``beside``: stock number -> [day, rows that stand before its own from
    there], see ``book_after``. Closings of older versions have none of them (None). ``by_day``: whether each
    correction in it stands on the day of its own cause, see ``since.Since``.
    """

    through: str
    closed_at: str
    entries: tuple[Entry, ...]
    figures: Mapping[str, Any]
    rows: Mapping[str, dict[str, str]]
    digest: str
    before: str
    currency: str
    days: Mapping[str, Any] | None = None
    statements: Mapping[str, Any] | None = None
    beside: Mapping[str, Any] | None = None
    returns: Returns = ""
    by_day: bool = False


def entry_of(doc: Mapping[str, object]) -> Entry:
    """Back from a closed period. KeyError, TypeError or ValueError for what is none."""
    legs = tuple(_leg(row) for row in doc["legs"])  # type: ignore[attr-defined]
    memo = tuple((str(name), _whole(minor)) for name, minor in doc.get("memo", ()))  # type: ignore[attr-defined]
    text = {
        name: str(doc.get(name, ""))
        for name in ("key", "day", "kind", "parcel", "record", "stock", "booked", "corrects")
    }
    words = {str(name): str(value) for name, value in dict(doc.get("words") or {}).items()}  # type: ignore[call-overload]
    return Entry(legs=legs, memo=memo, words=words, **text)


def _leg(row: list[object]) -> Leg:
    role, minor, *foreign = row
    return Leg(str(role), _whole(minor), (_whole(foreign[0]), str(foreign[1])) if foreign else None)


def _whole(value: object) -> int:
    if type(value) is not int:
        raise TypeError(f"{value!r} is not a whole number of minor units")
    return value


def legs_of(
    amounts: Mapping[str, int], foreign: Mapping[str, tuple[int, str]] | None = None, apart: int = 0
) -> tuple[Leg, ...]:
    """Legs of those amounts that are not 0, in the order of ``ROLES``. ``apart``: what of the bank's was in
    the shop's own money where the rest was in another: a leg of its own."""
    also = foreign or {}
    left = {**amounts, "bank": amounts.get("bank", 0) - apart}
    legs = tuple(Leg(role, left[role], also.get(role)) for role in ROLES if left.get(role))
    return (*legs, Leg("bank", apart)) if apart else legs


def vat_of(entry: Entry) -> int:
    """The VAT that came to be owed by it."""
    return -entry.sum_of("vat")


def balances(entries: Iterable[Entry], until: str = "9999") -> dict[str, int]:
    """Role -> what its account stands at after all entries up to a day."""
    found: dict[str, int] = {}
    for entry in entries:
        if entry.day <= until:
            for leg in entry.legs:
                found[leg.role] = found.get(leg.role, 0) + leg.minor
    return found


def difference(
    now: Entry | None, booked: Iterable[Entry]
) -> tuple[tuple[Leg, ...], tuple[tuple[str, int], ...]]:
    """Legs and memo that turn what was booked into what holds now (None: nothing of it holds)."""
    legs: dict[tuple[str, str], list[int]] = {}
    memo: dict[str, int] = {}
    for entry, sign in [*([(now, 1)] if now else []), *((each, -1) for each in booked)]:
        for leg in entry.legs:
            pair = legs.setdefault((leg.role, leg.foreign[1] if leg.foreign else ""), [0, 0])
            pair[0] += sign * leg.minor
            pair[1] += sign * leg.foreign[0] if leg.foreign else 0
        for name, minor in entry.memo:
            memo[name] = memo.get(name, 0) + sign * minor
    return (
        tuple(
            Leg(role, minor, (other, code) if code else None)
            for (role, code), (minor, other) in legs.items()
            if minor or other
        ),
        tuple((name, minor) for name, minor in memo.items() if minor),
    )
