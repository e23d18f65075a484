"""Regrading blind: a sheet without grades to fill in, and what the second grading says about the first."""

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.export.csvfile import read_csv
from benchtui.export.items import Item
from benchtui.export.table import Column, Table, table_of
from benchtui.export.wording import Wording, local_day, part_name
from benchtui.model.agreement_of_graders import (
    Drift,
    Pair,
    confusion,
    drift_by_grade,
    drift_by_month,
    kappa,
    within,
)
from benchtui.model.grade import Scale
from benchtui.model.naming import side_grades
from benchtui.model.record import GradeDoc, PartDoc, is_here, part_of
from benchtui.money.standings import standing

COLUMNS = (
    Column("stock_number", "text", "the record to take from the shelf"),
    Column("stock_shelf", "text", "the shelf place"),
    Column("title_artist", "text", "artist"),
    Column("title_name", "text", "title"),
    Column("part_name", "text", "the part to grade"),
    Column("part_id", "text", "the part's own id; leave it as it is"),
    Column("grade_scale", "text", "the scale to grade under"),
    Column("regrade", "text", "to be filled in, such as VG+; empty is left out"),
)


@dataclass(frozen=True, slots=True)
class Regrading:
    """What came out. ``kappa`` None: too uniform to say; drift in steps, positive is graded higher now."""

    scale: str
    count: int
    kappa: float | None
    same: float | None
    near: float | None
    by_grade: tuple[Drift, ...]
    by_month: tuple[Drift, ...]

    def lines(self) -> list[str]:
        """The same in words, a line each."""
        value = "cannot be worked out, all grades are the same" if self.kappa is None else f"{self.kappa:.2f}"
        head = f"{self.scale}: {self.count} parts graded twice, weighted kappa {value}"
        share = f"same step {self.same or 0:.0%}, at most one step apart {self.near or 0:.0%}"
        drifts = [
            f"{one.group}: {one.steps:+.2f} steps over {one.count}"
            for one in (*self.by_grade, *self.by_month)
        ]
        return [head, share, *drifts]


def regrade_sheet(items: Iterable[Item], size: int, seed: int, wording: Wording | None = None) -> Table:
    """A random sample of graded parts in stock, by stock number, without grades. The seed repeats it."""
    words = wording or Wording()
    found = list(gradable(items, words))
    chosen = random.Random(seed).sample(found, min(size, len(found)))
    rows = [_row(item, part, words) for item, part in sorted(chosen, key=lambda pair: pair[0].stock)]
    return table_of(COLUMNS, rows)


def gradable(items: Iterable[Item], words: Wording) -> Iterator[tuple[Item, PartDoc]]:
    """The graded parts of the records in stock, under scales that are still there."""
    for item in items:
        if item.in_stock:
            for part in item.record["parts"]:
                if is_here(part) and standing_grade(part, words):
                    yield item, part


def regraded(path: str | Path, items: Iterable[Item], wording: Wording) -> list[Regrading]:
    """The filled-in sheet against the grades that stand, one result a scale.

    BenchError with the line for a record or part that is not there or a grade its scale does not have.
    """
    table = read_csv(path)
    missing = [name for name in ("stock_number", "part_id", "regrade") if name not in table.names]
    if missing:
        raise BenchError(f'the column "{missing[0]}" is missing', path, "use the sheet as it was exported")
    by_stock = {item.stock: item for item in items if item.stock}
    pairs: dict[str, list[Pair]] = {}
    for line, row in enumerate(table.dicts(), start=2):
        if row["regrade"].strip():
            scale, pair = _pair(row, by_stock, wording, path, line)
            pairs.setdefault(scale.id, []).append(pair)
    return [result_of_pairs(wording.scales[scale], found) for scale, found in pairs.items()]


def _pair(
    row: dict[str, str], by_stock: dict[str, Item], words: Wording, path: str | Path, line: int
) -> tuple[Scale, Pair]:
    item = by_stock.get(row["stock_number"])
    part = part_of(item.record, row["part_id"]) if item else None
    first = standing_grade(part, words) if item and part else None
    scale = words.scales.get(first["scale"]) if first else None
    if first is None or scale is None:
        what = f"no graded part {row['part_id']} of {row['stock_number']}"
        raise BenchError(what, path, "use the sheet as it was exported", line=line)
    second = scale.read(row["regrade"].strip())
    step = scale.step(*second) if second else None
    if step is None:
        known = ", ".join(grade.id for grade in scale.grades)
        raise BenchError(
            f"{scale.name} has no grade {row['regrade']!r}", path, f"use one of {known}", line=line
        )
    stood = scale.step(first["grade"], first["shade"])
    day = local_day(first["at"])
    return scale, Pair(stood.id if stood else first["grade"], step.id, f"{day:%Y-%m}" if day else "")


def result_of_pairs(scale: Scale, pairs: Sequence[Pair]) -> Regrading:
    """What pairs of steps of that scale say. ValueError for a grade that is no step of it."""
    steps = [grade.id for grade in scale.grades]
    table = confusion(pairs, steps)
    grades, months = drift_by_grade(pairs, steps), drift_by_month(pairs, steps)
    same, near = within(table), within(table, 1)
    return Regrading(scale.name, len(pairs), kappa(table), same, near, tuple(grades), tuple(months))


def standing_grade(part: PartDoc, words: Wording) -> GradeDoc | None:
    """The part's grade as the shop gives it: that of its lowest side, under a scale that is still there."""
    event = words.lowest(side_grades(part).values())
    return event if event and event["scale"] in words.scales else None


def _row(item: Item, part: PartDoc, words: Wording) -> dict[str, str]:
    title, event = item.record["title"], standing_grade(part, words)
    return {
        "stock_number": item.stock,
        "stock_shelf": standing(item.record).shelf,
        "title_artist": title["artist"] if title else "",
        "title_name": title["title"] if title else "",
        "part_name": part_name(item.record, part),
        "part_id": part["id"],
        "grade_scale": words.scale_name(event["scale"]) if event else "",
        "regrade": "",
    }
