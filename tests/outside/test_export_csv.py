"""CSV against the standard and the security advice, with the examples printed there."""

import csv
import io

import pytest

from benchtui.export.csvfile import csv_text, field, parse_csv
from benchtui.export.table import Column, Table

# RFC 4180, section 2, items 1, 2, 5, 6 and 7: the examples as printed there.
RFC = [
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
]


@pytest.mark.parametrize(("text", "rows"), RFC)
def test_the_examples_of_rfc_4180_are_read(text: str, rows: list[list[str]]) -> None:
    table = parse_csv(text)
    assert [list(table.names), *map(list, table.rows)] == rows


def test_spaces_are_part_of_a_field() -> None:
    """RFC 4180, section 2, item 4."""
    assert parse_csv("a,b\r\n , \r\n").rows == ((" ", " "),)


# OWASP, "CSV Injection" (www-community, pages/attacks/CSV_Injection.md at 0e5e8f0): its two examples.
@pytest.mark.parametrize(
    ("raw", "escaped"), [('=1+2";=1+2', '"\'=1+2"";=1+2"'), ("=1+2'\" ;,=1+2", '"\'=1+2\'"" ;,=1+2"')]
)
def test_the_examples_of_owasp_are_escaped_as_printed(raw: str, escaped: str) -> None:
    assert field(raw) == escaped


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_cell_begins_with_a_sign_that_owasp_lists(sign: str) -> None:
    text = csv_text(Table((Column("a"),), ((sign + "cmd",),)))
    # Python's own reader, as a spreadsheet would: lines, then fields without their quotes.
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert rows[1] == ["'" + sign + "cmd"]


def test_python_s_excel_dialect_reads_every_field_the_same() -> None:
    """The csv module's ``excel`` dialect is how Excel writes CSV (Python library reference, csv)."""
    cells = ("plain", "a,b", 'say "x"', "two\r\nlines", "semi;colon", " spaced ", "")
    table = Table(tuple(Column(f"c{n}") for n in range(len(cells))), (cells,))
    assert tuple(list(csv.reader(io.StringIO(csv_text(table), newline="")))[1]) == cells
