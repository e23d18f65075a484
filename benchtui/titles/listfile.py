"""One list as a file in our columns: reading, writing, and what is wrong in it."""

import csv
import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.model.title import Title
from benchtui.titles.columns import COLUMNS, RefusedError, columns_of, guarded
from benchtui.titles.sheet import open_sheet

STEP = 128
"""Rows between two breaths: 1 or 2 ms."""


def read_list(path: Path) -> Iterator[tuple[Title, float]]:
    """The titles of a list, each with the share of the file read; rows that make no title are passed over
    (``list_faults`` names them).
    """
    sheet = open_sheet(path)
    try:
        columns = columns_of(sheet.header, {}, path)
        for row in sheet.rows():
            if not row.refused:
                try:
                    yield columns.title(row.cells)[0], row.done
                except RefusedError:
                    continue
    finally:
        sheet.close()


def list_faults(path: Path) -> list[BenchError]:
    """What is wrong in a list somebody edited by hand, each with its line."""
    try:
        sheet = open_sheet(path)
    except BenchError as error:
        return [error]
    faults: list[BenchError] = []
    try:
        columns = columns_of(sheet.header, {}, path)
        for row in sheet.rows():
            try:
                why = row.refused or "; ".join(columns.title(row.cells)[1])
            except RefusedError as refused:
                why = str(refused)
            if why:
                faults.append(BenchError(why, path, "", row.line))
    except BenchError as error:
        faults.append(error)
    finally:
        sheet.close()
    return faults


def write_list(path: Path, titles: Iterable[Title]) -> Iterator[int]:
    """Writes a list beside, then renames it into place; yields how many rows are written."""
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
    return new._replace(**{**blank, "id": title_id, "discs": max(new.discs, old.discs)})
