"""Taking a person out of a shop's documents, as far as its books may be changed.

What an account of the shop rests on stays: who a record was bought from, consigned by or sold to, and how a
private seller's identity was checked. For how long is for the law of the place on accounts and on personal
data to say; ``books_before`` is the day that somebody who knows it names. A closed period stays as it is.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from benchtui.money.book import bought_on

Doc = dict[str, Any]
GONE = "(forgotten)"
LEAST = 3
"""Letters that a name must have at least: fewer would be found in other words, or are a number."""
ASKED = ("who", "what", "answer")


@dataclass
class Person:
    """A name, how it is found whatever its capitals and spaces, and what was done about it so far.

    ``books_before``: entries of the books before that day go too, unless they are of a closed period, which
    ends with ``closed``. ``removed`` counts texts; ``stays`` says in words what was left, and why.
    """

    name: str
    books_before: str = ""
    closed: str = ""
    removed: int = 0
    stays: list[str] = field(default_factory=list)
    senders: list[str] = field(default_factory=list)
    """All senders of that name, told apart."""

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        words = r"\s+".join(map(re.escape, self.name.split()))
        return re.compile(rf"(?<!\w){words}(?!\w)", re.IGNORECASE)

    def is_meant(self, text: object) -> bool:
        """Whether the text is the name."""
        return isinstance(text, str) and self._pattern.fullmatch(text.strip()) is not None

    def names(self, text: str) -> bool:
        """Whether the text names the person."""
        return self._pattern.search(text) is not None

    def out_of(self, text: str) -> str:
        """The text with the name put out of it."""
        made, count = self._pattern.subn(GONE, text)
        self.removed += count
        return made

    def may_go(self, day: str) -> bool:
        """Whether an entry of the books of that day may go."""
        return bool(day) and day < self.books_before and day > self.closed

    def keep(self, what: str, day: str) -> None:
        """Notes what stays. Nothing twice."""
        why = "the period is closed" if day and day <= self.closed else "the books need it"
        said = f"{what}: {why}"
        if said not in self.stays:
            self.stays.append(said)


def forget_in_record(record: Doc, person: Person) -> Doc:
    """The record without the person: their questions go whole, their name out of every text."""
    _questions(record, person)
    for entry in record.get("custody", []):
        if person.is_meant(entry.get("who")):
            person.removed += sum(bool(entry.pop(name, None)) for name in ("note", "document", "since"))
    events = record.get("life", [])
    named = {id(event): event.pop("buyer") for event in events if _is_of_books(event, record, person)}
    made: Doc = _walk(record, person.out_of)
    for event, kept in zip(events, made.get("life", []), strict=True):
        if id(event) in named:
            kept["buyer"] = named[id(event)]
    return made


def _is_of_books(event: Doc, record: Doc, person: Person) -> bool:
    """Whether it is a sale to the person that the books still need."""
    day, buyer = str(event.get("at", ""))[:10], event.get("buyer")
    if not isinstance(buyer, str) or not person.names(buyer) or person.may_go(day):
        return False
    person.keep(f"the buyer of {record.get('stock') or record['id']}, sold on {day}", day)
    return True


def _questions(record: Doc, person: Person) -> None:
    """What the person asked goes whole, with its chore."""
    asked = [one for one in record.get("questions", []) if person.is_meant(one.get("who"))]
    if not asked:
        return
    chores = {one.get("chore") for one in asked}
    person.removed += sum(bool(one.get(name)) for one in asked for name in ASKED)
    record["questions"] = [one for one in record["questions"] if one not in asked]
    record["chores"] = [one for one in record["chores"] if one["id"] not in chores]


def forget_in_head(head: Doc, person: Person) -> Doc:
    """The parcel's head without the person; a private seller stays whole while the books need them."""
    seller, day = head.get("seller") or {}, bought_on(head)  # type: ignore[arg-type]
    stays: Doc = {}
    if person.names(str(seller.get("name", ""))):
        if person.may_go(day):
            person.removed += len(seller)
            head["seller"] = {}
        else:
            person.keep(
                f"the private seller of parcel {head['id']}, bought on {day}, and their identity", day
            )
            stays = {"seller": head.pop("seller")}
    made: Doc = _walk(head, person.out_of)
    return {**made, **stays}


CODES = frozenset((
    "id", "parcel", "record", "part", "sender", "owner", "consignor", "origin", "what", "state",
    "kind", "how", "terms", "currency", "at", "on", "booked", "until", "delivered", "dispatched",
    "opened", "closed_at", "claim_deadline", "begun", "scale", "grade", "shade", "side", "clue",
    "answer", "stock", "left_how", "came_as", "channels", "fault", "severity", "invoice", "credit_note",
    "deal",
))  # fmt: skip
"""Fields of the program's own words, days, numbers and ids: they stay, whatever name is found in them."""


def _walk(value: Any, change: Callable[[str], str], field: str = "") -> Any:
    """The same document with every text changed; keys and codes stay."""
    if isinstance(value, str):
        return value if field in CODES else change(value)
    if isinstance(value, list):
        return [_walk(one, change, field) for one in value]
    if isinstance(value, dict):  # what was asked and answered is text
        return {key: _walk(one, change, "" if field == "questions" else key) for key, one in value.items()}
    return value
