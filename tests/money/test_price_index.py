"""The shop's own table of prices: typed, or read from a file, and refused where it is none."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.money.price_index import check_price_index, read_price_index, show_price_index

ROWS = [{"from": "2020-01-01", "value": "100"}, {"from": "2024-07-01", "value": "117.3"}]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("x.csv", "year,index\n2020,100\n2024-07,117.3\n"),
        ("x.csv", "2024-07;117,3\r\n2020;100\r\n"),
        ("x.toml", '2020 = 100\n"2024-07" = 117.3\n'),
        ("x.toml", '[index]\n2020 = "100"\n2024-07 = "117.3"\n'),
    ],
)
def test_a_file_of_years_is_read(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8", newline="")
    assert read_price_index(str(tmp_path / name)) == ROWS


def test_a_line_of_years_is_read_and_shown_again() -> None:
    assert read_price_index("2020 100; 2024-07 117,3") == ROWS
    assert show_price_index({"price_index": ROWS}) == "2020 100; 2024-07 117.3"
    assert read_price_index(" ") == []
    assert show_price_index({}) == ""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2020 100; 2020 101", "2020 appears twice"),
        ("2020 0", "the index of 2020 is 0"),
        ("2020 much", "the index of 2020"),
        ("nowhere.csv", "cannot be read"),
        ("2020", "cannot be read"),
    ],
)
def test_what_is_no_table_is_refused(text: str, said: str) -> None:
    with pytest.raises(BenchError, match=said):
        read_price_index(text)


def test_check_tells_of_a_table_that_was_edited_into_none() -> None:
    with pytest.raises(BenchError, match="the index is 'dear'"):
        check_price_index({"price_index": [{"from": "2020-01-01", "value": "dear"}]})
    check_price_index({"price_index": ROWS})
