"""``benchtui play``: a whole parcel of three from an empty shop through the real app, in a process of its own.

The fifteen are played without a screen (test_kept.py), and drawn at every so many keys (test_screen.py).
"""

import csv
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from benchtui.bench.run import script_path

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
    _has_a_picture_for_every_shot(found, tmp_path)


def _played(tmp: Path) -> dict[str, Any]:
    script = tmp / "own.keys"
    script.write_text(script_path("left-hand").read_text("utf-8") + "\nshot end\n", encoding="utf-8")
    run = _play(
        tmp, str(script), "--size", "80x24", "--shop", str(tmp / "shop"), "--shots", str(tmp / "shots")
    )
    assert run.returncode == 0, run.stderr
    assert run.stderr == ""
    found: dict[str, Any] = json.loads(run.stdout)
    return found


def _has_the_figures(found: dict[str, Any], tmp: Path) -> None:
    assert (found["records"], found["taken_in"]) == (3, 3)
    assert len(found["keys_each"]) == 3
    assert 0 < sum(found["keys_each"]) <= found["keys"]
    assert set(found["key_ms"]) == {"p50", "p95", "max"}
    assert 0 < found["key_ms"]["p50"] <= found["key_ms"]["p95"] <= found["key_ms"]["max"]
    assert found["seconds"] > 0
    assert Path(found["export"]).is_relative_to(tmp / "shop" / "exports")


def _has_a_row_for_each_record(found: dict[str, Any]) -> None:
    """With stock numbers in order."""
    with open(found["export"], newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 3
    numbers = [row["stock_number"] for row in rows]
    assert numbers == sorted(numbers)
    assert len(set(numbers)) == 3
    assert all(row["title_name"] and row["money_price"] and row["money_currency"] == "GBP" for row in rows)


def _has_a_picture_for_every_shot(found: dict[str, Any], tmp: Path) -> None:
    assert found["shots"]
    for path in found["shots"]:
        text = Path(path).read_text("utf-8")
        assert text.startswith("<svg")
        assert "@font-face" not in text
    assert {Path(path).parent for path in found["shots"]} == {tmp / "shots"}
