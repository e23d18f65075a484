"""The parcel's head: everything about one delivery that is not one record's."""

from collections.abc import Iterable
from typing import Any, Literal, NotRequired, TypedDict

from benchtui.model.earlier import EarlierDoc
from benchtui.model.record import MoneyDoc, RecordDoc

ChargeKind = Literal["price", "postage", "duty", "tax", "fees"]
CHARGE_KINDS: tuple[ChargeKind, ...] = ("price", "postage", "duty", "tax", "fees")


class ChargeDoc(TypedDict):
    """One charge in its own currency. ``rate`` is shop currency per one unit of it, as decimal text.

    ``on``: the day of the bill where it is not the purchase's; ``reclaimed``: tax that comes back, no cost.
    """

    what: ChargeKind
    minor: int
    currency: str
    rate: str | None
    rate_date: str
    rate_from: str
    on: NotRequired[str]
    reclaimed: NotRequired[bool]


class SellerDoc(TypedDict, total=False):
    """A private person the parcel was bought from, where the law of the place asks who: never exported but in
    the receipt and in the stock book that asks for it. ``checked``: the day identity was checked.
    """

    name: str
    address: str
    identity: str
    checked: str


class ListLine(TypedDict):
    """A line of the sender's own list, ticked off by the record that turned out to be it."""

    line: str
    artist: str
    title: str
    catalogue: str
    grade: str
    record: str | None
    first: NotRequired[str]
    """When it was first issued, as EDTF, where the line says so."""
    by_hand: NotRequired[bool]
    """Whether the dealer said that it is this record: no other takes it."""


class DraftDoc(TypedDict):
    """Text in a line that is still open, kept key by key."""

    line: str
    text: str
    at: int
    label: NotRequired[str]
    about: NotRequired[str]
    data: NotRequired[dict[str, Any]]


class CursorDoc(TypedDict, total=False):
    """Where the dealer is: record, part in the hand, frozen order of its clues, the clue asked."""

    record: str | None
    part: str | None
    side: str
    held: bool
    taken: list[str]
    left: dict[str, str]
    order: list[list[str]]
    clue: list[str] | None
    view: str


class WasDoc(TypedDict, total=False):
    """What the bench showed before an action: undo puts it back. ``passed``: part, place and clue of each
    question passed over; ``book``: the shop's book that the action changed, ``patch``: what it changed there.
    """

    record: str | None
    part: str | None
    side: str
    held: bool
    clue: list[str] | None
    passed: list[list[str]]
    book: str
    patch: list[Any]


class HeadDoc(TypedDict):
    """The parcel. Dates are ISO text; ``sender`` an id in the shop's people.

    ``begun``: the moment it was made here; ``earlier``: what its facts about money were before.
    ``late``: bills and credits after the closing (see ``money.late``); ``came_as`` one of ``CAME_AS``;
    ``traded`` parcel and record of the sale that a record taken in exchange paid for; ``questions_made`` how
    many new questions the shop's own book got from it; ``given_up`` when it was given up as begun by mistake.
    """

    id: str
    sender: str | None
    terms: Literal["bought", "consigned"]
    carrier: str
    tracking: str
    customs: str
    declared: MoneyDoc | None
    insured: MoneyDoc | None
    dispatched: str
    delivered: str
    opened: str
    claim_deadline: str
    expected: int
    charges: list[ChargeDoc]
    packing: str
    damage: str
    list: list[ListLine]
    state: Literal["open", "closed"]
    closed_at: str | None
    note: str
    shares: dict[str, int] | None
    share_how: str
    cursor: CursorDoc
    draft: DraftDoc | None
    undone: int
    revision: int
    sessions: list[dict[str, Any]]
    corrections: NotRequired[list[dict[str, Any]]]
    bought_on: NotRequired[str]
    purchase_invoice: NotRequired[str]
    inbound: NotRequired[Literal["shop", "sender", ""]]
    margin_eligible: NotRequired[bool | None]
    margin_why: NotRequired[str]
    questions_made: NotRequired[int]
    late: NotRequired[list[dict[str, Any]]]
    came_as: NotRequired[str]
    traded: NotRequired[list[str]]
    seller: NotRequired[SellerDoc]
    begun: NotRequired[str]
    earlier: NotRequired[list[EarlierDoc]]
    given_up: NotRequired[str]


CAME_AS = ("bought", "traded in", "gift", "find", "bonus", "opening stock")
"""How a parcel came, where it was not simply bought: what it is paid from, or that it cost nothing."""


def is_given_up(head: HeadDoc, records: Iterable[RecordDoc]) -> bool:
    """Whether it was given up as begun by mistake; not where an older version put a record into it since."""
    return bool(head.get("given_up")) and all(one["state"] == "empty" for one in records)


def new_head(parcel_id: str, expected: int = 0) -> HeadDoc:
    """An open parcel of which only the id and the expected count are known."""
    return {
        "id": parcel_id,
        "sender": None,
        "terms": "bought",
        "carrier": "",
        "tracking": "",
        "customs": "",
        "declared": None,
        "insured": None,
        "dispatched": "",
        "delivered": "",
        "opened": "",
        "claim_deadline": "",
        "expected": expected,
        "charges": [],
        "packing": "",
        "damage": "",
        "list": [],
        "state": "open",
        "closed_at": None,
        "note": "",
        "shares": None,
        "share_how": "worked",
        "cursor": {},
        "draft": None,
        "undone": 0,
        "revision": 0,
        "sessions": [],
    }
