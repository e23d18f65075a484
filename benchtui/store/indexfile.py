"""The file of the index: a line a parcel, each with its checksum; the last line of a parcel counts.

What changed is appended, so that keeping the index costs what changed and not what the shop holds. It is a
cache: no line is waited for, and one that is torn or damaged means that its parcel is read again.
"""

import contextlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.store.entries import Entry, entry_from
from benchtui.store.files import Files, write_all, write_new
from benchtui.store.log import line_of, read_line

VERSION = 11
_OLD = ("index.json", "index-records.json")
LINES_AT_ONCE = 100
"""Lines read between two breaths: about 2 ms."""


class IndexFile:
    """One index file. Not being able to read or write it costs time, nothing else."""

    def __init__(self, path: Path, files: Files) -> None:
        self._path = path
        self._files = files
        self._lines = 0

    def read(self, entries: dict[str, Entry]) -> Iterator[None]:
        """Fills ``entries`` in steps; nothing where there is no such file, or one of another version."""
        lines = self._all_lines()
        for at, line in enumerate(lines):
            with contextlib.suppress(ValueError, TypeError, KeyError):
                key, kept = read_line(line)
                if kept is None:
                    entries.pop(key, None)
                else:
                    entries[str(key)] = _checked(entry_from(kept))
            if at % LINES_AT_ONCE == LINES_AT_ONCE - 1:
                yield
        self._lines = len(lines)

    def _all_lines(self) -> list[bytes]:
        try:
            first, *lines = self._files.read(self._path).split(b"\n")
            return lines[:-1] if read_line(first) == {"version": VERSION} else []
        except (OSError, ValueError):
            return []

    def anew(self) -> None:
        """With the next `keep` all of it is written anew, and nothing older is left in it."""
        self._lines = 0

    def keep(self, entries: dict[str, Entry], changed: set[str]) -> None:
        """Appends what changed; all anew where the file would be mostly lines that no longer count."""
        try:
            if not self._lines or self._lines + len(changed) > 2 * len(entries) + 100:
                self._write(entries)
            else:
                self._append(entries, changed)
        except (OSError, BenchError):
            self._lines = 0

    def _write(self, entries: dict[str, Entry]) -> None:
        beside = self._path.with_name(f"{self._path.name}.new")
        lines = [line_of([key, entry.kept()]) for key, entry in entries.items()]
        write_new(self._files, beside, b"".join([line_of({"version": VERSION}), *lines]))
        self._files.replace(beside, self._path)
        self._lines = len(lines)
        for name in _OLD:
            self._files.remove(self._path.with_name(name))

    def _append(self, entries: dict[str, Entry], changed: set[str]) -> None:
        """In one write, so that what two benches append stays apart."""
        lines = [line_of([key, entries[key].kept() if key in entries else None]) for key in sorted(changed)]
        handle = self._files.extend(self._path)
        try:
            # A line that another bench could not finish must not take the first of ours with it.
            write_all(self._files, handle, b"\n" + b"".join(lines))
        finally:
            self._files.close(handle)
        self._lines += len(lines)


def _checked(entry: Entry) -> Entry:
    """The entry as it is. TypeError for what is of no use, though its checksum fits."""
    texts: list[Any] = [entry.stamp, entry.text, entry.titles, entry.days, entry.apart]
    texts += [entry.waiting, entry.packed]
    if not all(type(text) is str for text in texts):
        raise TypeError("this is not an entry")
    return entry
