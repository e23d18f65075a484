"""One parcel open on the bench: head, records, history; every action one durable write, or none."""

import contextlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any, cast

from benchtui.base.errors import BenchError
from benchtui.model.earlier import (
    OF_HEAD,
    OF_RECORD,
    after_closing,
    begun_with,
    had_stock,
    stood_at_closing,
    with_earlier,
)
from benchtui.model.parcel import CursorDoc, DraftDoc, HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.change import Change, Outcome, played
from benchtui.store.codec import Doc, fresh, same
from benchtui.store.history import Entry, History
from benchtui.store.kept import Kept, nothing
from benchtui.store.lock import HeldLock
from benchtui.store.lost import lost_places
from benchtui.store.shape import check_parcel, in_order
from benchtui.store.tables import KeptDB
from benchtui.store.unsaved import Unsaved
from benchtui.store.versions import Version

_SAME: Any = object()


class Parcel:
    """A parcel file. Made by `Shop.open_parcel` and `Shop.new_parcel`, not directly.

    ``head`` and ``records`` are the present documents: read them, and change them only through `action`.
    """

    def __init__(self, parcel_id: str, db: KeptDB, lock: HeldLock | None, clock: Callable[[], str],
                 stock_of: Callable[[str, str], str | None],
                 closed_at: Callable[[], str] = str) -> None:  # fmt: skip
        self.id = parcel_id
        self._closed_at = closed_at
        self._db = db
        self._lock = lock
        self._clock = clock
        self._stock_of = stock_of
        self._acting = False
        self._is_open = True
        self.given_up: Unsaved | None = None
        """What was in memory only when it was closed."""
        self.set_aside = False
        """Whether what was made here became a version beside another bench's, which is what one reads now."""
        self._adopt()
        self._keep_in_mind()
        self._storage.after_save, self._storage.replaced = self._saved, self._replaced

    @property
    def _storage(self) -> Kept:
        return self._db.storage

    def _saved(self) -> None:
        """Everything is on the disk as it stands now."""
        if self._lock is not None:
            self._lock.note(self._storage.saved_position)
        self._keep_in_mind()

    def _replaced(self) -> None:
        """Another bench took the parcel while the shop could not be reached: from now on it is only read."""
        self.set_aside = True
        self._adopt()
        self._keep_in_mind()
        if self._lock is not None:
            self._lock.free()

    def _keep_in_mind(self) -> None:
        """What the disk has, to be told from what it has not."""
        self._on_disk = (self.head["revision"], dict(self._db.docs("records")), self.head["draft"])

    def _adopt(self) -> None:
        check_parcel(self._storage.tables, self.id, self._storage.where, self._storage.whole)
        self._queue = in_order(self._db.docs("records"))
        self._history = History(self._db.docs("history"))

    @property
    def read_only(self) -> bool:
        """Whether this was opened for reading."""
        return self._storage.read_only

    @property
    def is_open(self) -> bool:
        """Whether `close` has not been called."""
        return self._is_open

    @property
    def head(self) -> HeadDoc:
        """The parcel's head."""
        return cast(HeadDoc, self._db.docs("head")["head"])

    @property
    def records(self) -> list[RecordDoc]:
        """All records in queue order, the withdrawn ones too."""
        docs = self._db.docs("records")
        return cast(list[RecordDoc], [docs[key] for key in self._queue])

    def record(self, record_id: str) -> RecordDoc:
        """The record of that id. BenchError where there is none."""
        doc = self._db.docs("records").get(record_id)
        if doc is None:
            raise BenchError(f"there is no record {record_id!r} in parcel {self.id}")
        return cast(RecordDoc, doc)

    @property
    def history(self) -> Sequence[Entry]:
        """Every entry kept, oldest first; the last ``head.undone`` of them are undone."""
        return self._history.entries

    @property
    def next_undo(self) -> Entry | None:
        """What `undo` would take back; None where it may not, or nothing is left."""
        return None if self.closed else self._history.next_undo(self._undone)

    @property
    def next_redo(self) -> Entry | None:
        """What `redo` would do again."""
        return None if self.closed else self._history.next_redo(self._undone)

    @property
    def trouble(self) -> str | None:
        """Why memory is ahead of the disk, in one line; None when all is saved."""
        return self._storage.trouble

    @property
    def unsaved(self) -> Unsaved | None:
        """What of it is in memory only; None where all is saved, or it was closed (see ``given_up``)."""
        if self.trouble is None or not self._is_open:
            return None
        revision, saved, typed = self._on_disk
        ahead = [doc["no"] for key, doc in self._db.docs("records").items() if saved.get(key) is not doc]
        actions = self.head["revision"] - revision
        return Unsaved(self.trouble, actions, tuple(sorted(ahead)), typed=self.head["draft"] != typed,
                       room=self._storage.room)  # fmt: skip

    @property
    def trouble_so_far(self) -> str | None:
        """The same as ``trouble`` without waiting for a save that is under way (see
        `Shop.save_in_background`).
        """
        return self._storage.trouble_so_far

    def settle(self) -> None:
        """Waits for the save that is under way; from here on ``trouble`` speaks of it too."""
        self._storage.settle()

    @property
    def notice(self) -> str:
        """What was wrong with the file when it was opened ("" for nothing)."""
        return self._storage.notice

    @property
    def has_two_versions(self) -> bool:
        """Whether the files it was read from are not of one piece."""
        return self._storage.unfit != ""

    @property
    def versions(self) -> tuple[Version, ...]:
        """Where the files it was read from are not of one piece: what somebody must choose between."""
        return self._storage.versions() if self.has_two_versions else ()

    def news(self) -> list[str]:
        """What was found in the place of its file and put aside since this was asked last."""
        return self._storage.news()

    @property
    def closed(self) -> bool:
        """Whether only dated corrections may still change it."""
        return self.head["state"] == "closed"

    @property
    def _undone(self) -> int:
        return min(max(self.head["undone"], 0), len(self._history.entries))

    @contextlib.contextmanager
    def action(self, say: str, kept: bool = False, was: Doc | None = None) -> Iterator[Change]:
        """One action: what is changed inside is saved together and can be undone, or none of it.

        An exception inside changes nothing; no difference leaves no history, but where a book was changed
        with it. ``kept``: undo stops before this one (half of it lies in another file). ``was``: kept with
        its entry (see `Entry`). BenchError for a closed parcel, one open for reading, an action within an
        action, or a value that JSON cannot hold.
        """
        if self.closed:
            raise BenchError(f"parcel {self.id} is closed", "", "enter a dated correction")
        with self._changing(say) as change:
            yield change
            self._commit(change.settled(), change.say, kept, was)

    @contextlib.contextmanager
    def correct(self, say: str) -> Iterator[Change]:
        """A dated correction, open or closed: written down in ``head.corrections``, never undone."""
        if not say.strip():
            raise BenchError(
                "a correction without a reason", "", "say in a few words what is corrected and why"
            )
        with self._changing(say) as change:
            yield change
            outcome = change.settled()
            if outcome.ops:
                noted = {"at": self._clock(), "say": change.say, "ops": outcome.ops, "kept": True}
                head = dict(cast(Doc, self.head) if outcome.head is None else outcome.head)
                outcome.head = {**head, "corrections": [*head.get("corrections", []), fresh(noted)]}
            self._commit(outcome, change.say, kept=True)

    def close_parcel(self, say: str = "parcel closed", shares: dict[str, int] | None = None) -> None:
        """Closes the parcel for good: no undo past this, only corrections. Nothing for one that is closed.

        ``shares``: what each record cost, frozen in the same write.
        """
        if self.closed:
            return
        with self._changing(say) as change:
            change.head["state"] = "closed"
            change.head["closed_at"] = self._clock()
            change.head["shares"] = shares
            self._commit(change.settled(), say, kept=True)
        self._storage.fold()

    @contextlib.contextmanager
    def one_write(self) -> Iterator[None]:
        """Whatever is saved inside is one write: for a key that acts and then moves on.

        The parcel must not be closed inside. An exception that leaves it takes back all of it.
        """
        if self.read_only or not self._is_open:
            yield
            return
        with self._in_step(), self._storage.hold():
            yield

    def undo(self) -> str | None:
        """Takes back the last action; says which, or None where there is nothing (more) to take back."""
        return self._step(self.next_undo, back=True)

    def redo(self) -> str | None:
        """Does again what was undone last; says which, or None."""
        return self._step(self.next_redo, back=False)

    def place(self, *, cursor: CursorDoc | None = _SAME, draft: DraftDoc | None = _SAME) -> None:
        """Where the dealer is, and the text in a line still open: durable, never history."""
        head = cast(Doc, self.head)
        asked = (("cursor", cursor if cursor is not None else {}), ("draft", draft))
        new = {key: fresh(value) for key, value in asked if value is not _SAME}
        new = {key: value for key, value in new.items() if not same(head.get(key), value)}
        if new:
            self._may_change()
            self._db.kept("head").put("head", {**head, **new})

    def rewrite(self, make_head: Callable[[Doc], Doc], make_record: Callable[[Doc], Doc]) -> None:
        """Head and records as these functions give them back, for good: the history goes, and nothing older
        is kept beside the file. For forgetting what may no longer be known; undo reaches no further back.
        """
        self._may_change()
        head = make_head(fresh(self.head))
        head["undone"], head["revision"] = 0, self.head["revision"] + 1
        with self._in_step(), self._storage.hold():
            for key in list(self._db.docs("history")):
                self._db.kept("history").drop(key)
            for key, doc in list(self._db.docs("records").items()):
                made = make_record(fresh(doc))
                if not same(made, doc):
                    self._db.kept("records").put(key, made)
            self._db.kept("head").put("head", head)
        self._history = History({})
        for _ in range(2):  # the copy of the file before, and its log, would still tell it
            self._storage.fold()
            head = {**head, "revision": head["revision"] + 1}
            with self._storage.hold():
                self._db.kept("head").put("head", head)
        self._storage.fold()

    def lost_places(self, closings: Callable[[], Iterable[str]]) -> list[Doc]:
        """What an earlier version forgot of it (see `store.lost`); ``closings``: when books were closed."""
        live = self.history[: len(self.history) - self._undone]
        return lost_places(self.head, self._db.docs("records"), live, closings)

    def note_lost(self, rows: Sequence[Doc]) -> None:
        """Keeps these, so that closed books can be worked out again; no fact of the parcel changes."""
        self._may_change()
        head = cast(Doc, self.head)
        self._db.kept("head").put(
            "head", {**head, "earlier": [*(head.get("earlier") or ()), *fresh(list(rows))]}
        )

    def save_again(self) -> None:
        """Tries again to save what the disk does not have yet."""
        self._storage.save_again()

    def tidy(self) -> None:
        """While nobody waits, do what a later save would have to do besides. Fails as a save does."""
        if self._is_open and not self.read_only:
            self._storage.tidy()

    def refresh(self) -> bool:
        """For a parcel open for reading: reads again what another bench has saved. Whether it changed."""
        if not self.read_only or not self._storage.stale():
            return False
        self._storage.load()
        self._adopt()
        return True

    def close(self) -> None:
        """Leaves the file whole and lets go of it. What could not be saved (see ``trouble``) is given up."""
        if self._is_open and not self.read_only:
            self._storage.fold()
            self.given_up = self.unsaved
        self._is_open = False
        self._storage.release()
        self._storage.after_save = self._storage.replaced = (
            nothing  # a ring would keep it in memory until the collector comes by
        )
        if self._lock is not None:
            self._lock.free()

    def _may_change(self) -> None:
        if self.read_only:
            raise BenchError(
                f"parcel {self.id} is open for reading only", "", "change it on the bench that has it open"
            )
        if not self._is_open:
            raise BenchError(f"parcel {self.id} was closed", "", "open it again")

    @contextlib.contextmanager
    def _changing(self, say: str) -> Iterator[Change]:
        self._may_change()
        if self._acting:
            raise BenchError("an action within an action")
        self._acting = True
        try:
            docs, stock_of = self._db.docs("records"), partial(self._stock_of, self.id)
            yield Change(cast(Doc, self.head), docs, self._queue, say, stock_of)
        finally:
            self._acting = False

    def _commit(self, outcome: Outcome, say: str, kept: bool, was: Doc | None = None) -> None:
        """The action's documents and its history entry, in one write."""
        head = dict(cast(Doc, self.head) if outcome.head is None else outcome.head)
        if not outcome.ops and not (was or {}).get("book"):
            return self._put(outcome, head)
        ops = fresh(outcome.ops)
        entry, gone = self._history.plan(say, self._clock(), ops, self._undone, kept, fresh(was))
        head["revision"] += 1
        head["undone"] = 0
        with self._in_step(), self._storage.hold():
            table = self._db.kept("history")
            for number in gone:
                table.drop(str(number))
            table.put(str(entry.n), entry.doc())
            self._put(outcome, head)
        self._history.push(entry, gone)
        return None

    def _step(self, entry: Entry | None, back: bool) -> str | None:
        if entry is None or self.closed:
            return None
        self._may_change()
        head = cast(Doc, self.head)
        try:
            outcome = played(head, self._db.docs("records"), self._queue, entry.ops, back)
        except (KeyError, IndexError, TypeError, ValueError, AttributeError) as error:
            said = f"'{entry.say[:60]}' does not fit the parcel as it is now, so nothing was changed"
            raise BenchError(said, self._storage.where, "leave the history unedited") from error
        new_head = dict(cast(Doc, outcome.head))
        new_head["revision"] = head["revision"] + 1
        new_head["undone"] = self._undone + (1 if back else -1)
        with self._storage.hold():
            self._put(outcome, new_head)
        return entry.say

    def _put(self, outcome: Outcome, head: Doc) -> None:
        """Records, queue numbers and head, in one write. The queue in memory follows once it is accepted."""
        docs = self._db.docs("records")
        table = self._db.kept("records")
        head = self._keep_earlier(outcome, head)
        with self._in_step(), self._storage.hold():
            for key, doc in outcome.records.items():
                if doc is None:
                    table.drop(key)
                else:
                    table.put(key, doc)
            if outcome.queue != self._queue or outcome.records:
                for no, key in enumerate(outcome.queue, 1):
                    if docs[key]["no"] != no:
                        table.put(key, {**docs[key], "no": no})
            self._db.kept("head").put("head", head)
        self._queue = list(outcome.queue)

    def _keep_earlier(self, outcome: Outcome, head: Doc) -> Doc:
        """What the books go by stays in the documents as it was before (see `model.earlier`)."""
        old, docs = cast(Doc, self.head), self._db.docs("records")
        at, begun, closed_at = self._clock(), str(old.get("begun") or ""), self._closed_at()
        for key, new in outcome.records.items():
            was = docs.get(key)
            if new is not None and was is not None:
                outcome.records[key] = with_earlier(was, new, OF_RECORD, at, begun, closed_at)
            elif new is not None:
                outcome.records[key] = begun_with(new, at, begun, closed_at)
            elif was is not None and (had_stock(was) or stood_at_closing(was, begun, closed_at)):
                row = {"until": after_closing(at, closed_at), "record": was}
                head = {**head, "earlier": [*head.get("earlier", ()), row]}
        return with_earlier(old, head, OF_HEAD, at, begun, closed_at)

    @contextlib.contextmanager
    def _in_step(self) -> Iterator[None]:
        """Queue and history follow the tables, also when a write was broken off or rolled back."""
        try:
            yield
        except BaseException:
            self._queue = in_order(self._db.docs("records"))
            self._history = History(self._db.docs("history"))
            raise
