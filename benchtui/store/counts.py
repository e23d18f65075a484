"""Learnt counts of all parcels, added up: a cache by parcel and revision, equal to a rebuild at any time."""

import contextlib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from benchtui.errors import BenchError
from benchtui.model.record import RecordDoc
from benchtui.store.codec import Doc, decode, encode
from benchtui.store.files import Files, write_new
from benchtui.store.place import KEEP

Count = Callable[[list[RecordDoc]], dict[str, Any]]


class CountCache:
    """``of``: parcel id -> revision and that parcel's counts; the total is their sum."""

    def __init__(self, shop: Path, files: Files, read_only: bool) -> None:
        self._path = shop / KEEP / "counts.json"
        self._files = files
        self._read_only = read_only
        self._of: dict[str, Doc] | None = None
        self._total: dict[str, Any] = {}

    def total(self, parcels: Iterable[tuple[str, Any]], read: Callable[[str], list[RecordDoc]],
              count: Count, rule: str) -> dict[str, Any]:  # fmt: skip
        """The sum over all parcels (pairs of id and revision), counting again only what changed.

        ``rule`` names the way of counting: counts made by another rule are not used.
        """
        now = dict(parcels)
        if self._of is None:
            self._of = self._saved(rule)
        changed = [key for key, revision in now.items() if self._of.get(key, {}).get("revision") != revision]
        gone = [key for key in self._of if key not in now]
        if changed or gone or not self._total:
            self._count_again(changed, gone, now, read, count)
            if changed or gone:
                self._save(rule)
        return self._total

    def _count_again(self, changed: list[str], gone: list[str], now: dict[str, Any],
                     read: Callable[[str], list[RecordDoc]], count: Count) -> None:  # fmt: skip
        assert self._of is not None
        for key in gone:
            self._of.pop(key)
        for key in changed:
            self._of[key] = {"revision": now[key], "counts": count(read(key))}
        total: dict[str, Any] = {}
        for key in sorted(self._of):
            add_up(total, self._of[key]["counts"])
        self._total = total

    def _saved(self, rule: str) -> dict[str, Doc]:
        try:
            said = decode(self._files.read(self._path))
            of = said["of"]
            whole = said["rule"] == rule and all(isinstance(doc["counts"], dict) for doc in of.values())
            return dict(of) if whole else {}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}

    def _save(self, rule: str) -> None:
        if self._read_only:
            return
        beside = self._path.with_name("counts.json.new")
        with contextlib.suppress(OSError, BenchError):
            write_new(self._files, beside, encode({"rule": rule, "of": self._of}).encode())
            self._files.replace(beside, self._path)


def add_up(total: dict[str, Any], more: dict[str, Any]) -> None:
    """Adds numbers, and objects of numbers, key by key."""
    for key, value in more.items():
        if isinstance(value, dict):
            add_up(total.setdefault(key, {}), value)
        else:
            total[key] = total.get(key, 0) + value
