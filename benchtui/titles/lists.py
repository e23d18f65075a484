"""The lists of a shop: CSV files in its folder ``titles``, each with its prepared index beside it.

A list named later in the alphabet overrides one named earlier where both hold the same id; lists taken in are
numbered, so the later one wins.
"""

import csv
import os
import re
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from benchtui.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.build import STEP, build_steps
from benchtui.titles.columns import COLUMNS, RefusedError, columns_of, guarded
from benchtui.titles.indexfile import VERSION, open_index, read_about, write_index
from benchtui.titles.lines import Sheet
from benchtui.titles.piece import Piece

Progress = Callable[[str, float], object]
Stop = Callable[[], bool]
T = TypeVar("T")
_NUMBERED = re.compile(r"(\d{4,})-")


@dataclass(frozen=True, slots=True)
class Loading:
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


def load_lists(folder: Path, progress: Progress | None = None, stop: Stop | None = None) -> list[Piece]:
    """All lists, ready to be handed to a Finder; ``stop`` is asked every few milliseconds and ends it
    early.
    """
    pieces: list[Piece] = []
    for step in load_steps(folder):
        if step.piece is not None:
            pieces.append(step.piece)
        if progress is not None:
            progress(step.name, step.done)
        if stop is not None and stop():
            break
    return pieces


def load_steps(folder: Path) -> Iterator[Loading]:
    """The same in steps of a few milliseconds: a prepared list comes at once, another is indexed first."""
    for path in lists_in(folder):
        yield from load_list(path)


def load_list(path: Path) -> Iterator[Loading]:
    """One list. Where the folder cannot be written its index is made in memory each time."""
    index = index_path(path)
    if read_about(index) is None:
        yield Loading(path.name, 0.0)
        for piece in _prepare(path, index):
            if isinstance(piece, Piece):
                yield Loading(path.name, 1.0, piece)
                return
            yield Loading(path.name, piece)
    yield Loading(path.name, 1.0, open_index(index))


def index_path(path: Path) -> Path:
    """Where the index of the list as it now stands belongs: another size or time is another list."""
    at = path.stat()
    return path.with_name(f"{path.stem}.{VERSION}-{at.st_size:x}-{at.st_mtime_ns:x}.index")


def _prepare(path: Path, index: Path) -> Iterator["float | Piece"]:
    titles: list[Title] = []
    for share in read_list(path, titles):
        yield 0.3 * share
    piece = yield from _scaled(build_steps(titles), 0.3, 0.9)
    try:
        yield from _scaled(write_index(piece, index, {"list": path.name}), 0.9, 1.0)
    except OSError:
        yield piece
        return
    drop_indexes(path, keep=index)


def _scaled(steps: Generator[float, None, T], low: float, high: float) -> Generator[float, None, T]:
    while True:
        try:
            yield low + (high - low) * next(steps)
        except StopIteration as done:
            value: T = done.value
            return value


def drop_indexes(path: Path, keep: Path | None = None) -> None:
    """Removes the list's indexes but one; one that another bench still has mapped may have to stay
    (Windows).
    """
    for old in path.parent.glob(f"{path.stem}.{VERSION}-*.index"):
        if old != keep:
            try:
                old.unlink()
            except OSError:
                continue


def read_list(path: Path, into: list[Title]) -> Iterator[float]:
    """Appends the titles of a list in our columns; rows that make no title are passed over
    (``list_faults``).
    """
    sheet = Sheet(path)
    try:
        columns = columns_of(sheet.header, {}, path)
        for no, row in enumerate(sheet.rows()):
            if not row.refused:
                try:
                    into.append(columns.title(row.cells)[0])
                except RefusedError:
                    continue
            if no % STEP == 0:
                yield row.done
    finally:
        sheet.close()


def list_faults(path: Path) -> list[BenchError]:
    """What is wrong in a list somebody edited by hand, each with its line."""
    try:
        sheet = Sheet(path)
        columns = columns_of(sheet.header, {}, path)
    except BenchError as error:
        return [error]
    faults: list[BenchError] = []
    for row in sheet.rows():
        try:
            why = row.refused or "; ".join(columns.title(row.cells)[1])
        except RefusedError as refused:
            why = str(refused)
        if why:
            faults.append(BenchError(why, path, "", row.line))
    sheet.close()
    return faults


def write_list(path: Path, titles: Iterable[Title]) -> Iterator[int]:
    """Writes a list in our columns, beside and then renamed into place; yields how many rows are written."""
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        with beside.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(COLUMNS)
            for no, title in enumerate(titles):
                writer.writerow(map(guarded, cells_of(title)))
                if no % STEP == 0:
                    yield no
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def cells_of(title: Title) -> list[str]:
    """The title in our columns, as text."""
    values = (getattr(title, name) for name in COLUMNS)
    return ["" if value is None else str(value) for value in values]


def fill(new: Title, old: Title, title_id: str) -> Title:
    """The new title under that id, with the old one's word wherever the new one says nothing."""
    blank = {name: getattr(old, name) for name in COLUMNS if getattr(new, name) in ("", None)}
    return replace(new, **{**blank, "id": title_id, "discs": max(new.discs, old.discs)})


def next_list(folder: Path, stem: str) -> Path:
    """A numbered name for the next list, after all that are there."""
    name = re.sub(r"[^\w-]+", "-", stem).strip("-")[:60] or "list"
    number = max(
        (int(found[1]) for path in lists_in(folder) if (found := _NUMBERED.match(path.name))), default=0
    )
    return folder / f"{number + 1:04}-{name}.csv"


def undo_take_in(folder: Path) -> str:
    """Takes the list taken in last out again, as a whole; its name. It stays beside as ``.undone`` until
    the next.

    Raises BenchError where no list was taken in.
    """
    taken = [path for path in lists_in(folder) if _NUMBERED.match(path.name)]
    if not taken:
        raise BenchError("no list was taken in that could be undone", folder, "")
    for old in folder.glob("*.csv.undone"):
        old.unlink(missing_ok=True)
    drop_indexes(taken[-1])
    taken[-1].replace(taken[-1].with_name(taken[-1].name + ".undone"))
    return taken[-1].name
