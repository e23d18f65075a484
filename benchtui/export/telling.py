"""What one column says of one record. Each teller takes the item and the wording and gives plain text."""

import re
from collections.abc import Callable
from pathlib import PureWindowsPath

from benchtui.evidence.names import part_names
from benchtui.evidence.results import PartSpan
from benchtui.export.items import Item
from benchtui.export.readiness import before_sale
from benchtui.export.wording import (
    Wording,
    answer_words,
    each_part,
    grade_text,
    local_day,
    part_name,
)
from benchtui.model.money import Money
from benchtui.model.naming import side_grades
from benchtui.model.record import (
    AFTERWARDS,
    PartDoc,
    RecordDoc,
    is_here,
    parts_of,
    work_left,
)
from benchtui.model.span import Span
from benchtui.money.standings import standing

Teller = Callable[[Item, Wording], str]
PartTeller = Callable[[Item, Wording, PartDoc], str]
BETWEEN = " | "
"""Stands between several entries of one cell; ``; `` stands between parts."""
_ARTICLE = re.compile(r"\bthe (?=(?:disc|cover|box|inner) [0-9])")


def of_record(pick: Callable[[RecordDoc], object]) -> Teller:
    """A teller for something that stands in the record as it is; nothing known is an empty cell."""

    def teller(item: Item, words: Wording) -> str:
        found = pick(item.record)
        return "" if found is None else str(found)

    return teller


def of_title(key: str) -> Teller:
    """A teller for one field of the title."""
    return of_record(lambda record: dict(record["title"] or {}).get(key))


def of_price(key: str) -> Teller:
    """A teller for one field of the asking price."""
    return of_record(lambda record: dict(record["price"] or {}).get(key))


def outer(record: RecordDoc, kind: str) -> list[PartDoc]:
    """The parts of a kind; a box stands where a cover would."""
    return parts_of(record, kind) + (parts_of(record, "box") if kind == "cover" else [])


def of_parts(kind: str, tell: PartTeller) -> Teller:
    """One cell for all parts of a kind: ``VG+`` for one, ``disc 1: VG+; disc 2: VG`` for several."""

    def teller(item: Item, words: Wording) -> str:
        return each_part(item.record, [(part, tell(item, words, part)) for part in outer(item.record, kind)])

    return teller


# Grades, faults, runouts ------------------------------------------------------------------------


def lowest(kind: str) -> Teller:
    """The lowest grade of all parts and sides of a kind: a set is as good as its worst disc."""

    def teller(item: Item, words: Wording) -> str:
        parts = outer(item.record, kind)
        return grade_text(words.lowest(e for part in parts for e in side_grades(part).values()))

    return teller


def arrived(kind: str) -> Teller:
    """The lowest grade as it arrived: claims and disputes hang on it, whatever was done since."""

    def teller(item: Item, words: Wording) -> str:
        events = [event for part in outer(item.record, kind) for event in part["grades"]]
        return grade_text(words.lowest(event for event in events if event["when"] == "arrived"))

    return teller


def grades(item: Item, words: Wording, part: PartDoc) -> str:
    """``A VG+, B VG``; one grade where both sides have it."""
    sides = {side: grade_text(event) for side, event in side_grades(part).items()}
    if len(set(sides.values())) == 1:
        return next(iter(sides.values()))
    return ", ".join(f"{side} {grade}" for side, grade in sides.items())


def graded(item: Item, words: Wording, part: PartDoc) -> str:
    """``arrived``, ``cleaned`` or ``played``: when the lowest grade was given."""
    event = words.lowest(side_grades(part).values())
    return event["when"] if event else ""


def faults(item: Item, words: Wording, part: PartDoc) -> str:
    """Every fault with its measure and place, in the order they were noted."""
    return BETWEEN.join(words.fault_text(fault) for fault in part["faults"])


def runouts(item: Item, words: Wording, part: PartDoc) -> str:
    """``A: DV 341 A/1 | B: DV 341 B/2``; as typed where the full inscription is not known."""
    sides = part.get("sides", {})
    read = {side: doc.get("full") or doc.get("typed") or "" for side, doc in sorted(sides.items())}
    return BETWEEN.join(f"{side}: {text}" for side, text in read.items() if text)


def photographs(record: RecordDoc) -> str:
    """The pictures' files in their order, without the folder."""
    return BETWEEN.join(PureWindowsPath(one["file"]).name for one in record.get("photographs", []))


def ruling(item: Item, words: Wording, part: PartDoc) -> str:
    """The dealer's own word on whether the part belongs, or nothing."""
    return item.record["rulings"].get(part["id"], "")


def material(record: RecordDoc) -> str:
    """Of the discs, each once."""
    return ", ".join(dict.fromkeys(part.get("material", "") for part in parts_of(record, "disc")))


def scales(item: Item, words: Wording) -> str:
    """The scale the grades of the record stand in; several where it was graded under several."""
    events = [event for part in item.record["parts"] for event in part["grades"]]
    return ", ".join(dict.fromkeys(words.scale_name(event["scale"]) for event in events))


def extras(state: str) -> Teller:
    """The names of the extras that are present or not looked for; of parts of any kind that are missing."""

    def teller(item: Item, words: Wording) -> str:
        return BETWEEN.join(part_name(item.record, part) for part in stated(item.record, state))

    return teller


def stated(record: RecordDoc, state: str) -> list[PartDoc]:
    """The extras in that state; a missing cover or inner counts as missing too.

    Where another part has taken its place, as after an upgrade, nothing is missing there.
    """
    parts = [part for part in record["parts"] if not part.get("gone")]
    if state == "missing":
        return [part for part in parts if part.get("state") == "missing" and not _replaced(part, parts)]
    return [part for part in parts if part["kind"] == "extra" and part.get("state", "unknown") == state]


def _replaced(part: PartDoc, parts: list[PartDoc]) -> bool:
    """Whether a part of its kind, number and name came from another record and stands in its place."""
    place = (part["kind"], part.get("number", 1), part.get("name", ""))
    here = [one for one in parts if is_here(one) and one.get("origin")]
    return any((one["kind"], one.get("number", 1), one.get("name", "")) == place for one in here)


# Spans -----------------------------------------------------------------------------


def edtf(span: Span | None) -> str:
    """The span, or "" where nothing is known or its clues contradict each other."""
    return span.edtf() if span else ""


def span_of(kind: str, pick: Callable[[PartSpan], Span | None]) -> Teller:
    """The span of each part of a kind."""

    def teller(item: Item, words: Wording) -> str:
        known = item.weighed.parts if item.weighed else {}
        parts = [part for part in outer(item.record, kind) if part["id"] in known]
        return each_part(item.record, [(part, edtf(pick(known[part["id"]]))) for part in parts])

    return teller


def copy_span(item: Item, words: Wording) -> str:
    """The whole copy: no older than its newest part."""
    return edtf(item.weighed.copy_span.likely) if item.weighed else ""


def copy_date(item: Item, words: Wording) -> str:
    """The months that hold nine tenths of the odds; nothing where no pressing of the title is known."""
    found = item.weighed.copy_date if item.weighed else None
    return found.run.edtf() if found else ""


def dated_by_hand(item: Item, words: Wording) -> str:
    """The dealer's own dating, part by part and of the copy, with how sure and why."""
    names = {part["id"]: part_name(item.record, part) for part in item.record["parts"] if is_here(part)}
    told = [
        f"{names.get(own['part'], 'copy')}: {own['span']} ({own['sure']}) {own['why']}".rstrip()
        for own in item.record.get("dated", ())
        if not own["part"] or own["part"] in names
    ]
    return BETWEEN.join(told)


def clashes(item: Item, words: Wording) -> str:
    """Which clues contradict each other, as the evidence says it."""
    return BETWEEN.join(clash.say for clash in item.weighed.clashes) if item.weighed else ""


def seen(item: Item, words: Wording) -> str:
    """What was seen, part by part; what was copied or predicted is no observation."""
    parts = {part["id"]: part for part in item.record["parts"] if is_here(part)}
    teller = [one for one in item.record["answers"] if one["how"] == "seen" and one["part"] in parts]
    said = [
        f"{part_name(item.record, parts[one['part']])}, {one['place']}: {answer_words(one)}" for one in teller
    ]
    return BETWEEN.join(said)


# Agreement, chores, money, life -----------------------------------------------------------------


def agreement(item: Item, words: Wording) -> str:
    """Every part the evidence says something about. Its sentence begins with the part's name already."""
    said, names = item.weighed.agreement if item.weighed else {}, part_names(item.record)
    teller = [
        (part, said[part["id"]].say.removeprefix(f"{names[part['id']]}: "))
        for part in item.record["parts"]
        if part["id"] in said
    ]
    return BETWEEN.join(
        f"{part_name(item.record, part)}: {_ARTICLE.sub('', say)}" for part, say in teller if say
    )


def assembled(item: Item, words: Wording) -> str:
    """``yes`` when a part was ruled swapped or moved in from another record: never sold as anything else."""
    here = [part for part in item.record["parts"] if is_here(part)]
    moved = any(part.get("origin") for part in here)
    return "yes" if moved or any(ruling(item, words, part) == "swapped" for part in here) else "no"


def ready(item: Item, words: Wording) -> str:
    """``yes`` when nothing is in the way of a sale."""
    return "no" if before_sale(item.record, item.weighed) else "yes"


def chores_open(item: Item, words: Wording) -> str:
    """Work still to do."""
    return BETWEEN.join(chore["what"] for chore in work_left(item.record))


def chores_done(item: Item, words: Wording) -> str:
    """Work done, with the day."""
    done = [
        (chore["what"], chore["done"]) for chore in item.record["chores"] if chore["what"] not in AFTERWARDS
    ]
    return BETWEEN.join(f"{what} {local_day(day) or day}" for what, day in done if day)


def price(item: Item, words: Wording) -> str:
    """The asking price as a plain decimal."""
    asked = item.record["price"]
    return Money(asked["minor"], asked["currency"]).plain() if asked else ""


def life(item: Item, words: Wording) -> str:
    """``in the shop``, ``held``, ``sold``, ``handed back`` or ``scrapped``, as the books have it."""
    now = standing(item.record)
    return "held" if now.held_for else now.what


def shelf(item: Item, words: Wording) -> str:
    """Where it stands, after all its moves."""
    return standing(item.record).shelf


def taken_in(item: Item, words: Wording) -> str:
    """The day it was taken in, on the dealer's clock."""
    return item.taken_in.isoformat() if item.taken_in else ""
