"""A table on its way out: named columns, each text or number, and rows of plain cells."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, NamedTuple

from benchtui.base.signs import obeyed_in, visible

BREAKS = "\n\r\t"
"""Signs that a cell of a table may have: they break its lines."""
Kind = Literal["text", "number"]
Row = tuple[str, ...]

# A number as every spreadsheet reads it, whatever the country: a point, no grouping, no exponent.
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?\Z")


def is_number(cell: str) -> bool:
    """True for plain decimals such as ``24.00``, ``-3``; an empty cell is no number."""
    return _NUMBER.match(cell) is not None


class Column(NamedTuple):
    """``name`` heads the column; ``about`` is the sentence the README prints for it.

    A ``number`` column holds plain decimals or nothing; anything else in it is a fault of ours,
    found before it is written, so that only text columns need a guard against formulas.
    """

    name: str
    kind: Kind = "text"
    about: str = ""
    adds: bool = False
    """Whether the column is amounts that a reader would add up."""


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows of equal width. Cells are text as the shop has it: no quotes, no guard."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        names = [column.name for column in self.columns]
        if len(set(names)) < len(names):
            raise ValueError("a column name appears twice: " + ", ".join(names))
        for number, row in enumerate(self.rows, start=1):
            if len(row) != len(names):
                raise ValueError(f"row {number} has {len(row)} cells for {len(names)} columns")

    @property
    def names(self) -> Row:
        """The column names in their order."""
        return tuple(column.name for column in self.columns)

    def cells(self, name: str) -> Row:
        """One column from top to bottom; KeyError for a name the table does not have."""
        if name not in self.names:
            raise KeyError(name)
        at = self.names.index(name)
        return tuple(row[at] for row in self.rows)

    def dicts(self) -> list[dict[str, str]]:
        """Each row as a dictionary by column name."""
        return [dict(zip(self.names, row, strict=True)) for row in self.rows]


def with_totals(table: Table, currency: str = "currency") -> Table:
    """The same with a last row that adds up what adds up, one for each currency there is."""
    codes = table.cells(currency) if currency in table.names else ("",) * len(table.rows)
    rows = []
    for code in dict.fromkeys(codes):
        mine = [row for row, each in zip(table.rows, codes, strict=True) if each == code]
        cells = [
            _sum(row[at] for row in mine) if column.adds else code if column.name == currency else ""
            for at, column in enumerate(table.columns)
        ]
        first = next((at for at, column in enumerate(table.columns) if column.kind == "text"), 0)
        cells[first] = "total"
        if "basis" in table.names and mine:  # a sum is an estimate too
            cells[table.names.index("basis")] = mine[0][table.names.index("basis")]
        rows.append(tuple(cells))
    return Table(table.columns, (*table.rows, *rows))


def _sum(cells: Iterable[str]) -> str:
    """Plain decimals added up exactly, with as many decimals as the longest."""
    found = [Decimal(cell) for cell in cells if cell]
    return format(sum(found, Decimal(0)), "f") if found else ""


def visible_table(table: Table, tell: Callable[[str], None] | None = None) -> Table:
    """The same with control signs in its cells as escapes; ``tell`` is told how many, and where the first."""
    found = [
        (number, column.name, count)
        for number, row in enumerate(table.rows, start=1)
        for column, cell in zip(table.columns, row, strict=True)
        if (count := obeyed_in(cell, BREAKS))
    ]
    if not found:
        return table
    if tell is not None:
        number, name, _ = found[0]
        signs = sum(count for _, _, count in found)
        tell(
            f"{signs} control signs stand as escapes such as \\x1b in the file, first in row {number}, {name}"
        )
    return Table(table.columns, tuple(tuple(visible(cell, BREAKS) for cell in row) for row in table.rows))


def table_of(columns: Sequence[Column], rows: Iterable[dict[str, str]]) -> Table:
    """A table from rows by name; a name left out is an empty cell, a name too many a KeyError."""
    names = [column.name for column in columns]
    packed: list[Row] = []
    for row in rows:
        unknown = sorted(set(row) - set(names))
        if unknown:
            raise KeyError(", ".join(unknown))
        packed.append(tuple(row.get(name, "") for name in names))
    return Table(tuple(columns), tuple(packed))
