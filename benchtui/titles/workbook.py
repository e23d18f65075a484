"""The rows of a spreadsheet: .xlsx, .ods and .xls, read by python-calamine; every value as text."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import BinaryIO

from python_calamine import CalamineError, CalamineWorkbook

from benchtui.base.errors import BenchError
from benchtui.titles.lines import Row


def rows_of_workbook(stream: BinaryIO, path: Path) -> tuple[str, Iterator[Row]]:
    """The sheet with most rows: its name ("" where it is the only one), and its rows, numbered as it numbers
    them; a cell that goes over several rows counts in each. ``path`` names the file where something is said.

    BenchError where the file is no spreadsheet or nothing stands in it.
    """
    try:
        with CalamineWorkbook.from_filelike(stream) as book:
            sheets = [book.get_sheet_by_name(name) for name in book.sheet_names]
            rows = [(sheet, sheet.to_python(skip_empty_area=False)) for sheet in sheets]
    except (CalamineError, OSError, ValueError) as error:
        raise BenchError(
            f"the spreadsheet cannot be read: {error}", path, "save it again, or as CSV"
        ) from None
    sheet, found = max(rows, key=lambda pair: len(pair[1]), default=(None, []))
    if sheet is None or not found:
        raise BenchError("there is nothing in this spreadsheet", path, "give a list of titles, one a row")
    for (top, left), (bottom, _) in sheet.merged_cell_ranges or ():
        for row in found[top + 1 : bottom + 1]:
            row[left : left + 1] = found[top][left : left + 1]  # empty ones may lie beside the list
    return (sheet.name if len(sheets) > 1 else ""), _rows(found)


def _rows(found: Sequence[Sequence[object]]) -> Iterator[Row]:
    for no, values in enumerate(found, start=1):
        yield Row(no, [_text(value) for value in values], "", no / len(found))


def _text(value: object) -> str:
    """As a person would have typed it: 1967 and not 1967.0, a date without its midnight."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else str(value)
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date | time | timedelta):
        return str(value)
    return str(value).strip()
