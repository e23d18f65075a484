"""What was seen on a record: which answers count and what each says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from benchtui.books.shape import Answer, BookTitle, Clue
from benchtui.evidence.either import union
from benchtui.evidence.reference import Reference
from benchtui.evidence.runout import EITHER, read_runout
from benchtui.evidence.same_runout import whole_runout
from benchtui.model.record import (
    AnswerDoc,
    DatedDoc,
    PartDoc,
    RecordDoc,
    anchor_of,
    answer_ids,
    is_here,
    sides_of,
)
from benchtui.model.span import Span, dated_text, hull, parse_dated, parse_edtf

BY_HAND, COPY_BY_HAND = "by-you", "by-you-copy"
"""The dealer's own dating, of a part and of the whole copy, where other answers have the id of their clue."""


class Mark(NamedTuple):
    """One answer that counts. ``answers``: one, or the two brackets a number lies between, or (``either``)
    those that could not be told apart.

    ``clue`` may stand in for the book's own where the answer carries its bound itself (advertised titles).
    """

    place: str
    clue: Clue
    answers: tuple[Answer, ...]
    doc: AnswerDoc
    either: bool = False

    @property
    def bound(self) -> Answer | None:
        """The answer whose bounds hold; None where none do, as of a number between two brackets."""
        if self.either:
            return union(self.answers)
        return self.answers[0] if len(self.answers) == 1 else None


@dataclass(slots=True)
class PartSeen:
    """One part still with the record: marks in the order given, cuts by side letter, clues asked already."""

    doc: PartDoc
    marks: list[Mark] = field(default_factory=list)
    cuts: dict[str, str] = field(default_factory=dict)
    sides: tuple[str, str] = ("A", "B")
    asked: set[tuple[str, str]] = field(default_factory=set)
    foreign: str = ""
    stray: str = ""
    stem: str = ""
    """The channels that the stem in its runout says."""
    whole: str = ""
    """Both runouts as inscribed, where the title has no stems to read them by (`same_runout`)."""

    @property
    def id(self) -> str:
        """The part's id."""
        return self.doc["id"]

    @property
    def kind(self) -> str:
        """The part's kind."""
        return self.doc["kind"]

    def says_anything(self) -> bool:
        """Whether anything was seen on it."""
        return bool(self.marks or self.cuts or self.stem or self.whole)


@dataclass(slots=True)
class Seen:
    """The parts in the record's order, which of them is the anchor, and the answers the books have lost."""

    parts: list[PartSeen]
    anchor: str | None
    lost: list[AnswerDoc] = field(default_factory=list)
    tells: list[Mark] = field(default_factory=list)


def read(record: RecordDoc, title: BookTitle | None, library: Reference) -> Seen:
    """Sorts a record's answers by part. Only what was seen counts; a second answer replaces the first."""
    parts = {p["id"]: PartSeen(p) for p in record["parts"] if is_here(p)}
    anchor = anchor_of(record)
    seen = Seen(list(parts.values()), anchor["id"] if anchor else None)
    for part in seen.parts:
        if part.kind == "disc":
            part.sides = sides_of(part.doc)
            part.whole = whole_runout(part.doc) if title is not None and not title.stems else ""
            for side, read_out in part.doc.get("sides", {}).items():
                found = read_runout(read_out.get("typed", ""), side, title, library)
                if found.belongs is False:
                    part.stray = part.stray or f"side {side} {found.say}"
                    continue
                part.stem = part.stem or found.channels
                if read_out.get("cut"):
                    part.cuts[side] = read_out["cut"]
    last = {(doc["part"], doc["place"], doc["clue"]): doc for doc in record["answers"]}
    for doc in last.values():
        holder = parts.get(doc["part"])
        if holder is not None and doc["how"] == "seen":
            _take(doc, holder, title, library, seen)
    for dated in record.get("dated", ()):
        holder = parts.get(dated["part"] or seen.anchor or "")
        mark = _by_hand(dated, holder) if holder is not None else None
        if holder is not None and mark is not None:
            holder.marks.append(mark)
    return seen


def _by_hand(dated: DatedDoc, part: PartSeen) -> Mark | None:
    """The dealer's own dating as an answer like any other; None where its date can no longer be read."""
    try:
        spans = parse_dated(dated["span"]).spans
    except ValueError:
        return None
    if not spans:
        return None
    kind = BY_HAND if dated["part"] else COPY_BY_HAND
    why = dated["why"] or "your own word"
    times = spans if len(spans) > 1 else ()
    said = Answer("dated", dated_text(dated["span"]), 1, hull(spans), dated["sure"], source=why, times=times)
    ask = "dated by you" if dated["part"] else "copy dated by you"
    stand_in = Clue(
        f"{kind}={dated['span']}|{dated['sure']}", ask, part.kind, "whole",
        (said, Answer("not", "not so", 2)), source=why,
    )  # fmt: skip
    doc: AnswerDoc = {
        "part": part.id, "place": "whole", "clue": kind, "answer": "dated", "value": None, "how": "seen",
        "text": dated["span"], "book": "", "at": dated["at"],
    }  # fmt: skip
    return Mark("whole", stand_in, (said,), doc)


def _take(doc: AnswerDoc, part: PartSeen, title: BookTitle | None, library: Reference, seen: Seen) -> None:
    clue = library.clue(doc["clue"])
    if clue is None:
        seen.lost.append(doc)
        return
    part.asked.add((doc["place"], doc["clue"]))
    if clue.form == "cut":
        part.cuts.setdefault(doc["place"].rpartition(" ")[2], EITHER.join(answer_ids(doc)))
        return
    mark = mark_of(doc, clue, library)
    if mark is None:
        seen.lost.append(doc)
        return
    if all(answer.tells for answer in mark.answers):
        seen.tells.append(mark)
    if not any(answer.neutral for answer in mark.answers):
        part.marks.append(mark)
        part.foreign = part.foreign or _foreign(part.kind, mark, title)


def mark_of(doc: AnswerDoc, clue: Clue, library: Reference) -> Mark | None:
    """What an answer says, or None where the book does not know it (any more)."""
    if clue.form == "titles" and (bound := advertised(doc["value"], library)) is not None:
        named = Answer("advertised", doc["text"], 1, Span(bound.earliest, None), "hard", source=clue.source)
        stand_in = Clue(
            f"{clue.id}={bound.edtf()}", clue.ask, clue.part, clue.place, (named, Answer("none", "none", 2)),
            misread=clue.misread, group=clue.group, source=clue.source,
        )  # fmt: skip
        return Mark(doc["place"], stand_in, (named,), doc)
    if clue.form == "dated" and (by_hand := dated_by_hand(doc["value"])) is not None:
        stand_in = clue._replace(id=f"{clue.id}={doc['text']}", answers=(by_hand, Answer("none", "none", 2)))
        return Mark(doc["place"], stand_in, (by_hand,), doc)
    if clue.form == "number" and isinstance(doc["value"], list):
        return _either(
            doc, clue, [brackets(clue, n) if (n := as_number(v)) is not None else () for v in doc["value"]]
        )
    if clue.form == "number" and (number := as_number(doc["value"])) is not None:
        found = brackets(clue, number)
        return Mark(doc["place"], clue, found, doc) if found else None
    answers = [clue.answer(name) for name in answer_ids(doc)]
    return _either(doc, clue, [() if answer is None else (answer,) for answer in answers])


def _either(doc: AnswerDoc, clue: Clue, found: list[tuple[Answer, ...]]) -> Mark | None:
    """The mark of one answer, or of several that could not be told apart; None where the book lost one."""
    if not all(found):
        return None
    answers = tuple(dict.fromkeys(answer for several in found for answer in several))
    return Mark(doc["place"], clue, answers, doc, len(found) > 1 and len(answers) > 1)


def dated_by_hand(value: Any) -> Answer | None:
    """The bound that a dealer typed, ``{"made": EDTF, "hardness": "soft", "why": text}``; None for none."""
    try:
        span = parse_edtf(str(value["made"]))
        hardness = value.get("hardness", "soft")
        why = str(value.get("why") or "")
    except (TypeError, KeyError, AttributeError, ValueError):
        return None
    if not span.known or hardness not in ("soft", "firm"):
        return None
    source = f"by you: {why}" if why else "by you"
    return Answer("dated", value["made"], 1, span, hardness, source=source)


def as_number(value: Any) -> float | None:
    """A number typed or stored, or None; truth values are none."""
    if isinstance(value, bool) or value is None:
        return None
    try:
        number = float(str(value).replace(",", "."))
    except ValueError:
        return None
    return number if number - number == 0 else None


def brackets(clue: Clue, number: float) -> tuple[Answer, ...]:
    """The bracket a number lies in; both where it is within the scale's error of their edge (*Numbers*)."""
    ranged = [a for a in clue.answers if a.low is not None or a.high is not None]
    away = [(max(_low(a) - number, number - _high(a), 0.0), a) for a in ranged]
    inside = [a for distance, a in away if distance <= clue.error]
    near_edge = [a for a in inside if min(abs(number - _low(a)), abs(number - _high(a))) <= clue.error]
    if len(inside) > 1:
        return tuple(near_edge or inside)[:2]
    if inside:
        return (inside[0],)
    # Whole-number brackets (1-500, 501-1000) leave gaps that a weight of 500.4 may fall into.
    distance, nearest = min(away, key=lambda pair: pair[0], default=(2.0, None))
    return (nearest,) if nearest is not None and distance < 1.0 else ()


def _low(answer: Answer) -> float:
    return float("-inf") if answer.low is None else answer.low


def _high(answer: Answer) -> float:
    return float("inf") if answer.high is None else answer.high


def advertised(value: Any, library: Reference) -> Span | None:
    """The first date of the newest of the titles advertised; None where nothing dated was picked.

    ``value``: title ids or EDTF texts, one or a list of them, or ``{"titles": [...], "first": [...]}``.
    """
    if isinstance(value, Mapping):
        value = [*_several(value.get("first")), *_several(value.get("titles"))]
    spans = [span for item in _several(value) if (span := _first_of(str(item), library)) and span.earliest]
    return max(spans, key=lambda span: str(span.earliest), default=None)


def _several(value: Any) -> Sequence[Any]:
    if value is None or value == "":
        return ()
    return value if isinstance(value, list | tuple) else (value,)


def _first_of(item: str, library: Reference) -> Span | None:
    known = library.title(item)
    if known is not None:
        return known.first
    try:
        return parse_edtf(item)
    except ValueError:
        return None


def _foreign(kind: str, mark: Mark, title: BookTitle | None) -> str:
    """Another company's inner, another country's disc: a rule, not a factor."""
    if title is None or any(answer.absent for answer in mark.answers):
        return ""
    if kind == "inner" and mark.clue.companies and title.company and title.company not in mark.clue.companies:
        return f"another company's ({mark.clue.companies[0]})"
    if kind != "disc" or not mark.clue.countries:
        return ""
    made_in = {title.country, *(p.country for p in title.pressings)} - {""}
    strange = bool(made_in) and made_in.isdisjoint(mark.clue.countries)
    return f"another country's ({mark.clue.countries[0]})" if strange else ""
