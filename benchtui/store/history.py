"""The parcel's history: what was done, how to take it back, and how much of it is kept."""

from typing import Any, NamedTuple

from benchtui.store.codec import Doc, size_of
from benchtui.store.diff import Op

KEPT_ACTIONS = 500
KEPT_BYTES = 128 * 1024


class Entry(NamedTuple):
    """One action: its number, what it was in words, when (UTC). ``kept``: undo cannot take it back.

    ``was``: what the bench showed before it and what it is about, by ids; None in files of earlier versions.
    """

    n: int
    say: str
    at: str
    ops: list[Op]
    kept: bool = False
    was: Doc | None = None

    def doc(self) -> Doc:
        """The entry as the store keeps it."""
        doc: dict[str, Any] = {"n": self.n, "say": self.say, "at": self.at, "ops": self.ops}
        if self.kept:
            doc["kept"] = True
        if self.was is not None:
            doc["was"] = self.was
        return doc

    def concerns(self) -> list[str]:
        """Ids of the records it changed, added, moved or took out, in its own order; found by the paths."""
        found = [str(path[1]) for path, _, _ in self.ops if path[0] in ("records", "queue") and len(path) > 1]
        return list(dict.fromkeys(found))

    def gives(self, record_id: str, field: str) -> Any:
        """What the action made of a record's field; None where it did not touch it."""
        wanted = ["records", record_id, field]
        return next((after[0] for path, _, after in self.ops if path == wanted and after), None)


class History:
    """Entries in order. Of the last ``undone`` ones, each may be done again; a new action forgets them."""

    def __init__(self, docs: dict[str, Doc]) -> None:
        ordered = sorted(docs.values(), key=lambda doc: int(doc["n"]))
        self.entries = [
            Entry(doc["n"], doc["say"], doc["at"], doc["ops"], bool(doc.get("kept")), doc.get("was"))
            for doc in ordered
        ]
        self._sizes: dict[int, int] | None = None
        self._bytes = 0

    def next_undo(self, undone: int) -> Entry | None:
        """What undo would take back, if it may."""
        at = len(self.entries) - undone - 1
        entry = self.entries[at] if at >= 0 else None
        return None if entry is None or entry.kept else entry

    def next_redo(self, undone: int) -> Entry | None:
        """What redo would do again."""
        return self.entries[len(self.entries) - undone] if 0 < undone <= len(self.entries) else None

    def plan(
        self, say: str, at: str, ops: list[Op], undone: int, kept: bool, was: Doc | None = None
    ) -> tuple[Entry, list[int]]:
        """The entry for a new action, and the numbers of those it drives out (undone ones, oldest ones)."""
        sizes = self._measured()
        live = self.entries[: len(self.entries) - undone] if undone else self.entries
        entry = Entry(live[-1].n + 1 if live else 1, say, at, ops, kept, was)
        gone = [each.n for each in self.entries[len(live) :]]
        size = self._bytes - sum(sizes[n] for n in gone) + size_of(entry.doc())
        for position, each in enumerate(live):
            size -= sizes[each.n]
            if len(live) + 1 - position <= KEPT_ACTIONS or size < KEPT_BYTES:
                break
            gone.append(each.n)
        return entry, gone

    def push(self, entry: Entry, gone: list[int]) -> None:
        """Takes the planned change over, once it is accepted."""
        sizes, out = self._measured(), set(gone)
        if out:
            self.entries = [each for each in self.entries if each.n not in out]
            self._bytes -= sum(sizes.pop(n) for n in out)
        self.entries.append(entry)
        sizes[entry.n] = size_of(entry.doc())
        self._bytes += sizes[entry.n]

    def _measured(self) -> dict[int, int]:
        """Each entry's size; found out with the first new entry, since reading a parcel needs none."""
        if self._sizes is None:
            self._sizes = {entry.n: size_of(entry.doc()) for entry in self.entries}
            self._bytes = sum(self._sizes.values())
        return self._sizes
