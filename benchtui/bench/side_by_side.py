"""A page whose groups of rows may stand side by side: in sentences where there is room, else in brief."""

from typing import NamedTuple

from benchtui.bench.pieces import Line, clean, cut, fill, width_of
from benchtui.desk.core.page_parts import Bar, Cell, PageView, Table

MOST_COLUMNS = 6
GAP = 2


class _Row(NamedTuple):
    """A heading (without keys), or keys and what they do."""

    keys: str
    words: str


def set_out(view: PageView, width: int, height: int) -> list[Line]:
    """The fullest of the ways to set it out that fits; else in brief, to be scrolled."""
    for whole in (True, False):
        rows = _rows(view, whole)
        for columns in range(1, MOST_COLUMNS + 1):
            lines = _in_columns(rows, columns)
            if len(lines) <= height and max(map(width_of, lines)) <= width:
                return lines
    fitting = (_in_columns(rows, columns) for columns in range(MOST_COLUMNS, 0, -1))
    lines = next((found for found in fitting if max(map(width_of, found)) <= width), _in_columns(rows, 1))
    return [cut(line, width) for line in lines]


def _rows(view: PageView, whole: bool) -> list[_Row]:
    rows: list[_Row] = []
    for table in view.sections:
        if isinstance(table, Table):
            rows.append(_Row("", "".join(text for text, _ in table.heading)))
            for row in table.rows:
                keys, said = row.cells if whole or not row.brief else row.brief
                rows.append(_Row(_text(keys), _text(said)))
    return rows


def _text(cell: Cell) -> str:
    return clean("".join(text for text, _ in (cell.words if isinstance(cell, Bar) else cell)))


def _in_columns(rows: list[_Row], columns: int) -> list[Line]:
    """The rows in so many columns, each as wide as it must be; no heading ends a column."""
    height = -(-len(rows) // columns)
    while len(found := _split(rows, height)) > columns:
        height += 1
    drawn = [_column(column) for column in found]
    wide = [max(map(width_of, column)) + GAP for column in drawn]
    wide[-1] -= GAP
    lines: list[Line] = []
    for at in range(height):
        line: Line = []
        for column, cells in zip(drawn, wide, strict=True):
            line += fill(column[at] if at < len(column) else [], cells)
        lines.append(line)
    return lines


def _split(rows: list[_Row], height: int) -> list[list[_Row]]:
    found: list[list[_Row]] = [[]]
    for at, row in enumerate(rows):
        heads = not row.keys and at + 1 < len(rows)
        if len(found[-1]) + (2 if heads and height > 1 else 1) > height:
            found.append([])
        found[-1].append(row)
    return found


def _column(rows: list[_Row]) -> list[Line]:
    keys = max((len(row.keys) for row in rows if row.words), default=0) + 1
    return [
        [(f" {row.keys:<{keys}}", "key"), (row.words, "")] if row.keys else [(row.words, "bold")]
        for row in rows
    ]
