"""What was just seen on the bench, for the shop's own book: the reference grows out of the work."""

import re
import unicodedata
from collections.abc import Collection

from benchtui.books.library import Library
from benchtui.books.passed_on import given_of
from benchtui.books.read_titles import SEEN_HERE
from benchtui.books.shape import BookTitle, Pressing, PressingKind, Word
from benchtui.books.sound_words import shows_sound, sound_of
from benchtui.model.record import AnswerDoc, RecordDoc, anchor_of, answer_ids, sides_of
from benchtui.model.span import Span

OWN_BOOK = "own.toml"
"""The shop's own book in its ``books`` folder."""
SEEN_ONCE: Word = "usually"
"""One copy was seen: enough for "usually", not for "always"."""


def pressing_seen(
    record: RecordDoc, library: Library, name: str, period: Span, kind: PressingKind = "ordinary"
) -> Pressing:
    """A pressing of the record's title as this copy shows it.

    Only answers that were seen count, and only of parts that belong: copied and predicted answers, "cannot
    tell" and parts ruled swapped are left out. ``period``: when it was made, as the caller weighs it.
    ValueError for a record without a title.
    """
    if record["title"] is None:
        raise ValueError("the record has no title yet; pick one first")
    title_id = record["title"]["id"]
    title = library.title(title_id)
    here = [part for part in record["parts"] if part["kind"] == "extra" and part.get("state") == "present"]
    return Pressing(
        id=f"{title_id}/{new_id(name, _ids(title, title_id))}",
        name=name,
        period=period,
        kind=kind,
        catalogue=record["title"]["catalogue"],
        channels=_channels(record, library),
        expect=_expected(record, library),
        cuts=_cuts(record),
        extras=tuple(part["name"] for part in here),
        source=SEEN_HERE,
        known="grown",
    )


def new_id(text: str, taken: Collection[str]) -> str:
    """A plain id made from words, numbered where it is taken: ``gold-print``, ``gold-print-2``."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    stem = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:40] or "seen"
    numbers = (f"{stem}-{number}" for number in range(2, len(taken) + 3))
    return stem if stem not in taken else next(found for found in numbers if found not in taken)


def _ids(title: BookTitle | None, title_id: str) -> list[str]:
    pressings = title.pressings if title else ()
    return [pressing.id.removeprefix(f"{title_id}/") for pressing in pressings]


def _expected(record: RecordDoc, library: Library) -> dict[str, dict[str, Word]]:
    expect: dict[str, dict[str, Word]] = {}
    for answer in record["answers"]:
        if counts_for_pressing(answer, record, library):
            clue = library.clue(answer["clue"])
            given = given_of(clue) if clue is not None else {}
            seen = [given.get(one, one) for one in answer_ids(answer)]
            expect.setdefault(answer["clue"], dict.fromkeys(seen, SEEN_ONCE))
    return expect


def _channels(record: RecordDoc, library: Library) -> str:
    """The channels that the copy's own words for its sound say; "" where they say both, or in words that
    nobody here can read; those of the title where no word was seen.
    """
    told = set()
    for answer in record["answers"]:
        clue = library.clue(answer["clue"])
        if clue is not None and shows_sound(clue) and counts_for_pressing(answer, record, library):
            seen = [found for one in answer_ids(answer) if (found := clue.answer(one)) is not None]
            told |= {sound_of(one.text) for one in seen if not one.absent}
    return record["channels"] if not told else told.pop() if len(told) == 1 else ""


def counts_for_pressing(answer: AnswerDoc, record: RecordDoc, library: Library) -> bool:
    """Whether an answer says something of the pressing; what bounds the sale of one copy does not."""
    clue = library.clue(answer["clue"])
    found = clue.answer(answer["answer"]) if clue else None
    if found is None or answer["how"] != "seen" or record["rulings"].get(answer["part"]) == "swapped":
        return False
    return not (found.neutral or found.caps_sale)


def _cuts(record: RecordDoc) -> tuple[tuple[tuple[str, str], Word], ...]:
    """The cuts of the two sides of the anchor, where both were read."""
    disc = anchor_of(record)
    if disc is None or disc["kind"] != "disc":
        return ()
    sides = disc.get("sides", {})
    first, second = (sides.get(side, {}).get("cut", "") for side in sides_of(disc))
    told = first and second and "|" not in first + second  # either of two says of neither that it was seen
    return (((first, second), SEEN_ONCE),) if told else ()
