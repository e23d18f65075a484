"""The desk's state, and the one way anything on it changes."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.books.library import Library
from benchtui.books.scales import STANDARD
from benchtui.books.shape import BookTitle, Clue
from benchtui.desk.core.closed_books import change_booked_into, note_closed
from benchtui.desk.core.references import References as References
from benchtui.desk.core.shapes import Asked as Asked
from benchtui.desk.core.shapes import Choice as Choice
from benchtui.desk.core.shapes import Explained as Explained
from benchtui.desk.core.shapes import Menu as Menu
from benchtui.desk.core.shapes import OpenLine as OpenLine
from benchtui.desk.core.shapes import Page as Page
from benchtui.desk.core.shapes import Pick as Pick
from benchtui.desk.core.shapes import Tone as Tone
from benchtui.desk.core.state import Asking, Background, Burst, Open, Tally, Work
from benchtui.desk.core.unsaved import saved_how, why_unsaved
from benchtui.desk.core.weighings import Weighings
from benchtui.evidence import Weighing
from benchtui.model.grade import Scale
from benchtui.model.parcel import CursorDoc, WasDoc
from benchtui.model.record import PartDoc, RecordDoc, part_of
from benchtui.store import Change, Parcel, Shop
from benchtui.titles.finder import Finder

AT_THE_BENCH = "record"
"""A cursor's view where no page is open."""
_SHOWN = ("answers", "parts", "rulings")
"""What a copy shows of its pressing."""


class Theme(NamedTuple):
    """A theme by the name that the settings keep. ``of``: whose it is, where it is not ours."""

    name: str
    dark: bool
    of: str = ""


OWN_THEMES = (Theme("dark", True), Theme("light", False), Theme("contrast", True))


class Desk:
    """One bench at work on one shop. Not thread-safe: everything happens on the app's thread."""

    def __init__(
        self,
        shop: Shop,
        references: References,
        make_finder: Callable[[], Finder],
        now: Callable[[], datetime] | None = None,
    ) -> None:
        self.shop = shop
        shop.may_keep_pending = True
        self.references = references
        self._make_finder = make_finder
        self._now = now or (lambda: datetime.now(UTC))
        self.work = Work()
        self.asking = Asking()
        self.open = Open()
        self.background = Background()
        self.tally = Tally()
        self.burst = Burst()
        self.weighings = Weighings(self)
        self.themes: Sequence[Theme] = OWN_THEMES
        """Those that can be worn; whoever draws adds its own."""
        self.show_here: Callable[[Path], bool] = lambda path: False
        """Shows a picture where the bench is drawn; False where that cannot be. Brought by whoever draws."""
        self.stood: WasDoc | None = None
        """What the bench showed when the command at hand began."""
        self._settings: tuple[Any, dict[str, Any]] | None = None

    # -- what it works by --------------------------------------------------------------

    @cached_property
    def finder(self) -> Finder:
        """Every title there is; made when first wanted, since no first screen does."""
        return self._make_finder()

    @property
    def library(self) -> Library:
        return self.references.library

    @property
    def settings(self) -> dict[str, Any]:
        """The shop's settings, copied anew only when they have changed. Not to be changed."""
        kept = self.shop.shared.held("settings").get("settings")
        if self._settings is None or kept is not self._settings[0]:
            self._settings = (kept, self.shop.settings)
        return self._settings[1]

    @property
    def scale(self) -> Scale:
        """The shop's grading scale; where that cannot be read, a shipped one."""
        scales = self.references.scales
        return scales.get(str(self.settings["scale"])) or scales[STANDARD]

    @property
    def currency(self) -> str:
        return str(self.settings["currency"])

    @property
    def theme_shown(self) -> str:
        """The name of the theme to be worn: the one marked in the list of them, else the settings'."""
        line = self.open.line
        if line is not None and line.name == "theme" and line.picks:
            return str(line.picks[line.marked].value)
        return str(self.settings.get("theme") or "dark")

    @property
    def book_title(self) -> BookTitle | None:
        """The title of the record as the books know it, with its pressings; where nobody has described it,
        with those that its company's ladder proposes.
        """
        record = self.work.record
        if record is None or record["title"] is None:
            return None
        return self.weighings.laddered(record).title(record["title"]["id"])

    @property
    def parcel(self) -> Parcel:
        """The parcel that a command works on. Raises BenchError where none is open."""
        if self.work.parcel is None:
            raise BenchError("no parcel is open", right="open one first")
        return self.work.parcel

    @property
    def record(self) -> RecordDoc:
        """The record that a command works on. Raises BenchError where none is on the bench."""
        if (record := self.work.record) is None:
            raise BenchError("no record is on the bench", right="choose one in the queue")
        return record

    @property
    def titled(self) -> RecordDoc:
        """That record, its title known. Raises BenchError where it is not."""
        if (record := self.record)["title"] is None:
            raise BenchError("the title first", right=f"{self.key('find-title')} finds or makes one")
        return record

    @property
    def part(self) -> PartDoc:
        """The part in the hand that a command works on. Raises BenchError where none is."""
        part = part_of(self.record if self.record["parts"] else self.titled, self.work.part_id)
        if part is None:
            raise BenchError("no part is in hand", right=f"{self.key('next-part')} takes the next")
        return part

    @property
    def clue(self) -> Clue | None:
        """The clue asked now."""
        return self.library.clue(self.asking.asked[1]) if self.asking.asked else None

    def now(self) -> str:
        """The time as records keep it: UTC, to the second."""
        return self._now().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def clock(self) -> datetime:
        return self._now()

    def today(self) -> str:
        """The dealer's own day, which is what a day's intake means."""
        return self._now().astimezone().date().isoformat()

    def weighing(self) -> Weighing | None:
        """Everything the evidence says of the record, worked out once for each change."""
        return self.weighings.now()

    def count_key(self) -> None:
        """A key was pressed: counted for the bench and for the record on it. What other benches changed in
        the settings is looked for once a key.
        """
        self.shop.shared.docs("settings")
        self.tally.count(self.work.record_id)

    # -- saying ------------------------------------------------------------------------

    def say(self, text: str, tone: Tone = "plain") -> None:
        """One line to the dealer. Refusals and clashes ring once."""
        self.open.message, self.open.tone = text, tone
        self.open.bell = self.open.bell or tone in ("refused", "clash")

    def refuse(self, text: str) -> None:
        self.say(text, "refused")

    def key(self, action: str) -> str:
        """The key that does it, as messages name it; where the map has none, its word in the list of all."""
        return self.references.keymap.named(action)

    # -- changing ----------------------------------------------------------------------

    def cursor(self) -> CursorDoc:
        """Where the dealer is, as the parcel keeps it."""
        return {
            "record": self.work.record_id,
            "part": self.work.part_id,
            "side": self.work.side,
            "held": self.work.held,
            "taken": list(self.work.taken),
            "left": dict(self.open.left),
            "order": [list(asked) for asked in self.asking.order],
            "clue": list(self.asking.asked) if self.asking.asked else None,
            "view": self.open.page.name if self.open.page else AT_THE_BENCH,
        }

    def stands(self) -> WasDoc:
        """What the bench shows: kept with the next action, so that undo puts it back."""
        return {
            "record": self.work.record_id,
            "part": self.work.part_id,
            "side": self.work.side,
            "held": self.work.held,
            "clue": list(self.asking.asked) if self.asking.asked else None,
            "passed": [[part, *asked] for part, asked in self.asking.passed],
        }

    @contextmanager
    def act(
        self, say: str, grown: Mapping[str, Any] | None = None, *, late: bool = False
    ) -> Iterator[Change]:
        """One action: one transaction, one line of history; the cursor travels in the same write.

        ``grown``: what it changed in the shop's book, kept so that undo can take that back too. ``late``: it
        comes after taking in as a rule, so that is not remarked on.
        """
        parcel = self.parcel
        before = self.work.record
        was: Any = dict(self.stood or self.stands()) | dict(grown or {})
        there = self.work.records
        with parcel.action(say, was=was) as change:
            yield change
            self._call_again(change, before)
            note_closed(change, self.settings, self.now(), parcel.head, there)
            say += change_booked_into(change, self.settings, self.today(), parcel.head)
            change.head["cursor"] = self.cursor()
            change.head["draft"] = None
        self._taught_again(before)
        taken_in = before is not None and before["state"] == "taken-in" and before is not self.work.record
        self.say(f"changed after it was taken in: {say}" if taken_in and not late else say, "done")
        self.watch_trouble()

    @contextmanager
    def one_write(self, parcel: Parcel) -> Iterator[None]:
        """Whatever is saved inside is one write of the parcel. Its records are counted as they were until
        that is done, so what was counted inside is counted anew.
        """
        with self.weighings.counted_anew(), parcel.one_write():
            yield

    def _taught_again(self, before: RecordDoc | None) -> None:
        """What a record that teaches, before the action or after it, taught is counted anew."""
        if before is not None:
            now = next((one for one in self.work.records if one["id"] == before["id"]), before)
            if before["pressing"]["learn"] or now["pressing"]["learn"]:
                self.weighings.forget_counts()

    def _call_again(self, change: Change, before: RecordDoc | None) -> None:
        """What was taken in with its pressing open is called by what it shows since."""
        if before is None or before["state"] != "taken-in" or before["pressing"]["how"] != "open":
            return
        if before["id"] in (change.touches((), _SHOWN) or ()):
            copy = change.record(before["id"])
            if copy["title"] is not None and copy["pressing"] == before["pressing"]:
                copy["pressing"] = self.weighings.called(copy, self.weighings.of(copy, None))

    def place(self) -> None:
        """Keep where the dealer is and what stands in the open line; no history."""
        if self.work.parcel is None or self.work.parcel.read_only:
            return
        self.work.parcel.place(cursor=self.cursor(), draft=self.open.line.draft() if self.open.line else None)
        self.watch_trouble()

    def watch_trouble(self) -> None:
        """Say at once that something could not be saved; it stays in memory and is tried again."""
        self.background.unwatched = (
            self.shop.background_save.busy
        )  # `keeping.saved` looks once that has come to its end
        if not self.background.unwatched:
            self.watch_saving()

    def watch_saving(self) -> None:
        """Say that the disk takes nothing, or takes it again, behind what the key itself had to say."""
        before, now = self.background.unsaved, self.shop.unsaved()
        self.background.unsaved = now
        if before is None and now is not None:
            self._say_behind(why_unsaved(now), "clash" if self.open.tone == "clash" else "refused")
        elif before is not None and now is None:
            self._say_behind(saved_how(before, self.work.parcel), "done")
        for line in self.shop.news():
            self._say_behind(line, "clash")

    def _say_behind(self, words: str, tone: Tone) -> None:
        said = self.open.message if self.open.tone != "plain" else ""
        self.say(f"{said}. {words}" if said else words, tone)

    def changed(self, change: Change) -> RecordDoc:
        """The copy of the record on the bench that an action may change."""
        record = change.record(self.work.record_id or self.record["id"])
        if record["state"] == "empty":
            record["state"] = "started"
            record["started_at"] = self.now()
        return record
