"""Why a figure of closed days is no longer as it was: what was entered since, told by what it can move."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from itertools import product
from typing import Any, NamedTuple

from benchtui.model.earlier import OF_SHOP, as_known, days_of, local_day, notes_of
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.money.book import bought_on
from benchtui.money.charges import own_terms
from benchtui.money.dated import is_dated, rows_of, value_on
from benchtui.money.entries import COST_ROLES, Closed, Entry, Leg
from benchtui.money.known import end_of
from benchtui.money.late import counts_on, said_of_bill

UNSAID = "changed since"
"""What stands where nothing that was entered says why a closed figure is no longer as it was."""
BILL = "late bill"
NEUTRAL = "entered since"
"""What stands where something was entered, but nothing that is known to move such a figure."""
_DAY = "2026-11-30"
"""The length of a time that is a day alone."""
_OF_PAPER = re.compile(r"; (invoice|credit note) \S+ stays as issued, [^;]*")
"""What a note says to the dealer of a paper that left the shop, and is no reason."""
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
_ARRIVAL = {"queue", "state", "stock", "price", "worked", "shares"}
"""Fields that the steps change in which a record comes to its parcel."""


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
    after: str = "",
) -> tuple[str, str]:
    """The day of the latest thing about it that was entered after the closing: of the record itself
    (``of_life``: corrections of its life too), else of its parcel, else of the shop's rules or a sender's
    terms (``noted`` of ``shops``, the shop's first), else of the parcel's other records; and the words of
    all of it that can have ``moved`` such a figure, in the order in which it was entered. What was entered
    after its last day but before the closing was written down is the reason only where nothing later is, or
    where it is not in the figure: ``stated`` is the closing that has it first, and a fact, a rule or a term
    that was changed before that is in it, and no reason. ``after``: a day whose own correction has all that
    was entered by its end.

    Of what was undone only the day is known; ("", "") where nothing says so: an edit from outside.
    """
    head, records = facts.get(parcel, (None, {}))
    about = records.get(record)
    tiers = _tiers(head, records, record, last, of_life)
    base = _base(last, stated)
    since, days = max(base, end_of(date.fromisoformat(after))) if after else base, _days_of(head, about)
    for n, doc in enumerate(shops):
        tiers[2] += _of_rules(doc, _TERMS if n else _RULES, since, days)
    if stated is not None:
        tiers = _since_stated(tiers, stated)
    if after:
        tiers = [[one for one in tier if local_day(one.at) > after] for tier in tiers]
    for is_later, tier in product((_is_after, is_since), tiers):
        if later := [one.at for one in tier if is_later(one.at, last)]:
            return local_day(max(later)), _words(tiers, last, moved, whole=stated is not None)
    docs: list[Mapping[str, Any]] = [one for one in (head, about) if one is not None]
    return max((on for on in days_of(*docs) if is_since(on, last)), default=""), ""


def _since_stated(tiers: list[list[Cause]], stated: Closed) -> list[list[Cause]]:
    """Without what says its moment, where that is before the closing was written down; what says only a day
    (an event, a bill) counts on it."""
    return [[one for one in tier if _is_after(one.at, stated) or len(one.at) == len(_DAY)] for tier in tiers]


def _words(tiers: Sequence[Sequence[Cause]], last: Closed, moved: Moves, whole: bool) -> str:
    """Of the record, its parcel and the rules together; of other records only where these say nothing, or no
    more than a late bill, beside which the shares may have moved too. ``whole``: what is in the figure as it
    was stated is not among them, so that all since the closed days counts."""
    known = [one for tier in tiers[:3] for one in tier], tiers[3]
    for is_later in (is_since,) if whole else (_is_after, is_since):
        own, others = (
            [one for one in causes if one.moves & moved and is_later(one.at, last)] for causes in known
        )
        named = own if any(one.say != BILL for one in own) else [*own, *others]
        if named:
            return "; ".join(dict.fromkeys(one.say for one in sorted(named) if one.say)) or NEUTRAL
    return NEUTRAL


def _tiers(
    head: HeadDoc | None,
    records: Mapping[str, RecordDoc],
    record: str,
    last: Closed,
    of_life: bool,
) -> list[list[Cause]]:
    """Of the record itself, its parcel, the rules and terms (none yet), other records."""
    tiers: list[list[Cause]] = [[], [], [], []]
    about = records.get(record)
    since = [
        one
        for one in (head.get("corrections") or () if head else ())
        if is_since(str(one.get("at", "")), last)
    ]
    came = _came(since, records)
    for one in since:
        if (whose := _of_whom(one, record)) is not None:
            made = _noted(one, _FIELDS, ALL, _fields(one))
            say = _entered(one, records, came) or _of_parcel(made.say, _fields(one))
            say = say.removeprefix(f"record {about['no']}: ") if about and not whose else say
            tiers[whose].append(made._replace(say=_OF_PAPER.sub("", say)))
    for event in about["life"] if about and of_life else ():
        if event["what"] == "corrected":
            tiers[0].append(Cause(str(event["at"]), str(event.get("why"))))
    for bill in (head.get("late") or ()) if head else ():
        # a price, or what of it was given back, is a purchase's also where it is of a later day
        moves_then = str(bill.get("on", ""))[:10] <= last.through or bill.get("what") == "price"
        if head and moves_then and not _has_bill(last, head["id"], bill):
            tiers[record not in {*(bill.get("shares") or ()), *(bill.get("inbound") or ())}].append(
                _of_bill(bill, record, last)
            )
    return tiers


def _came(notes: Sequence[Mapping[str, Any]], records: Mapping[str, RecordDoc]) -> set[str]:
    """The records that came to their parcel, or were recognised, by these notes and are in it."""
    brought = [one for one in notes if _fields(one) & {"queue", "state"}]
    ids = {str(key) for one in brought for key in one.get("records") or ()}
    return {key for key in ids if key in records and records[key]["state"] not in ("withdrawn", "empty")}


def _entered(note: Mapping[str, Any], records: Mapping[str, RecordDoc], came: set[str]) -> str:
    """``record 3: entered on 2026-12-04`` for the steps in which it came, each of which is no reason; "" for
    all else."""
    ids = [str(key) for key in note.get("records") or ()]
    if not ids or not came.issuperset(ids) or not _fields(note) <= _ARRIVAL:
        return ""
    said = f"entered on {local_day(str(note['at']))}"
    return ", ".join(f"record {records[key]['no']}: {said}" for key in ids)


def _of_parcel(say: str, fields: Collection[str]) -> str:
    """``postage 3.00 entered later``, ``postage 4.00, was 3.00`` of a line of the parcel's page."""
    said = say.removeprefix("parcel: ")
    is_new = said != say and "charges" in fields and ", was " not in said
    return f"{said} entered later" if is_new else said


def _base(last: Closed, stated: Closed | None) -> str:
    """The moment by which what was stated is what was known: a figure that the last closing has first was
    known at it, an older one with its corrections by the end of the closed days."""
    through = end_of(date.fromisoformat(last.through))
    return max(through, stated.closed_at) if stated is not None else through


def _days_of(head: HeadDoc | None, about: RecordDoc | None) -> set[str]:
    """The days by whose rules the record's figures go; empty for what is no record's."""
    if head is None or about is None:
        return set()
    docs = [one for event in about["life"] for one in (event, event.get("now") or {})]
    return {bought_on(head), *(str(one["at"])[:10] for one in docs if "at" in one)} - {""}


def _of_rules(
    doc: Mapping[str, Any], table: Mapping[str, Moves], since: str, days: Collection[str]
) -> Iterator[Cause]:
    """The changes of rules or terms. One that was put back, so that on all of these days it is what it was,
    moved nothing; of several changes of one the last says what it is now and what it was before them all."""
    notes, then = notes_of(doc), as_known(doc, since) or {}
    first: dict[str, Mapping[str, Any]] = {}
    for note in notes:
        names = [str(name) for name in note.get("names") or ()]
        made = _noted(note, table, _NONE, names)
        if names and note.get("kept") and made.at > since:
            key = " ".join(names)
            if not any(_moved(name, then, doc, days) for name in names):
                made = made._replace(moves=_NONE)
            elif note is not _last(notes, names):
                made = made._replace(say="")
            else:
                made = made._replace(say=_rule_words(names[0], first.get(key, note), note, then, doc, days))
            first.setdefault(key, note)
        yield made
    yield from _unnoted(doc, {str(note.get("at")) for note in notes}, table)


def _last(notes: Sequence[Mapping[str, Any]], names: Sequence[str]) -> Mapping[str, Any]:
    return [note for note in notes if [*(note.get("names") or ())] == [*names]][-1]


_TOGETHER = {"commission": ("commission", "bands")}
"""A line of the page of terms that holds in more than one field."""
_BY_STARTS = ("margin_scheme", "period_limit")
"""Rules that move figures of the day from which they hold, and not only of a sale's."""
_PER_CENT = {"vat_rate": "VAT rate", "commission": "commission"}


def _moved(name: str, then: Mapping[str, Any], now: Mapping[str, Any], days: Collection[str]) -> bool:
    """Whether the rule is another one now on any of the days; of no days on any at all."""
    for field in _TOGETHER.get(name, (name,)):
        was, so = then.get(field), now.get(field)
        starts = {on for value in (was, so) if is_dated(value) for on, _ in rows_of(value)}
        asked = days if days and name not in _BY_STARTS else {"0001-01-01", *starts} - {""}
        if any((value_on(was, on) or None) != (value_on(so, on) or None) for on in asked):
            return True
    return False


def _rule_words(
    name: str,
    first: Mapping[str, Any],
    last: Mapping[str, Any],
    then: Mapping[str, Any],
    now: Mapping[str, Any],
    days: Collection[str],
) -> str:
    """``VAT rate 19 %, was 20 %`` of the day that it moved; of what is no per cent as it was typed."""
    for on in sorted(days):
        was, so = (value_on(doc.get(name), on) for doc in (then, now))
        if name in _PER_CENT and was != so and all(map(_is_number, (was, so))):
            return f"{_PER_CENT[name]} {so} %, was {was} %"
    said, before = str(last.get("say", "")), str(first.get("say", "")).partition(", was ")[2]
    return f"{said.partition(', was ')[0]}, was {before}" if before else said


def _is_number(value: Any) -> bool:
    return str(value).replace(".", "", 1).isdecimal()


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
    what = said_of_bill(bill)
    if record in (bill.get("inbound") or ()):
        return Cause(str(bill.get("booked", "")), what, frozenset((CHARGES,)))
    cost = (COST,) if counts_on(bill) <= last.through else ()
    bears = not record or record in (bill.get("shares") or ())
    said = what if bill.get("credit") or bill.get("what") == "price" else BILL
    return Cause(str(bill.get("booked", "")), said, frozenset((*cost, *paid)) if bears else _NONE)


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
