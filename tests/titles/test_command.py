"""``benchtui titles``, as a function."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.titles.command import read_maps, run


def test_a_list_is_taken_in_reported_and_undone(tmp_path: Path) -> None:
    path = tmp_path / "my list.csv"
    path.write_text('Who,What,artist\nOdile Vance,Harbour Slates,x\nA,"open,y\n')
    said: list[str] = []
    (tmp_path / "shop").mkdir()
    assert run(tmp_path / "shop", str(path), ["Who=artist,What=title"], say=said.append) == 0
    assert "2 lines: 2 new, 0 changed, 0 the same, 0 repeated, 0 doubtful, 0 refused" in said[0]
    assert said[-1].startswith("kept as 0001-my-list.csv")
    assert run(tmp_path / "shop", None, undo=True, say=said.append) == 0
    assert said[-1] == "0001-my-list.csv was taken out again"


@pytest.mark.parametrize(
    ("file", "how", "says"),
    [
        (None, {}, "which list"),
        ("none.csv", {}, "cannot be read"),
        ("x.csv", {"undo": True}, "--undo takes no file"),
        ("x.csv", {"doubtful": "maybe"}, "'maybe' is not a rule"),
        ("x.csv", {"maps": ["artist"]}, "does not map a column"),
        ("x.csv", {"maps": ["artist="]}, "does not map a column"),
        (None, {"undo": True}, "there is no list to undo"),
    ],
)
def test_bad_usage_is_told_on_one_line(
    tmp_path: Path, file: str | None, how: dict[str, object], says: str
) -> None:
    with pytest.raises(BenchError, match=says) as caught:
        run(tmp_path, file, **how)  # type: ignore[arg-type]
    assert "\n" not in caught.value.one_line()


def test_a_column_name_may_hold_an_equals_sign() -> None:
    assert read_maps(["a=b=title", "x = artist"]) == {"a=b": "title", "x": "artist"}


def test_what_is_left_undecided_or_refused_ends_with_one(tmp_path: Path) -> None:
    path, said = tmp_path / "list.csv", list[str]()
    for shop in ("shop", "other", "third"):
        (tmp_path / shop / "titles").mkdir(parents=True)
    path.write_text("artist,title,catalogue\nAda Voss,Swell Pedal,LR 204\nAda Vos,Swell Pedals,LR 204\n")
    assert run(tmp_path / "shop", str(path), say=said.append) == 1
    assert any("--doubtful merge or skip decides" in line for line in said)
    assert run(tmp_path / "other", str(path), doubtful="keep", say=said.append) == 0
    path.write_text("artist,title,catalogue\nAda Voss,Swell Pedal,LR 204\nAda Voss,,LR 205\n")
    assert run(tmp_path / "third", str(path), say=said.append) == 1
