"""The desk's state, and the one way anything on it changes."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchtui.base.errors import BenchError
from benchtui.books.library import Library
from benchtui.books.shape import BookTitle, Clue
from benchtui.desk import keeping
from benchtui.desk.command import command_of
from benchtui.desk.kept import Kept, weighed_of
from benchtui.desk.keys import shown
from benchtui.desk.later import Foresight, Later
from benchtui.desk.references import References as References
from benchtui.desk.references import settings_for
from benchtui.desk.shapes import Asked as Asked
from benchtui.desk.shapes import Choice as Choice
from benchtui.desk.shapes import Explained as Explained
from benchtui.desk.shapes import Menu as Menu
from benchtui.desk.shapes import OpenLine as OpenLine
from benchtui.desk.shapes import Page as Page
from benchtui.desk.shapes import Pick as Pick
from benchtui.desk.shapes import Tone as Tone
from benchtui.desk.shapes import doing as doing
from benchtui.evidence import Weighing, WeighSettings, counts_of, weigh
from benchtui.model.grade import Scale
from benchtui.model.parcel import CursorDoc
from benchtui.model.record import AnswerDoc, PartDoc, RecordDoc, answer_to, part_of
from benchtui.store import Change, Parcel, Shop, Unsaved

if TYPE_CHECKING:  # wanted after the first screen only
    from benchtui.desk.pace import Pace
    from benchtui.money import Policy, Worked
    from benchtui.titles import Context, Finder
    from benchtui.titles.lists import Loading


class Desk:
    """One bench at work on one shop. Not thread-safe: everything happens on the app's thread."""

    def __init__(
        self,
        shop: Shop,
        references: References,
        make_finder: "Callable[[], Finder]",
        now: Callable[[], datetime] | None = None,
    ) -> None:
        self.shop = shop
        shop.may_owe = True
        self.references = references
        self._make_finder = make_finder
        self._now = now or (lambda: datetime.now(UTC))
        self.parcel: Parcel | None = None
        self.record_id: str | None = None
        self.part_id: str | None = None
        self.side = ""
        self.taken: list[str] = []
        self.left: dict[str, str] = {}
        self.trail: list[tuple[str, Asked]] = []
        """The questions left behind at this record, answered or passed over, each with its part."""
        self.turned = ""
        """``undo``: the key before took something back; ``asked``: it asked whether to go on."""
        self.sought = False
        """Whether the dealer went to the question shown, by its letters or back to it."""
        self.passed: list[tuple[str, Asked]] = []
        """Those that were passed over."""
        self.order: list[Asked] = []
        self.asked: Asked | None = None
        self.ahead: tuple[tuple[Any, ...], Any] | None = None
        """What asking.ahead found last, and from what."""
        self.unseen = False
        """Whether the question asked could not be drawn with all its answers: no digit answers it then."""
        self.in_sight: tuple[Menu, range] | None = None
        """Which choices of a menu are drawn."""
        self.line: OpenLine | None = None
        self.menu: Menu | None = None
        self.page: Page | None = None
        self.explained: Explained | None = None
        """What the help key said, shown until the next key."""
        self.message = ""
        self.tone: Tone = "plain"
        self.bell = False
        self.leaving = False
        self.unsaved: Unsaved | None = None
        """What is in memory only, as of the last look (see ``keeping``)."""
        self.lacking_said: str | None = None
        self.keys_pressed = 0
        self.keys_by_record: dict[str, int] = {}
        self.keys_told: dict[str, int] = {}
        """Of these, what was kept with the parcel already."""
        self.record_since: datetime | None = None
        self.usual_pace: tuple[str, Pace | None] | None = None
        """What is usual in the shop, beside the parcel of that id (see pace.py)."""
        self.grown: dict[tuple[str, int, str], Any] = {}
        """What the shop's book was before and after each history entry that added to it (see grow.py)."""
        self.ranked_by: tuple[OpenLine, Context] | None = None
        """What ranks titles in the line open now, or in the last one: it holds while letters are typed."""
        self.patient = False
        """Whether somebody goes on with ``search`` between the keys; else each search is done at once."""
        self.search: Iterator[Sequence[Pick]] | None = None
        self.warming: Iterator[None] | None = None
        self.later = Later()
        self.foresight = Foresight()
        self.found: Sequence[Pick] = ()
        """What the search has found so far."""
        self.job: Iterator[None] | None = None
        """Long work in steps of a few milliseconds, done between the keys (see ``work``)."""
        self.lists: Iterator[Loading] = iter(())
        self.loading = ""
        self.lists_seen: tuple[tuple[str, int, int], ...] | None = None
        """The title lists as they were when a title line was last opened."""
        self._weighed: tuple[tuple[Any, ...], Weighing] | None = None
        self._weighings: Kept[Weighing] = Kept()
        self.unwatched = False
        self.worked: Kept[Worked | None] = Kept()
        self.learnt: Kept[Policy] = Kept()
        self._counts: dict[str, Any] | None = None
        self._settings: tuple[Any, dict[str, Any]] | None = None

    # -- what is open ------------------------------------------------------------------

    @cached_property
    def finder(self) -> "Finder":
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
    def theme_shown(self) -> str:
        """The name of the theme to be worn: the one that the settings name."""
        return str(self.settings.get("theme") or "dark")

    @property
    def scale(self) -> Scale:
        """The shop's grading scale."""
        return self.references.scales[str(self.settings["scale"])]

    @property
    def currency(self) -> str:
        return str(self.settings["currency"])

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
    def book_title(self) -> BookTitle | None:
        """The title of the record as the books know it, with its pressings."""
        record = self.record
        return self.library.title(record["title"]["id"]) if record and record["title"] else None

    @property
    def clue(self) -> Clue | None:
        """The clue asked now."""
        return self.library.clue(self.asked[1]) if self.asked else None

    @property
    def scope(self) -> str:
        """Which table of the keymap holds now."""
        if self.line is not None and not (self.menu and self.menu.over):
            return "line"
        if self.menu is not None:
            return "menu"
        return "page" if self.page is not None else "bench"

    def answer_now(self) -> AnswerDoc | None:
        """What already stands as the answer to the question shown."""
        record = self.record
        if record is None or self.part_id is None or self.asked is None:
            return None
        return answer_to(record, self.part_id, self.asked[0], self.asked[1])

    def now(self) -> str:
        """The time as records keep it: UTC, to the second."""
        return self._now().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

    def clock(self) -> datetime:
        return self._now()

    def today(self) -> str:
        """The dealer's own day, which is what a day's intake means."""
        return self._now().astimezone().date().isoformat()

    # -- what is thought of it ---------------------------------------------------------

    def weighing(self) -> Weighing | None:
        """Everything the evidence says of the record, worked out once for each change."""
        record = self.record
        if record is None or self.parcel is None:
            return None
        key = (record["id"], self.parcel.head["revision"], self.part_id, self.library)
        if self._weighed is None or self._weighed[0] != key:
            self._weighed = (key, self.weighing_of(record, self.part_id))
        return self._weighed[1]

    def weighing_of(self, record: RecordDoc, in_hand: str | None) -> Weighing:
        """The weighing of a record as it stands, saved or being changed."""
        settings = self.weigh_settings(record)

        def work() -> Weighing:
            counts = self.counts() if record["title"] else {}  # nothing is learnt of no title
            return weigh(record, self.library, counts=counts, settings=settings, in_hand=in_hand)

        return self._weighings.get((weighed_of(record), in_hand, settings, self.library), work)

    def weigh_settings(self, record: RecordDoc) -> WeighSettings:
        """The shop's side of a record's weighing: wage, threshold, and what its grades do to a price."""
        return settings_for(record, self.settings, self.currency, self.references.scales)

    def counts(self) -> dict[str, Any]:
        """What confirmed records taught, read once a session and after each take-in."""
        if self._counts is None:
            if self.shop.is_behind:
                return self.shop.counts_so_far()
            self._counts = self.shop.counts(counts_of)
        return self._counts

    def forget_counts(self) -> None:
        self._counts = None
        self.forget_weighing()

    def forget_weighing(self) -> None:
        self._weighed = None
        self._weighings.forget()

    def count_key(self) -> None:
        """A key was pressed: counted for the bench and for the record on it. What other benches changed in
        the settings is looked for once a key.
        """
        self.shop.shared.docs("settings")
        self.keys_pressed += 1
        if self.record_id is not None:
            self.keys_by_record[self.record_id] = self.keys_by_record.get(self.record_id, 0) + 1

    def load_lists(self) -> bool:
        """One step of loading the title lists; False when all of them can be searched.

        A list that cannot be read is said and left out; the others still load.
        """
        try:
            step = next(self.lists, None)
        except BenchError as error:
            self.lists, self.loading = iter(()), ""
            self.refuse(error.one_line())
            return False
        if step is None:
            self.loading = ""
            return False
        self.loading = f"{step.name} {step.done * 100:.0f} %"
        if step.piece is not None:
            self.finder.attach(step.piece)
        return True

    def catch_up(self) -> bool:
        """One step of reading what changed in the parcels since the shop was last closed; False when all is
        known, and then what was learnt of them counts.
        """
        if not self.shop.is_behind:
            return False
        try:
            done = self.shop.catch_up(counts_of)
        except BenchError as error:
            done = None
            self.refuse(error.one_line())
        self.loading = "" if done is None else f"parcels {done * 100:.0f} %"
        if done is None:
            self.forget_counts()
        return done is not None

    def work(self) -> bool:
        """One step of the long work at hand; False when there is none (left). What goes wrong is said."""
        job = self.job
        if job is None:
            return False
        try:
            next(job)
        except StopIteration:
            if self.job is job:
                self.job = None
        except (BenchError, OSError) as error:
            self.job = None
            self.refuse(error.one_line() if isinstance(error, BenchError) else str(error))
        return self.job is not None

    # -- saying ------------------------------------------------------------------------

    def say(self, text: str, tone: Tone = "plain") -> None:
        """One line to the dealer. Refusals and clashes ring once."""
        self.message, self.tone = text, tone
        self.bell = self.bell or tone in ("refused", "clash")

    def refuse(self, text: str) -> None:
        self.say(text, "refused")

    def key(self, action: str) -> str:
        """The key that does it, as messages name it; where the map has none, its word in the list of all."""
        keymap = self.references.keymap
        key = keymap.first_key(action)
        return (
            shown(key) if key else f"{shown(keymap.first_key('commands') or '')} '{command_of(action).short}'"
        )

    # -- changing ----------------------------------------------------------------------

    def cursor(self) -> CursorDoc:
        """Where the dealer is, as the parcel keeps it."""
        return {
            "record": self.record_id,
            "part": self.part_id,
            "side": self.side,
            "taken": list(self.taken),
            "left": dict(self.left),
            "order": [list(asked) for asked in self.order],
            "clue": list(self.asked) if self.asked else None,
            "view": self.page.name if self.page else "record",
        }

    @contextmanager
    def act(self, say: str) -> Iterator[Change]:
        """One action: one transaction, one line of history; the cursor travels in the same write."""
        if self.parcel is None:
            raise BenchError("no parcel is open", right="open one first")
        before = self.record
        with self.parcel.action(say) as change:
            yield change
            change.head["cursor"] = self.cursor()
            change.head["draft"] = None
        taken_in = before is not None and before["state"] == "taken-in" and before is not self.record
        self.say(f"changed after it was taken in: {say}" if taken_in else say, "done")
        self.watch_trouble()

    def place(self) -> None:
        """Keep where the dealer is and what stands in the open line; no history."""
        if self.parcel is None or self.parcel.read_only:
            return
        self.parcel.place(cursor=self.cursor(), draft=self.line.draft() if self.line else None)
        self.watch_trouble()

    def watch_trouble(self) -> None:
        """Say at once that something could not be saved; it stays in memory and is tried again."""
        self.unwatched = self.shop.behind.busy  # `keeping.saved` looks once that has come to its end
        if not self.unwatched:
            keeping.watch(self)

    def changed(self, change: Change) -> RecordDoc:
        """The copy of the record on the bench that an action may change."""
        if self.record_id is None:
            raise BenchError("no record is on the bench", right="take one from the queue")
        record = change.record(self.record_id)
        if record["state"] == "empty":
            record["state"] = "started"
            record["started_at"] = self.now()
        return record

    def exports(self) -> Path:
        """The folder of what was handed out, there before anything is written into it.

        BenchError too while anything is in memory only: files are made from what is on the disk.
        """
        keeping.all_saved(self, "nothing is handed out meanwhile")
        folder = self.shop.path / "exports"
        try:
            folder.mkdir(mode=0o700, exist_ok=True)
        except OSError as error:
            raise BenchError(f"no exports folder can be made: {error.strerror or error}", folder) from None
        return folder
