"""Work still to do, over all parcels: a list for the bench, with the caution that goes with each.

The list stays in the house, so that records set apart are on it too, with the reason: mould is work as well.
"""

from collections.abc import Iterable, Iterator

from benchtui.books.cautions import said_at
from benchtui.export.items import Item
from benchtui.export.shots import shots
from benchtui.export.table import Column, Table, table_of
from benchtui.export.telling import BETWEEN
from benchtui.export.wording import Wording, local_day, part_name
from benchtui.model.record import ChoreDoc, PartDoc, RecordDoc, is_here, new_id, part_of, why_apart
from benchtui.money.standings import standing

COLUMNS = (
    Column("stock_number", "text", "the shop's own number; empty until the record is taken in"),
    Column("stock_shelf", "text", "the shelf place"),
    Column("parcel_id", "text", "the parcel it came in"),
    Column("parcel_place", "number", "its place in that parcel's queue now; stock_number is what stays"),
    Column("title_artist", "text", "artist"),
    Column("title_name", "text", "title"),
    Column("chore_what", "text", "clean, repair, play-test, photograph, find an insert ..."),
    Column("chore_part", "text", "which part; empty for the whole record"),
    Column("chore_note", "text", "the dealer's note"),
    Column("chore_by", "text", "key: you put it on the list; rule: a fault did"),
    Column("chore_since", "text", "the day it was put on the list"),
    Column("chore_due", "text", "the day it is wanted by, where one was named"),
    Column("chore_caution", "text", "cautions; the product's own safety sheet comes first"),
    Column("chore_apart", "text", "why the record is set apart, if it is"),
    Column("chore_shots", "text", "for photographs: file names in the order to take them"),
)


def chores(items: Iterable[Item], wording: Wording | None = None) -> Table:
    """Every chore not done of every record still in the queue, oldest first."""
    words = wording or Wording()
    rows = [
        _row(item, chore, words)
        for item in items
        if item.record["state"] != "withdrawn"
        for chore in item.record["chores"]
        if not chore["done"]
    ]
    return table_of(COLUMNS, sorted(rows, key=lambda row: (row["chore_since"], row["stock_number"])))


def by_rule(record: RecordDoc, words: Wording, at: str) -> list[ChoreDoc]:
    """The chores that the record's faults and wraps call for and that are not on its list yet, done or not.

    A wrap is photographed before anything is removed: evidence, value and fault in one.
    """
    listed = {(chore["what"], chore["part"]) for chore in record["chores"]}
    made: list[ChoreDoc] = []
    for part in filter(is_here, record["parts"]):
        for what, note, fault in _called_for(part, words):
            if (what, part["id"]) not in listed:
                listed.add((what, part["id"]))
                made.append(_made(what, part["id"], note, fault, at))
    return made


def _called_for(part: PartDoc, words: Wording) -> Iterator[tuple[str, str, str]]:
    """What work a part calls for, why, and the id of the fault, "" where it is none."""
    if part["kind"] == "wrap":
        yield "photograph", "before anything is removed", ""
    for doc in part["faults"]:
        fault = words.faults.get(doc["fault"])
        if fault is not None and (work := fault.work(doc["severity"])):
            yield work, words.fault_text(doc), fault.id


def _made(what: str, part_id: str, note: str, fault: str, at: str) -> ChoreDoc:
    made: ChoreDoc = {
        "id": new_id("h"),
        "what": what,
        "part": part_id,
        "note": note,
        "by": "rule",
        "at": at,
        "done": None,
    }
    if fault:
        made["fault"] = fault
    return made


def caution(record: RecordDoc, chore: ChoreDoc, words: Wording) -> str:
    """What to mind at a chore: of the part's faults and material, of the work, of why it is set apart."""
    return "; ".join(_minded(record, chore, words))


def to_mind(record: RecordDoc, words: Wording) -> str:
    """What to mind whenever the record is taken up, and at each chore still to do: for its slip."""
    here = filter(is_here, record["parts"])
    found = list(said_at("", here, words.faults, why_apart(record["set_apart"])))
    for chore in record["chores"]:
        if not chore["done"]:
            found += _minded(record, chore, words)
    return "; ".join(dict.fromkeys(found))


def _minded(record: RecordDoc, chore: ChoreDoc, words: Wording) -> tuple[str, ...]:
    part = part_of(record, chore["part"])
    parts = [part] if part else [one for one in record["parts"] if is_here(one)]
    return said_at(chore["what"], parts, words.faults, why_apart(record["set_apart"]))


def _row(item: Item, chore: ChoreDoc, words: Wording) -> dict[str, str]:
    record, since = item.record, local_day(chore["at"])
    part = part_of(record, chore["part"])
    title = record["title"]
    apart = record["set_apart"]
    names = [shot.file for shot in shots(item, words)] if chore["what"] == "photograph" else []
    return {
        "stock_number": item.stock,
        "stock_shelf": standing(record).shelf,
        "parcel_id": item.head["id"],
        "parcel_place": str(record["no"]),
        "title_artist": title["artist"] if title else "",
        "title_name": title["title"] if title else "",
        "chore_what": chore["what"],
        "chore_part": part_name(record, part) if part else "",
        "chore_note": chore["note"],
        "chore_by": chore["by"],
        "chore_since": since.isoformat() if since else "",
        "chore_due": chore.get("due", ""),
        "chore_caution": caution(record, chore, words),
        "chore_apart": why_apart(apart),
        "chore_shots": BETWEEN.join(names),
    }
