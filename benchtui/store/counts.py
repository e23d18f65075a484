"""Learnt counts of all parcels, added up: a cache by parcel and revision, equal to a rebuild at any time."""

import contextlib
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from time import perf_counter
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.model.parcel import HeadDoc
from benchtui.model.record import RecordDoc
from benchtui.store.files import Files, write_new
from benchtui.store.index import SAVE_AFTER, STEP
from benchtui.store.log import line_of, read_line
from benchtui.store.place import KEEP

Count = Callable[[list[RecordDoc]], dict[str, Any]]
Read = Callable[[str], list[RecordDoc]]


class CountCache:
    """Parcel id -> revision and that parcel's counts, as text; the total is their sum.

    The total stands by itself in the file's first line, the parcels in its second, which is read only where
    something is to be counted.
    """

    def __init__(self, shop: Path, files: Files, read_only: bool) -> None:
        self.is_there: Callable[[], bool] = lambda: True
        """Whether the shop is where it was opened; else nothing is kept."""
        self._path = shop / KEEP / "counts.json"
        self._files = files
        self._read_only = read_only
        self._of: dict[str, tuple[Any, str]] | None = None
        self._rule: str | None = None
        self._total: dict[str, Any] = {}
        self._unsaved = 0

    def last(self, rule: str) -> dict[str, Any]:
        """The total as it was last known, without a look at any parcel; empty where none was kept."""
        if self._rule != rule:
            self._of, self._rule, self._total = None, rule, self._saved_total(rule)
        return self._total

    def total(self, parcels: Mapping[str, Any], read: Read, count: Count, rule: str) -> dict[str, Any]:
        """The sum over all parcels (id -> revision), counting again only what changed.

        ``rule`` names the way of counting: counts made by another rule are not used.
        """
        self.catch_up(parcels, read, count, rule, float("inf"))
        return self._total

    def catch_up(self, parcels: Mapping[str, Any], read: Read, count: Count, rule: str,
                 seconds: float = STEP) -> float | None:  # fmt: skip
        """Counts what changed for so long; the share done, or None once nothing is left."""
        of, until = self._known(rule), perf_counter() + seconds
        for key in [key for key in of if key not in parcels]:
            self._take_out(of, key)
        changed = [key for key, revision in parcels.items() if key not in of or of[key][0] != revision]
        for at, key in enumerate(changed):
            self._put(of, key, parcels[key], count(read(key)))
            if perf_counter() >= until and at + 1 < len(changed):
                return 1 - (len(changed) - at - 1) / max(1, len(parcels))
        if self._unsaved >= SAVE_AFTER:
            self.save()
        return None

    def note(self, head: HeadDoc, records: list[RecordDoc], count: Count, rule: str) -> None:
        """A parcel that was read for another reason: counted now, if it changed, instead of read again."""
        of = self._known(rule)
        if head["id"] not in of or of[head["id"]][0] != head["revision"]:
            self._put(of, head["id"], head["revision"], count(records))

    def save(self) -> None:
        """Keeps the counts, best effort."""
        if self._read_only or not self._unsaved or self._of is None or not self.is_there():
            return
        beside = self._path.with_name(f"{self._path.name}.new")
        total = line_of({"rule": self._rule, "total": self._total})
        with contextlib.suppress(OSError, BenchError):
            write_new(self._files, beside, total + line_of({"rule": self._rule, "of": self._of}))
            self._files.replace(beside, self._path)
            self._unsaved = 0

    def _put(self, of: dict[str, tuple[Any, str]], key: str, revision: Any, counts: dict[str, Any]) -> None:
        self._take_out(of, key)
        of[key] = (revision, json.dumps(counts) if counts else "")
        add_up(self._total, counts)
        self._unsaved += 1

    def _take_out(self, of: dict[str, tuple[Any, str]], key: str) -> None:
        if key in of:
            _, counts = of.pop(key)
            self._unsaved += 1
            if counts:
                add_up(self._total, json.loads(counts), -1)

    def _known(self, rule: str) -> dict[str, tuple[Any, str]]:
        """What was counted by this rule, and the total with it: both from one file, or neither."""
        if self._of is None or self._rule != rule:
            self._rule, self._total = rule, {}
            self._of = self._saved(rule)
        return self._of

    def _saved(self, rule: str) -> dict[str, tuple[Any, str]]:
        try:
            first, second, _ = self._files.read(self._path).split(b"\n", 2)
            total, said = read_line(first), read_line(second)
            of = {str(key): (revision, str(text)) for key, (revision, text) in said["of"].items()}
            if total["rule"] != rule or said["rule"] != rule:
                return {}
            self._total = dict(total["total"])
            return of
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}

    def _saved_total(self, rule: str) -> dict[str, Any]:
        try:
            said = read_line(self._files.read(self._path).split(b"\n", 1)[0])
            return dict(said["total"]) if said["rule"] == rule else {}
        except (OSError, ValueError, KeyError, TypeError):
            return {}


def add_up(total: dict[str, Any], more: dict[str, Any], times: int = 1) -> None:
    """Adds numbers, and objects of numbers, key by key; what comes to nothing is left out."""
    for key, value in more.items():
        if isinstance(value, dict):
            inner = total.setdefault(key, {})
            add_up(inner, value, times)
            if not inner:
                del total[key]
        elif total.get(key, 0) + times * value:
            total[key] = total.get(key, 0) + times * value
        else:
            total.pop(key, None)
