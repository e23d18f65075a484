"""Sales seen: entered by hand or from a file, bad lines named and the rest taken in; a sale in one line."""

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.base.errors import BenchError
from benchtui.base.shipped import shipped
from benchtui.books.scales import load_scales
from benchtui.model.grade import Scale
from benchtui.model.money import Money
from benchtui.money.saleline import read_sale_line
from benchtui.money.sales import new_sale, read_sales
from benchtui.money.worked import worked_price

TODAY = date(2026, 11, 25)
SETTINGS = {"currency": "GBP", "scale": "plain"}
HEADER = "title,pressing,date,price,currency,disc,cover,where"
Scales = dict[str, Scale]


def file(tmp_path: Path, *lines: str, header: str = HEADER) -> Path:
    path = tmp_path / "seen.csv"
    path.write_bytes("\r\n".join([header, *lines, ""]).encode())
    return path


def test_of_a_thousand_lines_three_bad_ones_are_named_and_the_rest_is_taken_in(
    tmp_path: Path, scales: Scales
) -> None:
    lines = [f"t-{at},,2026-10-{at % 28 + 1:02},{at}.50,GBP,VG+,VG,a fair" for at in range(1, 1001)]
    lines[9] = "t-10,,2026-10-11,10.50,QQQ,VG+,VG,a fair"
    lines[499] = "t-500,,2027-10-11,10.50,GBP,VG+,VG,a fair"
    lines[998] = "t-999,,2026-10-11,-3,GBP,VG+,VG,a fair"
    path = file(tmp_path, *lines)
    got = read_sales(path, SETTINGS, TODAY, scales)
    assert (len(got.sales), len(got.bad), got.again) == (997, 3, 0)
    assert [one.line for one in got.bad] == [11, 501, 1000]
    assert [str(one).removeprefix(str(path)) for one in got.bad] == [
        ":11: how many decimals has the currency QQQ? Correct the code, or give its decimals under 'other currencies' in the shop's rules: QQQ 2",
        ":501: 2027-10-11 has not come yet; enter 2026-11-25 or earlier",
        ":1000: '-3' is below zero; enter 0 or more",
    ]


def test_a_file_taken_in_twice_adds_nothing_and_equal_lines_are_two_sales(tmp_path: Path) -> None:
    line = "t-1,,2026-10-11,24.00,GBP,VG+,VG,a fair"
    path = file(tmp_path, line, line)
    first = read_sales(path, SETTINGS, TODAY)
    ids = {sale["id"] for sale in first.sales}
    assert len(ids) == 2
    second = read_sales(path, SETTINGS, TODAY, known=ids)
    assert (second.sales, second.again) == ((), 2)


def test_a_sale_keeps_what_the_line_says(tmp_path: Path, scales: Scales) -> None:
    header = "pressing;date;price;disc;cover;missing;swapped;rate;where"
    path = file(tmp_path, 't-1/a;2026-10-11;24,50 EUR;vg+;vg-;1;0;0.85;"a list, page 3; top"', header=header)
    (sale,) = read_sales(path, SETTINGS, TODAY, scales).sales
    assert {name: value for name, value in sale.items() if name != "id"} == {
        "title": None, "pressing": "t-1/a", "date": "2026-10-11", "minor": 2450, "currency": "EUR",
        "rate": "0.85", "disc": "VG+", "cover": "VG-", "scale": "plain", "missing": 1, "swapped": 0,
        "where": "a list, page 3; top",
    }  # fmt: skip


def test_line_numbers_hold_over_cells_with_line_breaks_and_empty_lines(tmp_path: Path) -> None:
    path = file(
        tmp_path,
        't-1,,2026-10-11,24.00,,VG,,"two\r\nlines"',
        "",
        "t-2,,nonsense,24.00,,VG,,",
        "t-3,,2026-10-11,1",
    )
    got = read_sales(path, SETTINGS, TODAY)
    assert [one.line for one in got.bad] == [5, 6]
    assert len(got.sales) == 1


def test_titles_are_found_by_whoever_knows_them(tmp_path: Path) -> None:
    path = file(tmp_path, "Evening,,2026-10-11,24.00,,VG,,", "Morning,,2026-10-11,24.00,,VG,,")
    got = read_sales(path, SETTINGS, TODAY, title_of={"Evening": "t-1"}.get)
    assert [sale["title"] for sale in got.sales] == ["t-1"]
    assert "no title 'Morning' is known" in str(got.bad[0])


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"title,price\r\n", "no column date, disc"),
        (b"date,price,disc\r\n", "no column title or pressing"),
        (b"title,date,date,price,disc\r\n", "appears twice"),
        (b"title,date,price,disc\r\nt,2026-10-11,\xff,VG\r\n", "not UTF-8"),
        (b'title,date,price,disc\r\nt,2026-10-11,"24.00,VG\r\n', "not CSV from here on"),
    ],
)
def test_a_file_that_cannot_be_read_as_a_whole_is_refused(tmp_path: Path, content: bytes, says: str) -> None:
    path = tmp_path / "seen.csv"
    path.write_bytes(content)
    with pytest.raises(BenchError, match=says) as refusal:
        read_sales(path, SETTINGS, TODAY)
    assert "seen.csv" in str(refusal.value)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="cannot be read"):
        read_sales(tmp_path / "nothing.csv", SETTINGS, TODAY)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"title": ""}, "no title and no pressing"),
        ({"date": "11/10/2026"}, "day of sale"),
        ({"price": "0"}, "price is 0"),
        ({"price": "much"}, "not an amount"),
        ({"price": "99999999999"}, "too large"),
        ({"rate": "0"}, "rate is 0"),
        ({"disc": ""}, "the disc has no grade"),
        ({"disc": "fine"}, "has no grade 'fine'"),
        ({"disc": "VGx"}, "has no grade 'VGx'"),
        ({"cover": "fine"}, "has no grade 'fine'"),
        ({"scale": "school"}, "no scale 'school'"),
        ({"missing": "some"}, "missing is 'some'"),
        ({"swapped": "-1"}, "swapped is"),
    ],
)
def test_a_sale_that_cannot_be_right_is_refused(wrong: Any, says: str, scales: Scales) -> None:
    fields = {"title": "t-1", "date": "2026-10-11", "price": "24.00", "disc": "VG+", "cover": "VG"} | wrong
    with pytest.raises(BenchError, match=says):
        new_sale(fields, SETTINGS, TODAY, scales)


def test_the_demo_shops_file_is_taken_in_whole() -> None:
    got = read_sales(
        shipped("demo") / "sales_seen.csv", {"currency": "GBP", "scale": "american"}, TODAY, load_scales()
    )
    assert len(got.sales) > 100
    assert [str(fault) for fault in got.bad] == []
    assert all(sale["title"] and sale["disc"] and sale["where"] for sale in got.sales)


def test_what_was_read_is_what_the_worked_price_takes(tmp_path: Path, scales: Scales) -> None:
    path = file(tmp_path, *(f"t-1,,2026-10-{day},24.00,,NM,NM," for day in (11, 12, 13)))
    sales = read_sales(path, SETTINGS, TODAY, scales).sales
    assert worked_price("t-1", sales, (1, 1), None, SETTINGS, TODAY, scales=scales).price == Money(
        2400, "GBP"
    )


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_and_never_breaks(text: str) -> None:
    for fields in (
        {"title": text, "date": text, "price": text, "disc": text},
        {"title": "t", "date": "2026-10-11", "price": "1", "disc": text, "missing": text},
    ):
        try:
            sale = new_sale(fields, SETTINGS, TODAY)
        except BenchError as wrong:
            assert "\n" not in wrong.one_line()  # noqa: PT017
        else:
            assert sale["minor"] > 0


@pytest.mark.parametrize(
    ("line", "stock", "on", "minor", "buyer", "invoice"),
    [
        ("A00012; 2026-11-20; 24.00; M. Larch; 0042", "A00012", "2026-11-20", 2400, "M. Larch", "0042"),
        ("a12;;24", "A00012", "2026-11-25", 2400, "", ""),
        ("b 7; -1; 24,50; Larch / Elder", "B00007", "2026-11-24", 2450, "Larch / Elder", ""),
        ("a12/11-20/24/Larch/42", "A00012", "2026-11-20", 2400, "Larch", "42"),
        ("a12; 12-20; 24", "A00012", "2025-12-20", 2400, "", ""),
        ("a12; 11-25; 24", "A00012", "2026-11-25", 2400, "", ""),
    ],
)
def test_a_sale_is_read_from_one_line(
    line: str, stock: str, on: str, minor: int, buyer: str, invoice: str
) -> None:
    got = read_sale_line(line, "GBP", TODAY)
    assert (got.stock, got.on, got.price, got.buyer, got.invoice) == (
        stock,
        on,
        Money(minor, "GBP"),
        buyer,
        invoice,
    )


@pytest.mark.parametrize(
    "line",
    [
        "",
        "a12",
        "a12; 2026-11-20",
        "12; ; 24",
        "a12; 02-30; 24",
        "a12; ; -5",
        "a12; ; 5 QQQ",
        "a;b;c;d;e;f",
        "a123456;;1",
        "a12; ; 20 EUR; rate 0",
        "a12; ; 20 EUR; rate nothing",
    ],
)
def test_a_line_that_is_no_sale_is_refused(line: str) -> None:
    with pytest.raises(BenchError, match=re.escape("sale")):
        read_sale_line(line, "GBP", TODAY)


def test_different_sales_have_different_ids_and_the_same_one_always_the_same() -> None:
    fields = {"title": "t-1", "date": "2026-10-11", "price": "24.00", "disc": "VG+"}
    ids = [
        new_sale(fields | other, SETTINGS, TODAY)["id"] for other in ({}, {"price": "25"}, {"where": "x"}, {})
    ]
    assert len(set(ids)) == 3
    assert ids[0] == ids[3]
