"""What taking a table in would do, title by title, row by row; nothing of it is done yet."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

from benchtui.books.shape import BookHead, BookTitle, Clue, Pressing
from benchtui.knowledge.alike import Card
from benchtui.knowledge.columns import Column, Meant
from benchtui.knowledge.rows import Group, TableRead

Doubtful = Literal["same", "new", "skip"]


@dataclass(frozen=True)
class Decisions:
    """What a person decided. ``titles``: line of a doubtful title's first row -> same, new or skip;
    ``answers``: (column's name, text), folded -> an answer's id, ``new`` or ``-``; ``keep``: where the table
    differs from what is known, what is known stays; ``grown``: id of a pressing grown here that looks like
    a row -> whether it is that one, ``every_grown`` for those not named.
    """

    meant: Meant = field(default_factory=Meant)
    titles: dict[int, Doubtful] = field(default_factory=dict)
    doubtful: Doubtful | None = None
    answers: dict[tuple[str, str], str] = field(default_factory=dict)
    add_answers: bool = False
    keep: bool = False
    grown: dict[str, bool] = field(default_factory=dict)
    every_grown: bool | None = None


@dataclass
class TitlePlan:
    """One title of the table: found (``known``), new, or doubtful (``maybe``)."""

    group: Group
    how: Literal["found", "new", "doubtful", "skipped"]
    id: str
    known: BookTitle | None = None
    maybe: tuple[Card, ...] = ()
    usual: Mapping[str, str] = field(default_factory=dict)
    """What a new title takes where table and book are silent: company, country, channels, first."""

    @property
    def unwritten(self) -> bool:
        """Whether it was made on the bench and no book has it yet: its card is written with it."""
        return self.how == "found" and self.known is not None and not self.known.book

    @property
    def company(self) -> str:
        """Whose it is, or will be."""
        return self.known.company if self.known else self.group.card.company or self.usual.get("company", "")

    @property
    def line(self) -> int:
        """Where the table begins to speak of it."""
        return self.group.rows[0].line


@dataclass
class PressingPlan:
    """One row: new, changed or the same. ``fields``: what is written; ``filled``: names of fields that
    nothing was known of; ``conflicts``: field, what is known, what the table says; ``takes``: id of the
    pressing grown here that it is, as a person said.
    """

    line: int
    title: TitlePlan
    how: Literal["new", "changed", "same"]
    id: str
    name: str
    fields: dict[str, Any]
    filled: list[str] = field(default_factory=list)
    conflicts: list[tuple[str, str, str]] = field(default_factory=list)
    takes: str = ""


class GrownAlike(NamedTuple):
    """A pressing grown here that looks like a new row; ``one``: as a person said, None before."""

    grown: Pressing
    row: PressingPlan
    one: bool | None


class Unplaced(NamedTuple):
    """A cell that could not be read: where, what stands there, and what it may mean."""

    line: int
    column: str
    text: str
    near: tuple[str, ...] = ()
    times: int = 1
    why: str = ""
    """In a sentence that names the text why it cannot be read, where that is known."""


@dataclass
class Plan:
    """All that taking the table in would do. Nothing is written before ``put``."""

    table: TableRead
    into: BookHead
    titles: list[TitlePlan] = field(default_factory=list)
    pressings: list[PressingPlan] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    unplaced: list[Unplaced] = field(default_factory=list)
    slips: list[tuple[int, str, str, str]] = field(default_factory=list)
    """Line, column, what stands there, what it was read as."""
    answers: list[tuple[Clue, dict[str, Any]]] = field(default_factory=list)
    cards: list[tuple[str, dict[str, Any]]] = field(default_factory=list)
    """Title ids with fields of their card that were not known."""
    alike: list[GrownAlike] = field(default_factory=list)

    def count(self, how: str) -> int:
        """How many pressings (new, changed, same) or titles (found, doubtful, ...) there are."""
        if how in ("new", "changed", "same"):
            return sum(one.how == how for one in self.pressings)
        return sum(one.how == how for one in self.titles)

    @property
    def new_titles(self) -> list[TitlePlan]:
        """Titles that no book has."""
        return [one for one in self.titles if one.how == "new"]

    @property
    def unwritten(self) -> list[TitlePlan]:
        """Titles made on the bench that no book has."""
        return [one for one in self.titles if one.unwritten]

    @property
    def conflicts(self) -> list[tuple[PressingPlan, tuple[str, str, str]]]:
        """Each place where the table says something else than what is known."""
        return [(one, each) for one in self.pressings for each in one.conflicts]

    @property
    def every_column(self) -> list[Column]:
        """The columns, as each company's rows mean them."""
        return [one for column in self.columns for one in column.each]

    def column_at(self, one: Unplaced) -> Column | None:
        """The column of a text that could not be placed, as its row's company means it."""
        whose = next((t.company for t in self.titles for row in t.group.rows if row.line == one.line), "")
        return next((each.of(whose) for each in self.columns if each.heading.full == one.column), None)

    @property
    def asked(self) -> list[str]:
        """What a person has still to decide, in words."""
        told = [
            f"title of line {one.line}: {one.group.card.name}" for one in self.titles if one.how == "doubtful"
        ]
        told += [one.heading.called for one in self.columns if one.how == "asked"]
        told += [f"{one.grown.name}, grown here" for one in self.alike if one.one is None]
        return told

    @property
    def empty(self) -> bool:
        """Whether there is nothing to write."""
        return not (
            self.new_titles or self.cards or self.answers or self.count("new") or self.count("changed")
        )
