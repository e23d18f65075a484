"""Handing on by one key: the day's intake over all parcels, with any text a person may have typed."""

import csv
import shutil
from pathlib import Path

import pytest
from bench_hands import TODAY, Hands, sit_down

from benchtui.cli import main
from benchtui.export.csvfile import read_csv
from benchtui.export.intake import COLUMNS

KINDS = {column.name: column.kind for column, _ in COLUMNS}
TEXTS = [
    "[b]not bold[/b] [/] [red]",
    'he said "quite clean", twice',
    "a heart ♥, a family 👩‍👩‍👧, a flag 🇽🇰, a warning ⚠\ufe0f",
    "שלום עולם and عربي, then latin",
    "=1+1",
    "+44 and -3",
    "@home",
    "'already quoted",
    "a;b\tc, d",
    "é composed and e\u0301 decomposed",
    "[" * 5000 + "]" * 5000,
]


def _written(hands: Hands) -> Path:
    if hands.desk.open.line is not None:
        hands.do("line-leave")
    hands.do("export-day")
    assert hands.desk.open.tone == "done", hands.said
    return hands.desk.shop.path / "exports" / f"intake-{TODAY}.csv"


@pytest.fixture(scope="module")
def handed_on(
    empty_made: Path, tmp_path_factory: pytest.TempPathFactory
) -> tuple[list[dict[str, str]], Path]:
    """Two parcels, a record for each text, the day exported from the bench."""
    path = Path(shutil.copytree(empty_made, tmp_path_factory.mktemp("handed") / "shop"))
    hands = sit_down(path)
    hands.new_parcel(len(TEXTS) - 2)
    for text in TEXTS[:-2]:
        hands.ready().do("note").enter(text).do("take-in")
    hands.new_parcel(3)
    for text in TEXTS[-2:]:
        hands.ready("lo").do("note").enter(text).do("take-in")
    file = _written(hands)
    hands.leave()
    return read_csv(file, KINDS).dicts(), file


def test_every_taken_in_record_of_the_day_is_a_row_over_all_parcels(
    handed_on: tuple[list[dict[str, str]], Path],
) -> None:
    rows, _ = handed_on
    assert [row["stock_number"] for row in rows] == [f"A{n:05}" for n in range(1, len(TEXTS) + 1)]
    assert len({row["parcel_id"] for row in rows}) == 2
    assert next(iter(rows[0])) == "stock_number"


def test_every_text_comes_back_whole(handed_on: tuple[list[dict[str, str]], Path]) -> None:
    rows, _ = handed_on
    held = {cell for row in rows for cell in row.values()}
    for text in TEXTS:
        assert text in held, text[:40]


def test_a_formula_is_text_to_a_spreadsheet_and_the_file_is_rfc_4180(
    handed_on: tuple[list[dict[str, str]], Path],
) -> None:
    _, file = handed_on
    data = file.read_bytes()
    assert data.count(b"\r\n") == len(TEXTS) + 1
    assert data.endswith(b"\r\n")
    with file.open(newline="", encoding="utf-8") as opened:
        cells = [cell for row in csv.reader(opened, strict=True) for cell in row]
    numbers = {cell for cell in cells if cell.replace(".", "").isdigit()}
    for cell in cells:
        assert not cell.startswith(("=", "+", "@", "\t")) or cell in numbers, cell[:40]


def test_money_is_a_plain_decimal_beside_its_currency_and_grades_stand_by_part(
    handed_on: tuple[list[dict[str, str]], Path],
) -> None:
    rows, _ = handed_on
    for row in rows:
        assert (row["money_price"], row["money_currency"]) == ("12.00", "GBP")
        assert (row["disc_grade"], row["cover_grade"]) == ("VG+", "VG+")


def test_the_command_line_writes_the_very_same_file(
    handed_on: tuple[list[dict[str, str]], Path], tmp_path: Path
) -> None:
    _, file = handed_on
    shop = file.parents[1]
    out = tmp_path / "out.csv"
    assert main(["export", "intake", "--shop", str(shop), "--day", TODAY, "--out", str(out)]) == 0
    assert out.read_bytes() == file.read_bytes()


def test_a_day_without_records_is_a_header_alone(parcel: Hands) -> None:
    file = _written(parcel)
    assert len(file.read_text("utf-8").splitlines()) == 1


def test_records_set_apart_and_records_not_taken_in_leave_in_no_file(parcel: Hands) -> None:
    parcel.ready().do("chore").key("m").do("take-in")
    parcel.ready("lo")
    rows = read_csv(_written(parcel), KINDS).dicts()
    assert rows == []


def test_ten_thousand_characters_are_stored_whole_and_drawn_without_harm(breakwater: Hands) -> None:
    text = "[x] " * 2500
    breakwater.do("note").paste(text).do("line-accept")
    assert breakwater.record["note"] == text
    path = breakwater.desk.shop.path
    breakwater.leave()
    again = sit_down(path)
    assert again.record["note"] == text
    again.leave()


def test_that_it_is_being_written_is_said_first_and_it_is_written_before_the_next_key(demo: Hands) -> None:
    demo.do("line-leave")
    demo.desk.background.patient = True
    demo.do("export-day")
    assert demo.said == "writing the day's intake ..."
    assert demo.desk.background.is_asked, "a script waits for it"
    demo.key("f12")
    assert demo.desk.background.writing is None
    assert list((demo.desk.shop.path / "exports").glob("intake-*.csv"))
