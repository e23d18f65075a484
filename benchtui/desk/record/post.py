"""Out by post, entered on the record's page: packed, sent, arrived, or lost and claimed."""

from datetime import date, timedelta
from typing import Any, cast

from benchtui.books.cautions import said
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.every_parcel import all_parcels
from benchtui.desk.core.keeping import exports
from benchtui.desk.core.needs import is_sold
from benchtui.desk.record.steps import Step, Typed, keep_steps, step_choices
from benchtui.export.files import write_whole
from benchtui.export.packing import packing_slips, sold_with
from benchtui.model.chores import add_chore, finish_all
from benchtui.model.filename import plain_name
from benchtui.model.post import PostDoc
from benchtui.model.record import ARRIVED, CLAIM, PACK, RecordDoc

SHOULD_ARRIVE = 14
"""Days after which it is asked whether it came, where no day was named: a guess, no carrier's word."""


def _add(record: RecordDoc, typed: Typed, what: str, **fields: Any) -> None:
    kept = {name: value for name, value in fields.items() if value not in (None, "")}
    step = cast(PostDoc, {"at": typed.on, "what": what, **kept})
    record["post"] = [*record.get("post", []), step]


def _packed(record: RecordDoc, typed: Typed) -> None:
    how, outside, weight, _ = typed.cells
    words = {"y": True, "yes": True, "n": False, "no": False, "": None}
    if outside.casefold() not in words:
        raise ValueError(f"'{outside}': is the disc outside its cover? y or n")
    grams = weight.casefold().removesuffix("g").strip()
    if grams and not (grams.isdecimal() and 0 < int(grams) < 100_000):
        raise ValueError(f"'{weight}' is not a weight: write it in grams, such as 410")
    if not any(typed.cells):
        raise ValueError(STEPS["packed"].about)
    insured: Any = typed.amount(3) or {}
    _add(
        record, typed, "packed", note=how, outside=words[outside.casefold()],
        weight_g=int(grams) if grams else None, **insured,
    )  # fmt: skip


def _sent(record: RecordDoc, typed: Typed) -> None:
    carrier, tracking, _ = typed.cells
    if not carrier:
        raise ValueError(f"which carrier? {STEPS['sent'].about}")
    by = typed.day(2) or (date.fromisoformat(typed.on) + timedelta(days=SHOULD_ARRIVE)).isoformat()
    _add(record, typed, "sent", carrier=carrier, tracking=tracking, until=by)
    finish_all(record, PACK, typed.on)
    add_chore(record, ARRIVED, typed.now, " ".join(filter(None, (carrier, tracking))), due=by)


def _arrived(record: RecordDoc, typed: Typed) -> None:
    _add(record, typed, "arrived", note=typed.cells[0])
    finish_all(record, ARRIVED, typed.on)


def _lost(record: RecordDoc, typed: Typed, what: str = "lost") -> None:
    note, _ = typed.cells
    until = typed.day(1)
    if not note:
        raise ValueError(STEPS[what].about)
    _add(record, typed, what, note=note, until=until)
    finish_all(record, ARRIVED, typed.on)
    add_chore(record, CLAIM, typed.now, f"{what}: {said('claims')}", due=until)


def _damaged(record: RecordDoc, typed: Typed) -> None:
    _lost(record, typed, "damaged")


def _claimed(record: RecordDoc, typed: Typed) -> None:
    _add(record, typed, "claimed", note=typed.cells[0])
    finish_all(record, CLAIM, typed.on)


def _settled(record: RecordDoc, typed: Typed) -> None:
    paid: Any = typed.amount(0)
    if paid is None:
        raise ValueError(f"what did the carrier pay? {STEPS['settled'].about}")
    _add(record, typed, "settled", note=typed.cells[1], **paid)
    finish_all(record, CLAIM, typed.on)


STEPS = {
    "packed": Step(
        "packed", "how; disc outside its cover, y or n; grams; insured for; day: two boards; y; 410; 30", 4,
        "packed", _packed,
    ),
    "sent": Step(
        "sent", "carrier; tracking; should be there by; day: Harbour Post; HP 118; +6", 3, "sent", _sent
    ),
    "arrived": Step("arrived", "what the buyer says; day: arrived well; yesterday", 1, "arrived", _arrived),
    "lost": Step(
        "lost", f"what is known; claim by; day: not there after 20 days; +10; {said('claims')}", 2,
        "lost on its way", _lost,
    ),
    "damaged": Step(
        "damaged", f"what is damaged; claim by; day: corner crushed; +7; {said('claims')}", 2,
        "damaged on its way", _damaged,
    ),
    "claimed": Step("claimed from the carrier", "reference; day: claim 44-1", 1, "claimed", _claimed),
    "settled": Step(
        "the carrier paid", "amount; what was said; day: 24.00; in full. It is not entered in the books", 2,
        "settled by the carrier", _settled,
    ),
}  # fmt: skip


@command(
    "record-post",
    "page",
    "out by post: packed, sent, arrived, lost or damaged, claimed; packing slip",
    short="post",
    also="mail ship send packed shipment tracking arrived claim insured weight packing slip parcel carrier",
    on=("record",),
    order=1179,
)
def open_post(desk: Desk) -> None:
    slip = Choice("s", "write the packing slip of its sale, to be printed", lambda: write_slip(desk))
    desk.open.menu = Menu("Out by post", (*step_choices(desk, "post", STEPS), slip), name="post")


def write_slip(desk: Desk) -> None:
    """The packing slip of the sale the record is in, with all that was sold with it."""
    desk.open.menu = None
    record, parcel = desk.work.record, desk.work.parcel
    if record is None or parcel is None:
        return
    if reason := is_sold(desk):
        desk.refuse(f"no packing slip: {reason}")
        return
    path = exports(desk) / f"packing-{plain_name(record['stock'] or record['id'])}.html"
    mine = sold_with(record, all_parcels(desk))
    write_whole(path, packing_slips([mine], desk.settings))
    count = "1 record" if len(mine) == 1 else f"{len(mine)} records"
    desk.say(f"packing slip of {count} written: {path}", "done")


keep_steps("post", STEPS)
