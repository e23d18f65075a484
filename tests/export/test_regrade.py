"""Regrading blind: the sheet shows no grade, and the second grading is set against the first."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from benchtui.base.errors import BenchError
from benchtui.export.csvfile import out_csv
from benchtui.export.regrade import regrade_sheet, regraded
from benchtui.export.table import Table

SOLD = {
    "n": 1,
    "what": "sold",
    "at": "2026-11-25",
    "minor": 2400,
    "currency": "GBP",
    "buyer": "",
    "invoice": "",
}


def items(make: SimpleNamespace, count: int = 10) -> list[Any]:
    return [make.item(make.record(no, f"A{no:05}")) for no in range(1, count + 1)]


def filled(table: Table, path: Path, grades: list[str]) -> Path:
    rows = [(*row[:-1], grade) for row, grade in zip(table.rows, grades, strict=True)]
    out_csv(Table(table.columns, tuple(rows)), path)
    return path


def test_the_sheet_is_a_sample_without_grades_that_a_seed_repeats(make: SimpleNamespace) -> None:
    table = regrade_sheet(items(make), 7, 1, make.words())
    assert len(table.rows) == 7
    assert set(table.cells("regrade")) == {""}
    assert "VG" not in " ".join(cell for row in table.rows for cell in row)
    assert table == regrade_sheet(items(make), 7, 1, make.words())
    assert table != regrade_sheet(items(make), 7, 2, make.words())
    assert len(regrade_sheet(items(make), 500, 1, make.words()).rows) == 30


def test_what_was_sold_or_set_apart_is_not_on_the_sheet(make: SimpleNamespace) -> None:
    sold = make.record(life=[SOLD])
    apart = make.record(2, "A00002", set_apart={"why": "mould", "note": "", "at": ""})
    assert regrade_sheet([make.item(sold), make.item(apart)], 9, 1, make.words()).rows == ()


def test_the_second_grading_is_set_against_the_first(make: SimpleNamespace, tmp_path: Path) -> None:
    stock = items(make, 2)
    table = regrade_sheet(stock, 99, 1, make.words())
    first = {"disc": "VG+", "cover": "VG", "inner": "G"}
    now = [first[name] if number == "A00001" else "VG" for number, name in zip(
        table.cells("stock_number"), table.cells("part_name"), strict=True)]  # fmt: skip
    result = regraded(filled(table, tmp_path / "x.csv", now), stock, make.words())[0]
    assert (result.scale, result.count) == ("American", 6)
    assert result.same == pytest.approx(4 / 6)
    assert result.near == 1.0
    # Of two discs one went from VG+ down to VG, of two inners one from G up to VG.
    assert [(one.group, one.count, one.steps) for one in result.by_grade] == [
        ("VG+", 2, -0.5),
        ("VG", 2, 0.0),
        ("G", 2, 0.5),
    ]
    assert [one.group for one in result.by_month] == ["2026-11"]
    assert result.lines()[0] == "American: 6 parts graded twice, weighted kappa 0.67"


def test_grades_all_alike_leave_kappa_undefined(make: SimpleNamespace, tmp_path: Path) -> None:
    stock = items(make, 1)
    table = regrade_sheet(stock, 99, 1, make.words())
    only_disc = ["VG+" if name == "disc" else "" for name in table.cells("part_name")]
    result = regraded(filled(table, tmp_path / "x.csv", only_disc), stock, make.words())[0]
    assert result.kappa is None
    assert "cannot be worked out" in result.lines()[0]


def test_a_grade_or_a_part_nobody_knows_is_named_with_its_line(make: SimpleNamespace, tmp_path: Path) -> None:
    stock = items(make, 1)
    table = regrade_sheet(stock, 99, 1, make.words())
    path = filled(table, tmp_path / "x.csv", ["VG", "lovely", ""])
    with pytest.raises(BenchError, match=r"x\.csv:3: American has no grade 'lovely'; use one of NM, VG\+"):
        regraded(path, stock, make.words())
    with pytest.raises(BenchError, match=r"x\.csv:2: no graded part"):
        regraded(filled(table, tmp_path / "x.csv", ["VG", "VG", "VG"]), [], make.words())
    (tmp_path / "y.csv").write_text("stock_number,part_id\r\n", encoding="utf-8")
    with pytest.raises(BenchError, match='the column "regrade" is missing'):
        regraded(tmp_path / "y.csv", stock, make.words())
