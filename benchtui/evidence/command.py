"""``benchtui weigh TITLE CLUE=ANSWER ...``: one copy weighed without a bench."""

import json
import re
from collections.abc import Iterable, Sequence
from typing import Protocol

from benchtui.base.errors import BenchError
from benchtui.base.signs import visible_json
from benchtui.books.shape import BookTitle, Clue
from benchtui.evidence.reference import Reference
from benchtui.evidence.report import as_json, as_text
from benchtui.evidence.seen import advertised, as_number, brackets
from benchtui.evidence.settings import DEFAULTS, Counts, WeighSettings
from benchtui.evidence.weighing import weigh
from benchtui.model.record import AnswerDoc, PartDoc, PartKind, RecordDoc, empty_record, new_part, sides_of
from benchtui.model.title import Title

_ASKED = re.compile(
    r"(?P<clue>[^=@]+)(?:@(?P<part>[a-z]+)-?(?P<number>\d*)(?:\.(?P<place>[^=]+))?)?=(?P<answer>.*)"
)
_SHOWN = 12


class Shelves(Reference, Protocol):
    """Books that can also be looked through for a title."""

    def titles(self) -> Iterable[Title]:
        """A row for each title."""
        ...


def run_weigh(
    library: Shelves,
    title: str,
    answers: Sequence[str],
    *,
    json_out: bool = False,
    counts: Counts | None = None,
    settings: WeighSettings = DEFAULTS,
) -> str:
    """What the command prints: spans, likely pressings, agreement, what to look at next.

    ``title``: an id, a title or a catalogue number. ``answers``: ``CLUE=ANSWER``, or
    ``CLUE@part.place=ANSWER`` for a part and place other than the clue's own (``label@disc2.label C=gold``).
    BenchError where title, clue, part or answer is unknown; it says which are known.
    """
    row = find_title(library, title)
    record = record_of(row, library.title(row.id))
    for text in answers:
        add_answer(record, text, library)
    weighing = weigh(record, library, counts=counts, settings=settings)
    if json_out:
        return visible_json(json.dumps(as_json(record, weighing), ensure_ascii=False, indent=2))
    return as_text(record, weighing)


def find_title(library: Shelves, text: str) -> Title:
    """The one title meant: by id, else by catalogue number or title, else by part of artist and title."""
    wanted = " ".join(text.casefold().split())
    rows = list(library.titles())
    exact = [row for row in rows if row.id == text] or [
        row for row in rows if wanted in (row.title.casefold(), row.catalogue.casefold())
    ]
    found = exact or [row for row in rows if wanted and wanted in f"{row.artist} {row.title}".casefold()]
    if len(found) == 1:
        return found[0]
    near = [row.id for row in (found or rows)]
    what = f"{len(found)} titles match {text!r}" if found else f"no book has the title {text!r}"
    raise BenchError(what, "TITLE", _known(near) if near else "use --book FILE or --shop DIR")


def _known(names: Sequence[str]) -> str:
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return f"known: {', '.join(names[:_SHOWN])}{more}"


def record_of(row: Title, title: BookTitle | None) -> RecordDoc:
    """A record of the title with every part it should have come in."""
    record = empty_record(1)
    record["title"] = {
        "id": row.id, "artist": row.artist, "title": row.title, "catalogue": row.catalogue,
        "first": row.first, "company": row.company, "country": row.country,
    }  # fmt: skip
    for _ in range(title.discs if title else row.discs):
        _part(record, "disc")
    _part(record, "box" if title is not None and title.box else "cover")
    for _ in range(title.inners if title else 1):
        _part(record, "inner")
    for name in title.extras if title else ():
        _part(record, "extra")["name"] = name
    return record


def _part(record: RecordDoc, kind: PartKind) -> PartDoc:
    part = new_part(kind, number=1 + sum(its["kind"] == kind for its in record["parts"]))
    record["parts"].append(part)
    return part


def add_answer(record: RecordDoc, text: str, library: Shelves) -> None:
    """Puts one ``CLUE=ANSWER`` into the record, as seen; a second for the same place replaces the first.

    ``ANSWER|ANSWER`` is either of two that could not be told apart.
    """
    match = _ASKED.fullmatch(text.strip())
    if match is None:
        raise BenchError(
            f"{text!r} is not an answer", "CLUE=ANSWER", "write CLUE=ANSWER or CLUE@part.place=ANSWER"
        )
    clue = library.clue(match["clue"].strip())
    if clue is None:
        ids = [c.id for part in record["parts"] for c in library.clues_for(record, part)]
        raise BenchError(
            f"no book has the clue {match['clue'].strip()!r}", "CLUE", _known(list(dict.fromkeys(ids)))
        )
    part = _meant(record, clue, match["part"], match["number"])
    place = (match["place"] or "").strip()
    if not place:
        place = f"{clue.place} {sides_of(part)[0]}" if clue.per_side else clue.place
    said = [_answer(clue, one.strip(), library) for one in match["answer"].split("|")]
    answer, value = said[0]
    values = [value for _, value in said if value is not None]
    if len(said) > 1 and values:
        value = values
    doc: AnswerDoc = {
        "part": part["id"], "place": place, "clue": clue.id, "answer": answer, "value": value, "how": "seen",
        "text": match["answer"].strip(), "book": clue.book, "at": "",
    }  # fmt: skip
    if len(said) > 1:
        doc["also"] = [name for name, _ in said[1:]]
    record["answers"].append(doc)


def _meant(record: RecordDoc, clue: Clue, kind: str | None, number: str | None) -> PartDoc:
    """The part named, else the first of the clue's kind; a wrap or extra the book lacks is taken as there."""
    wanted = kind or clue.part
    alike = [part for part in record["parts"] if part["kind"] == wanted]
    if not alike and wanted in ("wrap", "extra", "box"):
        return _part(record, wanted)  # type: ignore[arg-type]
    at = int(number) if number else 1
    if not 1 <= at <= len(alike):
        names = [f"{part['kind']}{part.get('number', 1)}" for part in record["parts"]]
        raise BenchError(f"there is no part {wanted}{at if alike else ''}", clue.id, _known(names))
    return alike[at - 1]


def _answer(clue: Clue, text: str, library: Shelves) -> tuple[str, object]:
    """Answer id and value of what was given: a bracket's number, titles advertised, an id or its wording."""
    known = clue.answer(text) or next((a for a in clue.answers if a.text.casefold() == text.casefold()), None)
    if known is not None:
        return known.id, None
    if clue.form == "cut" and text:
        return text, None
    number = as_number(text) if clue.form == "number" else None
    if number is not None and (found := brackets(clue, number)):
        return found[0].id, number
    picked = [item.strip() for item in text.split(",")] if clue.form == "titles" else []
    if picked and advertised(picked, library) is not None:
        return "picked", picked
    names = [answer.id for answer in clue.answers]
    more = {"number": f", or a number in {clue.unit or 'the brackets'}", "titles": ", or title ids or years"}
    raise BenchError(
        f"clue {clue.id} has no answer {text!r}", clue.id, _known(names) + more.get(clue.form, "")
    )
