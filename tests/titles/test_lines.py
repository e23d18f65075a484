"""Rows of a CSV file, one by one; a broken one costs itself only."""

import io
from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.titles import lines
from benchtui.titles.lines import Lines, Row
from benchtui.titles.oneline import cells_of_line
from benchtui.titles.sheet import open_sheet


def rows_of(path: Path, data: bytes | str) -> list[Row]:
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    sheet = open_sheet(path)
    try:
        return list(sheet.rows())
    finally:
        sheet.close()


def test_quotes_commas_and_line_breaks_in_cells_are_read(tmp_path: Path) -> None:
    rows = rows_of(
        tmp_path / "a.csv", 'artist,title\r\n"Vance, Odile","Harbour ""Lights"""\r\n"one\ntwo",T\r\n'
    )
    assert [row.cells for row in rows] == [["Vance, Odile", 'Harbour "Lights"'], ["one\ntwo", "T"]]
    assert [row.line for row in rows] == [2, 3]


def test_an_open_quote_does_not_swallow_the_lines_after_it(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", 'artist,title\nA,"open\nB,two\nC,three\nD,"fo"ur"\nE,five\n')
    assert [(row.line, row.cells[:1]) for row in rows if not row.refused] == [
        (3, ["B"]),
        (4, ["C"]),
        (5, ["D"]),
        (6, ["E"]),
    ]
    assert [row.refused for row in rows if row.refused] == ["a quote is never closed"]


def test_a_quoted_word_that_only_begins_a_cell_is_ordinary_where_the_cells_then_fit(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", 'artist,title\nA,"Fo" ur\nB,"fi"ve,more\n')
    assert rows[0].cells == ["A", '"Fo" ur']
    assert rows[1].refused == "a quote is in the wrong place"


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ('",",1968 on,"laminated, pasted"', ['"', '"', "1968 on", "laminated, pasted"]),
        ('a,b,c,"', ["a", "b", "c", '"']),
        ('","x",c,d,e', []),
    ],
)
def test_a_bare_quote_that_fills_a_cell_is_ditto_where_the_row_then_fits(line: str, cells: list[str]) -> None:
    data = f"{line}\n{line}\n".encode()
    read = Lines(Path("x"), io.BytesIO(data), "utf-8", len(data))
    read.dittos = True
    assert [row.cells for row in lines.rows_of(read, ",", 4)] == [cells, cells]


def test_two_open_quotes_near_each_other_cost_two_lines(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", 'artist,title\nA,"open\nB,two\nC,"open\nD,four\n')
    assert [row.line for row in rows if row.refused] == [2, 4]
    assert [row.cells for row in rows if not row.refused] == [["B", "two"], ["D", "four"]]


def test_cells_missing_at_the_end_are_empty_and_too_many_are_refused_with_the_counts(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", "artist,title,first\nA,b\nA,b,1967,more\n\nA,b,1967\n")
    assert [row.refused for row in rows] == [
        "",
        "4 cells, but the header has 3",
        "",
    ]
    assert rows[0].cells == ["A", "b", ""]


def test_a_quote_within_a_cell_is_ordinary(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", 'artist,title\nQuern 7",Bell 12"\nA,b\n')
    assert [row.cells for row in rows] == [['Quern 7"', 'Bell 12"'], ["A", "b"]]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_read_from_the_header(tmp_path: Path, delimiter: str) -> None:
    rows = rows_of(tmp_path / "a.csv", f"artist{delimiter}title\nA{delimiter}b\n")
    assert rows[0].cells == ["A", "b"]


def test_a_byte_order_mark_is_no_part_of_the_first_column(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(b"\xef\xbb\xbfartist,title\nA,b\n")
    sheet = open_sheet(path)
    assert sheet.header == ["artist", "title"]
    sheet.close()


def test_lines_in_another_encoding_are_refused_by_number_and_byte(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", "artist,title\nÅnd,b\n".encode() + b"\xc5nd,c\n" + b"E,d\n")
    assert [row.line for row in rows if row.refused] == [3]
    assert "byte 0xc5 at place 1 is not UTF-8" in rows[1].refused


def test_a_file_wholly_in_the_windows_code_page_is_read_in_it(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes("artist,title\nÅnd,Søvn\nB,Café\n".encode("cp1252"))
    sheet = open_sheet(path)
    assert sheet.encoding == "cp1252"
    assert [row.cells for row in sheet.rows()] == [["Ånd", "Søvn"], ["B", "Café"]]
    sheet.close()


def test_megabytes_in_one_cell_cost_one_line(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", "artist,title\nA,b\nC," + "x" * 3_000_000 + "\nD,e\n")
    assert [row.line for row in rows if row.refused] == [3]
    assert "3,000,003 bytes long" in rows[1].refused
    assert rows[2].cells == ["D", "e"]


def test_a_nul_character_is_refused(tmp_path: Path) -> None:
    rows = rows_of(tmp_path / "a.csv", b"artist,title\nA\0,b\nC,d\n")
    assert [bool(row.refused) for row in rows] == [True, False]


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "nothing in this file"),
        (b"\n\n", "nothing in this file"),
    ],
)
def test_what_is_no_list_at_all_is_refused_as_a_whole(tmp_path: Path, data: bytes, what: str) -> None:
    with pytest.raises(BenchError, match=what):
        rows_of(tmp_path / "a.csv", data)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="cannot be read"):
        open_sheet(tmp_path / "none.csv")


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ("2) Bo Trell – Lantern [BT 3] '61", ["Bo Trell", "Lantern", "BT 3", "'61"]),
        ("* Weirmen, The - Quay 1968 TW 9 €12", ["Weirmen, The", "Quay", "TW 9", "1968"]),
        ("- Nan Orrick - Tide Tables Part I (1970) EX", ["Nan Orrick", "Tide Tables Part I", "", "1970"]),
    ],
)
def test_year_and_number_of_a_mailed_line_in_any_order(line: str, cells: list[str]) -> None:
    assert cells_of_line(line) == cells
