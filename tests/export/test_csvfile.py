"""CSV out and in again: the same cells, whatever they hold."""

import csv
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.export.csvfile import csv_text, out_csv, parse_csv, read_csv
from benchtui.export.table import Column, Table

# Lone surrogates are no text that UTF-8 could carry.
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
SHARP = st.sampled_from(
    ["=1+1", "-1n 3gr", "+", "@x", "\tx", "\rx", "\nx", "'x", "''", "'=1", '"', 'a"b', ",", ";", ""]
)


def one(*cells: str, kind: str = "text") -> Table:
    columns = tuple(Column(f"c{n}", kind) for n in range(len(cells)))  # type: ignore[arg-type]
    return Table(columns, (tuple(cells),))


@given(st.lists(st.lists(TEXT | SHARP, min_size=3, max_size=3), max_size=5))
def test_every_cell_comes_back_as_it_was(rows: list[list[str]]) -> None:
    table = Table((Column("a"), Column("b"), Column("c")), tuple(tuple(row) for row in rows))
    assert parse_csv(csv_text(table)) == table


@given(TEXT | SHARP, TEXT | SHARP)
def test_every_cell_comes_back_with_a_semicolon_between(left: str, right: str) -> None:
    table = one(left, right)
    assert parse_csv(csv_text(table, ";"), separator=";") == table


@given(st.lists(TEXT | SHARP, min_size=1, max_size=4))
def test_no_text_cell_begins_as_a_formula(cells: list[str]) -> None:
    rows = list(csv.reader(io.StringIO(csv_text(one(*cells)), newline="")))
    assert not [cell for cell in rows[1] if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))]


def test_numbers_go_out_bare_and_a_minus_stays_a_minus() -> None:
    assert csv_text(one("-5.00", "24", "", kind="number")) == "c0,c1,c2\r\n-5.00,24,\r\n"


@pytest.mark.parametrize("cell", ["1e3", "=1", "24,00", "+1", " 1", "1 ", "NaN", "1_000", "٣", "1\n"])
def test_a_number_column_refuses_what_is_no_plain_decimal(cell: str) -> None:
    with pytest.raises(ValueError, match="row 1, c0"):
        csv_text(one(cell, kind="number"))


def test_brackets_emoji_right_to_left_and_ten_thousand_characters_come_back(tmp_path: Path) -> None:
    table = one(
        "[/b] [A1]", "\U0001f3b6 🎶", "\u05e9\u05dc\u05d5\u05dd", "x" * 10_000, "a\r\nb\nc\rd", "e\u0301"
    )
    out_csv(table, tmp_path / "x.csv")
    assert read_csv(tmp_path / "x.csv") == table


def test_a_note_longer_than_python_s_own_limit_comes_back(tmp_path: Path) -> None:
    table = one("n" * 200_000)
    out_csv(table, tmp_path / "x.csv")
    assert read_csv(tmp_path / "x.csv") == table


def test_one_empty_cell_is_a_row_and_no_empty_line() -> None:
    table = Table((Column("a"),), (("",), ("x",)))
    assert csv_text(table) == 'a\r\n""\r\nx\r\n'
    assert parse_csv(csv_text(table)) == table


def test_a_file_saved_by_a_spreadsheet_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    (tmp_path / "x.csv").write_bytes(b"\xef\xbb\xbfa,b\r\n1,2\r\n")
    assert read_csv(tmp_path / "x.csv").names == ("a", "b")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no header line"),
        (b"a,a\r\n", 'x.csv:1: the column "a" appears twice'),
        (b"a,b\r\n1,2\r\n3\r\n", "x.csv:3: a row of 1 cells; write 2, as in the header"),
        (b'a,b\r\n"1\r\n2",3\r\n4,5,6\r\n', "x.csv:4: a row of 3 cells"),
        (b'a\r\n"open', "x.csv:2: is not CSV"),
        (b"a\r\n\xff\r\n", "is not UTF-8"),
    ],
)
def test_a_file_that_is_no_such_table_is_refused_in_one_line(tmp_path: Path, data: bytes, said: str) -> None:
    (tmp_path / "x.csv").write_bytes(data)
    with pytest.raises(BenchError) as caught:
        read_csv(tmp_path / "x.csv")
    assert said in caught.value.one_line()
    assert "\n" not in caught.value.one_line()


def test_a_file_that_is_not_there_is_named() -> None:
    with pytest.raises(BenchError, match=r"nowhere\.csv: cannot be read"):
        read_csv("nowhere.csv")


def test_a_path_in_no_folder_or_that_is_a_folder_is_refused(tmp_path: Path) -> None:
    for path, right in ((tmp_path / "no" / "x.csv", "folder must exist"), (tmp_path, "name a file in it")):
        with pytest.raises(BenchError, match=right):
            out_csv(one("x"), path)
    (tmp_path / "file").write_text("kept")
    with pytest.raises(BenchError, match="folder must exist"):
        out_csv(one("x"), tmp_path / "file" / "x.csv")


def test_a_write_that_fails_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "x.csv"
    out_csv(one("old"), path)
    before = path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BenchError, match="No space left"):
        out_csv(one("new"), path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no device in the file tree")
def test_a_device_is_written_to_and_not_replaced() -> None:
    out_csv(one("x"), os.devnull)
    assert not Path(os.devnull).is_file()


def test_a_sign_the_encoding_lacks_is_named(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match=r"U\+266A.*does not exist in latin-1"):
        out_csv(one("\u266a"), tmp_path / "x.csv", encoding="latin-1")
    assert not list(tmp_path.iterdir())


def test_standard_output_gets_the_same_bytes(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    out_csv(one("\u266a"), None)
    assert capfdbinary.readouterr().out == "c0\r\n\u266a\r\n".encode()


def test_a_reader_that_stops_early_is_no_error() -> None:
    script = (
        "from benchtui.export.csvfile import out_csv;"
        "from benchtui.export.table import Column, Table;"
        "out_csv(Table((Column('a'),), (('x' * 1000,),) * 5000), '-')"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0
