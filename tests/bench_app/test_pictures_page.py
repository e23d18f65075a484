"""The page of a record's photographs: one key opens one, another says what it shows."""

from pathlib import Path
from typing import Any

import pytest
from bench_hands import Hands

from benchtui.desk.core.page_parts import Table
from benchtui.desk.core.pages import view_now
from benchtui.desk.record import pictures


def _cells(hands: Hands) -> str:
    view = view_now(hands.desk)
    assert view is not None
    tables = [one for one in view.sections if isinstance(one, Table)]
    return " ".join(text for one in tables for row in one.rows for cell in row.cells for text, _ in cell)  # type: ignore[union-attr, str-unpack]


def test_a_photograph_is_opened_and_said_to_show_an_answer(
    breakwater: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    breakwater.take("disc")
    breakwater.ask("tw-label")
    assert breakwater.desk.clue is not None
    breakwater.answer(next(one.id for one in breakwater.desk.clue.answers if not one.neutral))
    breakwater.do("record-page", "record-photographs")
    assert "none yet: benchtui photographs FOLDER" in breakwater.said
    here = tmp_path / "IMG_1.jpg"
    here.write_bytes(b"a picture")
    docs: Any = [
        {"digest": "d1", "file": str(here), "shot": "", "at": ""},
        {"digest": "d2", "file": "C:\\card\\IMG_2.jpg", "shot": "", "at": ""},
    ]
    with breakwater.desk.act("photographs") as change:
        breakwater.desk.changed(change)["photographs"] = docs
    opened: list[Path] = []
    monkeypatch.setattr(pictures, "open_outside", opened.append)
    breakwater.do("record-photographs", "page-enter")
    assert opened == [here]
    breakwater.do("page-down", "page-enter")
    assert "no longer where it was" in breakwater.said
    assert "no longer there" in _cells(breakwater)
    breakwater.do("page-up", "photograph-shows").enter("label a")
    assert breakwater.record["photographs"][0].get("clue") == "tw-label"
    assert "Label" in _cells(breakwater)
    breakwater.do("photograph-shows").enter("side b")
    shown = breakwater.record["photographs"][0]
    assert (shown.get("side"), shown.get("clue")) == ("B", None)
    breakwater.do("photograph-shows").enter("zzzz")
    assert breakwater.refused
    breakwater.do("line-leave", "page-leave")
    assert breakwater.desk.open.page is not None
    assert breakwater.desk.open.page.name == "record"
