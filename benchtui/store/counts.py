"""Learnt counts of all parcels, added up: a cache by parcel and revision, equal to a rebuild at any time."""

import contextlib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from benchtui.errors import BenchError
from benchtui.model.record import RecordDoc
from benchtui.store.codec import Doc
from benchtui.store.files import Files, write_new
from benchtui.store.index import SAVE_AFTER
from benchtui.store.log import line_of, read_line
from benchtui.store.place import KEEP

Count = Callable[[list[RecordDoc]], dict[str, Any]]


class CountCache:
    """``of``: parcel id -> revision and that parcel's counts; the total is their sum."""

    def __init__(self, shop: Path, files: Files, read_only: bool) -> None:
        self._path = shop / KEEP / "counts.json"
        self._files = files
        self._read_only = read_only
        self._of: dict[str, Doc] | None = None
        self._rule = ""
        self._total: dict[str, Any] = {}
        self._unsaved = 0

    def total(self, parcels: Iterable[tuple[str, Any]], read: Callable[[str], list[RecordDoc]],
              count: Count, rule: str) -> dict[str, Any]:  # fmt: skip
        """The sum over all parcels (pairs of id and revision), counting again only what changed.

        ``rule`` names the way of counting: counts made by another rule are not used.
        """
        now = dict(parcels)
        if self._of is None or rule != self._rule:
            self._of, self._rule, self._total = self._saved(rule), rule, {}
            for key in self._of:
                add_up(self._total, self._of[key]["counts"])
        changed = [key for key, revision in now.items() if self._of.get(key, {}).get("revision") != revision]
        gone = [key for key in self._of if key not in now]
        for key in gone + [key for key in changed if key in self._of]:
            add_up(self._total, self._of.pop(key)["counts"], -1)
        for key in changed:
            self._of[key] = {"revision": now[key], "counts": count(read(key))}
            add_up(self._total, self._of[key]["counts"])
        self._unsaved += len(changed) + len(gone)
        if self._unsaved >= SAVE_AFTER:
            self.save()
        return self._total

    def save(self) -> None:
        """Keeps the counts, best effort."""
        if self._read_only or not self._unsaved:
            return
        beside = self._path.with_name("counts.json.new")
        with contextlib.suppress(OSError, BenchError):
            write_new(self._files, beside, line_of({"rule": self._rule, "of": self._of}))
            self._files.replace(beside, self._path)
            self._unsaved = 0

    def _saved(self, rule: str) -> dict[str, Doc]:
        try:
            said = read_line(self._files.read(self._path).rstrip(b"\n"))
            return dict(said["of"]) if said["rule"] == rule else {}
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
