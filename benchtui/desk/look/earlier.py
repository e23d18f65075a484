"""The copies of a title that the shop had before: what they were, and what came of them."""

from datetime import date
from functools import partial
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.joins import all_ids
from benchtui.books.passed_on import pressing_of, said_now
from benchtui.desk.core.command import Legend, command
from benchtui.desk.core.desk import Choice, Desk, Menu, Page
from benchtui.desk.core.needs import title_known
from benchtui.desk.hand import prices
from benchtui.model.earlier import local_day
from benchtui.model.money import Money
from benchtui.model.naming import grades_of, part_name
from benchtui.model.record import AnswerDoc, RecordDoc, TitleRef, part_of
from benchtui.money.standings import Standing, effective, standing

MOST = 40
"""So many are shown, those of the same pressing first, then the latest."""


class Earlier(NamedTuple):
    """One copy the shop had. ``now``: where it stands, None where its life cannot be read; ``days`` from the
    shelf to the last sale; ``same``: it was taken for the same pressing.
    """

    parcel: str
    record: RecordDoc
    grades: str
    runouts: str
    pressing: str
    asked: str
    now: Standing | None
    days: int | None
    same: bool


def earlier_copies(desk: Desk) -> list[Earlier]:
    """Every other record of the title on the bench; a parcel that cannot be read is left out.

    Kept with the open page, so that moving the mark reads no file.
    """
    page, record = desk.open.page, desk.work.record
    if page is None or record is None or record["title"] is None:
        return []
    if page.data.get("of") != record["id"] or "copies" not in page.data:
        page.data["of"], page.data["copies"] = record["id"], _read(desk, record)
    found: list[Earlier] = page.data["copies"]
    return found


def _read(desk: Desk, here: RecordDoc) -> list[Earlier]:
    assert here["title"] is not None
    wanted: dict[str, set[str]] = {}
    for artist, title in _spellings(desk, here["title"]):
        for parcel_id, record_id in desk.shop.records_of_title(artist, title):
            wanted.setdefault(parcel_id, set()).add(record_id)
    found = []
    for parcel_id, ids in wanted.items():
        found += [
            _earlier(desk, parcel_id, record, here)
            for record in _records(desk, parcel_id)
            if record["id"] in ids and record["id"] != here["id"] and record["parts"]
        ]
    found.sort(key=lambda one: (one.same, one.parcel, one.record["no"]), reverse=True)
    return found[:MOST]


def _spellings(desk: Desk, ref: TitleRef) -> list[tuple[str, str]]:
    """Artist and title as the record has them, and as those have them that were joined to it."""
    others = (desk.finder.by_id(one) for one in all_ids(desk.library.joins, ref["id"]))
    named = [(one.artist, one.title) for one in others if one is not None]
    return list(dict.fromkeys([(ref["artist"], ref["title"]), *named]))


def _records(desk: Desk, parcel_id: str) -> list[RecordDoc]:
    if desk.work.parcel is not None and desk.work.parcel.id == parcel_id:
        return list(desk.work.parcel.records)
    try:
        parcel = desk.shop.open_parcel(parcel_id, read_only=True)
    except BenchError:
        return []
    try:
        return list(parcel.records)
    finally:
        parcel.close()


def _earlier(desk: Desk, parcel_id: str, record: RecordDoc, here: RecordDoc) -> Earlier:
    try:
        now = standing(record)
    except BenchError:
        now = None
    price = record["price"]
    pressing = _now(desk, record)
    return Earlier(
        parcel_id,
        record,
        grades_of(record),
        runouts_of(record),
        pressing_name(desk, record),
        Money(price["minor"], price["currency"]).show() if price else "",
        now,
        _days(record),
        pressing is not None and pressing == _now(desk, here),
    )


def _now(desk: Desk, record: RecordDoc) -> str | None:
    """The pressing it is of: that which it names, or the one which that passed to."""
    known = desk.library.title(record["title"]["id"]) if record["title"] else None
    found = pressing_of(known, record["pressing"]["id"])
    return found.id if found else record["pressing"]["id"]


def pressing_name(desk: Desk, record: RecordDoc) -> str:
    """The name of the pressing the record was taken for; "" where it was left open."""
    known = desk.library.title(record["title"]["id"]) if record["title"] else None
    chosen = record["pressing"]["id"]
    found = pressing_of(known, chosen)
    return found.name if found else str(chosen or "")


def runouts_of(record: RecordDoc) -> str:
    """``DV 341 A/1 | DV 341 B/2``: of every disc, in full where that is known, else as typed."""
    read = [
        str(side.get("full") or side.get("typed") or "")
        for part in record["parts"]
        for _, side in sorted(part.get("sides", {}).items())
    ]
    return " | ".join(one for one in read if one)


def _days(record: RecordDoc) -> int | None:
    """From the day it was taken in to that of the last sale, both on the dealer's calendar."""
    try:
        sold = [event["at"] for event in effective(record) if event["what"] == "sold"]
        came = local_day(str(record["taken_in_at"]))
        return (date.fromisoformat(sold[-1][:10]) - date.fromisoformat(came)).days
    except (BenchError, IndexError, KeyError, ValueError):
        return None


def differences(desk: Desk, here: RecordDoc, other: RecordDoc) -> list[tuple[str, str, str]]:
    """What the two copies say differently: part and question, the answer here, the answer there.

    Runouts first, then the clues that both were asked, in the order of this record's answers.
    """
    mine, theirs = runouts_of(here), runouts_of(other)
    found = [("runouts", mine, theirs)] if mine and theirs and mine.casefold() != theirs.casefold() else []
    there = {_about(other, answer): answer for answer in said_now(other, desk.library.clue)["answers"]}
    for answer in said_now(here, desk.library.clue)["answers"]:
        beside = there.get(_about(here, answer))
        if beside is not None and answer["text"] != beside["text"]:
            found.append((_asked(desk, here, answer), answer["text"], beside["text"]))
    return found


def _about(record: RecordDoc, answer: AnswerDoc) -> tuple[str, str, str]:
    """Part, place and clue: the same of any two copies."""
    part = part_of(record, answer["part"])
    return part_name(record, part) if part else "", answer["place"], answer["clue"]


def _asked(desk: Desk, record: RecordDoc, answer: AnswerDoc) -> str:
    part, place, clue_id = _about(record, answer)
    clue = desk.library.clue(clue_id)
    return f"{part}, {place}: {clue.ask if clue else clue_id}"


@command(
    "copies",
    "bench",
    "the copies of this title that the shop had before",
    short="earlier copies",
    group="Record",
    also="earlier copies history sold before compare same pressing",
    legend=Legend(record=205),
    needs=[title_known],
    changes="nothing",
    offered=175,
    order=247,
)
def open_copies(desk: Desk) -> None:
    """The page of earlier copies; where the shop had none that is said instead."""
    desk.open.page = Page("copies")
    if not earlier_copies(desk):
        desk.open.page = None
        desk.say("the shop had no other copy of this title")


def marked(desk: Desk) -> Earlier | None:
    """The copy that is marked on the page."""
    return desk.open.marked_of(earlier_copies(desk))


def as_that_one(desk: Desk) -> None:
    """What can be taken over from the marked copy: its price, its note."""
    other = marked(desk)
    if other is None:
        return
    choices = []
    if other.record["price"]:
        choices.append(Choice("1", f"its price, {other.asked}", partial(_take_price, desk, other)))
    if other.record["note"].strip():
        choices.append(Choice("2", f"its note: {other.record['note']}", partial(_take_note, desk, other)))
    if not choices:
        desk.refuse("that copy has neither a price nor a note to take over")
        return
    desk.open.menu = Menu(f"As {other.record['stock'] or 'that one'}", tuple(choices), name="as-that-one")


def _take_price(desk: Desk, other: Earlier) -> None:
    record, price = desk.work.record, other.record["price"]
    assert record is not None
    assert price is not None
    desk.open.menu = None
    if price["currency"] != desk.currency:
        desk.refuse(f"its price is in {price['currency']}, prices here are in {desk.currency}")
        return
    prices.set_price(desk, record, Money(price["minor"], price["currency"]), "hand")


def _take_note(desk: Desk, other: Earlier) -> None:
    record = desk.work.record
    assert record is not None
    desk.open.menu = None
    with desk.act(f"record {record['no']}: note as {other.record['stock'] or 'an earlier copy'}") as change:
        desk.changed(change)["note"] = other.record["note"]
    desk.say("the note is taken over", "done")
