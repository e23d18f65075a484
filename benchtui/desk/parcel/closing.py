"""Closing a parcel: what came short or over, and what each record cost, frozen."""

from functools import partial

from benchtui.base.errors import BenchError
from benchtui.desk.core.closed_books import open_day
from benchtui.desk.core.command import command
from benchtui.desk.core.desk import Choice, Desk, Menu
from benchtui.desk.core.needs import unless
from benchtui.desk.parcel.handing_on import write_sender_note
from benchtui.desk.parcel.result import frozen_shares
from benchtui.desk.queue.usual_pace import pace_in_words
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc, why_apart
from benchtui.money.closing import read_closed
from benchtui.money.ledger import shop_entries


def short_or_over(head: HeadDoc, records: list[RecordDoc]) -> list[str]:
    """What came short or over, in sentences fit for the sender. What was taken out of the parcel did not come
    with it, here as in the parcel's report. The dealer reads them too: the list is not called "yours"."""
    entered = [record for record in records if record["state"] != "empty"]
    came = [record for record in entered if record["state"] != "withdrawn"]
    said = []
    if head["expected"] and len(came) != head["expected"]:
        gap = abs(len(came) - head["expected"])
        word = "fewer" if len(came) < head["expected"] else "more"
        said.append(f"{head['expected']} records were expected, {len(came)} came: {gap} {word}.")
    for line in head["list"]:
        if line["record"] is None:
            said.append(f"On the list but not in the parcel: {line['line']}.")
    for record in entered:
        if record["set_apart"] is not None or record["state"] == "withdrawn":
            why = why_apart(record["set_apart"]) or "taken out of the parcel"
            said.append(f"Kept back: {_named(record)}: {why}.")
    ticked = {line["record"] for line in head["list"]}
    if head["list"]:
        for record in came:
            if record["id"] not in ticked and record["title"]:
                said.append(f"In the parcel but not on the list: {_named(record)}.")
    return said


def _named(record: RecordDoc) -> str:
    title = record["title"]
    return ", ".join(filter(None, (title["artist"], title["title"]))) if title else f"record {record['no']}"


def _begun(desk: Desk) -> str:
    """The records that were begun and are not taken in; "" for none."""
    return "; ".join(_named(record) for record in desk.work.records if record["state"] == "started")


def _open_parcel(desk: Desk) -> str:
    return unless(not desk.parcel.closed, "this parcel is closed already")


@command(
    "page-close",
    "page",
    "close the parcel and list what is short or over",
    short="close parcel",
    also="finish end done short over",
    needs=[_open_parcel],
    on=("parcel",),
    offered=60,
    order=870,
)
def ask_close(desk: Desk) -> None:
    parcel, begun = desk.parcel, _begun(desk)
    empty = [record for record in desk.work.records if record["state"] == "empty"]
    said = [
        f"Begun but not taken in; once closed they cannot be: {begun}." if begun else "",
        f"{len(empty)} empty place{'s' if len(empty) > 1 else ''} will be removed." if empty else "",
        " ".join(_gathered(short_or_over(parcel.head, parcel.records))) or "Nothing short, nothing over.",
        "After this, changes are dated corrections.",
    ]
    about = " ".join(filter(None, said))
    desk.open.menu = Menu(
        "Close the parcel?",
        (Choice("1", "close it", partial(close_parcel, desk)), Choice("2", "not yet", lambda: None)),
        about,
        "close",
        kept="the parcel stays open",
    )


def _gathered(said: list[str]) -> list[str]:
    """The same sentences, those that begin alike as one: ``Kept back: this one; that one.``"""
    found: dict[str, list[str]] = {}
    for one in said:
        lead, _, rest = one.removesuffix(".").partition(": ")
        found.setdefault(lead, []).append(rest)
    return [f"{lead}: {'; '.join(rest)}." for lead, rest in found.items()]


def close_parcel(desk: Desk) -> None:
    """Close it, and leave the note for the sender among the exports where something is short or over."""
    parcel = desk.work.parcel
    assert parcel is not None
    shares = frozen_shares(desk)
    kept_back = short_or_over(parcel.head, parcel.records)
    empty = [record for record in desk.work.records if record["state"] == "empty"]
    path = write_sender_note(desk, kept_back) if kept_back else None  # first, as a disk may not take it
    if empty:
        with desk.act("parcel closed: its costs are shared by what came") as change:
            for record in empty:
                change.remove(record["id"])
    parcel.close_parcel(shares=shares)
    short = f"note for the sender: {path}" if path else "nothing short, nothing over"
    begun = _begun(desk)
    left = f"begun but not taken in: {begun}" if begun else ""
    said = filter(None, ("parcel closed", left, short, corrected_by(desk), pace_in_words(desk)))
    desk.say("; ".join(said), "done")
    desk.work.record_id = desk.work.part_id = desk.asking.asked = None
    desk.place()


def corrected_by(desk: Desk) -> str:
    """``5 sales of closed days get corrections, booked on 2026-12-01``: those whose cost moves with the
    parcel's shares; "" for none."""
    parcel, through = desk.work.parcel, str(desk.settings.get("closed_through") or "")
    if parcel is None or not through:
        return ""
    books = [(parcel.head, parcel.records)]
    try:
        mine = [
            one._replace(entries=tuple(entry for entry in one.entries if entry.parcel == parcel.id))
            for one in read_closed(desk.shop.closings())
        ]
        entries = shop_entries(books, desk.shop.senders, desk.settings, mine, desk.today())
    except BenchError:  # `check` and the result say what is wrong
        return ""
    on = open_day(desk.settings, desk.today(), through)
    moved = [one for one in entries if one.corrects and one.day == on and one.kind == "correction"]
    sold = {one.record for one in moved if one.words.get("of", "").startswith("sold of ")}
    if not sold:
        return ""
    count = "1 sale of closed days gets a correction" if len(sold) == 1 else ""
    count = count or f"{len(sold)} sales of closed days get corrections"
    return f"{count}, booked on {on}"
