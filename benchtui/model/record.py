"""The record: one item of a parcel's queue, as the JSON document the store keeps.

Documents are plain dictionaries typed by ``TypedDict``, because the store, the
history and the exports all work on the same JSON; values that are computed with
(money, spans, grades) become frozen dataclasses at the border.
"""

import secrets
from typing import Any, Literal, NotRequired, TypedDict

from benchtui.model.custody import CustodyDoc
from benchtui.model.earlier import EarlierDoc
from benchtui.model.listening import ListeningDoc
from benchtui.model.listing import ListingDoc
from benchtui.model.post import PostDoc

PartKind = Literal["disc", "cover", "box", "inner", "wrap", "extra"]
PART_KINDS: tuple[PartKind, ...] = ("disc", "cover", "box", "inner", "wrap", "extra")
Seen = Literal["seen", "copied", "predicted"]
ExtraState = Literal["present", "missing", "unknown"]
RecordState = Literal["empty", "started", "taken-in", "withdrawn"]
Ruling = Literal["own", "swapped", "unsure"]
BOX_HALVES = ("base", "lid")


class MoneyDoc(TypedDict):
    """An amount in minor units of an ISO 4217 currency."""

    minor: int
    currency: str


class PriceDoc(MoneyDoc):
    """The asking price and how it came about."""

    how: Literal["hand", "worked"]


class SideDoc(TypedDict, total=False):
    """One side's runout: as typed, in full, and what was read out of it."""

    typed: str
    full: str
    cut: str
    mother: str
    stamper: str


class HeardDoc(TypedDict):
    """What a play test heard at one position of the side: ticks counted, and the noise in words."""

    position: str
    ticks: str
    noise: str


class GradeDoc(TypedDict):
    """A grade is a dated event of one part; discs may carry one a side (``side``: "" is the whole part).

    ``heard`` and ``stylus`` belong to ``played``: nothing heard is an empty list, no list is no notes.
    """

    when: Literal["arrived", "cleaned", "played"]
    side: str
    grade: str
    shade: Literal["", "+", "-"]
    scale: str
    at: str
    note: NotRequired[str]
    heard: NotRequired[list[HeardDoc]]
    stylus: NotRequired[str]


class FaultDoc(TypedDict):
    """A named defect: ids from the fault list; ``amount`` where the severity is measured (cm, ticks)."""

    fault: str
    severity: str
    place: str
    amount: NotRequired[str | None]
    note: NotRequired[str]
    at: str


class PartDoc(TypedDict):
    """What can be swapped for another: a disc, the cover, an inner, a wrap, one of the extras."""

    id: str
    kind: PartKind
    origin: NotRequired[dict[str, Any] | None]
    owner: NotRequired[str]
    material: NotRequired[str]
    number: NotRequired[int]
    sides: NotRequired[dict[str, SideDoc]]
    grades: list[GradeDoc]
    faults: list[FaultDoc]
    name: NotRequired[str]
    expected: NotRequired[bool]
    state: NotRequired[ExtraState]
    sound: NotRequired[list[str]]
    gone: NotRequired[dict[str, Any] | None]


class AnswerDoc(TypedDict):
    """An answer to a clue about one place of one part. Ids, never digits.

    ``also``: what it may be instead, where two or more could not be told apart ("gold or silver").
    """

    part: str
    place: str
    clue: str
    answer: str
    value: Any
    how: Seen
    text: str
    book: str
    at: str
    also: NotRequired[list[str]]


class DatedDoc(TypedDict):
    """The dealer's own dating of a part, or (``part``: "") of the whole copy; ``span`` is EDTF."""

    part: str
    span: str
    sure: Literal["firm", "soft"]
    why: str
    at: str


class TitleRef(TypedDict):
    """The title as the record knows it: enough to stand alone if every list is lost."""

    id: str
    artist: str
    title: str
    catalogue: str
    first: NotRequired[str]
    company: NotRequired[str]
    country: NotRequired[str]
    book: NotRequired[str]


class PressingRef(TypedDict):
    """What the record is called: nothing yet, the leader at take-in, or the dealer's own choice.

    ``because``: what made the dealer sure, where the evidence said otherwise. ``bench``: what the bench
    thought when the dealer chose (evidence/witness.py). ``catalogue``: the pressing's own number, where it
    was settled or chosen and the book has one.
    """

    id: str | None
    how: Literal["open", "leader", "hand"]
    p: float | None
    learn: bool
    name: NotRequired[str]
    catalogue: NotRequired[str]
    doubted: NotRequired[list[str]]
    because: NotRequired[str]
    untaught: NotRequired[bool]
    bench: NotRequired[dict[str, Any]]


class ChoreDoc(TypedDict):
    """Work still to do; ``done`` is the day it was done, ``due`` the day it is wanted by, ``fault`` the id of
    the fault that called for it.
    """

    id: str
    what: str
    part: str
    note: str
    by: Literal["key", "rule"]
    at: str
    done: str | None
    fault: NotRequired[str]
    due: NotRequired[str]


QUESTION, TAKE_DOWN = "answer a question", "take down"
PACK, ARRIVED, CLAIM = "pack and send", "see that it arrived", "claim from the carrier"
PICTURES, ASK_OWNER, REMIND = "photograph the rest", "ask the owner", "remember"
FIND_OUT = "find out"
AFTERWARDS = (QUESTION, TAKE_DOWN, PACK, ARRIVED, CLAIM, PICTURES, ASK_OWNER, REMIND, FIND_OUT)
"""Chores of what comes after the bench: they keep no record from being sold, and stand in no export that
leaves the house.
"""


class QuestionDoc(TypedDict):
    """What a buyer asked about the record; ``answered`` is the day, ``chore`` the id of its work."""

    id: str
    at: str
    who: str
    what: str
    answer: str
    answered: str | None
    chore: str


class CameBackDoc(TypedDict):
    """A copy that came back: its runouts as ``typed``, the sides ``unlike`` what went out, in words."""

    at: str
    typed: str
    unlike: list[str]


class PhotographDoc(TypedDict):
    """A picture of the record: SHA-256 of the ``file``, where it lay, and which of the shot list it is.

    ``part``, ``side``: what it shows; ``clue`` at ``place``: the answer it shows ("this is the mark").
    """

    digest: str
    file: str
    shot: str
    at: str
    part: NotRequired[str]
    side: NotRequired[str]
    place: NotRequired[str]
    clue: NotRequired[str]


class SetApartDoc(TypedDict):
    """Kept from stock and from every outgoing file; ``clue`` or ``fault`` is the id of what showed it."""

    why: str
    note: str
    at: str
    clue: NotRequired[str]
    fault: NotRequired[str]


NOT_BY_COMPANY = "not by the company"
_OLD_WORDS = {"unofficial": NOT_BY_COMPANY}


def why_apart(apart: SetApartDoc | None) -> str:
    """Why a record is set apart, "" where it is not; a word that older files hold is read as today's."""
    return _OLD_WORDS.get(apart["why"], apart["why"]) if apart else ""


class GuessDoc(TypedDict):
    """A pressing guessed before the cover was opened, and the one that led on the ``bench`` then."""

    id: str
    name: str
    bench: str | None


class RightDoc(TypedDict):
    """Of ``n`` guesses, how many of yours and of the bench's were right."""

    n: int
    you: int
    bench: int


class RecordDoc(TypedDict):
    """One item of the queue; ``no`` is its place, ``id`` never changes.

    ``cost_moved``: cost that went with a part, each ``at part minor currency`` and [parcel, record] it went
    ``to`` or came ``from``; kept on both records. ``free``: gift, find or bonus, it cost nothing.
    ``earlier``: what its facts about money were before.
    """

    id: str
    no: int
    state: RecordState
    stock: str | None
    terms: Literal["bought", "consigned"] | None
    title: TitleRef | None
    channels: str
    size_in: int | None
    anchor: str | None
    parts: list[PartDoc]
    answers: list[AnswerDoc]
    pressing: PressingRef
    rulings: dict[str, Ruling]
    looked: list[dict[str, Any]]
    chores: list[ChoreDoc]
    set_apart: SetApartDoc | None
    price: PriceDoc | None
    note: str
    life: list[dict[str, Any]]
    started_at: NotRequired[str | None]
    taken_in_at: NotRequired[str | None]
    description: NotRequired[dict[str, Any] | None]
    shelf: NotRequired[str]
    reserve: NotRequired[MoneyDoc | None]
    cost_by_hand: NotRequired[MoneyDoc | None]
    cost_moved: NotRequired[list[dict[str, Any]]]
    margin_eligible: NotRequired[bool | None]
    margin_why: NotRequired[str]
    waived: NotRequired[list[list[str]]]
    photographs: NotRequired[list[PhotographDoc]]
    listing: NotRequired[list[ListingDoc]]
    post: NotRequired[list[PostDoc]]
    custody: NotRequired[list[CustodyDoc]]
    listening: NotRequired[list[ListeningDoc]]
    questions: NotRequired[list[QuestionDoc]]
    came_back: NotRequired[list[CameBackDoc]]
    consignor: NotRequired[str | None]
    worked: NotRequired[MoneyDoc | None]
    dated: NotRequired[list[DatedDoc]]
    free: NotRequired[str]
    earlier: NotRequired[list[EarlierDoc]]
    guess: NotRequired[GuessDoc]


def guess_right(record: RecordDoc) -> RightDoc | None:
    """Whether the guess at its pressing was right, and the bench's of that moment; None where there is none,
    or the record is not called anything yet.
    """
    guess, called = record.get("guess"), record["pressing"]
    if guess is None or called["id"] is None or record["state"] != "taken-in":
        return None
    return {"n": 1, "you": int(guess["id"] == called["id"]), "bench": int(guess["bench"] == called["id"])}


def new_id(prefix: str, size: int = 4) -> str:
    """A fresh text id such as ``r-7f3a0c1d``: ours, since TinyDB's own ids are used again after a delete."""
    return f"{prefix}-{secrets.token_hex(size)}"


def empty_record(no: int) -> RecordDoc:
    """A place in the queue of which nothing is known yet."""
    return {
        "id": new_id("r"),
        "no": no,
        "state": "empty",
        "stock": None,
        "terms": None,
        "title": None,
        "channels": "",
        "size_in": None,
        "anchor": None,
        "parts": [],
        "answers": [],
        "pressing": not_called(),
        "rulings": {},
        "looked": [],
        "chores": [],
        "set_apart": None,
        "price": None,
        "note": "",
        "life": [],
    }


def new_part(kind: PartKind, owner: str = "shop", **fields: Any) -> PartDoc:
    """A part with an identity of its own; ``number`` counts discs and inners from 1."""
    part: PartDoc = {
        "id": new_id("p"),
        "kind": kind,
        "origin": None,
        "owner": owner,
        "grades": [],
        "faults": [],
    }
    if kind == "disc":
        part["material"] = "vinyl"
        part["sides"] = {}
    part.update(fields)  # type: ignore[typeddict-item]
    return part


def part_of(record: RecordDoc, part_id: str | None) -> PartDoc | None:
    """The record's part of that id, or None."""
    return next((part for part in record["parts"] if part["id"] == part_id), None)


def is_here(part: PartDoc) -> bool:
    """Whether the part came with the record and is still with it (neither missing nor moved away)."""
    return not part.get("gone") and part.get("state") != "missing"


def parts_of(record: RecordDoc, kind: str) -> list[PartDoc]:
    """The record's parts of one kind that are really there, in their order."""
    return [part for part in record["parts"] if part["kind"] == kind and is_here(part)]


def not_called() -> PressingRef:
    """What a record is called of which nothing follows yet."""
    return {"id": None, "how": "open", "p": None, "learn": False}


def called_by_hand(pressing: str | None, name: str, catalogue: str, p: float | None) -> PressingRef:
    """What the dealer calls a record: a pressing of the books, or None, none of them, which teaches nothing.

    ``p``: what the odds said of it.
    """
    learn = pressing is not None
    said: PressingRef = {"id": pressing, "how": "hand", "p": p, "learn": learn, "name": name}
    return {**said, "catalogue": catalogue} if catalogue else said


def catalogue_of(record: RecordDoc) -> str:
    """The number that the copy bears: its pressing's own where that is known, else the title's."""
    own = "" if record["pressing"]["how"] == "open" else record["pressing"].get("catalogue", "")
    title = record["title"]
    return own or (title["catalogue"] if title is not None else "")


def is_touched(record: RecordDoc, part: PartDoc) -> bool:
    """Whether the dealer has said anything of the part yet."""
    if part["grades"] or part["faults"] or part.get("state") in ("present", "missing") or part.get("sides"):
        return True
    return any(answer["part"] == part["id"] and answer["how"] == "seen" for answer in record["answers"])


def is_looked_at(record: RecordDoc) -> bool:
    """Whether anything was seen on any part of it: an answer, or a runout written down."""
    seen = any(answer["how"] == "seen" for answer in record["answers"])
    return seen or any(part.get("sides") for part in record["parts"])


def anchor_of(record: RecordDoc) -> PartDoc | None:
    """The part that decides what the record is: the chosen one, else disc 1, else the first part there is."""
    chosen = part_of(record, record["anchor"])
    if chosen is not None and is_here(chosen):
        return chosen
    here = parts_of(record, "disc") or [part for part in record["parts"] if is_here(part)]
    return here[0] if here else None


def sides_of(disc: PartDoc) -> tuple[str, str]:
    """The two side letters of a disc: A and B for the first, C and D for the second ..."""
    first = 2 * (disc.get("number", 1) - 1)
    return chr(ord("A") + first), chr(ord("A") + first + 1)


def work_left(record: RecordDoc) -> list[ChoreDoc]:
    """The chores to be done before it can be sold; a question to answer keeps it from nobody."""
    return [chore for chore in record["chores"] if not chore["done"] and chore["what"] not in AFTERWARDS]


def halves_of(part: PartDoc) -> tuple[str, ...]:
    """What of a part is graded by itself beside the whole: a disc's sides, a box's base and lid."""
    if part["kind"] == "disc":
        return sides_of(part)
    return BOX_HALVES if part["kind"] == "box" else ()


def ungraded_half(part: PartDoc) -> str:
    """The half that has no grade of a part whose other half has one; "" where it has one as a whole too."""
    graded = {event["side"] for event in part["grades"]}
    if not graded or "" in graded:
        return ""
    return next((half for half in halves_of(part) if half not in graded), "")


def half_words(half: str) -> str:
    """``side A``, ``base``: as it is said after the part's name; "" for the whole part."""
    return f"side {half}" if len(half) == 1 else half


def answer_ids(answer: AnswerDoc) -> tuple[str, ...]:
    """What it says: one answer, or those that could not be told apart."""
    return (answer["answer"], *answer.get("also", ()))


def answer_to(record: RecordDoc, part_id: str, place: str, clue: str) -> AnswerDoc | None:
    """The one answer that may stand at that part, place and clue."""
    for answer in record["answers"]:
        if (answer["part"], answer["place"], answer["clue"]) == (part_id, place, clue):
            return answer
    return None


def latest_grade(part: PartDoc, side: str = "") -> GradeDoc | None:
    """The last grade given to the part (or to that side of it)."""
    events = [event for event in part["grades"] if event["side"] == side]
    return events[-1] if events else None
