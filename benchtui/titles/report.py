"""What became of a list that was taken in, and how that is told."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple

from benchtui.model.title import Title
from benchtui.titles.columns import COLUMNS

Choice = Literal["keep", "merge", "skip"]
CHOICES: tuple[Choice, ...] = ("keep", "merge", "skip")
_OPTION = re.compile(r"; --[a-z]+ [^.]*")
SHOWN = 500
"""Lines of one kind that are told one by one."""


class Noted(NamedTuple):
    """A line of the file and what is to be said of it."""

    line: int
    say: str


class Doubt(NamedTuple):
    """``title`` of line ``line`` is like ``other``, which is known (or stands further up) already."""

    line: int
    title: Title
    other: Title
    alike: float
    why: str

    def say(self) -> str:
        """Both titles and the reason on one line."""
        return f"{_name(self.title)} | {_name(self.other)} | {self.why}, {self.alike:.0f} % alike"


@dataclass(slots=True)
class Report:
    """What became of a list. ``lines`` holds something; ``refused`` are not in; ``left_out`` are in,
    without what is named; ``path`` is the list as the shop keeps it, None where nothing had to be written.
    """

    source: str
    lines: int = 0
    new: int = 0
    changed: int = 0
    same: int = 0
    kept: int = 0
    merged: int = 0
    skipped: int = 0
    changes: list[Noted] = field(default_factory=list)
    repeats: list[Noted] = field(default_factory=list)
    refused: list[Noted] = field(default_factory=list)
    left_out: list[Noted] = field(default_factory=list)
    headings: list[Noted] = field(default_factory=list)
    """Rows that only head those after them."""
    unused: tuple[str, ...] = ()
    read_as: tuple[tuple[str, str], ...] = ()
    said: tuple[str, ...] = ()
    countries: Counter[str] = field(default_factory=Counter)
    """Those that are not known, with how many lines have them."""
    doubts: list[Doubt] = field(default_factory=list)
    path: Path | None = None

    def counts(self) -> str:
        """How many lines there are and what became of them; each of them is counted once, but the doubtful
        are new or changed besides.
        """
        lines = "1 line" if self.lines == 1 else f"{self.lines:,} lines"
        headings = f", {len(self.headings):,} headings" if self.headings else ""
        return (
            f"{lines}: {self.new:,} new, {self.changed:,} changed, {self.same:,} the same,"
            f" {len(self.repeats):,} repeated, {len(self.doubts):,} doubtful,"
            f" {len(self.refused):,} refused{headings}"
        )

    def told(self) -> Iterator[str]:
        """The report, line by line."""
        yield f"{self.source}: {self.counts()}"
        yield from self.said
        if self.read_as:
            yield "columns read: " + ", ".join(f"{theirs} as {ours}" for theirs, ours in self.read_as)
        if self.unused:
            ours = ", ".join(COLUMNS[:-1])
            yield f"columns not used: {', '.join(self.unused)}; --map THEIRS=OURS reads one as {ours}"
        if self.countries:
            which = ", ".join(f"{word} ({count:,})" for word, count in self.countries.most_common(20))
            yield f"countries not known: {which}; --map THEIRS=CODE names one by its ISO 3166 code"
        if self.doubts:
            yield f"doubtful: {self.kept:,} kept, {self.merged:,} merged, {self.skipped:,} skipped"
        yield from _told("doubtful", [Noted(doubt.line, doubt.say()) for doubt in self.doubts])
        yield from _told("heading", self.headings)
        yield from _told("changed", self.changes)
        yield from _told("repeated", self.repeats)
        yield from self.told_refused()
        yield from _told("left out", self.left_out)
        yield (
            f"kept as {self.path.name}; --undo takes it out again"
            if self.path
            else "nothing new, so no list was kept"
        )

    def told_refused(self) -> Iterator[str]:
        """Of the report the lines that say what was refused."""
        yield from _told("refused", self.refused)


def without_options(line: str) -> str:
    """The line as a screen tells it, where keys do what the command's options do."""
    return _OPTION.sub("", line)


def _told(kind: str, notes: list[Noted]) -> Iterator[str]:
    for note in notes[:SHOWN]:
        yield " ".join(f"line {note.line}: {kind}: {note.say}".split())
    if len(notes) > SHOWN:
        yield f"... and {len(notes) - SHOWN:,} more {kind}"


def change_of(old: Title, new: Title) -> str:
    """What a list changes in a title that is known, field by field."""
    pairs = ((name, getattr(old, name), getattr(new, name)) for name in COLUMNS)
    changes = [f"{name} {was or 'nothing'} is now {now}" for name, was, now in pairs if was != now]
    return f"{_name(new)}: {', '.join(changes)}"


def _name(title: Title) -> str:
    return " - ".join(part for part in (title.artist, title.title, title.catalogue) if part)
