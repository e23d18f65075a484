"""Changes of a shared file that could not be saved: kept in memory, and made again on what the disk has."""

import contextlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from benchtui.base.errors import BenchError
from benchtui.store.codec import Doc, Tables

Key = tuple[str, str]
Touched = dict[Key, tuple[Doc | None, Doc | None]]
"""Table and id -> the document before and after, None where there is none."""


class NotSaved(BenchError):  # noqa: N818  (named for the state it tells)
    """The disk does not take the change now; with room, or the right to write, it would."""


class Sheet(Protocol):
    """What a change reads and writes: the tables as they are now."""

    def docs(self, table: str) -> dict[str, Doc]:
        """The documents of a table by id. Never to be changed."""
        ...

    def put(self, table: str, doc_id: str, doc: Doc | None) -> None:
        """Sets the document, or removes it (None)."""
        ...


Make = Callable[[Sheet], None]
"""A change. It may be made more than once, on different states: ids and times are chosen outside."""


class Ahead:
    """Tables in memory, ahead of those given, which stay as they are."""

    def __init__(self, tables: Tables) -> None:
        self.tables = dict(tables)
        self.put_here: dict[Key, Doc | None] = {}

    def docs(self, table: str) -> dict[str, Doc]:
        return self.tables.get(table, {})

    def put(self, table: str, doc_id: str, doc: Doc | None) -> None:
        docs = self.tables[table] = dict(self.tables.get(table, {}))
        self.put_here[table, doc_id] = doc
        if doc is None:
            docs.pop(doc_id, None)
        else:
            docs[doc_id] = doc


@dataclass(slots=True)
class PendingChange:
    """One change not known to be on the disk. ``needed``: parcels may refer to what it makes.

    ``result``: what it made when it was tried. A failed save may have reached the disk all the same (a sync
    that failed after the bytes had gone out): where the result is there, it is not made twice.
    """

    make: Make
    needed: bool
    result: dict[Key, Doc | None]

    def play(self, sheet: Sheet) -> None:
        """Makes the change, unless it is there. One that no longer fits what others changed is left out."""
        there = all(sheet.docs(table).get(key) == doc for (table, key), doc in self.result.items())
        if not (self.result and there):
            with contextlib.suppress(BenchError):
                self.make(sheet)


def taken_back(touched: Touched) -> PendingChange:
    """What takes back a change that was refused, wherever it reached the disk all the same."""

    def make(sheet: Sheet) -> None:
        if all(sheet.docs(table).get(key) == after for (table, key), (_, after) in touched.items()):
            for (table, key), (before, _) in touched.items():
                sheet.put(table, key, before)

    return PendingChange(make, needed=False, result={})
