"""The demo shop's own columns and templates: they are read, checked and used."""

import csv
import io
import shutil
from datetime import date
from pathlib import Path

import pytest

from benchtui.cli.check_shop import check_shop
from benchtui.export.describe import check_templates, load_templates
from benchtui.export.run import Ask, export
from benchtui.store import Shop


@pytest.fixture
def shop(demo: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo / "shop", tmp_path / "shop"))


def _web(path: Path, tmp_path: Path) -> list[dict[str, str]]:
    shop = Shop.open(path, read_only=True)
    try:
        export(shop, Ask("intake", date(2026, 11, 25), layout="web"), tmp_path / "web.csv")
    finally:
        shop.close()
    text = (tmp_path / "web.csv").read_bytes().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=";"))


def test_the_shop_s_own_columns_come_in_their_order_by_the_counter_s_template(
    shop: Path, tmp_path: Path
) -> None:
    rows = _web(shop, tmp_path)
    assert list(rows[0]) == [
        "Nr", "Heading", "What it is", "Pressed", "Disc", "Cover", "Line for the slip", "Pounds", "Sound",
        "Postage class",
    ]  # fmt: skip
    by_number = {row["Nr"]: row for row in rows}
    assert by_number["A00007"]["Heading"] == "The Quayside Bafflers, Bafflers on the Breakwater (TW 363)"
    assert by_number["A00007"]["Sound"] == "one channel"
    assert by_number["A00007"]["Pounds"] == "5.00"
    assert by_number["A00007"]["What it is"].startswith("Disc VG+; cover VG; inner sleeve VG (as arrived")
    assert "A00011" not in by_number, "a chore is left at it: it stays at home"


def test_the_shipped_shop_s_layouts_and_templates_are_found_without_fault(shop: Path) -> None:
    assert {"counter", "letter", "long", "short", "bare"} <= set(load_templates(shop))
    assert check_templates(shop) == []
    found = [line for line in check_shop(shop) if "layouts" in line or "templates" in line]
    assert found == []


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        ("exports/layouts/web.toml", 'take = "disc_grade"', 'take = "disc_garde"', "disc_grade"),
        ("exports/layouts/web.toml", 'description = "counter"', 'description = "conter"', "counter"),
        ("templates/counter.txt", "{Grades}", "{Gardes}", "grades"),
        ("templates/letter.txt", "{runouts}", "{runouts:}", "writ"),
    ],
)
def test_a_slip_in_them_is_found_by_check_with_its_line_and_what_would_be_right(
    shop: Path, file: str, old: str, new: str, said: str
) -> None:
    path = shop / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    (found,) = [line for line in check_shop(shop) if path.name in line]
    assert f"{path}:" in found
    assert said in found


def test_what_is_wrong_in_a_template_does_not_hide_what_is_wrong_in_a_layout(shop: Path) -> None:
    (shop / "templates" / "counter.txt").write_text("{no_such}", encoding="utf-8")
    (shop / "templates" / "letter.txt").write_text("[never closed", encoding="utf-8")
    web = shop / "exports" / "layouts" / "web.toml"
    web.write_text(
        web.read_text("utf-8").replace('take = "stock_number"', 'take = "stock_nr"'), encoding="utf-8"
    )
    found = "\n".join(check_shop(shop))
    assert "counter.txt:1" in found
    assert "letter.txt:1" in found
    assert "stock_nr" in found
