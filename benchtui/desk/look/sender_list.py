"""The sender's own list, pasted or from a CSV file, as lines to be ticked off."""

import csv
import io
from pathlib import Path
from typing import NamedTuple

from benchtui.base.errors import BenchError
from benchtui.base.paths import path_from
from benchtui.base.reading import read_text
from benchtui.model.parcel import ListLine
from benchtui.titles.columns import BOTH
from benchtui.titles.header import name_key, names_columns, words
from benchtui.titles.oneline import cells_of_line

MOST_LINES = 5000
MOST_BYTES = 5_000_000
HEADINGS = 20
"""Rows among which the one that names the columns is looked for."""
PLAIN = ("artist", "title", "catalogue", "grade")
"""The columns of a list that names none."""
GRADE = ("condition", "cond", "grading", "state", "zustand", "etat")
"""What the column of grades is called (common practice, no source)."""


class SenderList(NamedTuple):
    """Its lines, and the rows among them that only head others."""

    lines: list[ListLine]
    headings: list[str]


def read_path(text: str, shop: Path) -> SenderList:
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


def read_pasted(text: str) -> SenderList:
    """Lines of ``artist, title, number, grade``; among the first rows one that names columns is followed, by
    the words by which title lists name theirs. Rows that only head others are no lines.

    Pasted text may have tabs, semicolons or commas between its cells; a line without any is a title.
    """
    if "\0" in text:
        raise ValueError("the list holds NUL characters: it is not text")
    rows = [
        [cell.strip() for cell in row]
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text))
        if any(map(str.strip, row))
    ]
    if len(rows) > MOST_LINES:
        raise ValueError(f"the list has {len(rows)} lines: one parcel's list has at most {MOST_LINES}")
    header = next((row for row in rows[:HEADINGS] if names_columns(row, ("artist", "title"))), None)
    columns = dict(zip(PLAIN, range(len(PLAIN)), strict=True)) if header is None else _columns(header)
    start = 0 if header is None else rows.index(header)
    headings = [_joined(row) for row in rows[:start]]
    lines = []
    for n, row in enumerate(rows[start:], start):
        if header is not None and row == header:  # a list of several sheets repeats it
            continue
        if _is_heading(row, rows[n + 1 :], columns, header is not None):
            headings.append(_joined(row))
        else:
            lines.append(_line(row, columns))
    if not lines:
        raise ValueError("the list is empty: a line each, artist, title, number, grade")
    return SenderList(lines, headings)


def _delimiter(text: str) -> str:
    """The sign that parts most: a heading above the list has none of its own, or a comma by chance."""
    return max("\t;,", key=lambda sign: sum(min(line.count(sign), 1) for line in text.splitlines()))


def _columns(header: list[str]) -> dict[str, int]:
    """Where our columns stand in the row that names them."""
    keys = [name_key(cell) for cell in header]
    at: dict[str, int] = {}
    for ours in ("artist", "title", "catalogue", BOTH, "grade"):
        theirs = (ours, *(GRADE if ours == "grade" else words()[ours]))
        found = next((keys.index(one) for one in theirs if one in keys), None)
        if found is not None and found not in at.values():
            at[ours] = found
    return at


def _is_heading(row: list[str], after: list[list[str]], columns: dict[str, int], named: bool) -> bool:
    """Whether the row only heads those after it: its only cell is not where titles stand or ends with a
    colon, or it is a name in capitals among rows that are not.
    """
    full = [n for n, cell in enumerate(row) if cell]
    if len(full) > 1:
        return False
    cell, beneath = row[full[0]], next((one for one in after if len(list(filter(None, one))) > 1), None)
    if named and full[0] != columns.get("title", columns.get(BOTH)):
        return True
    capitals = cell.isupper() and beneath is not None and not any(map(str.isdigit, cell))
    return cell.endswith(":") or (capitals and not _joined(beneath or []).isupper())


def _joined(row: list[str]) -> str:
    return ", ".join(filter(None, row))


def _line(row: list[str], columns: dict[str, int]) -> ListLine:
    cells = {name: row[at] for name, at in columns.items() if at < len(row)}
    if len([cell for cell in row if cell]) == 1 and not cells.get("title"):
        cells = {"title": _joined(row)}
    if cells.get(BOTH) and not cells.get("title"):
        artist, title, number, _ = cells_of_line(cells[BOTH]) or ("", cells[BOTH], "", "")
        cells = {"artist": artist, "title": title, "catalogue": number} | cells
    return {
        "line": _joined(row),
        "artist": cells.get("artist", ""),
        "title": cells.get("title", ""),
        "catalogue": cells.get("catalogue", ""),
        "grade": cells.get("grade", ""),
        "record": None,
    }
