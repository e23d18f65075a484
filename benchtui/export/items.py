"""One record on its way out, with all that is known around it; and which records may leave at all."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Protocol

from benchtui.export.wording import local_day
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.model.span import Span


class Spans(Protocol):
    """A part's two spans: by hard bounds only, and with the grace soft bounds get."""

    @property
    def certain(self) -> Span | None: ...
    @property
    def likely(self) -> Span | None: ...


class Belongs(Protocol):
    """Whether a part belongs to the rest, in words."""

    @property
    def say(self) -> str: ...


class Candidate(Protocol):
    """One pressing the record may be; id None is "none of these"."""

    @property
    def id(self) -> str | None: ...
    @property
    def name(self) -> str: ...
    @property
    def p(self) -> float: ...
    @property
    def kind(self) -> str: ...


class Weighed(Protocol):
    """What the evidence room found out about a record; the exports read these and nothing else."""

    @property
    def parts(self) -> Mapping[str, Spans]: ...
    @property
    def disc_span(self) -> Span | None: ...
    @property
    def copy_span(self) -> Span | None: ...
    @property
    def pressings(self) -> "tuple[Candidate, ...]": ...
    @property
    def agreement(self) -> Mapping[str, Belongs]: ...
    @property
    def settled(self) -> bool: ...


@dataclass(frozen=True, slots=True)
class Item:
    """A record with its parcel's head, the sender's name and, where the caller weighed it, the evidence."""

    head: HeadDoc
    record: RecordDoc
    sender: str = ""
    weighed: Weighed | None = None

    @property
    def terms(self) -> str:
        """``bought`` or ``consigned``: the record's own, else the parcel's."""
        return self.record["terms"] or self.head["terms"]

    @property
    def stock(self) -> str:
        """The stock number, "" before the record is taken in."""
        return self.record["stock"] or ""

    @property
    def taken_in(self) -> date | None:
        """The day on the dealer's clock when it was taken in."""
        return local_day(self.record.get("taken_in_at"))

    @property
    def may_leave(self) -> bool:
        """Taken in, numbered, and not set apart: what is set apart or withdrawn is in no outgoing file."""
        return self.record["state"] == "taken-in" and bool(self.stock) and self.record["set_apart"] is None


def leaving(items: Iterable[Item], day: date | None = None, parcel: str | None = None) -> list[Item]:
    """The items that may leave, of that day and that parcel where named, by stock number."""
    chosen = [item for item in items if item.may_leave]
    if day is not None:
        chosen = [item for item in chosen if item.taken_in == day]
    if parcel is not None:
        chosen = [item for item in chosen if item.head["id"] == parcel]
    return sorted(chosen, key=lambda item: item.stock)
