"""``benchtui play fifteen``: a whole parcel from an empty shop through the real app, in a process of its own."""

import csv
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from benchtui.store import Shop

ROOT = Path(__file__).parents[2]


def _play(tmp: Path, *argv: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "benchtui", "play", *argv], capture_output=True, text=True, cwd=tmp, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip


def test_a_whole_parcel_is_played_to_its_export(tmp_path: Path) -> None:
    """In one test, since it is the dearest of all and each of several processes would play it."""
    found = _played(tmp_path)
    _has_the_figures(found, tmp_path)
    _has_a_row_for_each_record(found)
    _leaves_a_closed_parcel_and_its_note(tmp_path)
    _has_a_picture_for_every_shot(found, tmp_path)


def _played(tmp: Path) -> dict[str, Any]:
    run = _play(tmp, "fifteen", "--size", "80x24", "--shop", str(tmp / "shop"), "--shots", str(tmp / "shots"))
    assert run.returncode == 0, run.stderr
    assert run.stderr == ""
    found: dict[str, Any] = json.loads(run.stdout)
    return found


def _has_the_figures(found: dict[str, Any], tmp: Path) -> None:
    assert (found["records"], found["taken_in"]) == (15, 15)
    assert len(found["keys_each"]) == 15
    assert 0 < sum(found["keys_each"]) <= found["keys"]
    assert set(found["key_ms"]) == {"p50", "p95", "max"}
    assert 0 < found["key_ms"]["p50"] <= found["key_ms"]["p95"] <= found["key_ms"]["max"]
    assert found["seconds"] > 0
    assert Path(found["export"]).is_relative_to(tmp / "shop" / "exports")


def _has_a_row_for_each_record(found: dict[str, Any]) -> None:
    """With stock numbers in order."""
    with open(found["export"], newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 15
    numbers = [row["stock_number"] for row in rows]
    assert numbers == sorted(numbers)
    assert len(set(numbers)) == 15
    assert all(row["title_name"] and row["money_price"] and row["money_currency"] == "GBP" for row in rows)


def _leaves_a_closed_parcel_and_its_note(tmp: Path) -> None:
    shop = Shop.open(tmp / "shop", read_only=True)
    (summary,) = shop.parcels()
    parcel = shop.open_parcel(summary.id)
    assert parcel.head["state"] == "closed"
    assert not parcel.notice
    here = [record for record in parcel.records if record["state"] == "taken-in"]
    assert len(here) == 15
    assert {record["no"] for record in here} <= set(range(1, 17))
    assert any(record["terms"] == "consigned" for record in here)
    assert any(record["pressing"]["how"] == "open" for record in here)
    assert any(record["pressing"]["how"] == "leader" for record in here)
    assert list((tmp / "shop" / "exports").glob("note-*.txt"))
    shop.close()


def _has_a_picture_for_every_shot(found: dict[str, Any], tmp: Path) -> None:
    assert found["shots"]
    for path in found["shots"]:
        text = Path(path).read_text("utf-8")
        assert text.startswith("<svg")
        assert "@font-face" not in text
    assert {Path(path).parent for path in found["shots"]} == {tmp / "shots"}
