"""A deliberate upgrade: the part in the hand goes to another record, with consent where it is a sender's.

A bought part takes what of the cost the dealer says with it (see moving_cost.py).
"""

from functools import partial
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu, OpenLine, Pick
from benchtui.desk.core.needs import not_gone, part_is_here
from benchtui.desk.hand import hand
from benchtui.desk.line.lines import LINES, LineKind, close_line, marked_pick, open_line, refuse_unfound
from benchtui.desk.record import moving_cost
from benchtui.model.money import Money
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import MoneyDoc, PartDoc, RecordDoc, is_here, part_of
from benchtui.money.standings import LEFT, standing
from benchtui.store import Parcel, move_part


class Target(NamedTuple):
    """Where the part would go."""

    parcel: str
    record: str
    name: str


class Move(NamedTuple):
    """A move ready to be made. ``back``: the part that takes the way back, where the two change places;
    ``cost``: what of the giver's cost goes with the part, in minor units."""

    part: str
    target: Target
    back: str
    consent: str
    cost: int = 0


@command(
    "record-move",
    "page",
    "move the part in hand to another record",
    short="move part",
    also="swap other exchange",
    needs=[part_is_here, not_gone],
    on=("record",),
    order=1060,
)
def open_move(desk: Desk) -> None:
    label = f"move {hand.part_name(desk.record, desk.part)} to"
    about = "the number of a record of this parcel, or any stock number"
    desk.say("")  # what was said before would hide what the line wants
    open_line(desk, "move-part", label, about=about, part=desk.part["id"])


# -- where to -------------------------------------------------------------------------------------


def _picks(desk: Desk, line: OpenLine) -> list[Pick]:
    text = line.text.strip().casefold()
    return [Pick(((target.name, ""),), target) for target in _targets(desk, text)] if text else []


def _targets(desk: Desk, text: str) -> list[Target]:
    """Records of this parcel by number or stock number, then those of other parcels by stock number."""
    parcel = desk.work.parcel
    if parcel is None:
        return []
    numbered = [one for one in desk.work.records if str(one["no"]) == text]
    stocked = [one for one in desk.work.records if one["stock"] and one["stock"].casefold().startswith(text)]
    here = [one for one in (*numbered, *stocked) if one["id"] != desk.work.record_id]
    found = [Target(parcel.id, one["id"], named(one)) for one in here]
    for other in desk.shop.find(text, limit=50):
        if other.parcel != parcel.id and (other.stock or "").casefold().startswith(text):
            name = ", ".join(filter(None, (other.artist, other.title)))
            found.append(Target(other.parcel, other.record, f"{other.stock}  {name}  parcel {other.parcel}"))
    return found[:8]


def named(record: RecordDoc) -> str:
    """``record 5  A00012  Artist, Title``."""
    title = record["title"]
    words = ", ".join(filter(None, (title["artist"], title["title"]))) if title else "no title yet"
    return "  ".join(filter(None, (f"record {record['no']}", record["stock"], words)))


def _take_target(desk: Desk, line: OpenLine) -> None:
    text, pick = line.text.strip(), marked_pick(line)
    if not text:
        close_line(desk)
        desk.say("")
        desk.place()
        return
    if pick is None:
        own = desk.work.record is not None and text == str(desk.work.record["no"])
        if own:
            desk.refuse("it is in that record already")
        else:
            refuse_unfound(desk, f"no record '{text}' to move it to")
        return
    prepare(desk, pick.value, str(line.data.get("part")), "")


# -- whether it may -------------------------------------------------------------------------------


def prepare(desk: Desk, target: Target, part_id: str, consent: str, cost: int | None = None) -> None:
    """Everything that speaks against it is said before anything moves; consent is asked where it is due,
    and what of the cost goes with it where there is a cost (``cost`` None: not asked yet)."""
    record = desk.work.record
    part = part_of(record, part_id) if record else None
    if record is None or part is None or desk.work.parcel is None:
        close_line(desk)
        desk.refuse("the part is no longer here")
        return
    head, to = _look(desk, target)
    if to["title"] is None or standing(to).what in LEFT:
        why = "has no title yet" if to["title"] is None else f"is {standing(to).what}"
        desk.refuse(f"record {to['no']} of parcel {target.parcel} {why}: nothing can be moved into it")
        return
    rival = _rival(to, part)
    due = _needs_consent(part, head, to)
    due = due or (rival is not None and _needs_consent(rival, desk.work.parcel.head, record))
    if due and not consent:
        about = "it belongs to a sender: who agreed to the move, and when?"
        open_line(desk, "move-consent", "consent", about=about, part=part_id, where=target._asdict())
        desk.say("")
        return
    if cost is None and (ask := moving_cost.asked(desk, record, part, head, to)) is not None:
        data = {"part": part_id, "where": target._asdict(), "consent": consent, "most": ask.most}
        open_line(desk, "move-cost", ask.label, ask.text, ask.about, replace=True, **data)
        desk.say("")
        return
    close_line(desk)
    _ask(desk, Move(part_id, target, rival["id"] if rival else "", consent, cost or 0), record, part)


def _look(desk: Desk, target: Target) -> tuple[HeadDoc, RecordDoc]:
    """The record it would go to, read only."""
    assert desk.work.parcel is not None
    if target.parcel == desk.work.parcel.id:
        return desk.work.parcel.head, desk.work.parcel.record(target.record)
    other = desk.shop.open_parcel(target.parcel, read_only=True)
    try:
        return other.head, other.record(target.record)
    finally:
        other.close()


def _rival(record: RecordDoc, part: PartDoc) -> PartDoc | None:
    """The part that has the place already: a copy has one cover, one disc 1, one inner 1."""
    kinds = ("cover", "box") if part["kind"] in ("cover", "box") else (part["kind"],)
    if part["kind"] in ("extra", "wrap"):
        return None
    alike = [one for one in record["parts"] if is_here(one) and one["kind"] in kinds]
    return next((one for one in alike if one.get("number", 1) == part.get("number", 1)), None)


def _needs_consent(part: PartDoc, head: HeadDoc, to: RecordDoc) -> bool:
    """A sender's part that would come among what is not that sender's."""
    owner = part.get("owner", "shop")
    bought = (to["terms"] or head["terms"]) == "bought"
    return owner != "shop" and (bought or owner != (head["sender"] or "sender"))


def _take_consent(desk: Desk, line: OpenLine) -> None:
    consent = line.text.strip()
    if not consent:
        desk.refuse("type the sender's consent, or leave with Escape and the part stays")
        return
    prepare(desk, _target_of(line), str(line.data["part"]), consent)


def _target_of(line: OpenLine) -> Target:
    where = line.data["where"]
    return Target(str(where["parcel"]), str(where["record"]), str(where["name"]))


def _take_cost(desk: Desk, line: OpenLine) -> None:
    try:
        cost = moving_cost.read(line.text, desk.currency, line.data.get("most"))
    except ValueError as error:
        desk.refuse(str(error))
        return
    prepare(desk, _target_of(line), str(line.data["part"]), str(line.data["consent"]), cost)


def _ask(desk: Desk, move: Move, record: RecordDoc, part: PartDoc) -> None:
    """Within the parcel it is done, for undo puts it back; a swap, or another parcel, is asked first."""
    far = desk.work.parcel is not None and move.target.parcel != desk.work.parcel.id
    if not far and not move.back:
        make(desk, move)
        return
    about = " ".join(
        filter(
            None,
            (
                f"To {move.target.name}.",
                "It has such a part already; the two will change places." if move.back else "",
                "Undo does not reach across parcels: to undo this, move the part back." if far else "",
                "Both descriptions will say that the copy was assembled."
                if move.back
                else "Its description will say that the copy was assembled.",
            ),
        )
    )
    yes = Choice("m", "they change places" if move.back else "move it", partial(make, desk, move))
    no = Choice("n", "leave both as they are", lambda: desk.say("nothing was moved"))
    desk.open.menu = Menu(
        f"Move {hand.part_name(record, part)} of record {record['no']}?", (yes, no), about, "move"
    )
    desk.place()


# -- doing it -------------------------------------------------------------------------------------


def make(desk: Desk, move: Move) -> None:
    """Move it, and the other one back where they change places; the hand takes what is left."""
    giver, record = desk.work.parcel, desk.work.record
    if giver is None or record is None:
        return
    near = move.target.parcel == giver.id
    receiver = giver if near else desk.shop.open_parcel(move.target.parcel, passing=True)
    try:
        name = hand.part_name(record, _part(record, move.part))
        _carry(desk, move, giver, receiver, record["id"])
    finally:
        if not near:
            receiver.close()
        desk.weighings.forget_counts()
        _hold_what_is_left(desk)
    undo = "undo puts it back" if near and not giver.closed else "to undo it, move it back"
    if near and move.back and not giver.closed:
        undo = "undo twice puts it back"
    what = "changed places with that of" if move.back else "moved to"
    cost = f", {Money(move.cost, desk.currency).show()} of cost with it" if move.cost else ""
    desk.say(f"{name} {what} {move.target.name}{cost}; {undo}", "done")


def _carry(desk: Desk, move: Move, giver: Parcel, receiver: Parcel, from_record: str) -> None:
    to = move.target.record
    cost: MoneyDoc = {"minor": move.cost, "currency": desk.currency}
    move_part(desk.shop, giver, from_record, move.part, receiver, to, move.consent, cost)
    if move.back:
        move_part(desk.shop, receiver, to, move.back, giver, from_record, move.consent)


def _part(record: RecordDoc, part_id: str) -> PartDoc:
    part = part_of(record, part_id)
    if part is None:
        raise BenchError("the part is no longer here", right="look at the record again")
    return part


def _hold_what_is_left(desk: Desk) -> None:
    record = desk.work.record
    if record is None:
        return
    first = next(iter(hand.in_hand_order(record)), None)
    desk.work.taken = [part_id for part_id in desk.work.taken if part_id != desk.work.part_id]
    hand.take(desk, record, first["id"] if first else None)
    desk.place()


LINES["move-part"] = LineKind(_take_target, _picks)
LINES["move-consent"] = LineKind(_take_consent)
LINES["move-cost"] = LineKind(_take_cost)
