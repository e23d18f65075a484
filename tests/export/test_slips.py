"""Shelf slips: rows for a label printer, and a sheet whose bars say the stock number."""

import re
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest

from benchtui.books.cautions import said
from benchtui.books.faults import load_faults
from benchtui.export import code128
from benchtui.export.slips import NAMES, slip_sheet, slips
from benchtui.export.wording import Wording


def test_the_csv_has_one_row_a_slip(make: SimpleNamespace) -> None:
    items = [make.item(), make.item(make.record(2, None))]
    table = slips(items, make.words())
    assert table.names == (*NAMES, "chore_caution")
    assert table.cells("stock_number") == ("A00001",)
    assert table.cells("disc_grade") == ("VG+",)


def test_the_number_on_a_slip_is_that_of_the_copy_as_the_stock_book_has_it(make: SimpleNamespace) -> None:
    record = make.record()
    record["pressing"]["catalogue"] = "TWD 1041"
    item = make.item(record)
    assert slips([item], make.words()).cells("title_catalogue") == ("TWD 1041",)
    assert "TWD 1041" in slip_sheet([item], make.words()).decode()


def test_the_bars_on_the_sheet_are_those_of_the_number(make: SimpleNamespace) -> None:
    sheet = slip_sheet([make.item(), make.item(make.record(2, "B00042"))], make.words()).decode()
    drawn = re.findall(r'<svg class="code".*?</svg>', sheet)
    assert len(drawn) == 2
    for svg, number in zip(drawn, ("A00001", "B00042"), strict=True):
        path = ElementTree.fromstring(svg)[0].attrib["d"]
        boxes = re.findall(r"M(\d+) 0h(\d+)v30h-(\d+)z", path)
        assert [(int(left), int(width)) for left, width, _ in boxes] == code128.bars(number)
        assert number in sheet


def test_what_to_mind_stands_on_the_slip_whole_and_once(make: SimpleNamespace) -> None:
    record = make.record()
    record["parts"][0]["faults"] = [make.fault("crack", "tight")]
    record["chores"] = [
        {"id": "h", "what": "repair", "part": "c1", "note": "", "by": "key", "at": "2026-11-25", "done": None}
    ]
    words = Wording.of({}, load_faults(()))
    table, sheet = slips([make.item(record)], words), slip_sheet([make.item(record)], words).decode()
    assert table.cells("chore_caution") == (f"{said('broken')}; {said('blades')}",)
    assert sheet.count(said("broken")) == sheet.count(said("blades")) == sheet.count(said("rules")) == 1


def test_a_record_without_work_or_fault_has_nothing_to_mind(make: SimpleNamespace) -> None:
    assert said("rules") not in slip_sheet([make.item()], make.words()).decode()


def test_what_is_set_apart_gets_no_slip(make: SimpleNamespace) -> None:
    apart = {"why": "smell", "note": "", "at": ""}
    sheet = slip_sheet([make.item(make.record(set_apart=apart))], make.words()).decode()
    assert "No slips to print." in sheet


def test_text_of_the_shop_is_shown_literally(make: SimpleNamespace) -> None:
    record = make.record(shelf="<b>B & 7</b>")
    record["title"]["title"] = '<script>"x"</script>'
    sheet = slip_sheet([make.item(record)], make.words()).decode()
    assert "<script" not in sheet
    assert "&lt;script&gt;" in sheet
    assert "&lt;b&gt;B &amp; 7" in sheet


@pytest.mark.parametrize("text", ["", "\u00e9", "a\n", "\u05e9"])
def test_what_has_no_bars_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="printable ASCII"):
        code128.values(text)


def test_the_quiet_zone_stays_white() -> None:
    bars = code128.bars("A00001")
    wide = len(code128.modules("A00001")) + 2 * code128.QUIET
    assert bars[0][0] == code128.QUIET == 10
    assert sum(bars[-1]) == wide - code128.QUIET
