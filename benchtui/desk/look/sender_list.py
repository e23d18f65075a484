"""The sender's own list, pasted or from a CSV file, as lines to be ticked off."""

import csv
import io
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.reading import read_text
from benchtui.model.parcel import ListLine

MOST_LINES = 5000
MOST_BYTES = 5_000_000
_NAMES = {
    "artist": "artist",
    "title": "title",
    "catalogue": "catalogue",
    "number": "catalogue",
    "grade": "grade",
}


def read_path(text: str, shop: Path) -> list[ListLine]:
    """Read a CSV file, found from where one is or from the shop's folder.

    Raises ValueError in one sentence: what is wrong and what would be right.
    """
    try:
        path = path_from(text)
        if not path.is_absolute() and not path.exists():
            path = shop / path
        return read_pasted(read_text(path, MOST_BYTES, "give the path of a CSV file"))
    except (BenchError, OSError) as error:
        raise ValueError(str(error)) from None


def read_pasted(text: str) -> list[ListLine]:
    """Lines of ``artist, title, number, grade``; a first line that names columns is followed.

    Pasted text may have tabs, semicolons or commas between its cells; a line without any is a title.
    """
    if "\0" in text:
        raise ValueError("the list holds NUL characters: it is not text")
    rows = [
        row
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
        if any(map(str.strip, row))
    ]
    if len(rows) > MOST_LINES:
        raise ValueError(f"the list has {len(rows)} lines: one parcel's list has at most {MOST_LINES}")
    columns = ["artist", "title", "catalogue", "grade"]
    if rows and {cell.strip().casefold() for cell in rows[0]} & {"artist", "title"}:
        columns = [_NAMES.get(cell.strip().casefold(), "") for cell in rows.pop(0)]
    if not rows:
        raise ValueError("the list is empty: a line each, artist, title, number, grade")
    return [_line(row, columns) for row in rows]


def _delimiter(text: str) -> str:
    first = text.strip().splitlines()[0] if text.strip() else ""
    return max("\t;,", key=first.count)


def _line(row: list[str], columns: list[str]) -> ListLine:
    cells = {name: cell.strip() for name, cell in zip(columns, row, strict=False) if name}
    if len([cell for cell in row if cell.strip()]) == 1 and not cells.get("title"):
        cells = {"title": row[0].strip()}
    return {
        "line": ", ".join(cell.strip() for cell in row if cell.strip()),
        "artist": cells.get("artist", ""),
        "title": cells.get("title", ""),
        "catalogue": cells.get("catalogue", ""),
        "grade": cells.get("grade", ""),
        "record": None,
    }
