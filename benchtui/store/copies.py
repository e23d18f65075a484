"""Copies that a folder-sync service or a person left beside the shop's files: never a parcel, never a shop.

Such services do not know what a file is. Where two machines changed one, they keep both, one under a name
made of the old one and some more: ``x (1).json``, ``x - Copy.json``, ``Copy of x.json``, ``x (conflicted copy
2026-11-25).json``, ``x.sync-conflict-20261125-101112-ABC.json``, ``x-MACHINE.json``.
"""

import re
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.store.codec import Doc, Tables, same
from benchtui.store.files import Files, as_bench_error
from benchtui.store.load import load, read_alone
from benchtui.store.place import KEEP, Place

_PARCEL = re.compile(r"(?<![0-9A-Za-z])\d{4}-\d\d-\d\d-\d+(?!\d)")
_PLAIN = re.compile(r"[0-9A-Za-z_.-]*")
_SHARED = ("shop", "titles")
_OURS = re.compile(
    r"\.(log|previous|log\.previous|lock)(\.(damaged|foreign)-\d+)?(\.new)?"
    r"|\.(damaged|foreign|other|schema-\d+)-\d+|\.log\.other-\d+"
)
"""Endings of side files of a kept file."""
_SHOWN = 6


class Copy(NamedTuple):
    """``path``: the copy; ``of``: the name of the file it is a copy of; ``words``: in what the two differ."""

    path: Path
    of: str
    words: str

    def line(self) -> str:
        """All of it in one line, without the folder."""
        return f"{self.path.name}: a copy beside {self.of}, not used; {self.words}"


def copied_from(stem: str, stems: Collection[str]) -> str:
    """The name (without ``.json``) of the file in the folder that this one is a copy of; "" for no copy."""
    if (found := _PARCEL.search(stem)) and found[0] != stem and found[0] in stems:
        return found[0]
    start = _PLAIN.match(stem)
    plain = start[0].rstrip("-_.") if start is not None else ""
    return plain if plain != stem and plain in stems else ""


class Copies:
    """The copies in one shop. What a copy differs in is looked for once for each state of the two files."""

    def __init__(self, shop: Path, files: Files) -> None:
        self._shop = shop
        self._files = files
        self._known: dict[tuple[object, ...], Copy] = {}

    def all(self) -> list[Copy]:
        """Those in the shop's folder, among its parcels and their side files."""
        named = [*_shared_copies(self._shop, self._files), *_parcel_copies(self._shop, self._files)]
        found = {self._state(path, original): (path, original, kind) for path, original, kind in named}
        known = {key: self._known.get(key) or _compared(self._files, *one) for key, one in found.items()}
        self._known = known
        return [*known.values(), *_side_copies(self._shop, self._files)]

    def _state(self, path: Path, original: Path) -> tuple[object, ...]:
        files, place = self._files, Place(original)
        with as_bench_error(original):
            return path, files.look(path), files.look(original), files.look(place.log)


def _shared_copies(shop: Path, files: Files) -> Iterator[tuple[Path, Path, str]]:
    for name in _names(shop, files, ".json"):
        for kind in _SHARED:
            if name != f"{kind}.json" and re.search(rf"(?<![a-z]){kind}(?![a-z])", name[:-5], re.IGNORECASE):
                yield shop / name, shop / f"{kind}.json", kind


def _parcel_copies(shop: Path, files: Files) -> Iterator[tuple[Path, Path, str]]:
    names = _names(shop / "parcels", files, ".json")
    stems = {name[:-5] for name in names}
    for name in names:
        if of := copied_from(name[:-5], stems):
            yield shop / "parcels" / name, shop / "parcels" / f"{of}.json", "parcel"


def _side_copies(shop: Path, files: Files) -> Iterator[Copy]:
    for folder in (shop, shop / "parcels"):
        for name in _names(folder / KEEP, files):
            of, _, ending = name.partition(".json")
            shared = of in _SHARED if folder == shop else _PARCEL.fullmatch(of) is not None
            if (shared and ending and not _OURS.fullmatch(ending)) or (not shared and _PARCEL.search(of)):
                yield Copy(
                    folder / KEEP / name, f"{of}.json", "it holds a side file, such as a log of changes"
                )


def _names(folder: Path, files: Files, ending: str = "") -> list[str]:
    with as_bench_error(folder):
        return sorted(name for name, stamp in files.names(folder, ending).items() if stamp.regular)


def _compared(files: Files, path: Path, original: Path, kind: str) -> Copy:
    try:
        theirs = read_alone(files, path, kind).tables
    except BenchError as error:
        return Copy(path, original.name, f"it cannot be read: {error.what}")
    try:
        ours = load(files, Place(original), kind).tables
    except BenchError as error:
        return Copy(path, original.name, f"{original.name} cannot be read: {error.what}")
    differing = _parcel_differs if kind == "parcel" else _shared_differs
    return Copy(path, original.name, differing(theirs, ours) or "it holds the same")


def _parcel_differs(theirs: Tables, ours: Tables) -> str:
    """``revision 40, here 45; records that differ: 3, 7; only in the copy: 9``"""
    there, here = theirs.get("records", {}), ours.get("records", {})
    numbers = {
        "records that differ": [
            here[key] for key in here if key in there and not same(here[key], there[key])
        ],
        "only in the copy": [there[key] for key in there if key not in here],
        "not in the copy": [here[key] for key in here if key not in there],
    }
    said = [f"{name}: {_numbers(docs)}" for name, docs in numbers.items() if docs]
    revisions = [_head(tables).get("revision", 0) for tables in (theirs, ours)]
    if revisions[0] != revisions[1] or said:
        said.insert(0, f"revision {revisions[0]}, here {revisions[1]}")
    return "; ".join(said)


def _shared_differs(theirs: Tables, ours: Tables) -> str:
    """``senders: 2 differ or are missing here``"""
    said = []
    for table, there in theirs.items():
        here = ours.get(table, {})
        if more := sum(key not in here or not same(here[key], doc) for key, doc in there.items()):
            said.append(f"{table}: {more} of {len(there)} differ or are not here")
    return "; ".join(said)


def _head(tables: Tables) -> Doc:
    return tables.get("head", {}).get("head", {})


def _numbers(docs: list[dict[str, Any]]) -> str:
    shown = sorted(str(doc.get("no", "?")) for doc in docs[:_SHOWN])
    return ", ".join(shown) + (f" and {len(docs) - _SHOWN} more" if len(docs) > _SHOWN else "")
