"""The log beside a kept file: one line a change, each with its checksum, replayed when the file is opened.

A change is a list of patches ``[table, id, fields, dropped]``: the top-level fields to set and those to
drop; ``fields`` null removes the document, ``dropped`` null replaces it whole.
"""

import zlib
from dataclasses import dataclass, field
from typing import Any

from benchtui.store.codec import Doc, Tables, decode, encode, same

Patch = list[Any]
HEADER_SIZE = 160


def patch_of(table: str, doc_id: str, old: Doc | None, new: Doc | None) -> Patch | None:
    """The smallest patch from one version of a document to another; None where nothing changed."""
    if new is None:
        return None if old is None else [table, doc_id, None, None]
    if old is None:
        return [table, doc_id, new, None]
    fields = {key: value for key, value in new.items() if key not in old or not same(old[key], value)}
    dropped = [key for key in old if key not in new]
    return [table, doc_id, fields, dropped] if fields or dropped else None


def apply_patch(tables: Tables, patch: Patch) -> None:
    """Plays one patch into the tables."""
    table, doc_id, fields, dropped = patch
    docs = tables.setdefault(table, {})
    if fields is None:
        docs.pop(doc_id, None)
    elif dropped is None:
        docs[doc_id] = fields
    else:
        doc = {**docs[doc_id], **fields}
        for key in dropped:
            doc.pop(key, None)
        docs[doc_id] = doc


def line_of(value: Any) -> bytes:
    """One line: checksum, space, JSON."""
    text = encode(value).encode()
    return b"%08x %s\n" % (zlib.crc32(text), text)


def read_line(line: bytes) -> Any:
    """What the line says. ValueError where it is torn or damaged."""
    if len(line) < 10 or line[8:9] != b" " or int(line[:8], 16) != zlib.crc32(line[9:]):
        raise ValueError("the checksum does not fit")
    return decode(line[9:])


@dataclass(frozen=True, slots=True)
class Header:
    """First line of a log: the generation of the main file it follows, the one before, the count so far.

    ``mark``: what no other log has. Two machines that go on from the same main file begin two logs.
    """

    generation: str
    before: str
    count: int
    mark: str = ""

    @property
    def name(self) -> str:
        """What the log is known by; older logs have no mark."""
        return self.mark or self.generation

    def line(self) -> bytes:
        """The header as a line."""
        said = {"log": 1, "generation": self.generation, "before": self.before, "count": self.count}
        return line_of({**said, "mark": self.mark})


@dataclass(slots=True)
class Played:
    """What replaying a log gave: whether it belonged, the count then, what was wrong, what it touched.

    ``good``: bytes of the log, or of the lines given, that were played.
    """

    belongs: bool = False
    header: Header | None = None
    count: int = 0
    torn: bool = False
    lost: int = 0
    good: int = 0
    touched: list[tuple[str, str]] = field(default_factory=list)


def header_of(raw: bytes) -> Header | None:
    """The header of a log, or None where it has none that can be read; one without its line's end is torn."""
    first, ended, _ = raw.partition(b"\n")
    try:
        said = read_line(first if ended else b"")
        mark = str(said.get("mark", ""))
        return Header(str(said["generation"]), str(said["before"]), int(said["count"]), mark)
    except (ValueError, KeyError, TypeError):
        return None


def play(raw: bytes, tables: Tables, generation: str, count: int, without: str = "") -> Played:
    """Replays a log over the state ``count`` of ``generation``; a log that belongs elsewhere changes nothing.

    A log follows either that generation, or the next one where the state is exactly the one that it was
    made from (the main file is lost, and this is the previous copy brought forward). Stops at the first
    line that is not the next change: the last line may be torn by a crash, and was then never accepted.
    ``without``: a table that is not there and whose changes are passed over.
    """
    header = header_of(raw)
    if header is None:
        return Played(torn=bool(raw), lost=raw.count(b"\n"))
    if header.generation != generation and (header.before, header.count) != (generation, count):
        return Played()
    played = Played(belongs=True, header=header, count=count)
    first, _, rest = raw.partition(b"\n")
    play_lines(rest, tables, played, without)
    played.good += len(first) + 1
    return played


def last_change(raw: bytes) -> int:
    """The number of the last change that a log holds whole, that of its header where it holds none."""
    header = header_of(raw)
    last = header.count if header is not None else 0
    for line in raw.split(b"\n")[1:-1]:
        try:
            last = int(read_line(line)["n"])
        except (ValueError, KeyError, TypeError):
            break
    return last


def play_lines(raw: bytes, tables: Tables, played: Played, without: str = "") -> None:
    """Replays the changes that follow the ``played.count`` known ones, and notes how far it came."""
    lines = raw.split(b"\n")
    played.torn = lines.pop() != b""
    for position, line in enumerate(lines):
        try:
            change = read_line(line)
            if change["n"] != played.count + 1:
                raise ValueError("a change is missing")
            play_change(tables, [patch for patch in change["c"] if patch[0] != without])
        except (ValueError, KeyError, TypeError):
            played.torn = True
            played.lost = len(lines) - position
            break
        played.touched += [(patch[0], patch[1]) for patch in change["c"]]
        played.count += 1
        played.good += len(line) + 1


def play_change(tables: Tables, patches: list[Patch]) -> None:
    """Plays one change, all or nothing. ValueError where it changes what is not there."""
    for table, doc_id, fields, dropped in patches:  # all or nothing, so look before the first is played
        if fields is not None and dropped is not None and doc_id not in tables.get(table, {}):
            raise ValueError("it changes what is not there")
    for patch in patches:
        apply_patch(tables, patch)
