"""Asking the dealer, never with a disc in the hand: at most three cards once a parcel's records are taken in.

Where the dealer overruled the bench: what made you sure? Where a pressing made here looks like a written one:
one or two? Where a pressing of the shop's own book is silent on something its copies were seen to show: is
that always so? One key answers; "later" asks again, "nobody knows" never does. The cards that earn most come
first: how many copies of the title are in this parcel and in others.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.ladder import is_grown
from benchtui.books.passed_on import pressing_of
from benchtui.books.shape import Pressing
from benchtui.desk.book.differences import differences
from benchtui.desk.core.desk import Desk
from benchtui.knowledge.coach import pair_key
from benchtui.knowledge.one_pressing import looks_grown
from benchtui.model.record import RecordDoc

MOST = 3
CARRIED = 0.4
"""The bench had an opinion that was overruled where another pressing had at least this."""


class Card(NamedTuple):
    """``id`` stands for the question in the shop's settings once nobody knows; ``marks``: clue, answer and
    words of what may have made the dealer sure.
    """

    id: str
    record: RecordDoc
    title: str
    pressing: Pressing
    ask: str
    worth: int
    marks: tuple[tuple[str, str, str], ...] = ()
    cell: tuple[str, str] = ("", "")
    other: Pressing | None = None
    """The written pressing that a grown one looks like."""


def cards(desk: Desk) -> list[Card]:
    """The questions that this parcel's records raise, the most useful first; none answered for good."""
    asked = asked_before(desk)
    found: dict[str, Card] = {}
    for record in desk.work.records:
        if record["state"] != "taken-in" or record["title"] is None or record["pressing"]["id"] is None:
            continue
        for card in (*_overruled(desk, record), *_alike(desk, record), *_silent(desk, record)):
            if card.id not in asked:
                found.setdefault(card.id, card)
    return sorted(found.values(), key=lambda card: (-card.worth, card.cell[0] != ""))[:MOST]


def asked_before(desk: Desk) -> Mapping[str, Any]:
    """What was answered for good, by the id of its card."""
    kept = desk.settings.get("asked")
    return kept if isinstance(kept, Mapping) else {}


def _pressing(desk: Desk, record: RecordDoc, pressing_id: str | None) -> Pressing | None:
    title = desk.library.title(record["title"]["id"]) if record["title"] else None
    return pressing_of(title, pressing_id)


def _worth(desk: Desk, record: RecordDoc) -> int:
    """Copies of the title in this parcel and in others: so many the answer bears on."""
    title, here = record["title"], desk.work.parcel
    if title is None or here is None:
        return 0
    copies = sum(desk.library.are_one(one["title"], title) for one in desk.work.records)
    try:
        had = desk.shop.records_of_title(title["artist"], title["title"])
    except BenchError:
        return copies
    return copies + sum(parcel != here.id for parcel, _ in had)


def _overruled(desk: Desk, record: RecordDoc) -> list[Card]:
    """What made you sure? Asked where the evidence carried another pressing than the one said by hand."""
    said, title = record["pressing"], record["title"]
    mine = _pressing(desk, record, said["id"])
    if said["how"] != "hand" or "because" in said or mine is None or title is None:
        return []
    leader = desk.weighings.of(record, None).leader
    other = _pressing(desk, record, leader.id) if leader is not None else None
    if leader is None or other is None or other.id == mine.id or leader.p < CARRIED:
        return []
    found = differences(desk, record, other)
    marks = tuple((one.clue.id, one.answer.id, one.words) for one in found)
    ask = f"record {record['no']}, {title['title']}: you said '{mine.name}', the bench '{other.name}'. Why?"
    return [Card(f"sure/{record['id']}", record, title["id"], mine, ask, _worth(desk, record), marks)]


def _alike(desk: Desk, record: RecordDoc) -> list[Card]:
    """One or two? Asked of a grown pressing that looks like a written one of its title."""
    title, mine = record["title"], _pressing(desk, record, record["pressing"]["id"])
    if mine is None or title is None or not is_grown(mine):
        return []
    known = desk.library.title(title["id"])
    likely = [
        (looks_grown(mine, other, other.expect), other)
        for other in (known.pressings if known else ())
        if not is_grown(other) and pair_key(mine.id, other.id) not in asked_before(desk)
    ]
    score, other = max(likely, key=lambda pair: pair[0], default=(0.0, mine))
    if not score:
        return []
    ask = f"{title['title']}: is '{mine.name}', made here, the same as '{other.name}' of the book?"
    return [
        Card(pair_key(mine.id, other.id), record, title["id"], mine, ask, _worth(desk, record), other=other)
    ]


def _silent(desk: Desk, record: RecordDoc) -> list[Card]:
    """Is that always so? Asked of a grown pressing of which one copy, or a few, showed something."""
    title = record["title"]
    mine = _pressing(desk, record, record["pressing"]["id"])
    if mine is None or title is None or not is_grown(mine):
        return []
    found = []
    for clue_id, words in mine.expect.items():
        clue = desk.library.clue(clue_id)
        answers = [one for one, word in words.items() if word == "usually"]
        if clue is None or clue.form != "choice" or len(words) != 1 or not answers:
            continue
        answer = clue.answer(answers[0])
        if answer is not None:
            ask = f"'{mine.name}' of {title['title']}: {clue.ask}: {answer.text}. How often?"
            found.append(Card(f"often/{mine.id}/{clue_id}", record, title["id"], mine, ask,
                              _worth(desk, record), cell=(clue_id, answer.id)))  # fmt: skip
    return found[:1]
