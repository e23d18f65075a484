"""The lists of a shop: CSV files in its folder ``titles``, each with its prepared index beside it.

A list named later in the alphabet overrides one named earlier where both hold the same id; lists taken in are
numbered, so the later one wins.
"""

import os
import re
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path
from typing import NamedTuple, TypeVar

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.build import build_steps
from benchtui.titles.indexfile import VERSION, check_steps, open_index, read_about, write_index
from benchtui.titles.piece import Piece
from benchtui.titles.prepare import APART, prepare_apart

T = TypeVar("T")
RESERVED, INDEX = ".taking", ".index"
_NUMBERED = re.compile(r"(\d{4,})-")


class Loading(NamedTuple):
    """How far a list is: ``done`` from 0 to 1; ``piece`` once it can be searched."""

    name: str
    done: float
    piece: Piece | None = None


def lists_in(folder: Path) -> list[Path]:
    """The lists, in the order in which the later overrides the earlier."""
    return sorted(path for path in folder.glob("*.csv") if path.is_file()) if folder.is_dir() else []


def signature(folder: Path) -> tuple[tuple[str, int, int], ...]:
    """Changes whenever a list does: a bench that shares the folder compares it to know when to load again."""
    states = [(path.name, path.stat()) for path in lists_in(folder)]
    return tuple((name, state.st_size, state.st_mtime_ns) for name, state in states)


def load_steps(folder: Path, apart: bool = True) -> Iterator[Loading]:
    """All lists, ready to be handed to a finder, in steps of a few milliseconds: a prepared one is there
    at once, another is indexed first.

    ``apart``: a large one in a process of its own, while the steps only tell how far it is. A list that
    cannot be read raises BenchError, once all the others are there.
    """
    faults: list[BenchError] = []
    for path in lists_in(folder):
        try:
            yield from load_list(path, apart)
        except BenchError as fault:
            faults.append(fault)
    drop_orphans(folder)
    if faults:
        raise faults[0]


def load_list(path: Path, apart: bool = False) -> Iterator[Loading]:
    """One list. Where the folder cannot be written its index is made in memory each time."""
    index = index_path(path)
    ready = yield from _is_usable(index, path.name)
    if not ready and apart and path.stat().st_size > APART and os.access(path.parent, os.W_OK):
        for done in prepare_apart(path):
            yield Loading(path.name, done)
        ready = read_about(index) is not None
    if not ready:
        for made in _prepare(path, index):
            if isinstance(made, Piece):
                yield Loading(path.name, 1.0, made)
                return
            yield Loading(path.name, made)
    piece = open_index(index)
    for _ in piece.warm():
        yield Loading(path.name, 1.0)
    yield Loading(path.name, 1.0, piece)


def _is_usable(index: Path, name: str) -> Generator[Loading, None, bool]:
    """Whether there is an index, and all of it as it was written; a damaged one is thrown away."""
    if read_about(index) is None:
        return False
    steps = check_steps(index)
    while True:
        try:
            next(steps)
        except StopIteration as done:
            if not done.value:
                with suppress(OSError):
                    index.unlink()
            return bool(done.value)
        yield Loading(name, 1.0)


def index_path(path: Path) -> Path:
    """Where the index of the list as it now stands belongs: another size or time is another list."""
    state = path.stat()
    return path.with_name(f"{path.stem}.{VERSION}-{state.st_size:x}-{state.st_mtime_ns:x}.index")


def _prepare(path: Path, index: Path) -> Iterator["float | Piece"]:
    """Yields how much is done, and at last the piece where it could not be written."""
    from benchtui.titles.listfile import read_list  # every way a list is written: no prepared one needs it

    share = 0.0

    def titles() -> Iterator[Title]:
        nonlocal share
        for title, share in read_list(path):  # noqa: B007
            yield title

    steps = build_steps(titles())
    piece = yield from _scaled(steps, lambda done: 0.3 * share + 0.6 * done)
    try:
        yield from _scaled(write_index(piece, index, {"list": path.name}), lambda done: 0.9 + 0.1 * done)
    except OSError:
        yield piece
        return
    drop_indexes(path, keep=index)


def _scaled(steps: Generator[float, None, T], scale: Callable[[float], float]) -> Generator[float, None, T]:
    while True:
        try:
            yield scale(next(steps))
        except StopIteration as done:
            value: T = done.value
            return value


def drop_indexes(path: Path, keep: Path | None = None) -> None:
    """Removes the list's indexes but one; one that another bench still has mapped may have to stay
    (Windows).
    """
    for old in path.parent.glob(f"{escape(path.stem)}.*-*.index"):
        if old != keep:
            with suppress(OSError):
                old.unlink()


def drop_orphans(folder: Path) -> None:
    """Removes indexes whose list is gone."""
    stems = {path.stem for path in lists_in(folder)}
    for index in folder.glob(f"*{INDEX}") if folder.is_dir() else ():
        if index.name.rsplit(".", 2)[0] not in stems:
            with suppress(OSError):
                index.unlink()


@contextmanager
def reserved_list(folder: Path, stem: str) -> Iterator[Path]:
    """A numbered name for the next list, after all that are there and all that another bench is writing."""
    name = re.sub(r"[^\w-]+", "-", stem).strip("-")[:60] or "list"
    folder.mkdir(exist_ok=True)  # never the shop above it, which may have gone
    while True:
        there = [path.name for path in (*folder.glob("*.csv"), *folder.glob(f"*{RESERVED}"))]
        number = 1 + max((int(found[1]) for one in there if (found := _NUMBERED.match(one))), default=0)
        mark = folder / f"{number:04}-{RESERVED}"
        try:
            mark.touch(exist_ok=False)
            break
        except FileExistsError:
            continue
    try:
        yield folder / f"{number:04}-{name}.csv"
    finally:
        mark.unlink(missing_ok=True)


def last_taken_in(folder: Path) -> Path | None:
    """The list that was taken in last, or None."""
    taken = [path for path in lists_in(folder) if _NUMBERED.match(path.name)]
    return taken[-1] if taken else None


def undo_take_in(folder: Path) -> str:
    """Takes the list taken in last out again, as a whole; its name. It stays beside as ``.undone`` until the
    next is undone. Raises BenchError where no list was taken in.
    """
    last = last_taken_in(folder)
    if last is None:
        raise BenchError("there is no list to undo", folder, "")
    for old in folder.glob("*.csv.undone"):
        old.unlink(missing_ok=True)
    drop_indexes(last)
    last.replace(last.with_name(last.name + ".undone"))
    return last.name
