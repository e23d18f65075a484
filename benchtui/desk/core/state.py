"""What a desk holds, a small object for each subject: what is worked on, what is asked, what is open, what
goes on in the background, how many keys it took. Commands change them; drawing reads them.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple, TypeVar

from benchtui.base.errors import BenchError
from benchtui.desk.core.later import Foresight, Later
from benchtui.desk.core.pace import Pace
from benchtui.desk.core.shapes import Asked, Explained, Menu, OpenLine, Page, Pick, Tone
from benchtui.model.record import PartDoc, RecordDoc, part_of
from benchtui.store import Entry, Parcel, Unsaved
from benchtui.titles.hit import Context
from benchtui.titles.lists import Loading

T = TypeVar("T")


@dataclass
class Work:
    """The parcel, the record on the bench, the part in the hand."""

    parcel: Parcel | None = None
    record_id: str | None = None
    part_id: str | None = None
    side: str = ""
    taken: list[str] = field(default_factory=list)
    """The parts that have been in the hand at this record, in the order they were taken."""
    held: bool = False
    """The part was taken by a key of its own, or is an extra found to be there: every key goes to it, though
    nothing is wanted of it, until it is graded, answered or left.
    """
    graded_at: int = -1
    """How many keys had been pressed when a grade was given last: a shade directly after belongs to it."""
    graded_side: str = ""
    """The half that this grade was for: the hand has gone on to the other, where that has none yet."""
    pressed: str = ""
    """The command that the key being answered is for; one chosen from the list of all is another."""
    turned: str = ""
    """``undo``, ``redo``: what the key before did."""
    in_books: tuple[str, str, tuple[str, int]] = ("", "", ("", -1))
    """What was done last on a page of the books; that page; parcel and number of the action before it."""
    before: tuple[str, Callable[[], object]] | None = None
    """A parcel begun a moment ago, and what leads back from it to the one that was on the bench."""
    left_empty: str = ""
    """The parcel from which one went back so: the next new one of the day, if it is still empty."""
    refused: str = ""
    """The command refused last, until another key: what was only asked, the same key again answers."""

    @property
    def record(self) -> RecordDoc | None:
        """The record on the bench; never changed in place. None too where undo took its place away."""
        if self.parcel is None or self.record_id is None:
            return None
        try:
            return self.parcel.record(self.record_id)
        except BenchError:
            return None

    @property
    def part(self) -> PartDoc | None:
        """The part in the hand."""
        record = self.record
        return part_of(record, self.part_id) if record else None

    @property
    def records(self) -> list[RecordDoc]:
        """The queue in order, without what was withdrawn."""
        if self.parcel is None:
            return []
        return [record for record in self.parcel.records if record["state"] != "withdrawn"]

    @property
    def next_no(self) -> int:
        """The number that a record gets at the end of the queue: those that were withdrawn keep theirs."""
        return len(self.parcel.records) + 1 if self.parcel else 1


class Unasked(NamedTuple):
    """A question that stood next and is wanted no more; what the figures pressed since answered instead."""

    ask: str
    told: tuple[str, ...] = ()
    figures: int = 4
    """So many more have it said with them: a copy's number seldom has more."""


@dataclass
class Asking:
    """The question shown, the order of those to come, and those left behind."""

    order: list[Asked] = field(default_factory=list)
    asked: Asked | None = None
    asked_explicitly: bool = False
    """Whether the dealer went to the question shown, by its letters or back to it."""
    trail: list[tuple[str, Asked]] = field(default_factory=list)
    """The questions left behind at this record, answered or passed over, each with its part."""
    passed: list[tuple[str, Asked]] = field(default_factory=list)
    """Those that were passed over."""
    returning: tuple[tuple[str | None, Asked | None], ...] = ()
    """Where going back came from, step by step, and last where it arrived: the way forward again, until
    another question is answered or another part taken.
    """
    ahead: tuple[tuple[Any, ...], Any] | None = None
    """What asking.ahead found last, and from what."""
    unasked: Unasked | None = None
    """A question for which figures may have been typed ahead, until another key."""


class Sight(NamedTuple):
    """What of a question, a list and a page was on the screen, noted once it was drawn."""

    answers: bool = True
    """Whether all answers of the question could be read: else no digit answers it."""
    choices: tuple[Menu, range] | None = None
    """Which choices of a menu could be read; all of any other."""
    top: int = 0
    """The topmost row of the page."""
    help_end: int = 0
    """How far the words of the help key can be scrolled; 0 where all of them are in sight."""


@dataclass
class Open:
    """What stands over the record, and what was said last."""

    line: OpenLine | None = None
    menu: Menu | None = None
    page: Page | None = None
    explained: Explained | None = None
    """What the help key said, shown until the next key."""
    sight: Sight = field(default_factory=Sight)
    """What of it the screen showed last."""
    table: Any = None
    """A table of pressings on its way in, with what was decided: its page may be left (see table_in.py)."""
    left: dict[str, str] = field(default_factory=dict)
    """What stood in a line that was left, by its place."""
    ranked_by: tuple[OpenLine, Context] | None = None
    """What ranks titles in the line open now, or in the last one: it holds while letters are typed."""
    message: str = ""
    tone: Tone = "plain"
    bell: bool = False
    leaving: bool = False
    """Whether the bench is being left."""

    def note_sight(self, sight: Sight) -> None:
        """The screen has been drawn: this of it is in sight, and what a command wanted seen was shown."""
        self.sight = sight
        if self.page is not None:
            self.page.top = sight.top
            self.page.data.pop("wanted", None)

    def marked(self, count: int) -> int:
        """The place of the marked one of the page's rows, so many; 0 where no page is open."""
        return self.page.at(count) if self.page is not None else 0

    def marked_of(self, rows: Sequence[T]) -> T | None:
        """The marked one of the page's rows; None where there are none, or no page is open."""
        return rows[self.page.at(len(rows))] if rows and self.page is not None else None

    @property
    def scope(self) -> str:
        """Which table of the keymap holds now."""
        if self.line is not None and not (self.menu and self.menu.over):
            return "line"
        if self.menu is not None:
            return "menu"
        return "page" if self.page is not None else "bench"


@dataclass
class Background:
    """What goes on between the keys, and what the disk has not taken yet."""

    patient: bool = False
    """Whether somebody goes on with ``search`` between the keys; else each search is done at once."""
    search: Iterator[Sequence[Pick]] | None = None
    found: Sequence[Pick] = ()
    """What the search has found so far."""
    warming: Iterator[None] | None = None
    later: Later = field(default_factory=Later)
    foresight: Foresight = field(default_factory=Foresight)
    checking: Iterator[None] | None = None
    """The records taken in are weighed again after the books were changed (see ``own_book/otherwise.py``)."""
    books_before: Any = None
    """The books as they were before the first change that ``checking`` looks at."""
    otherwise: list[Any] | None = None
    """Records taken in that the books would now call otherwise; None until the shop was asked for those that
    were left undecided.
    """
    job: Iterator[None] | None = None
    """Long work in steps of a few milliseconds, done between the keys (see ``background.work_on``)."""
    writing: Callable[[], object] | None = None
    """An export that is said to be written: done once that is on the screen, and before the next key."""
    lists: Iterator[Loading] = field(default_factory=lambda: iter(()))
    loading: str = ""
    lists_seen: tuple[tuple[str, int, int], ...] | None = None
    """The title lists as they were when a title line was last opened."""
    unsaved: Unsaved | None = None
    """What is in memory only, as of the last look (see ``keeping``)."""
    unwatched: bool = False
    """Whether a save is on its way of which nobody has seen how it went."""

    @property
    def is_asked(self) -> bool:
        """Whether there is work left that a key asked for."""
        return bool(self.job or self.search or self.warming or self.writing)

    @property
    def is_busy(self) -> bool:
        """Whether there is any of it left, or the desk works ahead for the next key."""
        return self.is_asked or bool(self.foresight.steps or self.checking)


@dataclass
class Tally:
    """How many keys and how long it took."""

    keys_pressed: int = 0
    keys_by_record: dict[str, int] = field(default_factory=dict)
    keys_told: dict[str, int] = field(default_factory=dict)
    """Of these, what was kept with the parcel already."""
    record_since: datetime | None = None
    usual_pace: "tuple[str, Pace | None] | None" = None
    """What is usual in the shop, beside the parcel of that id (see queue/usual_pace.py)."""

    def count(self, record_id: str | None) -> None:
        """A key was pressed: counted for the bench and for the record on it."""
        self.keys_pressed += 1
        if record_id is not None:
            self.keys_by_record[record_id] = self.keys_by_record.get(record_id, 0) + 1


class Before(NamedTuple):
    """What stood before a key: where the dealer was, and what had been done in the parcel."""

    work: Work
    asking: Asking
    page: Page | None
    menu: Menu | None
    explained: Explained | None
    done: tuple[Entry, ...]
    records: Sequence[object]
    line: OpenLine | None = None
    """Of a line that takes no barcode, what it was; others are not come back to."""


@dataclass
class Burst:
    """The keys of the last moments that went to no line, or to one that takes no barcode as figures, each
    with what stood before it.
    """

    run: list[tuple[float, str, Before]] = field(default_factory=list)
    until: float | None = None
    """While a burst goes on that was taken back already: when its last key came."""
    text_at: float | None = None
    """When the last key of text came that went to such a line: figures right behind it are text too."""
    slow: bool = False
    """Whether all keys count as typed slowly, whatever their time: of a script that is played."""
