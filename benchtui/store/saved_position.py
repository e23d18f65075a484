"""How far a kept file goes: noted in its lock's side file after each save.

The note is not waited for, so after a crash it may be an older one, or none. But it is written only once the
save is on the disk: a file that ends before it was cut or replaced by something outside this program, also
where the cut is so clean that the file itself does not show it.
"""

import zlib
from typing import NamedTuple

from benchtui.store.files import Files
from benchtui.store.place import Place


class SavedPosition(NamedTuple):
    """Generation of the main file, the changes since the file began, and the last log that led there."""

    generation: str
    changes: int
    log: str = ""


_START = "last: "


def position_line(position: SavedPosition) -> str:
    """The note as a line of the side file, with its checksum."""
    said = f"{position.generation} {position.changes} {position.log}".rstrip()
    return f"{_START}{said} {zlib.crc32(said.encode()):08x}\n"


def position_in(text: str) -> SavedPosition | None:
    """What the note in the text says; None where there is none, or a torn one."""
    first = text.partition("\n")[0]
    said, _, checksum = first.removeprefix(_START).rpartition(" ")
    generation, count, log, *_ = [*said.split(" "), "", ""]
    if not first.startswith(_START) or f"{zlib.crc32(said.encode()):08x}" != checksum:
        return None
    return SavedPosition(generation, int(count), log) if count.isdecimal() else None


def noted_position(files: Files, place: Place) -> SavedPosition | None:
    """How far the file is known to go. To be asked before the file is read: others may write meanwhile."""
    try:
        return position_in(files.read(place.lock).decode("utf-8", "replace"))
    except OSError:
        return None
