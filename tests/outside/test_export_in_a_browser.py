"""The pages in a real browser: drawn by headless Chromium, the bars read back by zxing-cpp.

Chromium is looked for under its usual names; without one there is nothing to look with, and the tests say so.
"""

import importlib.util
import shutil
import subprocess
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
import zxingcpp
from PIL import Image

from benchtui.export.report import parcel_report
from benchtui.export.slips import slip_sheet

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
BROWSER = next((found for name in NAMES if (found := shutil.which(name))), None)
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium on this machine")


def builders() -> ModuleType:
    """The record builders of tests/export."""
    path = Path(__file__).parents[1] / "export" / "conftest.py"
    spec = importlib.util.spec_from_file_location("export_builders", path)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKE: Any = builders()


def picture(html: bytes, folder: Path, height: int) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """What the browser draws, in grey; it gets a profile of its own and no network."""
    (folder / "page.html").write_bytes(html)
    command = [
        str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
        "--host-resolver-rules=MAP * ~NOTFOUND", f"--user-data-dir={folder / 'profile'}",
        "--force-device-scale-factor=2", f"--window-size=900,{height}",
        f"--screenshot={folder / 'page.png'}", (folder / "page.html").as_uri(),
    ]  # fmt: skip
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    with Image.open(folder / "page.png") as image:
        return np.asarray(image.convert("L"))


def test_every_slip_on_the_sheet_scans_back_to_its_number(tmp_path: Path) -> None:
    numbers = [f"A{no:05}" for no in (1, 2, 30, 456, 7890, 99999)]
    items = [MAKE.an_item(MAKE.plain_record(at, number)) for at, number in enumerate(numbers)]
    drawn = picture(slip_sheet(items, MAKE.words()), tmp_path, 500)
    found = zxingcpp.read_barcodes(drawn, formats=zxingcpp.BarcodeFormat.Code128)  # type: ignore[arg-type]
    assert sorted(one.text for one in found) == sorted(numbers)


def test_the_report_is_drawn_whole_and_stays_inside_the_page(tmp_path: Path) -> None:
    items = [MAKE.an_item(MAKE.plain_record(no, f"A{no:05}"), MAKE.weighing()) for no in range(1, 4)]
    drawn = picture(parcel_report(items[0].head, items, MAKE.words()), tmp_path, 1000)
    ink = drawn < 128
    assert not ink[:, :20].any()
    assert not ink[:, -20:].any()
    # The bars stand in the right half: long dark runs within one row, three records one below the other.
    right = ink[:, ink.shape[1] // 2 :]
    rows = np.flatnonzero(right.sum(axis=1) > 120)
    assert len(rows) >= 3
    blocks = np.flatnonzero(np.diff(rows) > 100)
    assert len(blocks) >= 2
