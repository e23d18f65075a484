"""Checks of the scales and faults files that hold in some folders, alone and against each other."""

from collections.abc import Callable, Sequence
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.books.faults import check_faults, fault_files, load_faults, read_faults
from benchtui.books.row import Faults, Problem, one_of
from benchtui.books.scales import load_scales, open_rows, read_scales, scale_files
from benchtui.model.grade import Scale


def problem_of(error: BenchError) -> Problem:
    """A fault that kept a file from being read at all."""
    return Problem(error.where, error.line, "", error.what, error.right)


def check_scales(folders: Sequence[Path] = ()) -> list[Problem]:
    """Every fault of the scales and faults files, ceilings of no known grade included."""
    problems: list[Problem] = []
    for path in scale_files(folders):
        problems += _told(lambda path=path: read_scales(path)[1])  # type: ignore[misc]
    for path in fault_files(folders):
        problems += _told(lambda path=path: check_faults(path))  # type: ignore[misc]
    if problems:
        return problems
    try:
        scales = load_scales(folders)
        load_faults(folders)
    except (
        BenchError
    ) as error:  # what only shows where the shop's file meets the shipped one: a key taken twice
        return [problem_of(error)]
    for path in fault_files(folders):
        problems += _ceilings(path, scales).problems()
    return problems


def _told(read: Callable[[], Faults]) -> list[Problem]:
    try:
        return read().problems()
    except BenchError as error:
        return [problem_of(error)]


def _ceilings(path: Path, scales: dict[str, Scale]) -> Faults:
    top, faults = open_rows(path)
    for fault, row in read_faults(top):
        for entry, severity in zip(row.rows("severity"), fault.severities, strict=True):
            for scale, grade in severity.ceilings.items():
                if scale not in scales:
                    entry.wrong("ceilings", f"there is no scale {scale!r}", one_of(scale, sorted(scales)))
                elif scales[scale].read(grade) is None:
                    steps = [step.id for step in scales[scale].grades]
                    entry.wrong("ceilings", f"{scale} has no grade {grade!r}", one_of(grade, steps))
    return faults
