"""A file in two versions: an older copy beside a newer log, or a copy that was written somewhere else.

A folder-sync service or a restored copy may put one of a parcel's files in place without the others. Which
version holds, a person says; the one that does not is kept whole in ``.keep`` (``x.json.other-1``).
"""

from typing import Any, Literal, NamedTuple

from benchtui.base.errors import BenchError
from benchtui.store.codec import Tables
from benchtui.store.files import Files
from benchtui.store.load import Loaded, brought_forward
from benchtui.store.place import Place

Which = Literal["file", "log"]
"""The version of the file as it stands, or the one that the previous copy and the logs give."""


class Version(NamedTuple):
    """One of the two, in words for the person who chooses."""

    which: Which
    words: str


class TwoVersions(BenchError):  # noqa: N818  (named for the state it tells)
    """The parcel can be read, and is worked on once somebody has chosen between the ``versions``."""

    def __init__(self, said: str, versions: tuple[Version, ...]) -> None:
        self.versions = versions
        super().__init__(said, "", "open it on the bench and choose")


def other_version(files: Files, place: Place, kind: str, loaded: Loaded) -> Loaded | None:
    """What the logs give on the main file or the previous copy, where that is not what was loaded."""
    found = []
    for path in (place.main, place.previous):
        try:
            one = brought_forward(files, place, path, kind)
        except BenchError:
            continue
        if (one.generation, one.count) != (loaded.generation, loaded.count):
            found.append(one)
    return max(found, key=lambda one: one.count, default=None)


def versions_of(loaded: Loaded, other: Loaded | None) -> tuple[Version, ...]:
    """Both in words; only the first where the log's changes fit nothing that is left."""
    file = Version("file", f"the file as it stands: {in_words(loaded.tables)}")
    if other is None:
        return (file,)
    return file, Version("log", f"as last saved on this machine: {in_words(other.tables)}")


def in_words(tables: Tables) -> str:
    """A parcel: its records, and the last thing done."""
    records = tables.get("records", {}).values()
    head: dict[str, Any] = tables.get("head", {}).get("head", {})
    taken_in = sum(record.get("state") == "taken-in" for record in records)
    changes = head.get("revision", 0)
    words = (
        f"{len(records)} {'record' if len(records) == 1 else 'records'}, {taken_in} taken in, "
        f"{changes} {'change' if changes == 1 else 'changes'}"
    )
    entries = sorted(tables.get("history", {}).values(), key=lambda entry: int(entry["n"]))
    if not entries:
        return words
    return (
        f"{words}, the last {entries[-1].get('at', '')[:16].replace('T', ' ')}: {entries[-1].get('say', '')}"
    )


def go_past(chosen: Tables, left: Tables) -> None:
    """The chosen version of a parcel gets a revision that neither has had: what was counted of them is
    counted again.
    """
    last = max(tables.get("head", {}).get("head", {}).get("revision", 0) for tables in (chosen, left))
    if head := chosen.get("head", {}).get("head"):
        chosen["head"] = {"head": {**head, "revision": last + 1}}
