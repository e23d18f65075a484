"""CSV as RFC 4180 has it, safe to open in a spreadsheet, and read back to the same cells.

Two layers, and each can be taken off again. *The guard* (OWASP, "CSV Injection"): a text cell that a
spreadsheet would run as a formula gets one ``'`` in front, and so does a cell that begins with ``'``
already; reading strips exactly one. A runout may really begin with ``-``, so nothing is ever dropped.
*The quotes* (RFC 4180, section 2): a field with a line break, a comma or a quote stands in quotes.
"""

import csv
import re
from collections.abc import Mapping
from io import StringIO
from pathlib import Path

from benchtui.base.errors import BenchError
from benchtui.base.reading import read_text
from benchtui.export.files import Out, put_out
from benchtui.export.table import Column, Kind, Row, Table, is_number

# OWASP names the first seven; NUL is from its verification standard (ASVS 5.0, 1.2.10).
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\0")
# Beyond RFC 4180's four signs: a semicolon or tab would start a new cell where those separate.
_DECIMAL_COMMA = re.compile(r"-?[0-9]+,[0-9]+\Z")
_QUOTED = frozenset('",;\t\r\n')
# Python's own limit (128 KiB a field) is less than a long note pasted twice.
_FIELD_LIMIT = 2**31 - 1
MOST_BYTES = 200_000_000


def guard(cell: str) -> str:
    """The cell with one ``'`` in front where a spreadsheet would take it for a formula."""
    return "'" + cell if cell.startswith((*_FORMULA, "'")) else cell


def unguard(cell: str) -> str:
    """The cell as it was before :func:`guard`."""
    return cell.removeprefix("'")


def field(cell: str, kind: Kind = "text", separator: str = ",") -> str:
    """One field ready for the file. ValueError where a number column holds no plain decimal (or, where no
    comma separates, one with a comma for the point)."""
    if kind == "number":
        if cell and not is_number(cell) and (separator == "," or not _DECIMAL_COMMA.match(cell)):
            raise ValueError(f"{cell!r} is not a plain decimal")
        # A layout may want a comma for the point; then the separator decides about quotes.
        return quote(cell, separator)
    return quote(guard(cell), separator)


def quote(cell: str, separator: str = ",") -> str:
    """RFC 4180 section 2, items 6 and 7."""
    if separator != "," and _DECIMAL_COMMA.match(cell):
        return cell
    if _QUOTED.isdisjoint(cell) and separator not in cell:
        return cell
    return '"' + cell.replace('"', '""') + '"'


def csv_text(table: Table, separator: str = ",") -> str:
    """The whole file as text, CRLF after every line, the last one too."""
    head = [guard(name) for name in table.names]
    lines = [_line([quote(name, separator) for name in head], separator)]
    for number, row in enumerate(table.rows, start=1):
        lines.append(_line(_fields(table, row, number, separator), separator))
    return "".join(lines)


def header_line(table: Table, separator: str = ",") -> str:
    """The first line of the file."""
    return _line([quote(guard(name), separator) for name in table.names], separator)


def row_line(table: Table, row: Row, separator: str = ",") -> str:
    """One row as a line, for files that are written row by row. ValueError as :func:`field`."""
    return _line(_fields(table, row, 0, separator), separator)


def out_csv(table: Table, out: Out, separator: str = ",", encoding: str = "utf-8") -> None:
    """To the file ``out``, or to standard output where it is None or ``-``."""
    put_out(encoded(csv_text(table, separator), encoding, out or "standard output"), out)


def read_csv(path: str | Path, kinds: Mapping[str, Kind] | None = None, separator: str = ",") -> Table:
    """The cells as :func:`out_csv` was given them; ``kinds`` names the number columns.

    BenchError for a file that cannot be read, is not UTF-8, has no header, a column twice, or a
    row whose width differs from the header's.
    """
    text = read_text(Path(path), MOST_BYTES, "name a CSV file")
    return parse_csv(text, path, kinds, separator)


def parse_csv(
    text: str, where: str | Path = "", kinds: Mapping[str, Kind] | None = None, separator: str = ","
) -> Table:
    """:func:`read_csv` on text; ``where`` is named in errors."""
    rows = _rows(text, where, separator)
    if not rows:
        raise BenchError("has no header line", where, "name the columns in the first line")
    names = rows[0][1]
    columns = tuple(Column(name, (kinds or {}).get(name, "text")) for name in names)
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise BenchError(f'the column "{twice}" appears twice', where, "name each column once", line=1)
    for line, row in rows[1:]:
        if len(row) != len(names):
            raise BenchError(
                f"a row of {len(row)} cells", where, f"write {len(names)}, as in the header", line=line
            )
    return Table(columns, tuple(row for _, row in rows[1:]))


def encoded(text: str, encoding: str, where: str | Path) -> bytes:
    """The file's bytes; BenchError naming the sign that the encoding does not have."""
    try:
        return text.encode(encoding)
    except UnicodeEncodeError as error:
        sign = f"{text[error.start]!r} (U+{ord(text[error.start]):04X})"
        raise BenchError(
            f"{sign} does not exist in {encoding}", where, "use UTF-8, which has every sign"
        ) from error


def _rows(text: str, where: str | Path, separator: str) -> list[tuple[int, Row]]:
    """Each row with the line it begins on, cells without quotes and guard."""
    csv.field_size_limit(_FIELD_LIMIT)
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[int, Row]] = []
    begins = 1
    try:
        for row in reader:
            # The reader gives [] for an empty line, which RFC 4180 reads as one empty cell.
            rows.append((begins, tuple(unguard(cell) for cell in row) or ("",)))
            begins = reader.line_num + 1
    except csv.Error as error:
        raise BenchError(
            f"is not CSV: {error}", where, "double each quote inside quotes", line=begins
        ) from error
    return rows


def _fields(table: Table, row: Row, number: int, separator: str) -> list[str]:
    fields = []
    for column, cell in zip(table.columns, row, strict=True):
        try:
            fields.append(field(cell, column.kind, separator))
        except ValueError as error:
            raise ValueError(f"row {number}, {column.name}: {error}") from error
    return fields


def _line(fields: list[str], separator: str) -> str:
    # One empty cell alone would be an empty line, which many readers skip.
    return ('""' if fields == [""] else separator.join(fields)) + "\r\n"
