"""A disk in memory that forgets what was not synced, and file layers that fail, stop or tear at one call.

`SimDisk.crash` gives the disk as a power cut may leave it: what was synced is there; of the rest any part.
"""

import contextlib
import errno
import random
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from benchtui.store.files import Files, Stamp


class Crash(BaseException):
    """The machine stops here: nothing may catch this, and every later call fails the same way."""


@dataclass
class Node:
    number: int
    data: bytes = b""
    synced: bytes = b""
    changed: int = 0
    dropped: int = 0


@dataclass
class SimDisk(Files):
    nodes: dict[int, Node] = field(default_factory=dict)
    names_now: dict[str, int] = field(default_factory=dict)
    names_synced: dict[str, int] = field(default_factory=dict)
    pending: list[dict[str, int | None]] = field(default_factory=list)
    folders: set[str] = field(default_factory=lambda: {"/"})
    handles: dict[int, int] = field(default_factory=dict)
    locks: dict[str, int] = field(default_factory=dict)
    ticks: int = 0

    def look(self, path: Path) -> Stamp | None:
        node = self.nodes.get(self.names_now.get(str(path), -1))
        return None if node is None else Stamp(node.number, len(node.data), node.changed)

    def read(self, path: Path, size: int = -1, offset: int = 0) -> bytes:
        data = self._node(path).data[offset:]
        return data if size < 0 else data[:size]

    def names(self, folder: Path, ending: str = "") -> dict[str, Stamp]:
        start = f"{folder}/"
        inside = [name for name in self.names_now if name.startswith(start) and name.endswith(ending)]
        inside = [name for name in inside if "/" not in name[len(start) :]]
        stamps = {Path(name).name: self.look(Path(name)) for name in inside}
        return {name: stamp for name, stamp in stamps.items() if stamp is not None}

    def make_folder(self, path: Path, above: bool = False) -> None:
        self.folders.add(str(path))

    def make_private(self, folder: Path) -> None:
        pass

    def create(self, path: Path) -> int:
        if str(path) in self.names_now:
            raise FileExistsError(errno.EEXIST, "exists", str(path))
        number = self._tick()
        self.nodes[number] = Node(number, changed=number)
        self._rename({str(path): number})
        return self._open(number)

    def extend(self, path: Path) -> int:
        return self._open(self._node(path).number)

    def write(self, handle: int, data: bytes) -> int:
        node = self.nodes[self.handles[handle]]
        node.data += data
        node.changed = self._tick()
        return len(data)

    def sync(self, handle: int) -> None:
        node = self.nodes[self.handles[handle]]
        start = len(node.synced) if node.data.startswith(node.synced) else 0
        lost = max(0, node.dropped - start)
        node.synced = node.data[:start] + b"\0" * lost + node.data[start + lost :]

    def drop(self, handle: int) -> None:
        """What a failed sync may do: the bytes so far are held for written, and never are."""
        node = self.nodes[self.handles[handle]]
        node.dropped = max(node.dropped, len(node.data))

    def cut(self, handle: int, size: int) -> None:
        node = self.nodes[self.handles[handle]]
        node.data = node.data[:size]
        node.dropped = min(node.dropped, size)
        node.changed = self._tick()

    def close(self, handle: int) -> None:
        self.handles.pop(handle)
        self.locks = {name: held for name, held in self.locks.items() if held != handle}

    def replace(self, source: Path, target: Path) -> None:
        self._rename({str(target): self._node(source).number, str(source): None})

    def link(self, source: Path, target: Path) -> None:
        if str(target) in self.names_now:
            raise FileExistsError(errno.EEXIST, "exists", str(target))
        self._rename({str(target): self._node(source).number})

    def remove(self, path: Path) -> None:
        if str(path) in self.names_now:
            self._rename({str(path): None})

    def sync_folder(self, folder: Path) -> None:
        left = []
        for change in self.pending:
            if any(str(Path(name).parent) == str(folder) for name in change):
                _apply(self.names_synced, change)
            else:
                left.append(change)
        self.pending = left

    def lock(self, path: Path) -> int:
        if str(path) in self.locks:
            raise BlockingIOError(errno.EAGAIN, "held")
        if str(path) not in self.names_now:
            self.close(self.create(path))
        self.locks[str(path)] = self._open(self._node(path).number)
        return self.locks[str(path)]

    def is_at(self, handle: int, path: Path) -> bool:
        return self.names_now.get(str(path)) == self.handles[handle]

    def mark(self, handle: int, text: bytes) -> None:
        self.nodes[self.handles[handle]].data = text

    def crash(self, chance: random.Random, kill_only: bool = False) -> "SimDisk":
        """The disk after the machine lost power, or (``kill_only``) after the process was killed."""
        names = dict(self.names_synced)
        for change in self.pending:
            if kill_only or chance.random() < 0.5:
                _apply(names, change)
        nodes = {}
        for number in set(names.values()):
            node = self.nodes[number]
            data = node.data if kill_only else _torn(node, chance)
            nodes[number] = Node(number, data, data, node.changed)
        return SimDisk(nodes, dict(names), dict(names), [], set(self.folders), ticks=self.ticks)

    def _node(self, path: Path) -> Node:
        if str(path) not in self.names_now:
            raise FileNotFoundError(errno.ENOENT, "no such file", str(path))
        return self.nodes[self.names_now[str(path)]]

    def _open(self, number: int) -> int:
        handle = self._tick()
        self.handles[handle] = number
        return handle

    def _rename(self, change: dict[str, int | None]) -> None:
        _apply(self.names_now, change)
        self.pending.append(change)

    def _tick(self) -> int:
        self.ticks += 1
        return self.ticks


def _apply(names: dict[str, int], change: dict[str, int | None]) -> None:
    for name, number in change.items():
        if number is None:
            names.pop(name, None)
        else:
            names[name] = number


def _torn(node: Node, chance: random.Random) -> bytes:
    """What was synced, and of later bytes any beginning; some of those may be zeros (never written out)."""
    if not node.data.startswith(node.synced) or chance.random() < 0.3:
        return node.synced
    later = node.data[len(node.synced) :]
    later = later[: chance.randint(0, len(later))]
    if later and chance.random() < 0.4:
        hole = chance.randrange(len(later))
        later = later[:hole] + b"\0" * (len(later) - hole)
    return node.synced + later


CALLS = (
    "read",
    "create",
    "extend",
    "write",
    "sync",
    "close",
    "replace",
    "link",
    "remove",
    "sync_folder",
    "lock",
    "cut",
)
WRITING = ("create", "write", "sync", "link", "replace", "sync_folder")


class Faulty(Files):
    """Passes every call on to ``below``; the ``at``-th (from 0) meets the fault.

    stop / stop after / tear: the process ends before, after or in the middle of the call. An error name:
    that call fails, and only that. lost sync: a sync fails once, and the next succeeds without the bytes
    that the first should have written. short: a write takes half. full / dying: from there on every call that
    writes fails with ENOSPC / EIO, until `heal`. flaky: any call may fail, one in twelve, until `heal`; ``at``
    is the seed.
    """

    def __init__(self, below: Files, at: int, fault: str) -> None:
        self.below: Any = below
        self.at = at
        self.fault = fault
        self.made = 0
        self.stopped = False
        self.healed = False
        self.hit: str | None = None
        self._chance = random.Random(at)

    def heal(self) -> None:
        self.healed = True

    def look(self, path):
        return self._call("look", path)

    def names(self, folder, ending=""):
        return self._call("names", folder, ending)

    def make_folder(self, path, above=False):
        return self._call("make_folder", path, above)

    def is_at(self, handle, path):
        return self._call("is_at", handle, path)

    def make_private(self, folder):
        return self._call("make_private", folder)

    def mark(self, handle, text):
        return self._call("mark", handle, text)

    def read(self, path, size=-1, offset=0):
        return self._call("read", path, size, offset)

    def create(self, path):
        return self._call("create", path)

    def extend(self, path):
        return self._call("extend", path)

    def write(self, handle, data):
        return self._call("write", handle, data)

    def sync(self, handle):
        return self._call("sync", handle)

    def cut(self, handle, size):
        return self._call("cut", handle, size)

    def close(self, handle):
        return self._call("close", handle)

    def replace(self, source, target):
        return self._call("replace", source, target)

    def link(self, source, target):
        return self._call("link", source, target)

    def remove(self, path):
        return self._call("remove", path)

    def sync_folder(self, folder):
        return self._call("sync_folder", folder)

    def lock(self, path):
        return self._call("lock", path)

    def _call(self, name, *given):
        if self.stopped:
            raise Crash
        act = getattr(self.below, name)
        if name not in CALLS:
            return act(*given)
        mine = self.made == self.at
        later = self.made > self.at
        self.made += 1
        if mine:
            self.hit = name
        if self.fault == "flaky":
            if self.healed or self._chance.random() > 1 / 12:
                return act(*given)
            self.fault = self._chance.choice(["ENOSPC", "EIO", "EINTR"])
            try:
                return self._once(name, act, given)
            finally:
                self.fault = "flaky"
        if self.fault in ("full", "dying"):
            return self._ill(name, act, given, mine or later)
        return self._once(name, act, given) if mine else act(*given)

    def _ill(self, name, act, given, since):
        if since and not self.healed and name in WRITING:
            code = errno.ENOSPC if self.fault == "full" else errno.EIO
            raise OSError(code, "No space left on device" if self.fault == "full" else "Input/output error")
        return act(*given)

    def _once(self, name, act, given):
        if self.fault == "stop":
            self._stop()
        if self.fault in ("stop after", "tear"):
            if self.fault == "tear" and name == "write":
                given = (given[0], given[1][: len(given[1]) // 2])
            with contextlib.suppress(OSError):  # what fails anyhow is followed by the end as well
                act(*given)
            self._stop()
        if self.fault == "short":
            return act(given[0], given[1][: max(1, len(given[1]) // 2)]) if name == "write" else act(*given)
        if self.fault == "lost sync":
            if name != "sync":
                return act(*given)
            self.below.drop(*given)
            raise OSError(errno.EIO, "lost sync made by the test")
        if name == "write":  # an error after part of the bytes went out
            act(given[0], given[1][: len(given[1]) // 3])
        if name == "close":  # one that fails has let go of the file all the same
            act(*given)
        code = getattr(errno, self.fault)
        raise OSError(code, f"{self.fault} made by the test")

    def _stop(self):
        self.stopped = True
        raise Crash
