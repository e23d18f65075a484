"""Columns under the names that other lists give them."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.titles.columns import columns_of
from benchtui.titles.takein import take_in


def test_common_names_of_others_are_read_and_told(tmp_path: Path) -> None:
    listed = tmp_path / "list.csv"
    listed.write_text("Band,Album,Year,Label,Number\nMara Holt,Paper Harbour,1972,Rookery,RK 101\n", "utf-8")
    report = take_in(listed, tmp_path / "titles")
    assert report.path is not None
    kept = report.path.read_text("utf-8")
    for cell in ("Mara Holt", "Paper Harbour", "1972", "Rookery", "RK 101"):
        assert cell in kept
    told = "\n".join(report.told())
    assert "Year as first" in told
    assert "Label as company" in told
    assert "not used" not in told


def test_our_own_name_stands_before_another_s(tmp_path: Path) -> None:
    columns = columns_of(["artist", "title", "name", "first", "year"], {}, tmp_path)
    assert (columns.at["title"], columns.at["first"]) == (1, 3)
    assert columns.unused == ("name", "year")
    assert columns.read_as == ()


def test_what_the_dealer_says_stands_before_a_guess(tmp_path: Path) -> None:
    columns = columns_of(["artist", "title", "label", "firm"], {"firm": "company"}, tmp_path)
    assert columns.at["company"] == 3
    assert "label" in columns.unused


def test_a_list_without_any_name_for_the_title_is_still_refused(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="no column"):
        columns_of(["who", "what"], {}, tmp_path)
