"""One action while it is being made: private copies of what it touches, and what came of them."""

import json
from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import Any, cast

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.codec import Doc, fresh, same
from benchtui.store.diff import Op, diff, play

# Where the dealer is and what the store counts: never in the history.
UNRECORDED = ("cursor", "draft", "undone", "revision", "sessions", "corrections", "earlier")


class Change:
    """What `Parcel.action` hands out. ``say`` may be changed while it is open."""

    def __init__(self, head: Doc, records: dict[str, Doc], queue: list[str], say: str,
                 stock_of: Callable[[str], str | None]) -> None:  # fmt: skip
        self.say = say
        self.queue = list(queue)
        self._old_head = head
        self._old = records
        self._old_queue = queue
        self._new_head: Doc | None = None
        self._new: dict[str, Doc] = {}
        self._moves: list[Op] = []
        self._stock_of = stock_of

    @property
    def head(self) -> HeadDoc:
        """The head, to be changed freely."""
        if self._new_head is None:
            self._new_head = json.loads(json.dumps(self._old_head))
        return cast(HeadDoc, self._new_head)

    def record(self, record_id: str) -> RecordDoc:
        """The record of that id, to be changed freely (but for ``id`` and ``no``)."""
        if record_id not in self.queue:
            raise BenchError(f"there is no record {record_id!r} in this parcel")
        if record_id not in self._new:
            self._new[record_id] = json.loads(json.dumps(self._old[record_id]))
        return cast(RecordDoc, self._new[record_id])

    def add(self, record: RecordDoc, no: int | None = None) -> RecordDoc:
        """A new record at place ``no`` of the queue (None: at its end); gives the copy that is kept."""
        record_id = record["id"]
        if record_id in self.queue or record_id in self._old:
            raise BenchError(f"the record {record_id!r} is in this parcel already")
        at = len(self.queue) if no is None else min(max(no, 1), len(self.queue) + 1) - 1
        self.queue.insert(at, record_id)
        self._moves.append([["queue", record_id], [], [at + 1]])
        self._new[record_id] = fresh(record)
        return cast(RecordDoc, self._new[record_id])

    def move(self, record_id: str, no: int) -> None:
        """The record goes to place ``no``."""
        at = self._place(record_id)
        self.queue.pop(at)
        to = min(max(no, 1), len(self.queue) + 1) - 1
        self.queue.insert(to, record_id)
        self._moves.append([["queue", record_id], [at + 1], [to + 1]])

    def remove(self, record_id: str) -> None:
        """Takes the record out of the queue; one with a stock number stays in it as withdrawn."""
        stock = self._stock_of(record_id)
        if stock is not None:
            record = self.record(record_id)
            record["state"], record["stock"] = "withdrawn", stock
            return
        at = self._place(record_id)
        self.queue.pop(at)
        self._moves.append([["queue", record_id], [at + 1], []])
        self._new.pop(record_id, None)

    def _place(self, record_id: str) -> int:
        if record_id not in self.queue:
            raise BenchError(f"there is no record {record_id!r} in this parcel")
        return self.queue.index(record_id)

    def touches(self, head: Collection[str], record: Collection[str]) -> list[str] | None:
        """The records of which one of these fields was changed so far ([] where it is only the head's); None
        where none was."""
        new = self._new_head
        of_head = new is not None and any(new.get(name) != self._old_head.get(name) for name in head)
        found = [
            key
            for key, doc in self._new.items()
            if any(doc.get(name) != self._old.get(key, {}).get(name) for name in record)
        ]
        return found if found or of_head or self.queue != self._old_queue else None

    def fields(self, head: Collection[str], record: Collection[str]) -> list[str]:
        """Which of these fields were changed so far, of the head and of any record; "queue" where records
        came or went."""
        new = self._new_head or self._old_head
        found = {name for name in head if new.get(name) != self._old_head.get(name)}
        for key, doc in self._new.items():
            found |= {name for name in record if doc.get(name) != self._old.get(key, {}).get(name)}
        return sorted(found | ({"queue"} if self.queue != self._old_queue else set()))

    def settled(self) -> "Outcome":
        """What the action comes to. BenchError for anything JSON cannot hold."""
        try:
            return self._settled()
        except RecursionError as error:
            raise BenchError("this cannot be saved: it is nested too deeply") from error

    def _settled(self) -> "Outcome":
        ops: list[Op] = []
        head: Doc | None = None
        if self._new_head is not None:
            fixed = {key: self._old_head[key] for key in ("id", "undone", "revision")}
            head = fresh({**self._new_head, **fixed})
            ops += diff(_recorded(self._old_head), _recorded(head), ["head"])
            head = None if same(head, self._old_head) else head
        records: dict[str, Doc | None] = {}
        here = set(self.queue)
        taken_out = [key for key in self._old_queue if key not in here]
        moves = self._moves if self.queue != self._old_queue else []
        for key, doc in self._new.items():
            old = self._old.get(key)
            new = fresh({**doc, "id": key, "no": self.queue.index(key) + 1})
            if old is None:
                ops.append([["records", key], [], [new]])
            else:
                ops += diff(_unplaced(old), _unplaced(new), ["records", key])
            records[key] = new
        ops += moves
        for key in taken_out:
            ops.append([["records", key], [self._old[key]], []])
            records[key] = None
        return Outcome(head, records, self.queue, ops)


@dataclass(slots=True)
class Outcome:
    """Documents to be put (None: dropped), the new queue, and the operations for the history."""

    head: Doc | None
    records: dict[str, Doc | None]
    queue: list[str]
    ops: list[Op]


def played(head: Doc, records: dict[str, Doc], queue: list[str], ops: list[Op], back: bool) -> Outcome:
    """What comes of playing a history entry's operations, forward or ``back``.

    KeyError, IndexError, TypeError, ValueError or AttributeError where they do not fit.
    """
    touched = {op[0][1] for op in ops if op[0][0] in ("records", "queue")}
    copies: dict[str, Any] = {key: json.loads(json.dumps(records[key])) for key in touched if key in records}
    tree = {"head": json.loads(json.dumps(head)), "records": copies}
    queue = list(queue)
    for op in reversed(ops) if back else ops:
        if op[0][0] == "queue":
            _requeue(queue, op, back)
        else:
            play(tree, [op], back)
    found: dict[str, Doc | None] = {key: copies.get(key) for key in touched}
    if any((doc is not None) != (key in queue) for key, doc in found.items()):
        raise ValueError("the operations leave a record without a place, or a place without a record")
    return Outcome(tree["head"], found, queue, ops)


def _requeue(queue: list[str], op: Op, back: bool) -> None:
    (_, record_id), before, after = op
    if back:
        before, after = after, before
    if before:
        queue.remove(record_id)
    if after:
        queue.insert(after[0] - 1, record_id)


def _recorded(head: Doc) -> Doc:
    return {key: value for key, value in head.items() if key not in UNRECORDED}


def _unplaced(record: Doc) -> Doc:
    return {key: value for key, value in record.items() if key not in ("no", "earlier")}
