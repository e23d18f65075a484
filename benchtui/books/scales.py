"""Grading scales from TOML: those shipped, and the shop's own."""

import re
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal, InvalidOperation
from os.path import lexists
from pathlib import Path
from typing import TypeVar, cast

from benchtui.base.errors import BenchError
from benchtui.base.reading import text_of
from benchtui.books.cache import shipped_toml
from benchtui.books.row import Faults, Row
from benchtui.books.toml_file import parse_toml, read_bytes
from benchtui.model.grade import AXES, SHADES, Grade, Scale, Shade

T = TypeVar("T")
SHIPPED = Path(__file__).parent / "scales.toml"
FILE = "scales.toml"
STANDARD = "american"
"""The shipped scale that stands in for one that cannot be read."""


def scale_files(folders: Sequence[Path]) -> list[Path]:
    """The shipped scales, then ``scales.toml`` of each folder that has one."""
    return [SHIPPED, *(path for folder in folders if lexists(path := folder / FILE))]


def load_scales(folders: Sequence[Path] = ()) -> dict[str, Scale]:
    """Every scale by id; one in a later folder replaces an earlier one of its id.

    ``folders``: the shop folder, its ``books`` folder. BenchError with file and line for the first fault:
    two grades with one key, a factor that is no number, a scale without grades ...
    """
    found: dict[str, Scale] = {}
    for path in scale_files(folders):
        scales, faults = read_scales(path)
        faults.raise_first()
        found.update(scales)
    return found


def usable_scales(folders: Sequence[Path] = ()) -> tuple[dict[str, Scale], list[str]]:
    """The same without what cannot be read of the folders' files (a scale, or a file that is no TOML), and
    a line for each fault: the bench opens with the shipped ones.
    """
    found = load_scales()
    told = usable_rows(
        scale_files(folders)[1:], scale_rows, _scale, lambda scale: found.update({scale.id: scale})
    )
    return found, told


def scale_rows(top: Row) -> Iterator[Row]:
    """The scales of a file. Translations between them, which older versions had, are passed over."""
    list(top.rows("translate"))
    return top.rows("scale")


def usable_rows(
    paths: Sequence[Path],
    rows: Callable[[Row], Iterator[Row]],
    read: Callable[[Row], T],
    put: Callable[[T], object],
) -> list[str]:
    """Reads the ``rows`` of files and puts down those without a fault; a line for each fault, and for each
    file that is no TOML.
    """
    told: list[str] = []
    for path in paths:
        try:
            top, faults = open_rows(path)
        except BenchError as error:
            told.append(error.one_line())
            continue
        for row in rows(top):
            before, one = len(faults.places()), read(row)
            if len(faults.places()) == before:
                put(one)
        top.done()
        told += [problem.one_line() for problem in faults.problems()]
    return told


def read_scales(path: Path) -> tuple[dict[str, Scale], Faults]:
    """The scales of one file and everything that is wrong with it."""
    top, faults = open_rows(path)
    scales: dict[str, Scale] = {}
    for row in scale_rows(top):
        scale = _scale(row)
        if scale.id in scales:
            row.wrong("id", f"the scale {scale.id!r} is defined twice", "give each scale an id of its own")
        scales[scale.id] = scale
    top.done()
    return scales, faults


def open_rows(path: Path) -> tuple[Row, Faults]:
    """A TOML file as a row, with the list its faults go to. BenchError where it is no TOML."""
    data = read_bytes(path)
    faults = Faults(path, lambda: data.decode("utf-8-sig"))
    ours = path.parent == SHIPPED.parent
    table = shipped_toml(text_of(data, path), path) if ours else parse_toml(data, path)
    return Row(table, faults), faults


def _scale(row: Row) -> Scale:
    grades = tuple(_grade(entry, order) for order, entry in enumerate(row.rows("grade")))
    scale = Scale(
        id=row.need("id"),
        name=row.text("name", row.text("id")),
        grades=grades,
        source=row.text("source"),
        small=row.text("small"),
        like=row.text("like"),
        alike={key: str(value) for key, value in row.map("alike").items()},
    )
    if not grades:
        row.wrong("grade", "a scale without grades", "write [[scale.grade]] for each step, best first")
    if scale.small and scale.read(scale.small) is None:
        row.wrong("small", f"small = {scale.small!r} is not a grade of this scale", _known(grades))
    for there, here in scale.alike.items():
        if scale.read(here) is None:
            row.wrong(
                "alike", f"{there} is said to be alike {here!r}, not a grade of this scale", _known(grades)
            )
    _one_of_each(row, grades)
    row.done()
    return scale


def _grade(row: Row, order: int) -> Grade:
    identifier = row.need("id")
    grade = Grade(
        id=identifier,
        name=row.text("name", identifier),
        key=row.need("key"),
        order=order,
        factor=row.text("factor", "0"),
        criterion=row.text("criterion"),
        source=row.text("source"),
        shade=cast(Shade, row.choice("shade", SHADES, "")),
        axes={axis: text for axis in AXES if (text := row.text(axis))},
        cover=row.text("cover"),
    )
    if grade.key and not re.fullmatch("[a-z]", grade.key):
        row.wrong("key", f"key = {grade.key!r} is not one lower-case letter", "one of a to z")
    if not _is_share(grade.factor):
        row.wrong(
            "factor",
            f"factor = {grade.factor!r} is not a share",
            'write text from "0" to "1", such as "0.25"',
        )
    row.done()
    return grade


def _is_share(text: str) -> bool:
    try:
        return 0 <= Decimal(text) <= 1
    except InvalidOperation:
        return False


def _one_of_each(row: Row, grades: tuple[Grade, ...]) -> None:
    """Tells ids and keys that stand for two grades, and shaded steps without the step they shade."""
    ids: set[str] = set()
    keys: dict[tuple[str, str], str] = {}
    for index, grade in enumerate(grades):
        if grade.id in ids:
            row.wrong("grade", f"two grades are called {grade.id!r}", "use each id once", at=(index, "id"))
        if other := keys.get((grade.key, grade.shade)):
            shaded = f" with {grade.shade!r}" if grade.shade else ""
            what = f"the key {grade.key!r}{shaded} gives both {other} and {grade.id}"
            row.wrong("grade", what, "use a letter that no other grade of the scale has", at=(index, "key"))
        ids.add(grade.id)
        keys.setdefault((grade.key, grade.shade), grade.id)
    for index, grade in enumerate(grades):
        if grade.shade and (grade.key, "") not in keys:
            what = f"{grade.id} shades the key {grade.key!r}, which gives no grade by itself"
            row.wrong("grade", what, "use the key of the grade it is a shade of", at=(index, "shade"))


def _known(grades: tuple[Grade, ...]) -> str:
    return "one of " + ", ".join(grade.id for grade in grades)
