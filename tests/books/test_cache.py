"""The program's own TOML files, kept as JSON: the same tables, whatever became of what was kept."""

from pathlib import Path

import pytest

from benchtui.base.errors import BenchError
from benchtui.base.reading import toml_of
from benchtui.books import cache, faults, scales
from benchtui.books.cache import shipped_toml


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(cache, "cache_folder", lambda: tmp_path / "kept")
    return tmp_path / "kept"


@pytest.mark.parametrize("path", [scales.SHIPPED, faults.SHIPPED])
def test_a_shipped_file_is_read_once_and_is_the_same_table_from_then_on(
    path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = path.read_text(encoding="utf-8")
    table = toml_of(text, path)
    assert shipped_toml(text, path) == table
    monkeypatch.setattr(cache, "toml_of", lambda *_: pytest.fail("read again"))
    assert shipped_toml(text, path) == table


def test_another_text_is_another_file_and_one_that_is_wrong_is_told(kept: Path) -> None:
    path = Path("two.toml")
    assert shipped_toml("a = 1", path) == {"a": 1}
    assert shipped_toml("a = 2", path) == {"a": 2}
    with pytest.raises(BenchError, match="is not TOML"):
        shipped_toml("a = ", path)
    assert len(list(kept.iterdir())) == 2


@pytest.mark.parametrize("damage", [b"", b"{", b"[1]", b"3", b"\xff"])
def test_what_was_kept_and_is_damaged_is_made_anew(kept: Path, damage: bytes) -> None:
    path = Path("one.toml")
    shipped_toml("a = 1", path)
    (file,) = kept.iterdir()
    file.write_bytes(damage)
    assert shipped_toml("a = 1", path) == {"a": 1}
    assert file.read_bytes() == b'{"a": 1}'


def test_where_nothing_can_be_kept_it_is_read_all_the_same(kept: Path) -> None:
    kept.write_text("a file where the folder would be")
    assert shipped_toml("a = 1", Path("one.toml")) == {"a": 1}
