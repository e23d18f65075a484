"""Why a figure of closed days is no longer as it was: what was entered since, told by what it can move."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import product
from typing import Any, NamedTuple

from benchtui.model.earlier import OF_SHOP, days_of, local_day, notes_of
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.charges import own_terms
from benchtui.money.entries import COST_ROLES, Closed, Entry, Leg
from benchtui.money.late import counts_on

UNSAID = "changed since"
"""What stands where nothing that was entered says why a closed figure is no longer as it was."""
BILL = "late bill"
NEUTRAL = "entered since"
"""What stands where something was entered, but nothing that is known to move such a figure."""
_DAY = "2026-11-30"
"""The length of a time that is a day alone."""
Facts = Mapping[str, tuple[HeadDoc, Mapping[str, RecordDoc]]]
"""Parcel -> its head, and record -> record."""
Moves = frozenset[str]

SHARE, COST, PAID, VAT, FEE, FEE_VAT, CHARGES, OTHER = (
    "share", "cost", "purchase price", "VAT", "commission", "VAT on commission", "charges", "other"
)  # fmt: skip
"""Kinds of figures: a record's share of the parcel's charges, its whole cost, what of it was paid to the
seller, VAT of goods, a commission, the VAT on it, what a consignor bears, and all the rest."""
ALL: Moves = frozenset((SHARE, COST, PAID, VAT, FEE, FEE_VAT, CHARGES, OTHER))
_SHARES: Moves = frozenset((SHARE, COST, PAID, VAT, CHARGES))
_NONE: Moves = frozenset()
_FIELDS: dict[str, Moves] = {
    **dict.fromkeys(
        (
            "charges", "shares", "share_how", "price", "worked", "cost_by_hand", "cost_moved", "free",
            "state", "set_apart", "stock", "closed_at", "queue",
        ),
        _SHARES,
    ),
    **dict.fromkeys(("margin_eligible", "margin_why"), frozenset((VAT,))),
    "inbound": frozenset((SHARE, COST, CHARGES)),
    **dict.fromkeys(("reserve", "late", "life", "chores", "post"), _NONE),
}  # fmt: skip
"""What a field of a parcel or a record can move; any other may move all."""
_RULES: dict[str, Moves] = {
    **dict.fromkeys(OF_SHOP, ALL),
    **dict.fromkeys(("margin_scheme", "period_limit", "postage_in_margin"), frozenset((VAT,))),
    **dict.fromkeys(("vat_rate", "vat_rounding"), frozenset((VAT, FEE_VAT))),
    "commission_vat": frozenset((FEE_VAT,)),
    **dict.fromkeys(("vat_period", "late_cost"), _NONE),
}
_TERMS: dict[str, Moves] = {
    **dict.fromkeys(("commission", "minimum", "bands_over"), frozenset((FEE, FEE_VAT))),
    **dict.fromkeys(("per_sale", "per_record", "charges", "inbound"), frozenset((SHARE, COST, CHARGES))),
}
"""What a rule of the shop's, or a sender's term, can move; any other moves nothing."""
_OWN_ONLY = ("margin_eligible", "margin_why", "reserve")
"""Fields of a record that move no figure of another one, as its cost or its terms do."""


class Cause(NamedTuple):
    """Something entered: the moment, its words, and the kinds of figures that it can move."""

    at: str
    say: str
    moves: Moves = ALL


def moved_by(about: Entry, legs: Sequence[Leg], memo: Sequence[tuple[str, int]], facts: Facts) -> Moves:
    """The kinds of figures that this difference of an entry is of."""
    head, records = facts.get(about.parcel, (None, {}))
    record = records.get(about.record)
    consigned = not about.parcel or bool(head and record and own_terms(head, record) == "consigned")
    if about.key.endswith(":share") or ":charge:" in about.key:
        return frozenset((SHARE,))
    if ":late:" in about.key and consigned and about.record:
        return frozenset((CHARGES,))
    kinds = {"commission": FEE, "charges": CHARGES, "inbound": CHARGES, "consignors": "", "reclaimed": COST}
    kinds |= dict.fromkeys(("vat", "vat in sales"), FEE_VAT if consigned else VAT)
    kinds |= {role: COST for role in COST_ROLES if role != "inbound"}
    found = {kinds.get(leg.role, OTHER) for leg in legs} | ({VAT} if memo else set())
    found |= {PAID for name, _ in memo if name == "period purchases"}
    return frozenset(found - {""}) or ALL


def booked_since(
    parcel: str,
    record: str,
    last: Closed,
    facts: Facts,
    shops: Sequence[Mapping[str, Any]] = (),
    moved: Moves = ALL,
    of_life: bool = True,
    stated: Closed | None = None,
) -> tuple[str, str]:
    """The day of the latest thing about it that was entered after the closing: of the record itself
    (``of_life``: corrections of its life too), else of its parcel, else of the shop's rules or a sender's
    terms (``noted`` of ``shops``, the shop's first), else of the parcel's other records; and the words of
    all of it that can have ``moved`` such a figure, in the order in which it was entered. What was entered
    after its last day but before the closing was written down is the reason only where nothing later is.
    ``stated``: the closing that has the figure first: a fact, a rule or a term that was changed before it is
    in it, and no reason.

    Of what was undone only the day is known; ("", "") where nothing says so: an edit from outside.
    """
    head, records = facts.get(parcel, (None, {}))
    about = records.get(record)
    tiers = _tiers(head, about if of_life else None, record, last, shops)
    if stated is not None:
        tiers = _since_stated(tiers, stated)
    for is_later, tier in product((_is_after, is_since), tiers):
        if later := [one.at for one in tier if is_later(one.at, last)]:
            return local_day(max(later)), _words(tiers, last, moved)
    docs: list[Mapping[str, Any]] = [one for one in (head, about) if one is not None]
    return max((on for on in days_of(*docs) if is_since(on, last)), default=""), ""


def _since_stated(tiers: list[list[Cause]], stated: Closed) -> list[list[Cause]]:
    """Without what says its moment, where that is before the closing was written down; what says only a day
    (an event, a bill) counts on it."""
    return [[one for one in tier if _is_after(one.at, stated) or len(one.at) == len(_DAY)] for tier in tiers]


def _words(tiers: Sequence[Sequence[Cause]], last: Closed, moved: Moves) -> str:
    """Of the record, its parcel and the rules together; of other records only where these say nothing, or no
    more than a late bill, beside which the shares may have moved too."""
    known = [one for tier in tiers[:3] for one in tier], tiers[3]
    for is_later in (_is_after, is_since):
        own, others = (
            [one for one in causes if one.moves & moved and is_later(one.at, last)] for causes in known
        )
        named = own if any(one.say != BILL for one in own) else [*own, *others]
        if named:
            return "; ".join(dict.fromkeys(one.say for one in sorted(named) if one.say)) or NEUTRAL
    return NEUTRAL


def _tiers(
    head: HeadDoc | None,
    about: RecordDoc | None,
    record: str,
    last: Closed,
    shops: Sequence[Mapping[str, Any]],
) -> list[list[Cause]]:
    """Of the record itself, its parcel, the rules and terms, other records."""
    tiers: list[list[Cause]] = [[], [], [], []]
    for one in (head.get("corrections") or ()) if head else ():
        if (whose := _of_whom(one, record)) is not None:
            tiers[whose].append(_noted(one, _FIELDS, ALL, _fields(one)))
    for event in about["life"] if about else ():
        if event["what"] == "corrected":
            tiers[0].append(Cause(str(event["at"]), str(event.get("why"))))
    for bill in (head.get("late") or ()) if head else ():
        of_then = str(bill.get("on", ""))[:10] <= last.through
        if head and of_then and not _has_bill(last, head["id"], bill):
            tiers[record not in {*(bill.get("shares") or ()), *(bill.get("inbound") or ())}].append(
                _of_bill(bill, record, last)
            )
    for n, doc in enumerate(shops):
        table, notes = _TERMS if n else _RULES, notes_of(doc)
        tiers[2] += [_noted(note, table, _NONE, note.get("names") or ()) for note in notes]
        tiers[2] += _unnoted(doc, {str(note.get("at")) for note in notes}, table)
    return tiers


def _unnoted(doc: Mapping[str, Any], told: Collection[str], table: Mapping[str, Moves]) -> Iterator[Cause]:
    """Changes of which only the earlier value is kept: a shop of an older version kept of each rule's notes
    only the last."""
    for row in doc.get("earlier") or ():
        if (at := str(row["until"])) not in told:
            yield _noted({"at": at}, table, _NONE, (*row.get("was", ()), *row.get("unset", ())))


def _noted(
    note: Mapping[str, Any], table: Mapping[str, Moves], other: Moves, names: Collection[str]
) -> Cause:
    """Of a note of an older version, which does not say what was changed, anything may follow."""
    moves = [table.get(name, other) for name in names]
    return Cause(str(note.get("at", "")), str(note.get("say", "")), _NONE.union(*moves) if moves else ALL)


def _of_bill(bill: Mapping[str, Any], record: str, last: Closed) -> Cause:
    """A bill that counts after the closed days moves no cost of theirs."""
    paid = (PAID, VAT) if bill.get("what") == "price" else ()
    if record in (bill.get("inbound") or ()):
        return Cause(str(bill.get("booked", "")), f"late {bill.get('what')}", frozenset((CHARGES,)))
    cost = (COST,) if counts_on(bill) <= last.through else ()
    bears = not record or record in (bill.get("shares") or ())
    return Cause(str(bill.get("booked", "")), BILL, frozenset((*cost, *paid)) if bears else _NONE)


def _has_bill(last: Closed, parcel: str, bill: Mapping[str, Any]) -> bool:
    """Whether a bill of the day of the closing was entered before it: bills say no moment."""
    if str(bill.get("booked", ""))[:10] != local_day(last.closed_at):
        return False
    key = f"{parcel}:late:{bill.get('id')}"
    return any(entry.key == key for entry in last.entries)


def is_since(at: str, last: Closed) -> bool:
    """Whether a moment, or a day, is after the closed days, or after the closing itself."""
    return local_day(at) > last.through or _is_after(at, last)


def _is_after(at: str, last: Closed) -> bool:
    """Whether a moment is after the closing was written down. The books may be closed to the very day: what
    is entered on the rest of it has come since; what says no more than that day is taken to have."""
    return at > last.closed_at if len(at) > len(_DAY) else at >= local_day(last.closed_at)


def _fields(note: Mapping[str, Any]) -> set[str]:
    """The fields of head and records that a note says were changed."""
    paths = [list(op[0]) for op in note.get("ops") or ()]
    of_head = {str(path[1]) for path in paths if path[0] == "head" and path[1:]}
    of_records = {str(path[2]) if path[2:] else "queue" for path in paths if path[0] == "records"}
    return of_head | of_records | set(note.get("fields") or ())


def _of_whom(note: Mapping[str, Any], record: str) -> int | None:
    """0: a correction of that record, 1: of its parcel, 3: of other records; None: of lives and late bills
    only, which are entries themselves, or of what moves no figure but another record's own."""
    paths = [list(op[0]) for op in note.get("ops") or ()]
    moved = [path for path in paths if path[2:3] != ["life"] and path[:2] != ["head", "late"]]
    if paths and not moved:
        return None
    mine = {str(path[1]) for path in moved if path[0] == "records"} | set(note.get("records") or ())
    if record and record in mine:
        return 0
    if not mine or any(path[0] != "records" for path in moved):
        return 1
    return None if moved and all(path[2:3] and path[2] in _OWN_ONLY for path in moved) else 3
