"""Closed periods on the disk: ``closed/2026-03-31.json``, written once and never again.

What is in them is the money room's; this room sees that each is whole on the disk and not written over.
"""

import json
from pathlib import Path
from typing import Any

from benchtui.base.errors import BenchError
from benchtui.store.codec import canonical
from benchtui.store.files import DISK, Files, as_bench_error, write_new

FOLDER = "closed"


def read_closings(shop: Path, files: Files = DISK) -> list[dict[str, Any]]:
    """Every closing, oldest first. BenchError names a file that cannot be read."""
    folder = shop / FOLDER
    return [_read(folder / name, files) for name in sorted(files.names(folder, ".json"))]


def _read(path: Path, files: Files) -> dict[str, Any]:
    try:
        with as_bench_error(path):
            doc = read_closing(files.read(path))
    except ValueError as error:
        raise BenchError("a closed period that cannot be read", path, "put it back from a backup") from error
    if not isinstance(doc, dict) or doc.get("through") != path.stem:
        raise BenchError("not the closed period that its name says", path, "put it back from a backup")
    return doc


def read_closing(data: bytes) -> Any:
    """What the file says, each text that stands in it often (a day, a sentence, a seller) held once: that of
    a large shop says most of its words a thousand times. ValueError for what is no JSON."""
    held: dict[str, str] = {}
    text = data.decode("utf-8")
    del data

    def one(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        return {key: held.setdefault(it, it) if type(it) is str else it for key, it in pairs}

    return json.loads(text, object_pairs_hook=one)


def write_closing(shop: Path, doc: dict[str, Any], files: Files = DISK) -> Path:
    """One more closing, whole on the disk or not at all. BenchError where the day was closed before."""
    folder = shop / FOLDER
    path = folder / f"{doc['through']}.json"
    with as_bench_error(path):
        files.make_folder(folder)
        if files.look(path) is not None:
            raise BenchError(f"the books are closed to {doc['through']} already", path, "enter a later day")
        beside = path.with_suffix(".new")
        files.remove(beside)
        write_new(files, beside, canonical(doc).encode("utf-8"))
        files.replace(beside, path)
        files.sync_folder(folder)
    return path
