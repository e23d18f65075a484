"""Pictures of a record by content: copied, found again, said to show a part; what is missing is a chore."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from PIL import Image

from benchtui.base import viewer
from benchtui.base.errors import BenchError
from benchtui.export.pictures import FOLDER, add_pictures, file_of, small
from benchtui.export.report import parcel_report
from benchtui.export.shots import Shot
from benchtui.model.record import PICTURES, empty_record, work_left

LISTED = (
    Shot("A1-01-front.jpg", "cover front", "p-1"),
    Shot("A1-02-label-a.jpg", "disc label A", "p-2", "A"),
)
NOW, DAY = "2026-11-25T10:00:00Z", "2026-11-25"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("camera")
    made = [folder / f"IMG_{n}.jpg" for n in (1, 2)]
    for n, path in enumerate(made):
        Image.new("RGB", (400, 300), (90 * n, 40, 60)).save(path)
    return made


def test_in_the_order_of_the_list_each_shows_its_part_and_side(files: list[Path]) -> None:
    record = empty_record(1)
    assert add_pictures(record, files, LISTED, NOW, DAY, None) == 2
    assert [(one.get("part"), one.get("side")) for one in record["photographs"]] == [
        ("p-1", None),
        ("p-2", "A"),
    ]
    assert add_pictures(record, files, LISTED, NOW, DAY, None) == 0
    assert record["chores"] == []


def test_what_is_missing_is_a_chore_until_it_is_there_and_keeps_nobody_from_buying(
    files: list[Path], tmp_path: Path
) -> None:
    record = empty_record(1)
    named = tmp_path / "a1-02-label-a.JPG"
    named.write_bytes(files[1].read_bytes())
    add_pictures(record, [named], LISTED, NOW, DAY, None)
    assert [(one["what"], one["note"]) for one in record["chores"]] == [(PICTURES, "cover front")]
    assert work_left(record) == []
    other = tmp_path / "A1-01-front.jpg"
    other.write_bytes(files[0].read_bytes())
    add_pictures(record, [other], LISTED, NOW, "2026-11-26", None)
    assert record["chores"][0]["done"] == "2026-11-26"


def test_a_copy_in_the_shop_or_the_file_s_new_place_is_found_by_content(
    files: list[Path], tmp_path: Path
) -> None:
    record, shop, folder = empty_record(1), tmp_path / "shop", tmp_path / "card"
    shop.mkdir()
    folder.mkdir()
    here = folder / "one.jpg"
    here.write_bytes(files[0].read_bytes())
    add_pictures(record, [here], LISTED, NOW, DAY, None)
    (picture,) = record["photographs"]
    moved = here.rename(folder / "renamed.jpg")
    assert file_of(shop, picture) is None
    add_pictures(record, [moved], LISTED, NOW, DAY, shop)
    assert picture["file"] == str(moved)
    (copy,) = (shop / FOLDER).iterdir()
    assert copy.stat().st_mode & 0o777 == 0o600
    moved.unlink()
    assert file_of(shop, picture) == copy


def test_the_report_shows_them_small_and_nothing_of_what_is_no_picture(
    files: list[Path], tmp_path: Path, make: SimpleNamespace
) -> None:
    doc: Any = make.record(1, "A00001")
    add_pictures(doc, files, (), NOW, DAY, None)
    item = make.item(doc)
    page = parcel_report(item.head, [item], make.words(), shop=tmp_path).decode()
    assert page.count('src="data:image/jpeg;base64,') == 2
    assert "img-src data:" in page
    broken = tmp_path / "x.jpg"
    broken.write_bytes(b"no picture")
    assert small(broken) == ""


def test_the_system_s_viewer_is_started_or_its_lack_is_said(
    files: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[list[str]] = []
    monkeypatch.setattr(viewer.sys, "platform", "linux")
    monkeypatch.setattr(viewer.shutil, "which", lambda tool: f"/usr/bin/{tool}")
    monkeypatch.setattr(viewer.subprocess, "Popen", lambda argv, **how: started.append(argv))
    monkeypatch.setenv("DISPLAY", ":0")
    viewer.open_outside(files[0])
    assert started == [["/usr/bin/xdg-open", str(files[0])]]
    monkeypatch.delenv("DISPLAY")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(BenchError, match="no picture viewer here"):
        viewer.open_outside(files[0])
